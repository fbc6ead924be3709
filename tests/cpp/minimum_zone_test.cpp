#include "numerics/minimum_zone.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>
#include <vector>

namespace enginewright::numerics {
namespace {

/// Least range over all planes that lie on three points, or parallel to two pairs: where the best
/// plane must be.
double by_trying_all(const std::vector<Place>& places)
{
    double best = std::numeric_limits<double>::infinity();
    const auto offer = [&](double ax, double ay, double az, double bx, double by, double bz) {
        const double area = ax * by - ay * bx;
        if (std::abs(area) > 1e-9) {
            const double slope_x = (az * by - ay * bz) / area;
            const double slope_y = (ax * bz - az * bx) / area;
            best = std::min(best, range_over(places, slope_x, slope_y));
        }
    };
    for (const auto& a : places) {
        for (const auto& b : places) {
            for (const auto& c : places) {
                for (const auto& d : places) {
                    offer(b.x - a.x, b.y - a.y, b.height - a.height, d.x - c.x, d.y - c.y,
                          d.height - c.height);
                }
            }
        }
    }
    return best;
}

TEST(MinimumZone, IsTheFlattestOfAllPlanesThroughThePoints)
{
    std::mt19937 random(3);
    std::uniform_real_distribution<double> place(0, 200);
    std::uniform_int_distribution<int> grid(0, 3);
    for (int round = 0; round < 60; ++round) {
        std::vector<Place> places;
        const bool tied = round % 2 == 0;
        for (int k = 0; k < 7; ++k) {
            places.push_back(
                tied ? Place{50.0 * grid(random), 50.0 * grid(random), 0.01 * grid(random)}
                     : Place{place(random), place(random), place(random) / 2000});
        }
        if (in_one_line(places)) {
            continue;
        }
        EXPECT_NEAR(flattest_plane(places).range, by_trying_all(places), 1e-12) << round;
    }
}

TEST(MinimumZone, ASlimRailLyingAskewComesToAnEnd)
{
    const std::vector<Place> rail{{279.16, 157.09, -.019}, {65.77, 43.57, .003},
                                  {200.07, 122.01, -.014}, {12.55, 15.26, .037},
                                  {161.06, 108.97, .011},  {185.74, 108.12, -.015}};
    EXPECT_NEAR(flattest_plane(rail).range, by_trying_all(rail), 1e-12);
}

TEST(MinimumZone, APlaneMoreChangesTheSlopesAlone)
{
    const std::vector<Place> places{
        {0, 0, 0.02}, {100, 0, 0}, {0, 100, 0}, {100, 100, 0.02}, {50, 40, 0.013}};
    const auto before = flattest_plane(places);
    auto tilted = places;
    for (auto& each : tilted) {
        each.height += 5 + 0.001 * each.x - 0.002 * each.y;
    }
    const auto after = flattest_plane(tilted);
    EXPECT_NEAR(after.range, before.range, 1e-13);
    EXPECT_NEAR(after.slope_x - before.slope_x, 0.001, 1e-13);
    EXPECT_NEAR(after.slope_y - before.slope_y, -0.002, 1e-13);
}

TEST(MinimumZone, ALineIsAsWideAsItsMiddleStandsOut)
{
    // A middle point 0.03 over the straight line of its neighbours: the zone is 0.03 of height.
    const std::vector<Place> line{{0, 0, 0}, {50, 50, 0.03}, {100, 100, 0}};
    EXPECT_TRUE(in_one_line(line));
    EXPECT_NEAR(flattest_line(line), 0.03, 1e-15);
}

TEST(MinimumZone, LeastSquaresIsNeverBetter)
{
    std::mt19937 random(5);
    std::normal_distribution<double> noise(0, 0.01);
    std::vector<Place> places;
    for (int i = 0; i < 100; ++i) {
        places.push_back({30.0 * (i % 10), 20.0 * (i / 10), noise(random)});
    }
    EXPECT_LE(flattest_plane(places).range, least_squares_plane(places).range);
}

}  // namespace
}  // namespace enginewright::numerics
