#include "enginewright/balance.hpp"

#include <gtest/gtest.h>

#include <Eigen/LU>
#include <cmath>
#include <limits>
#include <numbers>

#include "balance/metal.hpp"
#include "numerics/angles.hpp"
#include "numerics/complex_least_squares.hpp"
#include "numerics/rice.hpp"
#include "refusal.hpp"

namespace enginewright::balance {
namespace {

TEST(BalanceVector, IsExactAtEveryQuarter)
{
    EXPECT_EQ(vector(20, 90), Vector(0, 20));
    EXPECT_EQ(vector(20, -90), Vector(0, -20));
    EXPECT_EQ(vector(20, 540), Vector(-20, 0));
    for (const double angle : {0.0, 37.5, 90.0, 181.25, 270.0, 359.999}) {
        EXPECT_NEAR(angle_of(vector(3, angle)), angle, 1e-12);
    }
    EXPECT_EQ(angle_of(0), 0.0);
    EXPECT_EQ(angle_of({1, -1e-300}), 0.0);
}

TEST(BalanceVector, RefusesWhatNoRotorHas)
{
    EXPECT_EQ(refusal([] { vector(-1, 0); }), "amount must be at least 0 g mm, got -1.0");
    EXPECT_EQ(refusal([] { vector(1, std::nan("")); }), "angle must be a finite number, got nan");
    EXPECT_NE(refusal([] { unbalance(1e308, 1e308); }), "not refused");
    EXPECT_NE(refusal([] { mass_at_radius(1, 5e-324); }), "not refused");
    EXPECT_NE(refusal([] { permissible_residual(1000, 5e-324, 6.3); }), "not refused");
}

TEST(RotorAngle, TurnsRoundWithTheObserverAndTheScale)
{
    EXPECT_EQ(rotor_angle(40, 10, SeenFrom::flywheel), 330.0);
    EXPECT_EQ(rotor_angle(40, 10, SeenFrom::front, Counted::anticlockwise), 330.0);
    EXPECT_EQ(rotor_angle(40, 10, SeenFrom::flywheel, Counted::anticlockwise), 30.0);
}

TEST(Tolerance, IsRefusedWhereItIsMissing)
{
    const std::vector<Vector> residual{1.0, 2.0};
    EXPECT_EQ(refusal([&] { residual_verdict(residual, std::vector{40.0, 0.0}); }),
              "tolerance must be above 0 g mm, got 0.0 (plane 2); set the tolerance before the "
              "first spin");
    EXPECT_EQ(refusal([] { probability_within(1, 1, std::nullopt); }),
              "tolerance must be above 0 g mm, got None; set the tolerance before the first spin");
    EXPECT_NE(refusal([&] {
                  residual_verdict(residual, std::numeric_limits<double>::quiet_NaN());
              }).find("got nan"),
              std::string::npos);
}

TEST(CorrectionPlaneTolerance, IsSafeAtAnyAnglesAndTheLargestProduct)
{
    const std::vector<double> bearings{0, 400};
    for (const auto& planes :
         {std::vector{50.0, 500.0}, std::vector{-80.0, 200.0}, std::vector{390.0, 395.0}}) {
        const auto set = correction_plane_tolerance(std::vector{80.0, 50.0}, bearings, planes);
        const auto& m = set.transfer;
        const auto worst = [&](double t1, double t2) {
            return std::max((m[0][0] * t1 + m[0][1] * t2) / 80, (m[1][0] * t1 + m[1][1] * t2) / 50);
        };
        EXPECT_LE(worst(set.plane_1, set.plane_2), 1 + 1e-9);
        // No other ratio of the two does better.
        for (double ratio = 0.01; ratio < 100; ratio *= 1.05) {
            const double scale = 1 / worst(1, ratio);
            EXPECT_LE(scale * scale * ratio, set.plane_1 * set.plane_2 * (1 + 1e-9));
        }
    }
}

TEST(Rice, AgreesWithTheSeriesOfMarcum)
{
    // 1 - Q1(a, b) = sum over k of Poisson(k; a²/2) * P(k + 1, b²/2): the definition, summed.
    const auto series = [](double a, double b) {
        double poisson = std::exp(-a * a / 2);
        double term = std::exp(-b * b / 2);
        double gamma = 1 - term;
        double sum = 0;
        for (int k = 0; k < 400; ++k) {
            sum += poisson * gamma;
            poisson *= a * a / 2 / (k + 1);
            term *= b * b / 2 / (k + 1);
            gamma -= term;
        }
        return sum;
    };
    for (const double a : {0.0, 0.3, 1.0, 2.5, 6.0, 11.0}) {
        for (const double b : {0.05, 0.7, 1.5, 4.0, 8.0, 14.0}) {
            EXPECT_NEAR(numerics::rice_cdf(3 * a, 3, 3 * b), series(a, b), 1e-12) << a << " " << b;
        }
    }
}

TEST(Rice, GoesOverIntoTheNormalLawFarOut)
{
    // Far from the centre the circle is a straight line, short of 1 / (2 a).
    for (const double a : {1e4, 1e6, 1e9, 1e13}) {
        EXPECT_NEAR(numerics::rice_cdf(a, 1, a), 0.5 - 0.39894228 / (2 * a), 1e-9);
    }
    EXPECT_EQ(numerics::rice_cdf(40, 5e-324, 60), 1.0);
    EXPECT_EQ(numerics::rice_cdf(80, 5e-324, 60), 0.0);
}

TEST(ComplexLeastSquares, GivesBackWhatMadeTheReadings)
{
    Eigen::MatrixXcd a = Eigen::MatrixXcd::Random(6, 3);
    a.col(2) *= 1e7;  // Masses of grams beside masses of tonnes.
    const Eigen::MatrixXcd x = Eigen::MatrixXcd::Random(3, 2);
    const auto fit = numerics::complex_least_squares(a, a * x, Eigen::VectorXd::Ones(6));
    EXPECT_EQ(fit.rank, 3);
    // The readings themselves are rounded to 1e7 * 2^-53: the masses of grams cannot be truer.
    EXPECT_LT((fit.solution - x).norm(), 1e7 * 2.3e-16 * 10);
    const Eigen::MatrixXcd inverse = (a.adjoint() * a).inverse();
    for (Eigen::Index i = 0; i < 3; ++i) {
        EXPECT_NEAR(fit.spread[i] / std::sqrt(inverse(i, i).real()), 1, 1e-6);
    }
    a.col(1) = a.col(0) * Vector(0, 2);
    EXPECT_EQ(numerics::complex_least_squares(a, a * x, Eigen::VectorXd::Ones(6)).rank, 2);
}

TEST(Hole, IsTheSumOfItsSlices)
{
    const Drill drill = drill_of(14, 118);
    for (const double depth : {1.0, 3.0, 4.2, 9.0, 25.0}) {
        double volume = 0;
        double first = 0;
        constexpr int slices = 200000;
        for (int i = 0; i < slices; ++i) {
            const double z = depth * (i + 0.5) / slices;
            const double from_tip = depth - z;
            const double radius = std::min(7.0, from_tip / drill.tip * 7.0);
            volume += std::numbers::pi * radius * radius * depth / slices;
            first += std::numbers::pi * radius * radius * z * depth / slices;
        }
        EXPECT_NEAR(drilled(drill, depth).volume, volume, 1e-4 * volume);
        EXPECT_NEAR(drilled(drill, depth).first, first, 1e-4 * first);
    }
}

TEST(Hole, SlopesAreTheGrowthOfTheMoment)
{
    for (const auto direction : {Direction::radial, Direction::axial}) {
        const Drill drill = drill_of(12, 118);
        for (const double t : {2.0, 8.0}) {
            const auto at = [&](double d) {
                return metal_of_hole(drill, d, 80, direction, 0.00785);
            };
            EXPECT_NEAR(at(t).slope, (at(t + 1e-4).moment - at(t - 1e-4).moment) / 2e-4, 1e-4);
            const auto slug = [&](double d) {
                return metal_of_slug(drill, d, 1, 80, direction, 0.017, 0.00785);
            };
            EXPECT_NEAR(slug(t).slope, (slug(t + 1e-4).moment - slug(t - 1e-4).moment) / 2e-4,
                        1e-4);
        }
    }
}

TEST(Hole, DepthIsTheInverseOfMoment)
{
    for (const double depth : {1.0, 3.9, 4.0, 17.0}) {
        const double moment = hole_moment(85, depth, 14).moment;
        EXPECT_NEAR(hole_depth(moment, 85, 14).depth, depth, 1e-7);
    }
    const auto short_of = hole_depth(1e6, 85, 14, Direction::radial, 118, 0, 20.0);
    EXPECT_EQ(short_of.status, DepthStatus::too_shallow);
    EXPECT_NEAR(short_of.moment + short_of.short_by, 1e6, 1e-6);
    EXPECT_EQ(refusal([] { hole_moment(85, 18, 14, Direction::radial, 118, 0, 0.00785); }),
              "density must be at least 0.5 g/cm³, got 0.00785");
}

TEST(BalanceRecord, ReadsItselfBackFromJson)
{
    auto record = balance_record(std::vector{0.0, 360.0}, 60.0, std::nullopt, 4.0);
    record = with_run(record, std::vector<Vector>{{410, 20}, {-30, 5}}, std::nullopt, "first");
    record = with_correction(record, std::vector<Vector>{{-400, 0}, {0, 0}});
    record = with_run(record, std::vector<Vector>{{30, 25}, {-28, 4}});
    const auto back = record_from_json(to_json(record));
    EXPECT_EQ(back.entries.size(), 3U);
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t p = 0; p < 2; ++p) {
            EXPECT_LT(std::abs(back.entries[i].vectors[p] - record.entries[i].vectors[p]), 1e-12);
        }
    }
    EXPECT_NE(to_json(record).find("\"amount\": \"400.0 g mm\""), std::string::npos);
    EXPECT_NE(refusal([] { record_from_json("{}"); }), "not refused");
    EXPECT_NE(refusal([&] {
                  with_correction(balance_record(std::vector{0.0, 1.0}, 60.0),
                                  std::vector<Vector>{0.0, 0.0});
              }).find("spin before"),
              std::string::npos);
}

}  // namespace
}  // namespace enginewright::balance
