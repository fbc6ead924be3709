#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "enginewright/cylinders.hpp"
#include "enginewright/journals.hpp"
#include "refusal.hpp"

namespace enginewright {
namespace {

TEST(SelectShells, TakesTheHalvesThatHitTheTarget)
{
    const std::vector<double> housings{53.720, 53.726};
    const std::vector<double> sizes{50.790, 50.786};
    const std::map<std::string, double> grades{{"1", 1.440}, {"2", 1.445}, {"3", 1.450}};
    const std::map<std::string, int> stock{{"1", 2}, {"2", 2}, {"3", 2}};
    const auto found = journals::select_shells(housings, sizes, grades, stock, 0.030, 0.050);
    EXPECT_EQ(found.first, (std::vector<std::string>{"2", "3"}));
    EXPECT_EQ(found.stock_left, (std::vector<int>{2, 0, 0}));
    EXPECT_TRUE(found.optimal);
}

TEST(ThrustPlan, OneSizeTwiceNeedsTwoPieces)
{
    const std::vector<double> sizes{2.41, 2.36};
    const std::vector<int> stock{1, 1};
    const auto plan = journals::thrust_plan(0.30, {2.31, 2.31}, sizes, 0.05, 0.20, 0.15, stock);
    EXPECT_EQ(std::minmax(*plan.front, *plan.rear), std::minmax(2.36, 2.41));
    EXPECT_NEAR(*plan.shift, -0.025, 1e-12);  // of equal pairs the thinner front
}

TEST(Runout, AnOvalJournalHasNone)
{
    const std::vector<double> turn{0, 60, 120, 180, 240, 300};
    journals::Turns readings = journals::Turns::Zero(3, 6);
    for (Eigen::Index i = 0; i < 6; ++i) {
        readings(1, i) =
            0.003 * std::cos(2 * turn[static_cast<std::size_t>(i)] * std::numbers::pi / 180);
    }
    const auto found = journals::runout(turn, readings);
    EXPECT_NEAR(found.runout[1], 0, 1e-12);
    EXPECT_NEAR(found.ovality[1], 0.012, 1e-12);
}

TEST(Runout, RefusesAnglesThatCannotTellBendFromOvality)
{
    const std::vector<double> turn{0, 90, 180, 270};
    EXPECT_EQ(refusal([&] { journals::runout(turn, journals::Turns::Zero(2, 4)); }),
              "angle must hold at least 5 different angles within a turn, got 4");
}

TEST(FilletClearance, TouchesWhereTheCornerLiesOnTheArc)
{
    // 3-4-5: the corner (1, 2) of a fillet of 5 about (5, 5) stands 5 from its centre.
    const auto found = journals::fillet_clearance(5, 1, 3, 2, 0);
    EXPECT_NEAR(found.side_corner, 0, 1e-15);
}

TEST(CircleFit, HoldsTheFourPointsOfASquareByEveryCriterion)
{
    const std::vector<double> x{1, 0, -1, 0};
    const std::vector<double> y{0, 1, 0, -1};
    for (const auto criterion :
         {cylinders::Criterion::least_squares, cylinders::Criterion::minimum_zone,
          cylinders::Criterion::minimum_circumscribed, cylinders::Criterion::maximum_inscribed}) {
        const auto fit = cylinders::circle_fit(x, y, criterion);
        EXPECT_NEAR(fit.radius, 1, 1e-12);
        EXPECT_NEAR(fit.roundness, 0, 1e-12);
        EXPECT_EQ(fit.outer_contacts.size(), 4U);
        EXPECT_NEAR(fit.gap, 90, 1e-9);
    }
}

TEST(LinerShims, ANeighbourForbidsWhatEachAloneWouldTake)
{
    const std::vector<double> heights{0.00, 0.03};
    const std::vector<double> sizes{0.02, 0.04};
    const auto free = cylinders::liner_shims(heights, sizes, std::nullopt, 0.0, 0.08, 0.04);
    EXPECT_NEAR(free.heights[0], 0.04, 1e-12);
    EXPECT_NEAR(free.heights[1], 0.03, 1e-12);  // as near as 0.05, with one shim less
    const auto tied = cylinders::liner_shims(heights, sizes, std::nullopt, 0.0, 0.08, 0.04, 0.005);
    EXPECT_EQ(tied.status, cylinders::ShimStatus::no_selection);
}

TEST(DeckFlatness, AFlatDeckOnASlopeIsFlat)
{
    const std::vector<double> x{0, 100, 0, 100, 50};
    const std::vector<double> y{0, 0, 100, 100, 30};
    std::vector<double> z;
    for (std::size_t i = 0; i < x.size(); ++i) {
        z.push_back(0.001 * x[i] - 0.002 * y[i]);
    }
    const auto found = cylinders::deck_flatness(x, y, z);
    EXPECT_NEAR(found.flatness, 0, 1e-12);
    EXPECT_NEAR(found.skim_parallel, 0.3, 1e-12);
}

TEST(SelectPistons, KeepsTheWorstSmallBeforeTheSum)
{
    const std::vector<double> bores{86.000, 86.010};
    const std::vector<double> pistons{85.960, 85.950};
    const auto found = cylinders::select_pistons(bores, pistons, 0.0, 0.1, 0.05);
    EXPECT_NEAR(*found.worst_deviation, 0.0, 1e-9);
    EXPECT_EQ(found.piston, (std::vector<int>{1, 0}));
}

}  // namespace
}  // namespace enginewright
