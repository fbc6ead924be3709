#include "enginewright/stats.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "numerics/quadrature.hpp"
#include "numerics/ranks.hpp"
#include "numerics/sums.hpp"
#include "refusal.hpp"

namespace enginewright {
namespace {

TEST(CompensatedSum, KeepsWhatRoundingDrops)
{
    const std::vector<double> numbers{1.0, 1e100, 1.0, -1e100, 1e-3};
    EXPECT_EQ(numerics::compensated_sum(numbers.size(), [&](std::size_t i) { return numbers[i]; }),
              2.001);
    EXPECT_EQ(numerics::compensated_sum(1'000'000, [](std::size_t) { return 0.1; }), 100000.0);
}

TEST(GaussLegendre, IntegratesPolynomialsExactly)
{
    const numerics::GaussLegendre rule(5);
    for (int power = 0; power <= 9; ++power) {
        const double got = rule.integrate([&](double x) { return std::pow(x, power); }, 0, 2);
        EXPECT_NEAR(got, std::pow(2, power + 1) / (power + 1), 1e-12) << power;
    }
    const numerics::GaussLegendre fine(400);
    EXPECT_NEAR(fine.integrate([](double x) { return std::exp(-x * x); }, -10, 10),
                std::sqrt(std::numbers::pi), 1e-13);
}

TEST(Concordance, CountsPairs)
{
    const std::vector<double> x{1, 2, 3, 4};
    EXPECT_EQ(numerics::concordance(x, std::vector<double>{1, 2, 3, 4}).score, 6);
    EXPECT_EQ(numerics::concordance(x, std::vector<double>{4, 3, 2, 1}).score, -6);
    EXPECT_EQ(numerics::concordance(x, std::vector<double>{1, 1, 1, 1}).score, 0);
    EXPECT_EQ(numerics::concordance(x, std::vector<double>{1, 1, 1, 1}).variance, 0);
    // published: Kendall: variance n (n - 1) (2 n + 5) / 18 without ties
    EXPECT_NEAR(numerics::concordance(x, x).variance, 4 * 3 * 13 / 18.0, 1e-12);
}

TEST(MedianSlope, OfManyPointsIsThatOfAllPairs)
{
    std::mt19937 random(7);
    std::normal_distribution<double> noise;
    std::vector<double> x;
    std::vector<double> y;
    for (int i = 0; i < 2600; ++i) {
        x.push_back(i);
        y.push_back(0.01 * i + noise(random));
    }
    std::vector<double> all;
    for (std::size_t j = 1; j < x.size(); ++j) {
        for (std::size_t i = 0; i < j; ++i) {
            all.push_back((y[j] - y[i]) / (x[j] - x[i]));
        }
    }
    std::sort(all.begin(), all.end());
    const double expected = (all[(all.size() - 1) / 2] + all[all.size() / 2]) / 2;
    EXPECT_NEAR(numerics::median_slope(x, y), expected, 1e-12);
}

TEST(ChartConstants, OfTwoHaveClosedForms)
{
    const auto two = stats::chart_constants(2);
    EXPECT_NEAR(two.d2, 2 / std::sqrt(std::numbers::pi), 1e-13);
    EXPECT_NEAR(two.d3, std::sqrt(2 - 4 / std::numbers::pi), 1e-12);
    EXPECT_NEAR(two.c4, std::sqrt(2 / std::numbers::pi), 1e-14);
    EXPECT_EQ(refusal([] { stats::chart_constants(1); }),
              "count must be a whole number of at least 2, got 1.0");
}

TEST(Summary, OfATenthBesideAMillionKeepsIt)
{
    std::vector<double> values{1000000.2};
    for (int i = 0; i < 500; ++i) {
        values.push_back(1000000.1);
        values.push_back(1000000.3);
    }
    const auto found = stats::summary(values);
    // published: NIST StRD, NumAcc3: 0.1 and -0.999
    EXPECT_NEAR(*found.standard_deviation, 0.1, 1e-10);
    EXPECT_NEAR(*found.lag_one, -0.999, 1e-9);
}

TEST(Chart, OfSubgroupsAndSignals)
{
    const std::vector<double> readings{1, 2, 1.5, 1.7, 1.2, 1.9};
    const auto chart = stats::chart({readings, 2});
    EXPECT_EQ(chart.points.size(), 3U);
    EXPECT_NEAR(chart.spread_centre, (1 + 0.2 + 0.7) / 3, 1e-12);
    EXPECT_EQ(refusal([&] { stats::chart({readings, 2}, stats::ChartKind::individuals); }),
              "kind must be mean and range or mean and deviation where values have two dimensions, "
              "got 'individuals'");
}

TEST(Trend, MeetsItsLimit)
{
    const std::vector<double> days{0, 10, 20, 30};
    const std::vector<double> sizes{1.0, 1.1, 1.2, 1.3};
    const auto found = stats::trend(days, sizes, 0.95, std::nullopt, 2.0);
    EXPECT_EQ(found.status, stats::Course::drifting);
    EXPECT_NEAR(*found.due, 100, 1e-9);
}

}  // namespace
}  // namespace enginewright
