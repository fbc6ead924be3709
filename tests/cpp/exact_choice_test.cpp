#include "numerics/exact_choice.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <random>

#include "numerics/bounded_least_squares.hpp"
#include "numerics/segments.hpp"

namespace enginewright::numerics {
namespace {

struct Case {
    TwoPlanes start{};
    std::vector<Option> options{};
    Neighbours neighbours{0};
};

Case made(std::mt19937& random, int places, int settings)
{
    std::uniform_real_distribution<double> any(-1, 1);
    Case made{.neighbours = Neighbours(places)};
    for (double& each : made.start) {
        each = 3 * any(random);
    }
    for (int i = 0; i < places; ++i) {
        const TwoPlanes way{any(random), any(random), any(random), any(random)};
        for (int k = 1; k <= settings; ++k) {
            const double m = k * 2.0 / settings;
            made.options.push_back({.effect = {way[0] * m, way[1] * m, way[2] * m, way[3] * m},
                                    .cost = -m,
                                    .place = i});
        }
        for (int j = 0; j < i; ++j) {
            if (any(random) < -0.7) {
                made.neighbours.exclude(i, j);
            }
        }
    }
    return made;
}

/// Least length of any k options, by going through all of them.
double brute(const Case& of, int k)
{
    double least = longer_of(of.start);
    const int n = static_cast<int>(of.options.size());
    std::vector<int> chosen;
    const std::function<void(int, TwoPlanes, int)> go = [&](int from, TwoPlanes left, int more) {
        if (more == 0) {
            least = std::min(least, longer_of(left));
            return;
        }
        for (int i = from; i < n; ++i) {
            const auto& option = of.options[static_cast<std::size_t>(i)];
            bool fits = true;
            for (const int other : chosen) {
                fits = fits && of.neighbours.together(
                                   option.place, of.options[static_cast<std::size_t>(other)].place);
            }
            if (fits) {
                TwoPlanes next = left;
                for (std::size_t d = 0; d < 4; ++d) {
                    next[d] += option.effect[d];
                }
                chosen.push_back(i);
                go(i + 1, next, more - 1);
                chosen.pop_back();
            }
        }
    };
    for (int each = 1; each <= k; ++each) {
        go(0, of.start, each);
    }
    return least;
}

TEST(ExactChoice, FindsWhatGoingThroughAllOfThemFinds)
{
    std::mt19937 random(7);
    for (int round = 0; round < 12; ++round) {
        const auto of = made(random, 7, 5);
        for (int k = 1; k <= 4; ++k) {
            const auto found = best_choice(of.start, of.options, of.neighbours, 0, k);
            EXPECT_NEAR(found.worst, brute(of, k), 1e-12) << "round " << round << " k " << k;
            EXPECT_TRUE(found.exhaustive);
        }
    }
}

TEST(ExactChoice, TakesTheFewestThatReachTheTarget)
{
    std::mt19937 random(8);
    for (int round = 0; round < 10; ++round) {
        const auto of = made(random, 8, 6);
        const double target = brute(of, 3) * 1.05 + 1e-9;
        const auto found = best_choice(of.start, of.options, of.neighbours, target, 4);
        EXPECT_LE(found.worst, target);
        if (found.options.size() > 1) {
            EXPECT_GT(brute(of, static_cast<int>(found.options.size()) - 1), target);
        }
    }
}

TEST(ExactChoice, OfEqualOnesTakesTheOneThatCostsLess)
{
    const Neighbours neighbours(2);
    const std::vector<Option> options{{.effect = {-1, 0, 0, 0}, .cost = 5, .place = 0},
                                      {.effect = {-1, 0, 0, 0}, .cost = -2, .place = 1}};
    const auto found = best_choice({1, 0, 0, 0}, options, neighbours, 0.5, 1);
    EXPECT_EQ(found.options, std::vector<int>{1});
}

TEST(ExactChoice, DoesNothingWhereNothingIsNeededOrThereIsNothingToDo)
{
    const Neighbours none(0);
    EXPECT_TRUE(best_choice({0.1, 0, 0, 0}, {}, none, 0.5, 4).options.empty());
    EXPECT_EQ(best_choice({3, 4, 0, 0}, {}, none, 0.5, 4).worst, 5.0);
}

TEST(BoundedLeastSquares, IsNearestAmongManyTries)
{
    std::mt19937 random(9);
    std::normal_distribution<double> any;
    std::uniform_real_distribution<double> share(0, 1);
    for (int round = 0; round < 30; ++round) {
        const Eigen::Index n = 3 + round;
        const Eigen::MatrixXd a = Eigen::MatrixXd::NullaryExpr(4, n, [&] { return any(random); });
        const Eigen::VectorXd b = Eigen::VectorXd::NullaryExpr(4, [&] { return 4 * any(random); });
        const Eigen::VectorXd upper =
            Eigen::VectorXd::NullaryExpr(n, [&] { return share(random); });
        const auto found = bounded_least_squares(a, b, upper);
        EXPECT_TRUE(found.converged);
        EXPECT_NEAR(found.floor, found.distance, 1e-9 * (1 + b.norm()));
        EXPECT_GE(found.solution.minCoeff(), 0);
        EXPECT_LE((found.solution - upper).maxCoeff(), 1e-12);
        for (int t = 0; t < 200; ++t) {
            const Eigen::VectorXd x =
                upper.cwiseProduct(Eigen::VectorXd::NullaryExpr(n, [&] { return share(random); }));
            EXPECT_GE((a * x - b).norm(), found.floor - 1e-12);
        }
    }
}

TEST(SegmentDistance, KnowsCrossingParallelAndSingleOnes)
{
    EXPECT_NEAR(segment_distance({{0, 0, 0}, {10, 0, 0}}, {{5, -5, 3}, {5, 5, 3}}), 3, 1e-12);
    EXPECT_NEAR(segment_distance({{0, 0, 0}, {10, 0, 0}}, {{2, 4, 0}, {30, 4, 0}}), 4, 1e-12);
    EXPECT_NEAR(segment_distance({{0, 0, 0}, {0, 0, 0}}, {{3, 4, 0}, {3, 4, 0}}), 5, 1e-12);
    EXPECT_NEAR(segment_distance({{0, 0, 0}, {1, 0, 0}}, {{4, 4, 0}, {9, 9, 0}}), 5, 1e-12);
}

TEST(SegmentDistance, IsLeastAmongManyPoints)
{
    std::mt19937 random(10);
    std::uniform_real_distribution<double> any(-1, 1);
    const auto point = [&] { return Point{any(random), any(random), any(random)}; };
    for (int round = 0; round < 50; ++round) {
        const Segment a{point(), point()};
        const Segment b{point(), point()};
        const double found = segment_distance(a, b);
        double least = 10;
        for (int i = 0; i <= 100; ++i) {
            for (int j = 0; j <= 100; ++j) {
                double square = 0;
                for (std::size_t d = 0; d < 3; ++d) {
                    const double x = a.from[d] + (a.to[d] - a.from[d]) * i / 100;
                    const double y = b.from[d] + (b.to[d] - b.from[d]) * j / 100;
                    square += (x - y) * (x - y);
                }
                least = std::min(least, std::sqrt(square));
            }
        }
        EXPECT_LE(found, least + 1e-12);
        EXPECT_GT(found, least - 0.05);
    }
}

}  // namespace
}  // namespace enginewright::numerics
