#pragma once

#include <optional>
#include <string>
#include <tuple>

#include "enginewright/fits/materials.hpp"
#include "enginewright/record.hpp"

/// Pressed joints: a guide in a head, a liner in a block, a gear on its shaft.
namespace enginewright::fits {

/// What becomes of a pressed joint.
enum class Grip { holds, loose, yields };

}  // namespace enginewright::fits

namespace enginewright {
template <>
inline constexpr Words<3> words<fits::Grip>{"status", {"holds", "loose", "yields"}};
}  // namespace enginewright

namespace enginewright::fits {

/// Pressure and stresses of a pressed joint, what it does to the bore, and what it holds.
///
/// Tension is positive. `equivalent_...` is von Mises' stress where it is greatest: in the housing
/// at the joint, in the inner part at its own bore. `safety_...` is yield strength over it: None
/// without a yield strength, infinite where nothing presses.
struct PressFit {
    Grip status = Grip::holds;
    std::string reason{};
    double interference = 0;
    double pressure = 0;
    double hoop_outer = 0;
    double hoop_inner = 0;
    double hoop_inner_bore = 0;
    double equivalent_outer = 0;
    double equivalent_inner = 0;
    double bore_closure = 0;
    double outside_growth = 0;
    double press_force = 0;
    double holding_torque = 0;
    std::optional<double> safety_outer{};
    std::optional<double> safety_inner{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"status", "", &PressFit::status, "holds, loose or yields"},
            Field{"reason", "", &PressFit::reason, "why, and what the figures leave out"},
            Field{"interference", "mm", &PressFit::interference,
                  "on diameter, less flattened peaks, at temperature; negative: clearance"},
            Field{"pressure", "MPa", &PressFit::pressure, "between the two parts"},
            Field{"hoop_outer", "MPa", &PressFit::hoop_outer, "in the housing at the joint"},
            Field{"hoop_inner", "MPa", &PressFit::hoop_inner, "in the inner part at the joint"},
            Field{"hoop_inner_bore", "MPa", &PressFit::hoop_inner_bore,
                  "in the inner part at its bore"},
            Field{"equivalent_outer", "MPa", &PressFit::equivalent_outer,
                  "von Mises, housing at the joint"},
            Field{"equivalent_inner", "MPa", &PressFit::equivalent_inner,
                  "von Mises, inner part where it is greatest"},
            Field{"bore_closure", "mm", &PressFit::bore_closure,
                  "on diameter, how much the inner part's bore closes up"},
            Field{"outside_growth", "mm", &PressFit::outside_growth,
                  "on diameter, how much the housing's outside grows"},
            Field{"press_force", "N", &PressFit::press_force, "greatest, at full depth"},
            Field{"holding_torque", "N·m", &PressFit::holding_torque, "before it turns"},
            Field{"safety_outer", "", &PressFit::safety_outer, "yield strength over stress"},
            Field{"safety_inner", "", &PressFit::safety_inner, "yield strength over stress"},
        };
    }
    bool operator==(const PressFit&) const = default;
};
static_assert(lists_every_member<PressFit>);

/// How a ring, guide, liner or pin grips in its housing, and what that does to both.
///
/// What goes wrong: a bronze guide that is tight on the bench and loose hot; a guide whose bore
/// closes up and picks up the stem; a liner pressed in dry that splits the block. With d, D, b =
/// diameter, outer_diameter, inner_bore, R = roughness, T = temperature, a = expansion, E and nu =
/// modulus and Poisson's ratio, i and o = inner and outer part:
///
///     interference = given - 0.8 (R_i + R_o) + d (a_i (T_i - 20) - a_o (T_o - 20))
///     pressure = interference / (d (C_o + C_i)), 0 when the interference is not above 0
///         C_o = ((D² + d²) / (D² - d²) + nu_o) / E_o
///         C_i = ((d² + b²) / (d² - b²) - nu_i) / E_i
///     hoop_outer = p (D² + d²) / (D² - d²)
///     hoop_inner = -p (d² + b²) / (d² - b²)
///     hoop_inner_bore = -2 p d² / (d² - b²), -p for a solid pin
///     equivalent_outer = sqrt(h² + h p + p²) with h = hoop_outer
///     equivalent_inner = |hoop_inner_bore|
///     bore_closure = 2 p d² b / ((d² - b²) E_i)
///     outside_growth = 2 p d² D / ((D² - d²) E_o)
///     press_force = pi d length friction p
///     holding_torque = press_force d / 2000
///
/// "yields" means that a safety is below 1: the elastic figures then no longer hold. With a
/// `Quantity` for the interference (two measured parts) every figure carries its uncertainty.
///
/// Caution: estimates for plain round walls. Stand clear of the line of force, use a guard; stop
/// when the force runs past the figure given. Thin, ribbed, cracked or unknown castings need a
/// qualified judgement, and local codes come first.
///
/// diameter           at the joint, mm, above 0
/// interference       on diameter at 20 °C, shaft less bore, mm; negative: clearance
/// length             of the joint, mm, above 0
/// outer_diameter     of the housing, above the diameter, mm; the thinnest wall governs
/// inner_bore         of the inner part, mm, below the diameter; 0: a solid pin
/// inner, outer       materials, or names of typical ones
/// friction           at pressing in, 0 to 2
/// roughness_inner    Rz of the inner part, mm, at least 0
/// roughness_outer    Rz of the housing, mm, at least 0
/// inner_temperature  °C, above -273.15
/// outer_temperature  °C, above -273.15
///
/// Throws std::invalid_argument: walls that are none, figures out of range, an unknown material.
///
/// Source: Lamé's thick cylinders, plane stress, as in Shigley's Mechanical Engineering Design,
///     9th ed., equation 7-39; 0.4 Rz lost on each side of each surface: DIN 7190.
///
/// >>> guide = ew.fits.press_fit(14, 0.040, 45, outer_diameter=34, inner_bore=8,
/// ...                           inner="phosphor bronze", outer="cast aluminium")
/// >>> guide.status, round(guide.pressure, 1), round(guide.bore_closure, 4)
/// ('holds', 73.0, 0.0156)
PressFit press_fit(double diameter, double interference, double length, double outer_diameter,
                   double inner_bore, const Material& inner, const Material& outer,
                   double friction = 0.12, double roughness_inner = 0.0,
                   double roughness_outer = 0.0, double inner_temperature = 20.0,
                   double outer_temperature = 20.0);

/// Stresses at one radius of a pressed joint.
struct JointStress {
    double radius = 0;
    double radial = 0;
    double hoop = 0;
    double equivalent = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"radius", "mm", &JointStress::radius, "from the axis"},
            Field{"radial", "MPa", &JointStress::radial, "across the wall, negative: pressed"},
            Field{"hoop", "MPa", &JointStress::hoop, "around the wall, positive: pulled"},
            Field{"equivalent", "MPa", &JointStress::equivalent, "von Mises"},
        };
    }
    bool operator==(const JointStress&) const = default;
};
static_assert(lists_every_member<JointStress>);

/// Stresses through the walls of a pressed joint, radius by radius.
///
/// With r = radius, d, D, b as in `press_fit` and p the pressure at the joint:
///
///     inner part, r up to d / 2     radial, hoop = -p d² / (d² - b²) (1 -+ b² / (2 r)²)
///     housing, r above d / 2        radial, hoop = p d² / (D² - d²) (1 -+ D² / (2 r)²)
///
/// The hoop stress jumps at the joint, where the inner part is squeezed and the housing pulled.
///
/// radius          from the axis, between inner_bore / 2 and outer_diameter / 2, mm
/// pressure        at the joint, MPa, 0 to 1e9
/// diameter        at the joint, mm
/// outer_diameter  of the housing, mm, above the diameter
/// inner_bore      of the inner part, mm, below the diameter; 0: solid
///
/// Throws std::invalid_argument: a radius outside the metal, walls that are none.
///
/// Source: Lamé's thick cylinders, plane stress.
///
/// >>> at_the_joint = ew.fits.joint_stress(7, pressure=73, diameter=14, outer_diameter=34,
/// ...                                     inner_bore=8)
/// >>> round(at_the_joint.radial), round(at_the_joint.hoop)
/// (-73, -144)
JointStress joint_stress(double radius, double pressure, double diameter, double outer_diameter,
                         double inner_bore = 0.0);

}  // namespace enginewright::fits
