#include "enginewright/crank_train.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "refusal.hpp"

namespace {

using namespace enginewright;
using crank_train::Reference;
using crank_train::Side;

TEST(PistonDepth, IsNothingAtTopAndTheTravelAtBottom)
{
    for (const double offset : {-20.0, 0.0, 0.8, 10.0}) {
        const auto sizes = crank_train::geometry(100, 160, offset);
        EXPECT_EQ(crank_train::piston_depth(0, 100, 160, offset), 0.0);
        EXPECT_NEAR(crank_train::piston_depth(sizes.bdc_angle, 100, 160, offset), sizes.travel,
                    1e-12);
    }
    EXPECT_EQ(crank_train::piston_depth(180, 86, 145, 0), 86.0);
}

TEST(PistonDepth, KeepsItsDigitsAtTopDeadCentre)
{
    // Near the top the depth is a parabola: r (1 + r/l) angle²/2, derived.
    const double angle = 1e-7;
    const double radians = angle * 3.14159265358979323846 / 180;
    const double parabola = 43 * (1 + 43.0 / 145) * radians * radians / 2;
    EXPECT_NEAR(crank_train::piston_depth(angle, 86, 145, 0) / parabola, 1, 1e-14);
}

TEST(AngleAtDepth, ComesBackFromEveryDepth)
{
    for (const double offset : {-20.0, 0.0, 1.5}) {
        const double travel = crank_train::geometry(90, 150, offset).travel;
        for (const double depth : {1e-9, 1e-6, 1e-3, 0.5, 45.0, travel * 0.999}) {
            for (const auto side : {Side::after, Side::before}) {
                const double angle = crank_train::angle_at_depth(depth, 90, 150, offset, side);
                EXPECT_EQ(angle > 0, side == Side::after);
                EXPECT_NEAR(crank_train::piston_depth(angle, 90, 150, offset) / depth, 1, 1e-9);
            }
        }
    }
}

TEST(AngleAtDepth, EndsAtTheDeadCentres)
{
    const auto sizes = crank_train::geometry(100, 160, 10);
    EXPECT_EQ(crank_train::angle_at_depth(0, 100, 160, 10, Side::after), 0.0);
    EXPECT_NEAR(crank_train::angle_at_depth(sizes.travel, 100, 160, 10, Side::after),
                sizes.bdc_angle, 1e-9);
    EXPECT_NEAR(crank_train::angle_at_depth(sizes.travel, 100, 160, 10, Side::before),
                sizes.bdc_angle - 360, 1e-9);
}

TEST(StrokeFromTravel, IsTheInverseOfTravel)
{
    for (const double offset : {-15.0, 0.0, 10.0}) {
        const double travel = crank_train::geometry(100, 160, offset).travel;
        EXPECT_NEAR(crank_train::stroke_from_travel(travel, 160, offset), 100, 1e-11);
    }
}

TEST(CrankTrain, RefusesARodThatCannotTurn)
{
    EXPECT_EQ(refusal([] { crank_train::piston_depth(0, 86, 43.5, 0.8); }),
              "rod_length must be above stroke/2 + |pin_offset|, 43.8 mm, got 43.5");
    EXPECT_EQ(refusal([] { crank_train::piston_depth(0, -64, 145, 0); }),
              "stroke must be above 0 mm, got -64.0");
    EXPECT_EQ(refusal([] { crank_train::angle_at_depth(90.5, 90, 150, 0, Side::after); }),
              "depth must be between 0 and the travel, 90.0 mm, got 90.5");
    EXPECT_EQ(refusal([] { crank_train::acceleration_harmonics(86, 145, 0, 65, Reference::tdc); }),
              "orders must be between 1 and 64, got 65.0");
}

TEST(PistonSpeed, PeaksWhereNothingAccelerates)
{
    const auto speed = crank_train::piston_speed(86, 145, 2.0, 6000);
    for (const double angle : {speed.peak_down_angle, speed.peak_up_angle}) {
        EXPECT_NEAR(crank_train::piston_acceleration(angle, 86, 145, 2.0, 6000), 0, 1e-6);
    }
    EXPECT_NEAR(crank_train::piston_velocity(speed.peak_up_angle, 86, 145, 2.0, 6000),
                -speed.peak_up, 1e-12);
}

TEST(AccelerationHarmonics, AddUpToTheAcceleration)
{
    for (const auto reference : {Reference::tdc, Reference::cylinder_axis}) {
        const auto parts = crank_train::acceleration_harmonics(90, 150, 5, 40, reference);
        const double lead = crank_train::geometry(90, 150, 5).tdc_crank_angle;
        for (const double angle : {-100.0, 0.0, 33.0, 170.0}) {
            const double t =
                (angle + (reference == Reference::tdc ? 0 : lead)) * 3.14159265358979323846 / 180;
            double sum = 0;
            for (std::size_t i = 0; i < parts.order.size(); ++i) {
                sum += parts.cosine[i] * std::cos(parts.order[i] * t) +
                       parts.sine[i] * std::sin(parts.order[i] * t);
            }
            const double omega = 100 * 3.14159265358979323846 / 30;
            EXPECT_NEAR(sum * 45 * omega * omega / 1000,
                        crank_train::piston_acceleration(angle, 90, 150, 5, 100), 1e-11);
        }
    }
}

TEST(AccelerationHarmonics, RefusesARodThatIsBarelyLongEnough)
{
    EXPECT_THROW(crank_train::acceleration_harmonics(86, 43.0000001, 0, 8, Reference::tdc),
                 std::invalid_argument);
}

TEST(RodBoreClearance, IsThatOfAnUprightRodAtTop)
{
    // Edge just below the wrist pin: only the shank's own width counts, derived.
    const auto near = crank_train::rod_bore_clearance(86, 80, 140, 0, 179.999, 20);
    EXPECT_NEAR(near.clearance, 43 - 10, 1e-3);
    EXPECT_LT(std::abs(near.angle), 1);
}

TEST(RodBoreClearance, IsLeastOverTheTurn)
{
    const auto near = crank_train::rod_bore_clearance(86, 94, 145, 1, 40, 24);
    for (double angle = -180; angle < 180; angle += 0.37) {
        const double beta = crank_train::rod_angle(angle, 94, 145, 1) * 3.14159265358979 / 180;
        const double pin = crank_train::geometry(94, 145, 1).wrist_height_tdc -
                           crank_train::piston_depth(angle, 94, 145, 1);
        const double share = (pin - 40) / (145 * std::cos(beta));
        if (share >= 0 && share <= 1) {
            const double gap = 43 - std::abs(145 * std::sin(beta) * share) - 12 / std::cos(beta);
            EXPECT_GE(gap, near.clearance - 1e-9);
        }
    }
}

}  // namespace
