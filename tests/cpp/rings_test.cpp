#include "enginewright/rings.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <random>
#include <set>

#include "refusal.hpp"

namespace enginewright::rings {
namespace {

constexpr double iron = 11.4e-6;   // published: Callister & Rethwisch, 3rd ed., table B.6
constexpr double alloy = 21.5e-6;  // published: the same, alloy 356.0

TEST(GapAtBore, OpensByPiTimesTheChangeOfBore)
{
    // common practice: "3.14 of gap for 1 of bore"
    EXPECT_NEAR(gap_at_bore(0.30, 86.00, 86.25), 0.30 + 3.14 * 0.25, 1e-3);
}

TEST(GapAtBore, HasItsOldGapThereAndBack)
{
    for (const double bore : {85.5, 86.0, 86.75}) {
        EXPECT_NEAR(gap_at_bore(gap_at_bore(0.30, 86.00, bore), bore, 86.00), 0.30, 1e-12);
    }
}

TEST(GapAtBore, RefusesByNameRuleAndValue)
{
    EXPECT_EQ(refusal([] { gap_at_bore(0.3, -86.0, 86.0); }), "bore must be above 0 mm, got -86.0");
    EXPECT_EQ(refusal([] { gap_at_bore(std::nan(""), 86.0, 86.0); }),
              "gap must be a finite number, got nan");
    EXPECT_NE(refusal([] { gap_at_bore(0.3, 86.0, 2e6); }).find("bore_new must be at most"),
              std::string::npos);
}

TEST(ThermalGap, JustTouchesWhenHot)
{
    for (const double ring : {150.0, 220.0, 300.0}) {
        const double gap = thermal_gap(86, ring, 120, iron, iron);
        EXPECT_NEAR(hot_gap(86, gap, ring, 120, iron, iron), 0.0, 1e-12);
        EXPECT_LT(hot_gap(86, gap - 0.001, ring, 120, iron, iron), 0.0);
    }
}

TEST(ThermalGap, IsNothingWhereTheWallOpensMore)
{
    EXPECT_EQ(thermal_gap(86, 140, 120, iron, alloy), 0.0);
    EXPECT_GT(hot_gap(86, 0.0, 140, 120, iron, alloy), 0.0);
}

TEST(ThermalGap, RefusesTemperaturesBelowAbsoluteZero)
{
    EXPECT_EQ(refusal([] { thermal_gap(86, -273.15, 20, iron, iron); }),
              "ring_temperature must be above -273.15 °C, got -273.15");
    EXPECT_EQ(refusal([] { hot_gap(86, 0.3, 20, 20, iron, -1e-6); }),
              "bore_expansion must be between 0 and 0.001 1/K, got -1e-06");
    EXPECT_NE(refusal([] { hot_gap(86, 271, 20, 20, iron, iron); }).find("cold_gap must be below"),
              std::string::npos);
}

TEST(GapRules, AreEighteenWithTheSecondWider)
{
    const auto rules = gap_rules();
    ASSERT_EQ(rules.size(), 18U);
    std::set<std::string> duties;
    for (std::size_t i = 0; i < rules.size(); i += 3) {
        EXPECT_EQ(rules[i].position, "top");
        EXPECT_EQ(rules[i + 1].position, "second");
        EXPECT_EQ(rules[i + 2].position, "oil rail");
        EXPECT_GT(rules[i + 1].per_bore, rules[i].per_bore);
        EXPECT_EQ(rules[i + 2].least, 0.38);
        duties.insert(rules[i].duty);
    }
    EXPECT_EQ(duties.size(), 6U);
}

TEST(GapByRule, TakesTheShopsRuleThatStandsFirst)
{
    const std::string duty = "road, naturally aspirated";
    auto rules = gap_rules();
    rules.insert(rules.begin(), GapRule{.duty = duty,
                                        .position = "top",
                                        .per_bore = 0.006,
                                        .provenance = Provenance::measured_here});
    const auto found = gap_by_rule(100.0, "top", duty, rules);
    EXPECT_NEAR(found.gap, 0.6, 1e-12);
    EXPECT_EQ(found.provenance, Provenance::measured_here);
    EXPECT_NEAR(gap_by_rule(100.0, "second", duty, rules).gap, 0.45, 1e-12);
}

TEST(GapByRule, SaysWhichHalfOfTheRuleDecides)
{
    const std::vector<GapRule> rules{
        {.duty = "any", .position = "top", .per_bore = 0.004, .least = 0.30}};
    EXPECT_EQ(gap_by_rule(75.0, "top", "any", rules).decided_by, DecidedBy::bore);
    EXPECT_EQ(gap_by_rule(74.0, "top", "any", rules).decided_by, DecidedBy::least);
    EXPECT_EQ(gap_by_rule(74.0, "top", "any", rules).gap, 0.30);
}

TEST(GapByRule, RefusesWithTheWordsThereAre)
{
    EXPECT_EQ(refusal([] { gap_by_rule(86, "third", "road, supercharged"); }),
              "position must be one of top, second, oil rail; got 'third'");
    const auto duty = refusal([] { gap_by_rule(86, "top", "rally"); });
    EXPECT_EQ(duty.rfind("duty must be one of 'road, naturally aspirated', 'warm road", 0), 0U);
    EXPECT_EQ(refusal([] { gap_by_rule(86, "top", "any", std::vector<GapRule>{}); }),
              "rules must hold at least 1 rule, got 0");
    EXPECT_EQ(refusal([] { require_rule({.duty = "any", .position = "top"}); }),
              "per_bore must be above 0 where least is 0 mm, got 0.0");
    EXPECT_EQ(refusal([] { require_rule({.duty = "any", .position = "top", .per_bore = 0.06}); }),
              "per_bore must be between 0 and 0.05, got 0.06");
}

TEST(SecondRing, IsWithinExactlyAtItsDifference)
{
    const auto found = second_ring(0.40, 0.45);
    EXPECT_EQ(found.verdict, Standing::within);
    EXPECT_EQ(found.file_second, 0.0);
    EXPECT_EQ(found.next, "");
    EXPECT_EQ(found.reason, "");
    EXPECT_NEAR(found.ratio, 1.125, 1e-12);
}

TEST(SecondRing, IsUnprovenNearItsDifferenceOnEitherSide)
{
    for (const double second : {0.447, 0.45, 0.453}) {
        const auto found = second_ring(0.40, second, 0.05, 0.005);
        EXPECT_EQ(found.verdict, Standing::unproven) << second;
        EXPECT_EQ(found.next, "measure both gaps again");
    }
    EXPECT_EQ(second_ring(0.40, 0.48, 0.05, 0.005).verdict, Standing::within);
    EXPECT_EQ(second_ring(0.40, 0.42, 0.05, 0.005).verdict, Standing::outside);
}

TEST(SecondRing, SaysHowMuchToFile)
{
    const auto found = second_ring(0.40, 0.42);
    EXPECT_EQ(found.next, "file 0.030 mm off the ends of the second ring");
    EXPECT_EQ(found.reason,
              "the second gap is 0.020 mm larger than the top one, 0.050 mm larger is wanted");
    EXPECT_NEAR(found.file_second, 0.03, 1e-12);
    // Never rounded to nothing, nor to less than is needed.
    EXPECT_EQ(second_ring(0.40, 0.4499).next, "file 0.001 mm off the ends of the second ring");
    EXPECT_EQ(second_ring(0.40, 0.4282).next, "file 0.022 mm off the ends of the second ring");
}

TEST(LeakArea, FallsByTheRootOfTheNumberOfEqualRings)
{
    const double one = leak_area(std::vector{0.4}, 86, 85.4).series_area;
    for (const std::size_t rings : {2U, 3U, 5U}) {
        const std::vector<double> gaps(rings, 0.4);
        EXPECT_NEAR(leak_area(gaps, 86, 85.4).series_area,
                    one / std::sqrt(static_cast<double>(rings)), 1e-12);
    }
}

TEST(LeakArea, IsShutByOneShutGap)
{
    const auto found = leak_area(std::vector{0.4, 0.0}, 86, std::vector{85.4, 85.5});
    EXPECT_EQ(found.series_area, 0.0);
    EXPECT_EQ(found.equivalent_diameter, 0.0);
    EXPECT_NEAR(found.areas[0], 0.12, 1e-12);
}

TEST(LeakArea, RefusesLandsThatDoNotFit)
{
    EXPECT_EQ(refusal([] { leak_area(std::vector{0.4, 0.5}, 86, std::vector{85.0}); }),
              "land_diameter must hold one diameter or 2, one a gap, got 1");
    EXPECT_EQ(refusal([] { leak_area(std::vector{0.4}, 86, std::vector{86.0}); }),
              "land_diameter[0] must be below 86 mm, got 86.0");
    EXPECT_EQ(refusal([] { leak_area({}, 86, 85.0); }), "gaps must hold at least 1 reading, got 0");
}

TEST(BackClearance, IsNegativeForARingThatStandsProud)
{
    EXPECT_NEAR(back_clearance(86.0, 78.0, 4.1), -0.1, 1e-12);
    EXPECT_NEAR(side_clearance(1.50, 1.52), -0.02, 1e-12);
}

/// Gaps in hundredths of a millimetre, rings by bores.
using Hundredths = Eigen::Matrix<int, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// The plan by trying every order, in whole hundredths.
std::vector<int> by_trying_all(const Hundredths& gaps, int target, std::optional<int> upper)
{
    std::vector<int> order(static_cast<std::size_t>(gaps.rows()));
    std::iota(order.begin(), order.end(), 0);
    std::optional<std::tuple<int, int, int, std::vector<int>>> best;
    do {
        int above = 0;
        int filing = 0;
        int over = 0;
        const std::vector<int> rings(order.begin(), order.begin() + gaps.cols());
        for (Eigen::Index j = 0; j < gaps.cols(); ++j) {
            const int gap = gaps(rings[static_cast<std::size_t>(j)], j);
            above += upper && gap > *upper ? 1 : 0;
            filing += std::max(0, target - gap);
            over += std::max(0, gap - target);
        }
        const auto candidate = std::tuple(above, filing, over, rings);
        best = best ? std::min(*best, candidate) : candidate;
    } while (std::next_permutation(order.begin(), order.end()));
    return std::get<3>(*best);
}

TEST(GapPlan, MatchesEveryOrderDownToTheDictionary)
{
    for (unsigned seed = 0; seed < 2000; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const auto bores = static_cast<Eigen::Index>(1 + draw() % 4);
        const auto rings = bores + static_cast<Eigen::Index>(draw()) % (6 - bores);
        Hundredths gaps(rings, bores);
        for (auto& each : gaps.reshaped()) {
            each = 30 + static_cast<int>(draw() % 12);
        }
        const int target = 32 + static_cast<int>(draw() % 6);
        const auto upper =
            draw() % 2 == 0 ? std::optional(target + static_cast<int>(draw() % 4)) : std::nullopt;
        const Grid grid = gaps.cast<double>() * 0.01;
        const auto plan =
            gap_plan(grid, 0.01 * target, upper ? std::optional(0.01 * *upper) : std::nullopt);
        ASSERT_EQ(plan.rings, by_trying_all(gaps, target, upper));
        ASSERT_EQ(plan.spare.size(), static_cast<std::size_t>(rings - bores));
        ASSERT_EQ(plan.status == GapStatus::ring_too_large, !plan.too_large.empty());
    }
}

TEST(GapPlan, IsTheSameFromOneReadingARingAndFromAll)
{
    for (unsigned seed = 0; seed < 300; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        std::vector<double> gaps(5);
        std::vector<double> bores(4);
        for (auto& each : gaps) {
            each = 0.20 + 0.01 * static_cast<double>(draw() % 10);
        }
        for (auto& each : bores) {
            each = 86.0 + 0.005 * static_cast<double>(draw() % 5);
        }
        Grid grid(5, 4);
        for (Eigen::Index i = 0; i < 5; ++i) {
            for (Eigen::Index j = 0; j < 4; ++j) {
                grid(i, j) = gap_at_bore(gaps[static_cast<std::size_t>(i)], 86.0,
                                         bores[static_cast<std::size_t>(j)]);
            }
        }
        const auto one_each = gap_plan(gaps, 0.30, 0.40, bores, 86.0);
        ASSERT_EQ(one_each, gap_plan(grid, 0.30, 0.40));
    }
}

TEST(GapPlan, KeepsTheRingsInOrderWhereEveryOrderFilesTheSame)
{
    // All rings are under the target in all bores, so the total does not depend on the order.
    const auto plan = gap_plan(std::vector{0.11, 0.14, 0.12, 0.13}, 0.40, std::nullopt,
                               std::vector{86.013, 86.002, 86.019, 86.007}, 86.0);
    EXPECT_EQ(plan.rings, (std::vector{0, 1, 2, 3}));
}

TEST(GapPlan, IsNeverWorseForOneMoreRing)
{
    for (unsigned seed = 0; seed < 300; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        Grid grid(5, 3);
        for (auto& each : grid.reshaped()) {
            each = 0.20 + 0.01 * static_cast<double>(draw() % 30);
        }
        const auto few = gap_plan(Grid(grid.topRows(4)), 0.30, 0.45);
        const auto more = gap_plan(grid, 0.30, 0.45);
        ASSERT_LE(more.too_large.size(), few.too_large.size());
        if (more.too_large.size() == few.too_large.size()) {
            ASSERT_LE(*more.total_filing, *few.total_filing + 1e-12);
        }
    }
}

TEST(GapPlan, SaysWhatToFileForWhichCylinder)
{
    const std::vector<double> bores{86.0, 86.0, 86.0};
    const auto plan = gap_plan(std::vector{0.30, 0.45, 0.38}, 0.35, std::nullopt, bores, 86.0);
    EXPECT_EQ(plan.next, "file 0.050 mm off ring 1 for cylinder 1; the others go in as they are");
    EXPECT_EQ(gap_plan(std::vector{0.35, 0.36, 0.37}, 0.35, std::nullopt, bores, 86.0).next, "");
    const Grid crossed{{0.30, 0.35}, {0.35, 0.30}};
    EXPECT_EQ(gap_plan(crossed, 0.35).next,
              "fit the rings as they are: ring 2 in cylinder 1, ring 1 in cylinder 2");
}

TEST(GapPlan, SaysWhichRingIsTooLarge)
{
    const Grid gaps{{0.472, 0.40}, {0.480, 0.38}};
    const auto plan = gap_plan(gaps, 0.35, 0.45);
    EXPECT_EQ(plan.status, GapStatus::ring_too_large);
    EXPECT_EQ(plan.too_large, (std::vector{0}));
    EXPECT_EQ(plan.reason, "cylinder 1 gets 0.472 mm at best, 0.450 mm is allowed");
    EXPECT_EQ(plan.next, "find a ring with a smaller gap for cylinder 1");
}

TEST(GapPlan, AssignsNothingWithTooFewRings)
{
    const auto plan =
        gap_plan(std::vector{0.3}, 0.35, std::nullopt, std::vector{86.0, 86.01}, 86.0);
    EXPECT_EQ(plan.status, GapStatus::not_enough_rings);
    EXPECT_TRUE(plan.rings.empty() && plan.gaps.empty() && plan.filing.empty());
    EXPECT_EQ(plan.total_filing, std::nullopt);
    EXPECT_EQ(plan.spare, (std::vector{0}));
    EXPECT_EQ(plan.reason, "1 ring for 2 cylinders");
    EXPECT_EQ(plan.next, "find 1 more ring of this position");
}

TEST(GapPlan, TakesEndsThatOverlap)
{
    const Grid overlapping = Grid::Constant(1, 1, -0.05);
    const auto plan = gap_plan(overlapping, 0.35);
    EXPECT_NEAR(plan.filing[0], 0.40, 1e-12);
    EXPECT_NEAR(plan.finished[0], 0.35, 1e-12);
}

TEST(GapPlan, RefusesBoresThatDoNotBelong)
{
    const std::vector<double> bores{86.0};
    const Grid tried = Grid::Constant(1, 1, 0.3);
    EXPECT_EQ(refusal([&] { gap_plan(std::vector{0.3}, 0.35); }),
              "bores must be given with one gap a ring, got None");
    EXPECT_EQ(refusal([&] { gap_plan(std::vector{0.3}, 0.35, {}, bores); }),
              "reference_bore must be given with one gap a ring, got None");
    EXPECT_EQ(refusal([&] { gap_plan(tried, 0.35, {}, bores); }),
              "bores must be left out where each ring was tried in each bore, got 1 sizes");
    EXPECT_EQ(refusal([&] { gap_plan(tried, 0.35, 0.34); }),
              "upper must be at least target, 0.35 mm, got 0.34");
    EXPECT_EQ(refusal([&] { gap_plan(Grid::Constant(1, 1, std::nan("")), 0.35); }),
              "gaps[0][0] must be a finite number, got nan");
}

}  // namespace
}  // namespace enginewright::rings
