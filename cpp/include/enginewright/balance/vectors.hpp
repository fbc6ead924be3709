#pragma once

#include <complex>
#include <string>
#include <tuple>

#include "enginewright/record.hpp"

/// Unbalance as vectors: amount and angle, and how a machine's reading becomes one.
///
/// A vector is a complex number, g mm: its length is the amount, its angle is counted **clockwise,
/// seen from the front (timing) end**, from the rotor's zero mark, 0 <= angle < 360. It points to
/// the **heavy** side: metal comes off there, or goes on opposite.
namespace enginewright::balance {

/// An unbalance: amount * exp(i * angle), g mm.
using Vector = std::complex<double>;

/// Whether a reading points to the heavy side or to the light one.
enum class Spot { heavy, light };

/// The end of the rotor from which a machine's operator looks.
enum class SeenFrom { front, flywheel };

/// The way in which a machine counts its degrees.
enum class Counted { clockwise, anticlockwise };

/// Whether a vector lies between the two angles along which it is split.
enum class SplitStatus { split, outside };

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<2> words<balance::Spot>{"spot", {"heavy", "light"}};
template <>
inline constexpr Words<2> words<balance::SeenFrom>{"seen_from", {"front", "flywheel"}};
template <>
inline constexpr Words<2> words<balance::Counted>{"counted", {"clockwise", "anticlockwise"}};
template <>
inline constexpr Words<2> words<balance::SplitStatus>{"status", {"split", "outside"}};
}  // namespace enginewright

namespace enginewright::balance {

/// Unbalance vector from an amount and an angle, g mm.
///
/// A machine that shows the light spot is turned by 180 degrees here, at the door, and nowhere
/// else.
///
/// amount  g mm, at least 0
/// angle   degrees, any; clockwise seen from the front, from the zero mark
/// spot    "heavy" or "light": the side that the angle points to
///
/// >>> ew.balance.angle_of(ew.balance.vector(120, 30, spot="light"))
/// 210.0
Vector vector(double amount, double angle, Spot spot = Spot::heavy);

/// Length of an unbalance vector, g mm.
///
/// vector  g mm
///
/// >>> ew.balance.amount_of(30 + 40j)
/// 50.0
double amount_of(Vector vector);

/// Angle of the heavy side, degrees, 0 <= angle < 360; 0 for a vector of no length.
///
/// vector  g mm
///
/// >>> ew.balance.angle_of(-25j)
/// 270.0
double angle_of(Vector vector);

/// Unbalance of a mass at a radius, g mm.
///
///     unbalance = mass * radius, at the angle
///
/// mass    g, at least 0
/// radius  of its centre of mass, mm, above 0
/// angle   degrees
/// spot    "heavy", or "light" for metal that is missing there
///
/// >>> ew.balance.unbalance(4.0, 80.0, 90.0)
/// 320j
Vector unbalance(double mass, double radius, double angle = 0.0, Spot spot = Spot::heavy);

/// Mass that makes an amount of unbalance at a radius, g.
///
///     mass = amount / radius
///
/// amount  g mm, at least 0
/// radius  mm, at least 0.001
///
/// >>> ew.balance.mass_at_radius(287.0, 82.0)
/// 3.5
double mass_at_radius(double amount, double radius);

/// Angle on the rotor from what a machine shows, degrees, 0 <= angle < 360.
///
///     angle = s * (reading - zero), s = +1 or -1
///
/// s is +1 for a machine that counts clockwise seen from the front, or anticlockwise seen from the
/// flywheel, which is the same; else -1. Angles counted the wrong way round put the hole on the
/// wrong side of the crank unless the spot lies on the zero mark or opposite.
///
/// reading    what the machine shows, degrees
/// zero       what it shows at the rotor's zero mark, degrees
/// seen_from  "front" or "flywheel": where the operator stands
/// counted    "clockwise" or "anticlockwise", seen from there
///
/// >>> ew.balance.rotor_angle(40.0, zero=10.0, seen_from="flywheel")
/// 330.0
double rotor_angle(double reading, double zero = 0.0, SeenFrom seen_from = SeenFrom::front,
                   Counted counted = Counted::clockwise);

/// A vector as amounts along two angles that are open to work.
struct Split {
    double amount_1 = 0;
    double amount_2 = 0;
    SplitStatus status = SplitStatus::split;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"amount_1", "g mm", &Split::amount_1, "along the first angle"},
            Field{"amount_2", "g mm", &Split::amount_2, "along the second angle"},
            Field{"status", "", &Split::status, "whether the vector lies between the two"},
            Field{"reason", "", &Split::reason, "why, when it does not"},
            Field{"next", "", &Split::next, "what to do next"},
        };
    }
    bool operator==(const Split&) const = default;
};
static_assert(lists_every_member<Split>);

/// Splits a vector along two permitted angles: the two flanks of a counterweight.
///
/// With unit vectors e1, e2 and cross(a, b) = a_x b_y - a_y b_x:
///
///     amount_1 = cross(u, e2) / cross(e1, e2),  amount_2 = cross(e1, u) / cross(e1, e2)
///
/// A negative amount asks for the opposite at that angle (metal on where it should come off): the
/// vector lies outside the pair.
///
/// unbalance  vector to split, g mm
/// angle_1    degrees
/// angle_2    degrees, not in line with the first
///
/// Throws std::invalid_argument: angles that coincide or lie opposite each other.
///
/// Source: sine rule of the parallelogram.
///
/// >>> ew.balance.split_between(ew.balance.vector(200, 50), 30, 90).status
/// 'split'
Split split_between(Vector unbalance, double angle_1, double angle_2);

}  // namespace enginewright::balance
