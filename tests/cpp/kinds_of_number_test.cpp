#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstring>
#include <numbers>
#include <random>

#include "checked_numbers.hpp"
#include "crank_train_formulas.hpp"
#include "numerics/degrees.hpp"
#include "numerics/dual.hpp"
#include "numerics/pack.hpp"

namespace {

using enginewright::numerics::Dual;
using enginewright::numerics::LaneRefused;
using enginewright::numerics::Pack;
using enginewright::numerics::sine_cosine_of_degrees;
namespace formula = enginewright::crank_train::formula;

/// How far a figure is from the true one, in units of its last place.
double last_places(double figure, long double truth)
{
    const double near = static_cast<double>(truth);
    const double unit = std::nextafter(std::abs(near), 1e300) - std::abs(near);
    return static_cast<double>(std::abs(static_cast<long double>(figure) - truth)) / unit;
}

TEST(SineCosineOfDegrees, AreExactAtQuarterTurns)
{
    for (int quarter = -40; quarter <= 40; ++quarter) {
        const auto [sine, cosine] = sine_cosine_of_degrees(90.0 * quarter);
        const std::array<double, 4> around{0, 1, 0, -1};
        EXPECT_EQ(sine, around[static_cast<std::size_t>((quarter + 40) % 4)]);
        EXPECT_EQ(cosine, around[static_cast<std::size_t>((quarter + 41) % 4)]);
    }
}

TEST(SineCosineOfDegrees, AgreeWithLongDoublesWithinTheLastPlace)
{
    // Oracle: the C library's 64-bit significands, the quarter turns taken off exactly.
    std::mt19937_64 random(20261125);
    double worst = 0;
    for (const double range : {1.0, 45.0, 720.0, 1e6, 1e9}) {
        std::uniform_real_distribution<double> angles(-range, range);
        for (int i = 0; i < 20000; ++i) {
            const double degrees = angles(random);
            int quarter = 0;
            const long double left =
                std::remquo(static_cast<long double>(degrees), 90.0L, &quarter);
            const long double radians = left * std::numbers::pi_v<long double> / 180;
            const std::array around{std::sin(radians), std::cos(radians), -std::sin(radians),
                                    -std::cos(radians)};
            const auto [sine, cosine] = sine_cosine_of_degrees(degrees);
            const auto at = static_cast<std::size_t>(quarter & 3);
            worst = std::max(worst, last_places(sine, around[at]));
            worst = std::max(worst, last_places(cosine, around[(at + 1) % 4]));
        }
    }
    EXPECT_LT(worst, 1.0);
}

TEST(SineCosineOfDegrees, OfTheSmallestAngleIsTheAngle)
{
    EXPECT_EQ(sine_cosine_of_degrees(0.0).sine, 0.0);
    const double tiny = 1e-200;
    EXPECT_NEAR(sine_cosine_of_degrees(tiny).sine / (tiny * std::numbers::pi / 180), 1, 3e-16);
}

TEST(Pack, GivesTheBitsOfSingleNumbers)
{
    std::mt19937_64 random(7);
    std::uniform_real_distribution<double> angles(-4000, 4000);
    for (int i = 0; i < 5000; ++i) {
        std::array<double, 4> given{angles(random), angles(random), angles(random), angles(random)};
        std::array<double, 4> wide{};
        std::array<double, 4> narrow{};
        formula::piston_depth(Pack<4>::load(given.data()), 86.0, 145.0, 0.8).store(wide.data());
        for (std::size_t lane = 0; lane < 4; lane += 2) {
            formula::piston_depth(Pack<2>::load(&given[lane]), 86.0, 145.0, 0.8)
                .store(&narrow[lane]);
        }
        for (std::size_t lane = 0; lane < 4; ++lane) {
            const double single = formula::piston_depth(given[lane], 86.0, 145.0, 0.8);
            EXPECT_EQ(std::memcmp(&single, &wide[lane], sizeof single), 0) << given[lane];
            EXPECT_EQ(std::memcmp(&single, &narrow[lane], sizeof single), 0) << given[lane];
        }
    }
}

TEST(Pack, RefusesWhenAnyLaneBreaksARule)
{
    const std::array<double, 4> good{1, 2, 3, 4};
    const std::array<double, 4> bad{1, 2, std::nan(""), 4};
    EXPECT_NO_THROW(enginewright::require_size("bore", Pack<4>::load(good.data())));
    EXPECT_THROW(enginewright::require_size("bore", Pack<4>::load(bad.data())), LaneRefused);
    EXPECT_THROW(enginewright::require_below("bore", Pack<4>::load(good.data()), 4.0), LaneRefused);
    EXPECT_THROW(enginewright::require_below("bore", 2.0, Pack<4>::load(good.data())), LaneRefused);
    EXPECT_NO_THROW(enginewright::require_below("bore", 0.5, Pack<4>::load(good.data())));
}

TEST(Dual, CarriesSlopesThroughEveryOperation)
{
    // f = atan2(asin(x), sqrt(y)) * |x - y| / (x + y), derived by hand at x = 0.3, y = 2
    const auto x = Dual<2>::variable(0.3, 0);
    const auto y = Dual<2>::variable(2.0, 1);
    const auto f = atan2(asin(x), sqrt(y)) * abs(x - y) / (x + y);
    const auto plain = [](double a, double b) {
        return std::atan2(std::asin(a), std::sqrt(b)) * std::abs(a - b) / (a + b);
    };
    const double h = 1e-5;
    EXPECT_DOUBLE_EQ(f.value, plain(0.3, 2));
    EXPECT_NEAR(f.slope[0], (plain(0.3 + h, 2) - plain(0.3 - h, 2)) / (2 * h), 1e-9);
    EXPECT_NEAR(f.slope[1], (plain(0.3, 2 + h) - plain(0.3, 2 - h)) / (2 * h), 1e-9);
}

TEST(Dual, OfTheDepthIsTheVelocity)
{
    for (const double angle : {-170.0, -30.0, 0.0, 1e-6, 45.0, 120.0}) {
        const auto depth = formula::piston_depth(Dual<1>::variable(angle, 0), Dual<1>(86.0),
                                                 Dual<1>(145.0), Dual<1>(0.8));
        const double omega = 1000 * std::numbers::pi / 30;
        const double velocity = formula::piston_velocity(angle, 86.0, 145.0, 0.8, 1000.0);
        EXPECT_NEAR(depth.slope[0] * 180 / std::numbers::pi * omega / 1000, velocity, 1e-12);
    }
}

}  // namespace
