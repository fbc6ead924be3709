#include "enginewright/fits/press_fit.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "enginewright/check.hpp"
#include "temperature.hpp"
#include "wording.hpp"

namespace enginewright::fits {

using std::numbers::pi;
using wording::mm;

namespace {

/// A joint as given, checked.
struct Joint {
    double d;
    double length;
    double D;
    double b;
    const Material& inner;
    const Material& outer;
    double friction;
};

void require_walls(double d, double D, double b)
{
    require_size("diameter", d);
    // Anything less is no joint, and its square would vanish.
    require_at_least("diameter", d, 1e-9, "mm");
    require_size("outer_diameter", D);
    // Walls thinner than this share of the diameter are foil, and their stresses overflow.
    constexpr double thinnest = 1e-6;
    if (!(D > d * (1 + thinnest))) {
        refuse("outer_diameter", "above diameter, " + number_text(d) + " mm", D);
    }
    require_length_at_least_zero("inner_bore", b);
    if (!(b < d * (1 - thinnest))) {
        refuse("inner_bore", "below diameter, " + number_text(d) + " mm", b);
    }
}

void require_joint(const Joint& joint)
{
    require_walls(joint.d, joint.D, joint.b);
    require_size("length", joint.length);
    require_between("friction", joint.friction, 0.0, 2.0);
    require_material(joint.inner, "inner");
    require_material(joint.outer, "outer");
}

double square(double value) { return value * value; }

/// How much the joint's diameter gives, as a share of it, for each MPa: both walls together.
double compliance(const Joint& joint)
{
    const double d2 = square(joint.d);
    const double outer = (square(joint.D) + d2) / (square(joint.D) - d2) + joint.outer.poisson;
    const double inner = (d2 + square(joint.b)) / (d2 - square(joint.b)) - joint.inner.poisson;
    return outer / joint.outer.modulus + inner / joint.inner.modulus;
}

void add_stresses(PressFit& found, const Joint& joint)
{
    const double p = found.pressure;
    const double d2 = square(joint.d);
    const double wall_outer = square(joint.D) - d2;
    const double wall_inner = d2 - square(joint.b);
    found.hoop_outer = p * (square(joint.D) + d2) / wall_outer;
    // Plus 0: no stress has no sign.
    found.hoop_inner = -p * (d2 + square(joint.b)) / wall_inner + 0.0;
    // At a bore the hoop stress has nothing beside it; a solid pin is pressed from all sides.
    found.hoop_inner_bore = (joint.b > 0 ? -2 * p * d2 / wall_inner : -p) + 0.0;
    const double h = found.hoop_outer;
    found.equivalent_outer = std::sqrt(h * h + h * p + p * p);
    found.equivalent_inner = std::abs(found.hoop_inner_bore);
    found.bore_closure = 2 * p * d2 * joint.b / (wall_inner * joint.inner.modulus);
    found.outside_growth = 2 * p * d2 * joint.D / (wall_outer * joint.outer.modulus);
}

void add_grip(PressFit& found, const Joint& joint)
{
    found.press_force = pi * joint.d * joint.length * joint.friction * found.pressure;
    found.holding_torque = found.press_force * joint.d / 2000;
    const auto safety = [](const Material& of, double stress) {
        constexpr double unloaded = std::numeric_limits<double>::infinity();
        return of.yield_strength
                   ? std::optional(stress > 0 ? *of.yield_strength / stress : unloaded)
                   : std::nullopt;
    };
    found.safety_outer = safety(joint.outer, found.equivalent_outer);
    found.safety_inner = safety(joint.inner, found.equivalent_inner);
}

std::string yielding(std::string_view part, double stress, const Material& of)
{
    return std::string("the ") + std::string(part) + " yields: " + fixed_text(stress, 0) +
           " MPa against " + fixed_text(*of.yield_strength, 0) +
           " MPa; the elastic figures no longer hold";
}

void judge(PressFit& found, const Joint& joint)
{
    std::vector<std::string> reasons;
    const auto below_one = [](const std::optional<double>& safety) {
        return safety && *safety < 1;
    };
    if (found.pressure == 0) {
        found.status = Grip::loose;
        reasons.push_back("no interference is left: " + mm(-found.interference) + " of clearance");
    } else if (below_one(found.safety_outer) || below_one(found.safety_inner)) {
        found.status = Grip::yields;
        if (below_one(found.safety_outer)) {
            reasons.push_back(yielding("housing", found.equivalent_outer, joint.outer));
        }
        if (below_one(found.safety_inner)) {
            reasons.push_back(yielding("inner part", found.equivalent_inner, joint.inner));
        }
    }
    // Common practice, no source: grey iron tears before it gives; a joint shorter than its
    // diameter feels its ends.
    if (joint.outer.name == "grey iron" || joint.inner.name == "grey iron") {
        reasons.emplace_back(
            "grey iron has no yield point, it cracks: keep well below its strength");
    }
    if (joint.length < joint.d) {
        reasons.emplace_back("the joint is shorter than its diameter, end effects are ignored");
    }
    found.reason = wording::joined(reasons, "; ");
}

}  // namespace

PressFit press_fit(double diameter, double interference, double length, double outer_diameter,
                   double inner_bore, const Material& inner, const Material& outer, double friction,
                   double roughness_inner, double roughness_outer, double inner_temperature,
                   double outer_temperature)
{
    const Joint joint{diameter, length, outer_diameter, inner_bore, inner, outer, friction};
    require_length("interference", interference);
    require_joint(joint);
    require_length_at_least_zero("roughness_inner", roughness_inner);
    require_length_at_least_zero("roughness_outer", roughness_outer);
    require_temperature("inner_temperature", inner_temperature);
    require_temperature("outer_temperature", outer_temperature);
    const double warm = diameter * (inner.expansion * (inner_temperature - 20) -
                                    outer.expansion * (outer_temperature - 20));
    PressFit found{.interference = interference - 0.8 * (roughness_inner + roughness_outer) + warm};
    found.pressure = std::max(0.0, found.interference / (diameter * compliance(joint)));
    add_stresses(found, joint);
    add_grip(found, joint);
    judge(found, joint);
    return found;
}

JointStress joint_stress(double radius, double pressure, double diameter, double outer_diameter,
                         double inner_bore)
{
    require_walls(diameter, outer_diameter, inner_bore);
    require_between("pressure", pressure, 0.0, 1e9, "MPa");
    require_between("radius", radius, inner_bore / 2, outer_diameter / 2, "mm");
    const bool inner = radius <= diameter / 2;
    const double wall =
        inner ? square(inner_bore) - square(diameter) : square(outer_diameter) - square(diameter);
    const double mean = pressure * square(diameter) / wall;
    // On the axis of a solid pin both stresses are those of its skin.
    const double far = inner ? inner_bore : outer_diameter;
    const double swing = far > 0 ? mean * square(far / (2 * radius)) : 0;
    JointStress found{.radius = radius, .radial = mean - swing + 0.0, .hoop = mean + swing + 0.0};
    found.equivalent = std::sqrt(found.hoop * found.hoop - found.hoop * found.radial +
                                 found.radial * found.radial);
    return found;
}

}  // namespace enginewright::fits
