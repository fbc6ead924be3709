#pragma once

#include <complex>
#include <optional>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/crank_train.hpp"
#include "enginewright/reciprocating/layouts.hpp"
#include "enginewright/record.hpp"

/// What the engine shakes with: forces and couples by order, and the share of the pistons that a
/// counterweight should carry.
namespace enginewright::reciprocating {

/// Harmonics of the piston's acceleration from the cylinder axis, multiples of r omega².
///
/// With x the wrist pin's height above the crank's axis and phi the pin's angle from the cylinder
/// axis, as throws are drawn:
///
///     -x'' / (r omega²) = sum cosine_n cos(n phi) + sine_n sin(n phi)
///
/// Textbooks call r/l the secondary; the exact second harmonic is r/l + (r/l)³/4 + ..., a percent
/// and a half more on a common rod.
///
/// crank_radius  half the stroke, mm
/// rod_length    centre to centre, mm, above crank_radius + |offset|
/// offset        of the wrist pin's path, mm, positive towards the pin's swing after the top
/// orders        how many, 1 to 64
///
/// Source: `crank_train.acceleration_harmonics` from the cylinder axis.
///
/// >>> ew.reciprocating.piston_harmonics(50, 200, orders=2).cosine.round(6)
/// array([1.      , 0.254025])
crank_train::Harmonics piston_harmonics(double crank_radius, double rod_length, double offset,
                                        int orders);

/// The engine's shaking, order by order.
struct Shaking {
    std::vector<double> order{};
    std::vector<std::complex<double>> force_forward{};
    std::vector<std::complex<double>> force_backward{};
    std::vector<std::complex<double>> couple_forward{};
    std::vector<std::complex<double>> couple_backward{};
    std::vector<double> force_maximum{};
    std::vector<double> force_minimum{};
    std::vector<double> couple_maximum{};
    std::vector<double> couple_minimum{};
    double reference = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"order", "", &Shaking::order, "times a turn"},
            Field{"force_forward", "N", &Shaking::force_forward,
                  "half that turns with the crank, where it is at crank angle 0"},
            Field{"force_backward", "N", &Shaking::force_backward,
                  "half that turns against the crank"},
            Field{"couple_forward", "N m", &Shaking::couple_forward, "the same of the couple"},
            Field{"couple_backward", "N m", &Shaking::couple_backward, "the same of the couple"},
            Field{"force_maximum", "N", &Shaking::force_maximum, "long half axis of the ellipse"},
            Field{"force_minimum", "N", &Shaking::force_minimum, "short half axis of the ellipse"},
            Field{"couple_maximum", "N m", &Shaking::couple_maximum, "long half axis"},
            Field{"couple_minimum", "N m", &Shaking::couple_minimum, "short half axis"},
            Field{"reference", "mm", &Shaking::reference, "about which the couple is taken"},
        };
    }
    bool operator==(const Shaking&) const = default;
};
static_assert(lists_every_member<Shaking>);

/// Forces and couples on the frame, taken apart into orders.
///
/// Each cylinder pushes along its own axis; an oscillating force is two half as large that turn
/// with and against the crank. With c = m r omega² (cosine_n - i sine_n) and psi = throw - bank:
///
///     forward = 1/2 c e^(i (n psi + bank)),   backward = 1/2 conj(c) e^(i (bank - n psi))
///     F(theta) = sum forward_n e^(i n theta) + backward_n e^(-i n theta)
///
/// Rotating masses and counterweights turn with the crank: they enter the forward part of order 1
/// and can only ever cancel that, which is the whole art of counterweights in one line. The tip of
/// each order draws an ellipse with half axes |forward| + |backward| and their difference. A couple
/// is (z - reference) times the force, and lies in the plane in which it rocks.
///
/// layout     the engine
/// speed      of the crank, rpm, 0 to 1e6
/// orders     1 to 12
/// reference  about which the couple is taken, mm from the front; none: the cylinders' mean
/// position
///
/// Source: Den Hartog, Mechanical Vibrations, chapter 5; Norton, Design of Machinery.
///
/// >>> four = ew.reciprocating.common_layout("inline 4", 100, 40, 160, 500)
/// >>> ew.reciprocating.shaking(four, 6000, orders=2).force_maximum.round(1)
/// array([   0. , 8022.8])
Shaking shaking(const EngineLayout& layout, double speed, int orders,
                std::optional<double> reference);

/// Force and couple at some crank angles.
struct ShakingAt {
    std::vector<std::complex<double>> force{};
    std::vector<std::complex<double>> couple{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"force", "N", &ShakingAt::force, "on the frame, at each crank angle"},
            Field{"couple", "N m", &ShakingAt::couple, "on the frame, at each crank angle"},
        };
    }
    bool operator==(const ShakingAt&) const = default;
};
static_assert(lists_every_member<ShakingAt>);

/// Forces and couples on the frame at crank angles, exact: the check of the orders.
///
/// layout       the engine
/// speed        of the crank, rpm, 0 to 1e6
/// crank_angle  degrees, one or many
/// reference    about which the couple is taken, mm from the front; none: the mean position
///
/// Source: the piston's acceleration in closed form.
///
/// >>> one = ew.reciprocating.common_layout("single", 0, 40, 160, 500)
/// >>> ew.reciprocating.shaking_at(one, 6000, [0, 90]).force.real.round(1)
/// array([ 9869.6, -2038.7])
ShakingAt shaking_at(const EngineLayout& layout, double speed, const OneOrEach& crank_angle,
                     std::optional<double> reference);

/// What a counterweight can do about the pistons.
enum class FactorStatus { balanced, compromise, no_primary_force, counterweights_cannot_help };

}  // namespace enginewright::reciprocating

namespace enginewright {
template <>
inline constexpr Words<4> words<reciprocating::FactorStatus>{
    "status", {"balanced", "compromise", "no primary force", "counterweights cannot help"}};
}  // namespace enginewright

namespace enginewright::reciprocating {

/// The share of the reciprocating mass to carry, and what it leaves.
struct BalanceFactor {
    std::optional<double> factor{};
    std::complex<double> forward{};
    std::complex<double> backward{};
    double residual_along = 0;
    double residual_across = 0;
    double maximum = 0;
    double minimum = 0;
    FactorStatus status = FactorStatus::compromise;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"factor", "", &BalanceFactor::factor,
                  "share of the reciprocating mass on each throw; none where it does nothing"},
            Field{"forward", "N", &BalanceFactor::forward, "left of the half that turns forward"},
            Field{"backward", "N", &BalanceFactor::backward, "the half that turns backward"},
            Field{"residual_along", "N", &BalanceFactor::residual_along,
                  "amplitude left in the soft direction"},
            Field{"residual_across", "N", &BalanceFactor::residual_across,
                  "amplitude left across it"},
            Field{"maximum", "N", &BalanceFactor::maximum, "long half axis of what is left"},
            Field{"minimum", "N", &BalanceFactor::minimum, "short half axis of what is left"},
            Field{"status", "", &BalanceFactor::status, "what a counterweight can do"},
            Field{"reason", "", &BalanceFactor::reason, "why, when it is not plain"},
            Field{"next", "", &BalanceFactor::next, "what to do next"},
        };
    }
    bool operator==(const BalanceFactor&) const = default;
};
static_assert(lists_every_member<BalanceFactor>);

/// Share of the reciprocating mass to carry as counterweight on each throw: the balance factor.
///
/// Rotating masses count as balanced, only the primary forces are looked at. The factor minimises
///
///     along (amplitude in `direction`)² + across (amplitude across it)²
///
/// Equal weights give 1/2 for every layout: the forward half is all that a counterweight can reach.
/// A frame that is soft upwards wants more, one that is soft fore and aft less. It is held between
/// 0 and 1.
///
/// layout     the engine
/// speed      of the crank, rpm, above 0 to 1e6; the factor does not depend on it
/// along      weight of the direction, at least 0
/// across     weight of the other, at least 0, not both 0
/// direction  in which `along` counts, degrees clockwise from up
///
/// Source: least squares of the primary ellipse; that a right-angle V-twin can be balanced is
/// common knowledge.
///
/// >>> twin = ew.reciprocating.EngineLayout([0, 0], [45, -45], 0.0, 45.0, 150.0, 600.0)
/// >>> found = ew.reciprocating.balance_factor(twin, 6000)
/// >>> round(found.factor, 9), found.status
/// (0.5, 'balanced')
BalanceFactor balance_factor(const EngineLayout& layout, double speed, double along, double across,
                             double direction);

}  // namespace enginewright::reciprocating
