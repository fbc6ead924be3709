#include "numerics/reference_circles.hpp"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <cmath>
#include <limits>
#include <numbers>
#include <random>

namespace enginewright::numerics {
namespace {

using Points = std::vector<PlanePoint>;
using std::numbers::pi;

PlanePoint middle_of(const PlanePoint& a, const PlanePoint& b) { return (a + b) / 2; }

/// Where the bisectors of two pairs cross; none when they are parallel.
std::optional<PlanePoint> crossing(const PlanePoint& a, const PlanePoint& b, const PlanePoint& c,
                                   const PlanePoint& d)
{
    Eigen::Matrix2d normals;
    normals.row(0) = (b - a).transpose();
    normals.row(1) = (d - c).transpose();
    if (std::abs(normals.determinant()) < 1e-12) {
        return std::nullopt;
    }
    return normals.inverse() *
           PlanePoint((b - a).dot(middle_of(a, b)), (d - c).dot(middle_of(c, d)));
}

/// Whether a ring touches both points.
bool touches(double radius, const PlanePoint& centre, const PlanePoint& a, const PlanePoint& b)
{
    return std::abs((a - centre).norm() - radius) < 1e-9 &&
           std::abs((b - centre).norm() - radius) < 1e-9;
}

/// Least width over the crossings of two bisectors, those of two outer and two inner contacts: the
/// best centre is one of them. A flat arc can have none: it is narrower the farther the centre.
double narrowest(const Points& points)
{
    double best = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < points.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            for (std::size_t k = 0; k < points.size(); ++k) {
                for (std::size_t l = 0; l < k; ++l) {
                    const auto centre = crossing(points[i], points[j], points[k], points[l]);
                    if (!centre) {
                        continue;
                    }
                    const Ring ring = ring_about(points, *centre);
                    if (touches(ring.outer, *centre, points[i], points[j]) &&
                        touches(ring.inner, *centre, points[k], points[l])) {
                        best = std::min(best, ring.width());
                    }
                }
            }
        }
    }
    return best;
}

/// Random profiles: round with noise, arcs, on a coarse grid, with doubled points.
Points profile(std::mt19937& random, int round)
{
    std::uniform_real_distribution<double> any(0, 1);
    Points points;
    const int count = 5 + round % 5;
    const double turn = round % 3 == 0 ? pi / 2 : 2 * pi;
    for (int k = 0; k < count; ++k) {
        const double angle = turn * any(random);
        const double radius = 0.8 + 0.2 * any(random);
        points.emplace_back(radius * std::cos(angle), radius * std::sin(angle));
        if (round % 4 == 1) {
            points.back() = (points.back() * 4).array().round().matrix() / 4;
        }
    }
    if (round % 5 == 2) {
        points.push_back(points.front());
    }
    return points;
}

bool spread_out(const Points& points)
{
    double area = 0;
    for (const auto& p : points) {
        for (const auto& q : points) {
            area = std::max(area, std::abs((p - points[0]).x() * (q - points[0]).y() -
                                           (p - points[0]).y() * (q - points[0]).x()));
        }
    }
    return area > 1e-6;
}

TEST(ReferenceCircles, TheMinimumZoneIsTheNarrowestOfAllCrossingsOfBisectors)
{
    std::mt19937 random(11);
    int compared = 0;
    for (int round = 0; round < 400; ++round) {
        const Points points = profile(random, round);
        if (!spread_out(points)) {
            continue;
        }
        const auto start = least_squares_centre(points).value_or(PlanePoint::Zero());
        const auto centre = minimum_zone_centre(points, farthest_regions(points), start);
        const double width = ring_about(points, centre).width();
        const double wanted = narrowest(points);
        compared += std::isfinite(wanted) ? 1 : 0;
        ASSERT_LE(width, wanted + 1e-9) << "round " << round;
    }
    EXPECT_GT(compared, 250);
}

TEST(ReferenceCircles, TheSmallestCircleIsThatOfAPairOrATriple)
{
    std::mt19937 random(12);
    for (int round = 0; round < 400; ++round) {
        const Points points = profile(random, round);
        if (!spread_out(points)) {
            continue;
        }
        double least = std::numeric_limits<double>::infinity();
        for (const auto& a : points) {
            for (const auto& b : points) {
                least = std::min(least, ring_about(points, middle_of(a, b)).outer);
                for (const auto& c : points) {
                    if (const auto centre = circle_centre(a, b, c)) {
                        least = std::min(least, ring_about(points, *centre).outer);
                    }
                }
            }
        }
        const auto centre = circumscribed_centre(points, farthest_regions(points));
        ASSERT_NEAR(ring_about(points, centre).outer, least, 1e-9) << "round " << round;
    }
}

TEST(ReferenceCircles, NoEmptyCircleNearbyIsGreaterThanTheInscribedOne)
{
    std::mt19937 random(13);
    std::normal_distribution<double> noise(0, 0.02);
    for (int round = 0; round < 20; ++round) {
        Points points;
        for (int k = 0; k < 40; ++k) {
            const double angle = 2 * pi * k / 40;
            const double radius = 0.95 + noise(random);
            points.emplace_back(radius * std::cos(angle), radius * std::sin(angle));
        }
        const auto within = *least_squares_centre(points);
        const auto centre = inscribed_centre(points, within);
        ASSERT_TRUE(centre);
        const double radius = ring_about(points, *centre).inner;
        double dense = 0;
        for (int i = -100; i <= 100; ++i) {
            for (int j = -100; j <= 100; ++j) {
                const PlanePoint trial = within + 0.002 * PlanePoint(i, j);
                dense = std::max(dense, ring_about(points, trial).inner);
            }
        }
        ASSERT_GE(radius, dense - 1e-12) << "round " << round;
        ASSERT_LE(radius, dense + 0.004);
    }
}

TEST(ReferenceCircles, LeastSquaresStandsStillUnderAnySmallMove)
{
    std::mt19937 random(14);
    const Points points = profile(random, 4);
    const auto centre = *least_squares_centre(points);
    const auto cost = [&](const PlanePoint& c) {
        double sum = 0;
        double squares = 0;
        for (const auto& p : points) {
            sum += (p - c).norm();
            squares += (p - c).squaredNorm();
        }
        return squares - sum * sum / static_cast<double>(points.size());
    };
    for (int k = 0; k < 8; ++k) {
        const double angle = pi * k / 4;
        const PlanePoint move = 1e-4 * PlanePoint(std::cos(angle), std::sin(angle));
        EXPECT_GT(cost(centre + move), cost(centre));
    }
}

TEST(ReferenceCircles, APureOvalIsAsWideAsItsTwoRings)
{
    Points points;
    for (int k = 0; k < 360; ++k) {
        const double angle = pi * k / 180;
        const double radius = 0.9 + 0.001 * std::cos(2 * angle);
        points.emplace_back(radius * std::cos(angle), radius * std::sin(angle));
    }
    const auto centre =
        minimum_zone_centre(points, farthest_regions(points), PlanePoint(0.01, -0.02));
    EXPECT_NEAR(ring_about(points, centre).width(), 0.002, 1e-12);
    EXPECT_NEAR(centre.norm(), 0, 1e-9);
}

}  // namespace
}  // namespace enginewright::numerics
