#include "enginewright/reciprocating.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>
#include <random>

#include "refusal.hpp"

namespace {

using namespace enginewright;
using reciprocating::EngineLayout;
using reciprocating::FactorStatus;
using Vector = std::complex<double>;

EngineLayout odd_engine(double turned)
{
    // No symmetry anywhere: every term has to be right.
    std::vector<double> throws{0, 77, 190, 301};
    std::vector<double> banks{10, -35, 20, 64};
    for (std::size_t i = 0; i < throws.size(); ++i) {
        throws[i] += turned;
        banks[i] += turned;
    }
    const Vector turn = std::polar(1.0, turned * std::numbers::pi / 180);
    return reciprocating::engine_layout(
        throws, banks, std::vector<double>{0, 90, 200, 330}, std::vector<double>{40, 40, 42, 42},
        150.0, std::vector<double>{500, 480, 510, 505}, 350.0, std::vector<double>{0, 1.5, -2, 0},
        {Vector(12000, 3000) * turn, Vector(-4000, 9000) * turn}, std::vector<double>{-20, 350},
        "odd");
}

TEST(Shaking, AddsUpToShakingAt)
{
    const auto layout = odd_engine(0);
    const auto orders = reciprocating::shaking(layout, 5000, 12, std::nullopt);
    for (const double angle : {-200.0, 0.0, 31.0, 145.0}) {
        const auto exact = reciprocating::shaking_at(layout, 5000, angle, std::nullopt);
        Vector force;
        Vector couple;
        for (std::size_t k = 0; k < orders.order.size(); ++k) {
            const Vector turn = std::polar(1.0, orders.order[k] * angle * std::numbers::pi / 180);
            force += orders.force_forward[k] * turn + orders.force_backward[k] * std::conj(turn);
            couple += orders.couple_forward[k] * turn + orders.couple_backward[k] * std::conj(turn);
        }
        // What is left out above order 12 is below 1e-6 of the force.
        EXPECT_LT(std::abs(force - exact.force[0]), 1e-2);
        EXPECT_LT(std::abs(couple - exact.couple[0]), 1e-2);
        EXPECT_GT(std::abs(exact.force[0]), 100);
    }
}

TEST(Shaking, TurnsWithTheWholeLayout)
{
    const auto before = reciprocating::shaking(odd_engine(0), 5000, 6, 100.0);
    const auto after = reciprocating::shaking(odd_engine(50), 5000, 6, 100.0);
    const Vector turn = std::polar(1.0, 50 * std::numbers::pi / 180);
    for (std::size_t k = 0; k < 6; ++k) {
        EXPECT_LT(std::abs(after.force_forward[k] - before.force_forward[k] * turn), 1e-8);
        EXPECT_LT(std::abs(after.force_backward[k] - before.force_backward[k] * turn), 1e-8);
        EXPECT_NEAR(after.couple_maximum[k], before.couple_maximum[k], 1e-8);
    }
}

TEST(Shaking, CounterweightsReachTheForwardHalfOnly)
{
    auto layout = reciprocating::common_layout("single", 0, 40, 160, 500, 300, std::nullopt);
    layout.counterweight = {Vector(-(300 + 250) * 40.0, 0)};
    layout.counterweight_position = {0};
    const auto left = reciprocating::shaking(layout, 6000, 2, std::nullopt);
    EXPECT_NEAR(std::abs(left.force_forward[0]), 0, 1e-9);
    // derived: half of m r omega²
    const double omega = 6000 * std::numbers::pi / 30;
    EXPECT_NEAR(std::abs(left.force_backward[0]), 0.5e-6 * 500 * 40 * omega * omega, 1e-9);
}

TEST(BalanceFactor, MinimisesWhatItSaysItMinimises)
{
    std::mt19937_64 random(11);
    std::uniform_real_distribution<double> any(0, 1);
    for (int round = 0; round < 50; ++round) {
        const double bank = 30 + 100 * any(random);
        const auto layout = reciprocating::common_layout("V-twin", 0, 45, 150, 600, 0, bank);
        const double along = any(random);
        const double across = any(random);
        const double direction = 360 * any(random);
        const auto best = reciprocating::balance_factor(layout, 3000, along, across, direction);
        const Vector d = std::polar(1.0, -direction * std::numbers::pi / 180);
        const Vector throws = best.forward / (0.5 - *best.factor);
        const auto cost = [&](double k) {
            const Vector forward = (0.5 - k) * throws * d;
            const Vector back = std::conj(best.backward * d);
            return along * std::norm(forward + back) + across * std::norm(forward - back);
        };
        for (const double k : {0.0, *best.factor - 0.01, *best.factor + 0.01, 1.0}) {
            if (k >= 0 && k <= 1 && std::abs(0.5 - *best.factor) > 1e-6) {
                EXPECT_LE(cost(*best.factor), cost(k) * (1 + 1e-12));
            }
        }
    }
}

TEST(BalanceFactor, IsAHalfForEqualWeights)
{
    for (const char* name : {"single", "inline 2, 360", "V-twin", "inline 3"}) {
        const auto bank = std::string(name) == "V-twin" ? std::optional(60.0) : std::nullopt;
        const auto layout = reciprocating::common_layout(name, 80, 45, 150, 600, 0, bank);
        const auto found = reciprocating::balance_factor(layout, 3000, 1, 1, 40);
        if (found.factor) {
            EXPECT_NEAR(*found.factor, 0.5, 1e-12) << name;
        } else {
            EXPECT_EQ(found.status, FactorStatus::no_primary_force) << name;
            EXPECT_FALSE(found.next.empty());
        }
    }
}

TEST(BalanceFactor, CannotHelpAForceThatTurnsBackward)
{
    // derived: opposed throws at right-angled banks leave only the backward half
    const auto layout =
        reciprocating::engine_layout(std::vector<double>{0, 180}, std::vector<double>{0, 90}, 0.0,
                                     45.0, 150.0, 600.0, 0.0, 0.0, {}, std::vector<double>{}, "");
    const auto found = reciprocating::balance_factor(layout, 3000, 1, 1, 0);
    EXPECT_FALSE(found.factor.has_value());
    EXPECT_EQ(found.status, FactorStatus::counterweights_cannot_help);
    EXPECT_GT(found.maximum, 100);
}

TEST(FiringIntervals, GiveMissingTurnsToTheShortest)
{
    const std::vector<double> twin{0, 0};
    const auto even = reciprocating::firing_intervals(twin, 0.0, {1, 2}, 4);
    EXPECT_TRUE(even.even);
    EXPECT_EQ(even.intervals, (std::vector<double>{360, 360}));
    const std::vector<double> one{0};
    EXPECT_EQ(reciprocating::firing_intervals(one, 0.0, {1}, 4).intervals.front(), 720);
    EXPECT_EQ(reciprocating::firing_intervals(one, 0.0, {1}, 2).intervals.front(), 360);
}

TEST(FiringIntervals, SaysThatAnOrderCannotBe)
{
    // derived: 240 deg from each to the next is two turns; a two-stroke has one
    const std::vector<double> throws{0, 240, 120};
    const auto backward = reciprocating::firing_intervals(throws, 0.0, {1, 3, 2}, 2);
    const auto forward = reciprocating::firing_intervals(throws, 0.0, {1, 2, 3}, 2);
    EXPECT_NE(backward.status, forward.status);
    const auto& no = backward.spread ? forward : backward;
    EXPECT_EQ(no.status, reciprocating::FiringStatus::impossible_order);
    EXPECT_FALSE(no.even);
    EXPECT_FALSE(no.spread.has_value());
    EXPECT_FALSE(no.next.empty());
}

TEST(EngineLayout, RefusesWhatCannotBe)
{
    EXPECT_EQ(refusal([] {
                  reciprocating::common_layout("inline 9", 80, 45, 150, 600, 0, std::nullopt);
              }).substr(0, 24),
              "name must be one of 'sin");
    EXPECT_EQ(
        refusal([] { reciprocating::common_layout("V-twin", 0, 45, 150, 600, 0, std::nullopt); }),
        "bank must be given for a V-twin: the angle between its cylinders, degrees");
    EXPECT_EQ(
        refusal([] { reciprocating::common_layout("single", 0, 45, 44, 600, 0, std::nullopt); }),
        "rod_length must be above crank_radius + |offset|, 45.0 mm, got 44.0");
    EXPECT_EQ(refusal([] { reciprocating::bobweight(480, 760, 50, 1, 0); }),
              "factor must be between 0 and 1, got 50.0");
}

TEST(BobweightTolerance, RefusesAMissingTolerance)
{
    const std::vector<double> throws{0};
    const std::vector<double> places{10};
    const std::vector<double> planes{0, 100};
    EXPECT_EQ(refusal([&] {
                  reciprocating::bobweight_tolerance(44, throws, places, std::vector<double>{60, 0},
                                                     planes, 0.1);
              }),
              "tolerance must be above 0 g mm, got 0.0 (plane 2); set the tolerance before the "
              "first spin");
    EXPECT_EQ(refusal([&] {
                  reciprocating::bobweight_tolerance(44, throws, places, std::nullopt, planes, 0.1);
              }),
              "tolerance must be above 0 g mm, got none; set the tolerance before the first spin");
}

}  // namespace
