#include "enginewright/cylinders.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "refusal.hpp"

namespace enginewright::cylinders {
namespace {

using measure::Quantity;

const Grid worn{{86.081, 86.060}, {86.040, 86.031}, {86.012, 86.010}};

TEST(BoreForm, GivesTheFiguresOfItsDefinitions)
{
    const auto found = form(worn, 86.00, 86.05, 86.005, 86.007, 0.030, 0.050, 0.020);
    EXPECT_EQ(found.largest_station, 0);
    EXPECT_EQ(found.largest_axis, 0);
    EXPECT_NEAR(*found.wear, 0.076, 1e-12);
    EXPECT_NEAR(*found.ovality, 0.021, 1e-12);
    EXPECT_NEAR(*found.taper, 0.069, 1e-12);
    EXPECT_NEAR(*found.ridge, 0.037, 1e-12);
    EXPECT_NEAR(*found.end_difference, 86.011 - 86.0705, 1e-12);
    EXPECT_EQ(found.shape, Shape::tapered);
    EXPECT_EQ(found.size_verdict, Standing::outside);
    EXPECT_EQ(found.ovality_verdict, Standing::within);
    EXPECT_EQ(found.taper_verdict, Standing::outside);
    EXPECT_EQ(found.ridge_verdict, Standing::outside);
    EXPECT_EQ(found.reason,
              "largest 86.081 mm, 86.050 mm allowed; taper on axis 1 0.069 mm, 0.050 mm allowed; "
              "ridge 0.037 mm, 0.020 mm allowed");
    EXPECT_EQ(found.next,
              "cut the ridge before the pistons come out, it is 0.017 mm over its limit; plan one "
              "oversize for the whole block: this bore is 0.031 mm above 86.050 mm");
}

TEST(BoreForm, IsUnprovenWithoutTheUnwornTop)
{
    const auto found = form(worn, {}, {}, {}, {}, {}, {}, 0.020);
    EXPECT_EQ(found.ridge, std::nullopt);
    EXPECT_EQ(found.ridge_verdict, Standing::unproven);
    EXPECT_EQ(found.reason, "the ridge needs the unworn size above it");
    EXPECT_EQ(found.next, "measure the bore above the ring travel");
}

TEST(BoreForm, HonesOutWhatIsTooSmall)
{
    const auto found = form(Grid{{85.988, 85.990}}, 86.00, 86.05);
    EXPECT_EQ(found.reason, "smallest 85.988 mm, 86.000 mm at least");
    EXPECT_EQ(found.next, "hone 0.012 mm out of the diameter, up to 86.000 mm");
}

TEST(BoreForm, TakesTheFirstOfEqualLargestReadings)
{
    const auto found = form(Grid{{86.00, 86.03}, {86.03, 86.03 + 5e-10}});
    EXPECT_EQ(found.largest_station, 0);
    EXPECT_EQ(found.largest_axis, 1);
}

TEST(BoreForm, HalvesTheDoubtOfADifferenceForTheRidge)
{
    // 1.645 times 0.004 / root 2 is 0.0047: proven at 0.005 from the limit, not at 0.004.
    const auto verdict = [](double limit) {
        return form(Grid{{86.081, 86.060}}, {}, {}, {}, 86.007, {}, {}, limit, 0.004).ridge_verdict;
    };
    EXPECT_EQ(verdict(0.042), Standing::within);
    EXPECT_EQ(verdict(0.041), Standing::unproven);
    EXPECT_EQ(verdict(0.032), Standing::outside);
}

TEST(BoreFormWithDoubt, LosesTheRingInTheRidge)
{
    auto& sources = measure::Sources::shared();
    const auto ring = sources.unnamed();
    std::vector<Quantity> readings;
    for (Eigen::Index k = 0; k < worn.size(); ++k) {
        readings.emplace_back(worn.data()[k], 0.004, ring);
    }
    const Quantity top(86.007, 0.004, ring);
    const auto found = form_with_doubt(readings, 2, 86.00, 86.05, 86.005, top, {}, {}, 0.040);
    EXPECT_NEAR(found.ridge->standard_uncertainty(), 0.0, 1e-15);
    EXPECT_NEAR(found.wear->standard_uncertainty(), 0.004, 1e-15);
    EXPECT_EQ(found.form.ridge_verdict, Standing::within);
    EXPECT_NEAR(*found.form.ridge, 0.037, 1e-12);
}

const std::vector<double> steps{0.25, 0.50, 1.00};

TEST(OversizePlan, SaysWhatToBoreTo)
{
    const std::vector<Grid> set{Grid{{86.08, 86.05}}, Grid{{86.02, 86.02}}};
    const auto plan = oversize_plan(set, 85.96, steps, 0.04, 0.06, 0.05);
    EXPECT_EQ(plan.status, ReboreStatus::rebore);
    EXPECT_EQ(plan.oversize, 0.25);
    EXPECT_NEAR(*plan.piston, 86.21, 1e-12);
    EXPECT_NEAR(*plan.finish_bore, 86.25, 1e-12);
    EXPECT_NEAR(*plan.bored_size, 86.19, 1e-12);
    EXPECT_NEAR(plan.margin[0], 0.06, 1e-12);
    EXPECT_NEAR(plan.stock_to_bore[1], 0.17, 1e-12);
    EXPECT_EQ(plan.steps_left, 2);
    EXPECT_EQ(plan.oversize_without_sleeved, std::nullopt);
    EXPECT_EQ(plan.next,
              "bore both to 86.190 mm, hone to 86.250 mm (0.250 over), cylinder 1 "
              "decides, 0.060 mm to spare");
}

TEST(OversizePlan, SaysWhatASmallerStepCostsInSleeves)
{
    const std::vector<Grid> set{Grid{{86.30}}, Grid{{86.02}}, Grid{{86.03}}};
    const auto plan = oversize_plan(set, 85.96, steps, 0.04, 0.06, 0.05);
    EXPECT_EQ(plan.oversize, 0.50);
    ASSERT_EQ(plan.sleeve_options.size(), 3U);
    EXPECT_EQ(plan.sleeve_options[0].sleeve, (std::vector{0}));
    EXPECT_TRUE(plan.sleeve_options[1].sleeve.empty());
    EXPECT_EQ(plan.oversize_by_cylinder, (std::vector<std::optional<double>>{0.50, 0.25, 0.25}));
    EXPECT_EQ(plan.reason, "0.250 would do with cylinder 1 sleeved");
}

TEST(OversizePlan, SleevesWhatNoStepCleans)
{
    const std::vector<Grid> set{Grid{{86.08, 86.05}}, Grid{{86.02, 86.02}}};
    const auto plan =
        oversize_plan(set, 85.96, steps, 0.04, 0.06, 0.05, std::vector<double>{0, 0.6});
    EXPECT_EQ(plan.status, ReboreStatus::needs_sleeving);
    EXPECT_EQ(plan.sleeve, (std::vector{1}));
    EXPECT_EQ(plan.oversize, std::nullopt);
    EXPECT_EQ(plan.bored_size, std::nullopt);
    EXPECT_TRUE(plan.margin.empty() && plan.stock_to_bore.empty());
    EXPECT_EQ(plan.steps_left, 0);
    EXPECT_EQ(plan.oversize_without_sleeved, 0.25);
    EXPECT_EQ(plan.next,
              "sleeve cylinder 2; bore the other to 86.190 mm, hone to 86.250 mm (0.250 "
              "over)");
    EXPECT_EQ(plan.reason,
              "cylinder 2 is clean at 87.270 mm, 0.330 mm beyond the last step "
              "allowed, 1.000 mm over");
}

TEST(OversizePlan, KeepsWithinWhatTheCastingBears)
{
    const std::vector<Grid> set{Grid{{86.30}}, Grid{{86.02}}};
    const auto plan =
        oversize_plan(set, 85.96, steps, 0.04, 0.06, 0.05, {}, WearSide::even, 0, 86.25);
    EXPECT_EQ(plan.status, ReboreStatus::needs_sleeving);
    ASSERT_EQ(plan.sleeve_options.size(), 1U);
    const auto thin =
        oversize_plan(set, 85.96, steps, 0.04, 0.06, 0.05, {}, WearSide::even, 0, 86.20);
    EXPECT_EQ(thin.sleeve, (std::vector{0, 1}));
    EXPECT_EQ(thin.oversize_without_sleeved, std::nullopt);
    EXPECT_EQ(thin.reason,
              "no step is left above 0.000 mm with a finished bore of at most "
              "86.200 mm");
    EXPECT_EQ(thin.next, "sleeve cylinders 1, 2");
}

TEST(OversizePlan, WarnsOfAMarginThatTheGaugeCannotProve)
{
    const std::vector<Grid> set{Grid{{86.135}}};
    EXPECT_TRUE(
        oversize_plan(set, 85.96, steps, 0.04, 0.06, 0.05, {}, WearSide::even, 0, {}, 0.0025)
            .warnings.empty());
    const auto plan =
        oversize_plan(set, 85.96, steps, 0.04, 0.06, 0.05, {}, WearSide::even, 0, {}, 0.003);
    ASSERT_EQ(plan.warnings.size(), 1U);
    EXPECT_EQ(plan.warnings[0],
              "cylinder 1 has 0.005 mm to spare, the gauge leaves ±0.006 mm "
              "open: measure it again before boring");
    EXPECT_EQ(plan.next,
              "bore cylinder 1 to 86.190 mm, hone to 86.250 mm (0.250 over), 0.005 mm "
              "to spare");
}

TEST(OversizePlan, RefusesByNameRuleAndValue)
{
    const std::vector<Grid> set{worn};
    EXPECT_EQ(refusal([&] { oversize_plan(set, 85.96, std::vector{0.5, 0.25}, 0.04); }),
              "oversizes[1] must be above the step before, 0.5 mm, got 0.25");
    EXPECT_EQ(refusal([&] { oversize_plan(set, 85.96, steps, -0.04); }),
              "clearance must be at least 0 mm, got -0.04");
    EXPECT_EQ(refusal([&] { oversize_plan(set, 85.96, steps, 0.04, 0, 0, -0.1); }),
              "damage_depth must be at least 0 mm, got -0.1");
    EXPECT_EQ(refusal([] {
                  oversize_plan(std::vector<Grid>{Grid{{86.0, std::nan("")}}}, 85.96, steps, 0.04);
              }),
              "readings[0][0][1] must be a finite number, got nan");
}

/// A block in whole micrometres, so that the plain loop below is exact.
struct MicroBlock {
    std::vector<std::vector<int>> readings{};
    int piston = 85960;
    std::vector<int> oversizes{};
    int clearance = 0;
    int hone = 0;
    int clean_up = 0;
    std::vector<int> damage{};
    bool one_side = false;
    int current = 0;
    std::optional<int> largest{};

    explicit MicroBlock(std::mt19937& draw)
    {
        const auto below = [&](int bound) { return static_cast<int>(draw() >> 1U) % bound; };
        const int count = 1 + below(5);
        for (int step = 0; static_cast<int>(oversizes.size()) < count;) {
            oversizes.push_back(step += 100 + below(250));
        }
        current = below(3) == 0 ? oversizes.front() : 0;
        clearance = 30 + below(30);
        hone = below(70);
        clean_up = below(60);
        one_side = below(2) == 0;
        if (below(2) == 0) {
            largest = piston + clearance + 100 + below(1200);
        }
        for (int i = 1 + below(6); i > 0; --i) {
            std::vector<int> grid;
            for (int k = 1 + below(4); k > 0; --k) {
                grid.push_back(piston + current + clearance + below(400) - 5);
            }
            readings.push_back(grid);
            damage.push_back(below(2) * below(200));
        }
    }

    int bored(int step) const { return piston + step + clearance - hone; }
    bool allowed(int step) const
    {
        return step > current && (!largest || piston + step + clearance <= *largest);
    }
    int cleanup(std::size_t i) const
    {
        const auto [least, greatest] = std::minmax_element(readings[i].begin(), readings[i].end());
        const int flank = one_side ? *greatest - std::min(piston + current + clearance, *least) : 0;
        return *greatest + flank + 2 * damage[i] + clean_up;
    }
    std::vector<int> not_cleaned(int step) const
    {
        std::vector<int> left;
        for (std::size_t i = 0; i < readings.size(); ++i) {
            if (cleanup(i) > bored(step)) {
                left.push_back(static_cast<int>(i));
            }
        }
        return left;
    }

    OversizePlan plan() const
    {
        std::vector<Grid> grids;
        std::vector<double> depths;
        for (std::size_t i = 0; i < readings.size(); ++i) {
            Grid grid(1, static_cast<Eigen::Index>(readings[i].size()));
            for (std::size_t k = 0; k < readings[i].size(); ++k) {
                grid(0, static_cast<Eigen::Index>(k)) = readings[i][k] / 1000.0;
            }
            grids.push_back(grid);
            depths.push_back(damage[i] / 1000.0);
        }
        std::vector<double> given;
        for (const int step : oversizes) {
            given.push_back(step / 1000.0);
        }
        return oversize_plan(grids, piston / 1000.0, given, clearance / 1000.0, hone / 1000.0,
                             clean_up / 1000.0, depths,
                             one_side ? WearSide::one_side : WearSide::even, current / 1000.0,
                             largest ? std::optional(*largest / 1000.0) : std::nullopt);
    }
};

TEST(OversizePlan, MatchesAPlainLoopInWholeMicrometres)
{
    for (unsigned seed = 0; seed < 3000; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const MicroBlock block(draw);
        const auto plan = block.plan();
        std::optional<double> chosen;
        std::vector<std::vector<int>> lists;
        int above = 0;
        for (const int step : block.oversizes) {
            if (!block.allowed(step)) {
                continue;
            }
            above += chosen ? 1 : 0;
            lists.push_back(block.not_cleaned(step));
            chosen = chosen || !lists.back().empty() ? chosen : std::optional(step / 1000.0);
        }
        ASSERT_EQ(plan.oversize, chosen);
        ASSERT_EQ(plan.status, chosen ? ReboreStatus::rebore : ReboreStatus::needs_sleeving);
        ASSERT_EQ(plan.steps_left, chosen ? above : 0);
        ASSERT_EQ(plan.sleeve_options.size(), lists.size());
        for (std::size_t k = 0; k < lists.size(); ++k) {
            ASSERT_EQ(plan.sleeve_options[k].sleeve, lists[k]);
        }
        if (!chosen && !lists.empty()) {
            ASSERT_EQ(plan.sleeve, lists.back());
            if (plan.oversize_without_sleeved) {
                const auto first = std::find(lists.begin(), lists.end(), lists.back());
                ASSERT_EQ(
                    *plan.oversize_without_sleeved,
                    plan.sleeve_options[static_cast<std::size_t>(first - lists.begin())].oversize);
            } else {
                ASSERT_EQ(plan.sleeve.size(), block.readings.size());
            }
        }
        int governing = 0;
        for (std::size_t i = 0; i < block.readings.size(); ++i) {
            governing = block.cleanup(i) > block.cleanup(static_cast<std::size_t>(governing))
                            ? static_cast<int>(i)
                            : governing;
            ASSERT_NEAR(plan.cleanup_diameters[i], block.cleanup(i) / 1000.0, 1e-9);
        }
        ASSERT_EQ(plan.governing, governing);
    }
}

TEST(OversizePlan, HasFewerSleevesAsStepsGrow)
{
    for (unsigned seed = 0; seed < 500; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const auto plan = MicroBlock(draw).plan();
        for (std::size_t k = 1; k < plan.sleeve_options.size(); ++k) {
            const auto& more = plan.sleeve_options[k - 1].sleeve;
            const auto& fewer = plan.sleeve_options[k].sleeve;
            ASSERT_TRUE(std::includes(more.begin(), more.end(), fewer.begin(), fewer.end()));
        }
    }
}

TEST(FinishBores, SaysWhatEachBoreNeeds)
{
    const std::vector<double> pistons{86.21, 86.22};
    const auto possible = finish_bores(pistons, 0.04, std::vector{86.00, 86.01}, 0.05);
    EXPECT_EQ(possible.status, FinishStatus::possible);
    EXPECT_NEAR(possible.stock[1], 0.25, 1e-12);
    EXPECT_EQ(possible.reason, "");
    EXPECT_EQ(possible.next,
              "cylinder 1: bore to 86.200 mm, hone to 86.250 mm; "
              "cylinder 2: bore to 86.210 mm, hone to 86.260 mm");
    const auto hone = finish_bores(pistons, 0.04, std::vector{86.22, 86.01}, 0.05);
    EXPECT_EQ(hone.status, FinishStatus::hone_only);
    EXPECT_EQ(hone.reason, "cylinder 1 is above the bored size already");
    EXPECT_EQ(hone.next,
              "cylinder 1: hone to 86.250 mm, 0.030 mm to come out; "
              "cylinder 2: bore to 86.210 mm, hone to 86.260 mm");
    const auto large = finish_bores(pistons, 0.04, std::vector{86.26, 86.01}, 0.05);
    EXPECT_EQ(large.status, FinishStatus::bore_too_large);
    EXPECT_EQ(large.too_large, (std::vector{0}));
    EXPECT_EQ(large.reason, "cylinder 1 measures 86.260 mm, 0.010 mm above its finished 86.250 mm");
    EXPECT_EQ(large.next,
              "cylinder 1: find a piston of at least 86.220 mm; "
              "cylinder 2: bore to 86.210 mm, hone to 86.260 mm");
}

TEST(FinishBores, IsUncheckedWithoutBores)
{
    const auto plan = finish_bores(std::vector{86.21}, 0.04);
    EXPECT_EQ(plan.status, FinishStatus::unchecked);
    EXPECT_TRUE(plan.stock.empty() && plan.too_large.empty());
    EXPECT_EQ(plan.next, "measure the bores first; cylinder 1: bore and hone to 86.250 mm");
    EXPECT_EQ(refusal([] { finish_bores(std::vector{86.21}, 0.04, std::vector{86.0, 86.0}); }),
              "bores must hold 1, one a piston, got 2");
}

TEST(FinishBores, LeavesABoreAloneThatIsFinishedAlready)
{
    const auto plan = finish_bores(std::vector{86.21}, 0.04, std::vector{86.25}, 0.05);
    EXPECT_EQ(plan.status, FinishStatus::hone_only);
    EXPECT_NEAR(plan.stock[0], 0.0, 1e-12);
    EXPECT_EQ(plan.next, "cylinder 1: leave it, it is finished to 86.250 mm");
}

}  // namespace
}  // namespace enginewright::cylinders
