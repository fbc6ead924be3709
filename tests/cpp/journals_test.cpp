#include "enginewright/journals.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "refusal.hpp"

namespace enginewright::journals {
namespace {

using measure::Quantity;

const Grid worn{{50.762, 50.771}, {50.755, 50.768}, {50.764, 50.772}};

TEST(JournalForm, GivesTheFiguresOfItsDefinitions)
{
    const auto found = form(worn, 50.78, 50.80, 0.010, 0.010, 50.80);
    EXPECT_NEAR(found.minimum, 50.755, 1e-12);
    EXPECT_NEAR(found.maximum, 50.772, 1e-12);
    EXPECT_NEAR(found.mean, 50.7653333333, 1e-9);
    EXPECT_NEAR(*found.ovality, 0.013, 1e-12);
    EXPECT_EQ(found.ovality_station, 1);
    EXPECT_NEAR(*found.taper, 0.009, 1e-12);
    EXPECT_EQ(found.taper_axis, 0);
    EXPECT_NEAR(*found.end_difference, 0.0015, 1e-12);
    EXPECT_NEAR(*found.barrel, -0.00575, 1e-12);
    EXPECT_EQ(found.shape, Shape::hourglass);
    EXPECT_NEAR(*found.wear, 0.045, 1e-12);
    EXPECT_EQ(found.verdict, Standing::outside);
    EXPECT_EQ(found.reason,
              "smallest 50.755 mm, 50.780 mm at least; ovality at station 2 0.013 mm, 0.010 mm "
              "allowed");
    EXPECT_EQ(found.next,
              "plan one undersize for the whole set: this journal is 0.025 mm below 50.780 mm");
}

TEST(JournalForm, DoesNotMindWhichAxisIsReadFirst)
{
    const auto before = form(worn, 50.70, 50.80, 0.020, 0.020);
    auto after = form(worn.rowwise().reverse(), 50.70, 50.80, 0.020, 0.020);
    EXPECT_EQ(after.taper_axis, 1);
    after.taper_axis = before.taper_axis;
    after.mean = before.mean;
    after.end_difference = before.end_difference;
    after.barrel = before.barrel;
    EXPECT_EQ(after, before);
}

TEST(JournalForm, TurnsItsEndDifferenceWhenReadFromTheBack)
{
    const auto front = form(worn);
    const auto back = form(worn.colwise().reverse());
    EXPECT_NEAR(*back.end_difference, -*front.end_difference, 1e-12);
    EXPECT_NEAR(*back.barrel, *front.barrel, 1e-12);
    EXPECT_EQ(back.shape, front.shape);
    EXPECT_EQ(back.taper, front.taper);
}

TEST(JournalForm, IsUnprovenWhereAFigureCannotBeFormed)
{
    const auto station = form(Grid{{50.79, 50.79}}, {}, {}, {}, 0.010);
    EXPECT_EQ(station.taper, std::nullopt);
    EXPECT_EQ(station.taper_verdict, Standing::unproven);
    EXPECT_EQ(station.shape, Shape::unknown);
    EXPECT_EQ(station.reason, "taper needs readings at two stations");
    EXPECT_EQ(station.next, "measure at a second station");
    const auto axis = form(Grid{{50.79}, {50.79}}, {}, {}, 0.010);
    EXPECT_EQ(axis.ovality, std::nullopt);
    EXPECT_EQ(axis.ovality_verdict, Standing::unproven);
    EXPECT_EQ(axis.barrel, std::nullopt);
    EXPECT_EQ(axis.next, "measure on a second axis");
    EXPECT_EQ(form(Grid{{50.79}}).verdict, Standing::unlimited);
}

TEST(JournalForm, TellsTheShapesApart)
{
    const auto shape = [](double front, double middle, double back, double u = 0) {
        return form(Grid{{50 + front}, {50 + middle}, {50 + back}}, {}, {}, {}, {}, {}, u).shape;
    };
    // common practice, no source: 2 µm is noise, and still parallel.
    EXPECT_EQ(shape(0.002, 0, 0), Shape::parallel);
    EXPECT_EQ(shape(0.003, 0.0015, 0), Shape::tapered);
    EXPECT_EQ(shape(0, 0.005, 0), Shape::barrel);
    EXPECT_EQ(shape(0, -0.005, 0), Shape::hourglass);
    EXPECT_EQ(shape(0.010, 0.008, 0), Shape::tapered);
    EXPECT_EQ(shape(0, 0.005, 0, 0.003), Shape::parallel);
}

TEST(JournalForm, ConcealsNothingBehindACoarseGauge)
{
    const auto found = form(Grid{{50.782, 50.781}}, 50.78, 50.80, {}, {}, {}, 0.002);
    EXPECT_EQ(found.size_verdict, Standing::unproven);
    EXPECT_EQ(found.reason, "smallest 50.781 mm, 50.780 mm at least, not proven with ±0.004 mm");
    EXPECT_EQ(found.next, "measure again with a better gauge: ±0.004 mm is too much to decide");
}

TEST(JournalForm, GrindsOffWhatIsTooLarge)
{
    const auto found = form(Grid{{50.812, 50.790}}, 50.78, 50.80);
    EXPECT_EQ(found.reason, "largest 50.812 mm, 50.800 mm allowed");
    EXPECT_EQ(found.next, "grind 0.012 mm off the diameter, down to 50.800 mm");
}

TEST(JournalForm, RefusesByThePlaceOfTheReading)
{
    EXPECT_EQ(refusal([] { form(Grid{{50.0, -1.0}}); }),
              "readings[0][1] must be above 0 mm, got -1.0");
    EXPECT_EQ(refusal([] { form(Grid(0, 2)); }),
              "readings must hold at least 1 station and 1 axis, got 0 by 2");
    EXPECT_EQ(refusal([] { form(worn, 50.8, 50.7); }),
              "upper must be at least lower, 50.8 mm, got 50.7");
    EXPECT_EQ(refusal([] { form(worn, {}, {}, -0.01); }),
              "ovality_limit must be at least 0 mm, got -0.01");
}

/// Readings with one error in common and one of their own.
std::vector<Quantity> with_ring(const Grid& readings, double ring, double own)
{
    auto& sources = measure::Sources::shared();
    const auto shared = sources.unnamed();
    std::vector<Quantity> all;
    for (Eigen::Index k = 0; k < readings.size(); ++k) {
        all.push_back(Quantity(readings.data()[k], ring, shared) +
                      Quantity(0.0, own, sources.unnamed()));
    }
    return all;
}

TEST(JournalFormWithDoubt, LosesTheRingInOvalityAndKeepsItInSize)
{
    const auto found = form_with_doubt(with_ring(worn, 0.004, 0.001), 2, 50.70, 50.80, 0.020);
    EXPECT_NEAR(found.ovality->standard_uncertainty(), std::sqrt(2.0) * 0.001, 1e-12);
    EXPECT_NEAR(found.taper->standard_uncertainty(), std::sqrt(2.0) * 0.001, 1e-12);
    EXPECT_NEAR(found.minimum.standard_uncertainty(), std::hypot(0.004, 0.001), 1e-12);
    EXPECT_NEAR(found.mean.standard_uncertainty(), std::hypot(0.004, 0.001 / std::sqrt(6.0)),
                1e-12);
    // Inner station less both ends, two readings each: 1/2 + 1/2 * 1/2 of one reading's variance.
    EXPECT_NEAR(found.barrel->standard_uncertainty(), 0.001 * std::sqrt(0.75), 1e-12);
}

TEST(JournalFormWithDoubt, SaysWhatPlainReadingsSayWithoutDoubt)
{
    const auto plain = form(worn, 50.78, 50.80, 0.010, 0.010, 50.80);
    const std::vector<Quantity> readings(worn.data(), worn.data() + worn.size());
    EXPECT_EQ(form_with_doubt(readings, 2, 50.78, 50.80, 0.010, 0.010, 50.80).form, plain);
}

TEST(JournalFormWithDoubt, ProvesOvalityThatPlainReadingsCannot)
{
    const Grid readings{{50.790, 50.782}};
    EXPECT_EQ(form(readings, {}, {}, 0.010, {}, {}, 0.004).ovality_verdict, Standing::unproven);
    EXPECT_EQ(
        form_with_doubt(with_ring(readings, 0.004, 0.0005), 2, {}, {}, 0.010).form.ovality_verdict,
        Standing::within);
}

TEST(Undersizes, AreTheDoublesOfTheirPrint)
{
    // common practice, no source: ten to sixty thou, quarters of a millimetre.
    const auto inch = undersizes(System::inch);
    const auto metric = undersizes();
    for (std::size_t i = 0; i < 6; ++i) {
        EXPECT_NEAR(inch[i], 0.254 * static_cast<double>(i + 1), 1e-12);
        EXPECT_EQ(metric[i], 0.25 * static_cast<double>(i + 1));
    }
}

const std::vector<double> inch_steps{0.254, 0.508, 0.762, 1.016, 1.27, 1.524};

TEST(RegrindPlan, SaysWhatToGrindTo)
{
    const std::vector<Grid> set{worn, Grid{{50.700, 50.720}, {50.690, 50.710}}, Grid{{50.790}}};
    const auto plan = regrind_plan(set, 50.78, 50.80, inch_steps, 0.05);
    EXPECT_EQ(plan.status, RegrindStatus::regrind);
    EXPECT_EQ(plan.undersize, 0.254);
    EXPECT_EQ(plan.governing, 1);
    EXPECT_NEAR(*plan.target, 50.536, 1e-12);
    EXPECT_NEAR(plan.margin[1], 0.104, 1e-12);
    EXPECT_NEAR(plan.stock_least[1], 50.690 - 50.536, 1e-12);
    EXPECT_NEAR(plan.stock_most[1], 50.720 - 50.536, 1e-12);
    EXPECT_EQ(plan.steps_left, 5);
    EXPECT_NEAR(plan.remaining, 1.27, 1e-12);
    EXPECT_TRUE(plan.warnings.empty());
    EXPECT_EQ(plan.reason, "");
    EXPECT_EQ(
        plan.next,
        "grind all 3 to 50.526-50.546 mm (0.254 under), journal 2 decides, 0.104 mm to spare");
}

TEST(RegrindPlan, SaysWhatBuildingUpOneJournalSaves)
{
    const std::vector<Grid> set{worn, Grid{{50.690}}, Grid{{50.788}}};
    const auto plan =
        regrind_plan(set, 50.78, 50.80, inch_steps, 0.05, 0.5, std::vector<double>{0, 0, 0.25});
    EXPECT_EQ(plan.undersize, 0.762);
    EXPECT_EQ(plan.governing, 2);
    EXPECT_EQ(plan.undersize_without_governing, 0.254);
    EXPECT_EQ(plan.undersize_by_journal, (std::vector<std::optional<double>>{0.254, 0.254, 0.762}));
    EXPECT_EQ(plan.reason, "0.254 would do for the others without journal 3");
}

TEST(RegrindPlan, SaysWhenASmallerStepWouldDoLowInTheBand)
{
    // 47.710 is the lower end of the band at 0.250 under, 47.720 its middle.
    const std::vector<Grid> set{Grid{{47.765}}, Grid{{47.790}}};
    const auto plan = regrind_plan(set, 47.96, 47.98, undersizes(), 0.05);
    EXPECT_EQ(plan.undersize, 0.50);
    EXPECT_EQ(plan.tight_undersize, 0.25);
    EXPECT_NEAR(*plan.tight_diameter, 47.715, 1e-12);
    EXPECT_EQ(plan.reason,
              "0.250 would do if all finish between 47.710 and 47.715 mm; "
              "0.250 would do for the others without journal 1");
}

TEST(RegrindPlan, SaysWhenNoUndersizeIsLeft)
{
    const std::vector<Grid> set{Grid{{49.1, 49.2}}};
    const auto plan = regrind_plan(set, 50.78, 50.80, inch_steps, 0.05);
    EXPECT_EQ(plan.status, RegrindStatus::no_undersize_left);
    EXPECT_EQ(plan.undersize, std::nullopt);
    EXPECT_EQ(plan.target, std::nullopt);
    EXPECT_TRUE(plan.stock_least.empty());
    EXPECT_EQ(plan.steps_left, 0);
    EXPECT_EQ(plan.remaining, 0);
    EXPECT_NEAR(plan.margin[0], 49.05 - 49.266, 1e-12);
    EXPECT_EQ(plan.undersize_without_governing, std::nullopt);
    EXPECT_EQ(plan.reason,
              "journal 1 is clean at 49.050 mm, the last step, 1.524 mm, aims at 49.266 mm: "
              "0.216 mm too much");
    EXPECT_EQ(plan.next,
              "replace the crank, or ask a specialist whether its journals can be built up");
    const auto worn_out =
        regrind_plan(set, 50.78, 50.80, inch_steps, 0, 0.5, {}, WearSide::even, 1.524);
    EXPECT_TRUE(worn_out.margin.empty());
    EXPECT_EQ(worn_out.reason,
              "the crank is 1.524 mm under already and the last step listed is 1.524 mm");
}

TEST(RegrindPlan, WarnsInItsOrder)
{
    const std::vector<Grid> set{Grid{{50.600}}, Grid{{50.545}}};
    const auto plan = regrind_plan(set, 50.78, 50.80, inch_steps, 0.2518, 0.5, {}, WearSide::even,
                                   0.254, 0.25, 0.006);
    ASSERT_EQ(plan.undersize, 0.508);
    ASSERT_EQ(plan.warnings.size(), 3U);
    EXPECT_EQ(plan.warnings[0], "journal 1 measures 50.600 mm, above 50.546 mm: check the stamp");
    EXPECT_EQ(plan.warnings[1],
              "the step goes through the hard case: 0.250 mm deep when new, 0.254 mm comes off on "
              "radius");
    EXPECT_EQ(plan.warnings[2],
              "journal 2 has 0.011 mm to spare, the gauge leaves ±0.012 mm open: measure it again "
              "before grinding");
}

TEST(RegrindPlan, RefusesStepsThatDoNotRise)
{
    const std::vector<Grid> set{worn};
    const auto plan = [&](const std::vector<double>& steps) {
        return refusal([&] { regrind_plan(set, 50.78, 50.80, steps); });
    };
    EXPECT_EQ(plan({0.25, 0.25}), "undersizes[1] must be above the step before, 0.25 mm, got 0.25");
    EXPECT_EQ(plan({}), "undersizes must hold at least 1 step, got 0");
    EXPECT_EQ(plan({0.25, 50.78}), "undersizes[1] must be below 50.78 mm, got 50.78");
    EXPECT_EQ(refusal([] { regrind_plan({}, 50.78, 50.80, inch_steps); }),
              "readings must hold the readings of at least 1 part, got 0");
    EXPECT_EQ(refusal([&] {
                  regrind_plan(set, 50.78, 50.80, inch_steps, 0, 0.5, std::vector{0.0, 0.1});
              }),
              "damage_depth must hold one depth or 1, one a part, got 2");
    EXPECT_EQ(refusal([&] { regrind_plan(set, 50.78, 50.80, inch_steps, 0, 1.5); }),
              "aim must be between 0 and 1, got 1.5");
}

/// A set in whole micrometres, so that the plain loop below is exact.
struct MicroSet {
    std::vector<std::vector<int>> readings{};
    int lower = 0;
    int upper = 0;
    std::vector<int> steps{};
    int allowance = 0;
    int aim_quarters = 0;
    std::vector<int> damage{};
    bool one_side = false;
    int current = 0;

    explicit MicroSet(std::mt19937& draw)
    {
        const auto below = [&](int bound) { return static_cast<int>(draw() >> 1U) % bound; };
        lower = 50780;
        upper = lower + 4 * below(8);
        for (int step = 0; static_cast<int>(steps.size()) < 1 + below(6);) {
            steps.push_back(step += 100 + below(200));
        }
        current = below(3) == 0 ? steps.front() : 0;
        for (int i = 1 + below(5); i > 0; --i) {
            std::vector<int> grid;
            for (int k = 1 + below(4); k > 0; --k) {
                grid.push_back(upper - current - below(600));
            }
            readings.push_back(grid);
            damage.push_back(below(2) * below(150));
        }
        allowance = below(60);
        aim_quarters = below(5);
        one_side = below(2) == 0;
    }

    int target(int step) const { return lower - step + aim_quarters * (upper - lower) / 4; }

    int cleanup(std::size_t i) const
    {
        const auto [least, greatest] = std::minmax_element(readings[i].begin(), readings[i].end());
        const int flank = one_side ? std::max(upper - current, *greatest) - *least : 0;
        return *least - flank - 2 * damage[i] - allowance;
    }

    std::optional<double> first_step(std::optional<std::size_t> without, int lift) const
    {
        for (const int step : steps) {
            bool fits = step > current;
            for (std::size_t i = 0; i < readings.size(); ++i) {
                fits = fits && (i == without || target(step) - lift <= cleanup(i));
            }
            if (fits) {
                return step / 1000.0;
            }
        }
        return std::nullopt;
    }

    RegrindPlan plan(int deeper = 0) const
    {
        std::vector<Grid> grids;
        std::vector<double> depths;
        for (std::size_t i = 0; i < readings.size(); ++i) {
            Grid grid(static_cast<Eigen::Index>(readings[i].size()), 1);
            for (std::size_t k = 0; k < readings[i].size(); ++k) {
                grid(static_cast<Eigen::Index>(k), 0) = readings[i][k] / 1000.0;
            }
            grids.push_back(grid);
            depths.push_back((damage[i] + deeper) / 1000.0);
        }
        std::vector<double> undersizes;
        for (const int step : steps) {
            undersizes.push_back(step / 1000.0);
        }
        return regrind_plan(grids, lower / 1000.0, upper / 1000.0, undersizes, allowance / 1000.0,
                            aim_quarters / 4.0, depths,
                            one_side ? WearSide::one_side : WearSide::even, current / 1000.0);
    }
};

TEST(RegrindPlan, MatchesAPlainLoopInWholeMicrometres)
{
    for (unsigned seed = 0; seed < 3000; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const MicroSet set(draw);
        const auto plan = set.plan();
        const std::size_t count = set.readings.size();
        std::size_t governing = 0;
        for (std::size_t i = 0; i < count; ++i) {
            governing = set.cleanup(i) < set.cleanup(governing) ? i : governing;
            ASSERT_NEAR(plan.cleanup_diameters[i], set.cleanup(i) / 1000.0, 1e-9);
        }
        ASSERT_EQ(plan.governing, static_cast<int>(governing));
        const auto step = set.first_step(std::nullopt, 0);
        ASSERT_EQ(plan.undersize, step);
        ASSERT_EQ(plan.status, step ? RegrindStatus::regrind : RegrindStatus::no_undersize_left);
        ASSERT_EQ(plan.undersize_without_governing,
                  count > 1 ? set.first_step(governing, 0) : std::nullopt);
        const auto tight =
            set.first_step(std::nullopt, set.aim_quarters * (set.upper - set.lower) / 4);
        ASSERT_EQ(plan.tight_undersize, tight == step ? std::nullopt : tight);
        if (step) {
            ASSERT_EQ(plan.steps_left,
                      std::count_if(set.steps.begin(), set.steps.end(),
                                    [&](int each) { return each / 1000.0 > *step; }));
        }
    }
}

TEST(RegrindPlan, NeverTakesASmallerStepForADeeperScore)
{
    for (unsigned seed = 0; seed < 500; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const MicroSet set(draw);
        double last = 0;
        for (const int deeper : {0, 10, 50, 200, 500}) {
            const double step = set.plan(deeper).undersize.value_or(1e9);
            ASSERT_GE(step, last);
            last = step;
        }
    }
}

TEST(BearingClearance, CountsOneWallTwice)
{
    EXPECT_NEAR(bearing_clearance(53.72, 1.445, 50.79), 0.04, 1e-12);
    EXPECT_NEAR(bearing_clearance(53.72, 1.445, 50.79, 1.450), 0.035, 1e-12);
    EXPECT_LT(bearing_clearance(53.72, 1.470, 50.79), 0.0);
}

TEST(JudgeClearance, CountsTheDoubtOfOneWallTwice)
{
    // published: JCGM 100:2008, 5.2.2: fully correlated inputs add linearly.
    const auto one = judge_clearance(53.72, 1.445, 50.79, {}, 0.004, 0.002, {}, 0.003);
    EXPECT_NEAR(one.uncertainty, std::hypot(0.004, 0.004, 0.003), 1e-15);
    EXPECT_NEAR(one.share_housing + one.share_walls + one.share_journal, 1.0, 1e-12);
    const auto two = judge_clearance(53.72, 1.445, 50.79, 1.445, 0.004, 0.002, {}, 0.003);
    EXPECT_NEAR(two.uncertainty, std::sqrt(16 + 4 + 4 + 9) / 1000, 1e-15);
    EXPECT_EQ(one.margin, std::nullopt);
    EXPECT_EQ(one.verdict, Standing::unlimited);
}

TEST(JudgeClearance, SaysWhichWayAndHowFar)
{
    const auto tight = judge_clearance(53.72, 1.455, 50.79, {}, 0, 0, {}, 0, 0.025, 0.065);
    EXPECT_EQ(tight.reason, "clearance 0.020 mm, 0.025 mm at least");
    EXPECT_EQ(tight.next,
              "open the clearance by 0.005 mm: thinner shells, or so much off the "
              "journal");
    const auto wide = judge_clearance(53.75, 1.44, 50.79, {}, 0, 0, {}, 0, 0.025, 0.065);
    EXPECT_NEAR(*wide.margin, -0.015, 1e-12);
    EXPECT_EQ(wide.next,
              "close the clearance by 0.015 mm: thicker shells, or the journal to its "
              "next undersize");
    const auto unsure = judge_clearance(53.72, 1.445, 50.79, {}, 0.001, 0.004, {}, 0.001, 0.03);
    EXPECT_EQ(unsure.verdict, Standing::unproven);
    EXPECT_EQ(unsure.next, "measure the shell walls again: most of the doubt comes from there");
}

TEST(JudgeClearance, RefusesDoubtOfAWallThatIsNotThere)
{
    EXPECT_EQ(refusal([] { judge_clearance(53.72, 1.445, 50.79, {}, 0, 0, 0.002); }),
              "uncertainty_second_wall must be left out without a second_wall, got 0.002");
}

TEST(JudgeClearanceWithDoubt, AgreesWithIndependentParts)
{
    auto& sources = measure::Sources::shared();
    const Quantity housing(53.72, 0.004, sources.unnamed());
    const Quantity wall(1.445, 0.002, sources.unnamed());
    const Quantity journal(50.79, 0.003, sources.unnamed());
    const auto plain =
        judge_clearance(53.72, 1.445, 50.79, {}, 0.004, 0.002, {}, 0.003, 0.025, 0.065);
    const auto found = judge_clearance_with_doubt(housing, wall, journal, {}, 0.025, 0.065).finding;
    EXPECT_NEAR(found.clearance, plain.clearance, 1e-12);
    EXPECT_NEAR(found.uncertainty, plain.uncertainty, 1e-12);
    EXPECT_NEAR(found.share_walls, plain.share_walls, 1e-12);
    EXPECT_EQ(found.verdict, plain.verdict);
}

TEST(JudgeClearanceWithDoubt, DropsWhatHousingAndJournalShare)
{
    const auto ring = measure::Sources::shared().unnamed();
    const auto found = judge_clearance_with_doubt(Quantity(53.72, 0.004, ring), Quantity(1.445),
                                                  Quantity(50.79, 0.004, ring));
    EXPECT_NEAR(found.clearance.standard_uncertainty(), 0.0, 1e-15);
}

TEST(ClearanceByRule, GivesTheTradesTwoInchJournal)
{
    // common practice, no source: 0.0015 to 0.0020 in for a 2.000 in journal
    const auto rule = clearance_by_rule(50.8);
    EXPECT_NEAR(rule.lower, 0.0015 * 25.4, 1e-12);
    EXPECT_NEAR(rule.upper, 0.0020 * 25.4, 1e-12);
    EXPECT_EQ(rule.provenance, "common practice");
    EXPECT_EQ(refusal([] { clearance_by_rule(50.8, 0.002); }),
              "greatest_share must be at least least_share, 0.002, got 0.001");
}

}  // namespace
}  // namespace enginewright::journals
