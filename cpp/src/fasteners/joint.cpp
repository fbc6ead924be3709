#include "enginewright/fasteners/joint.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "fasteners/require.hpp"
#include "wording.hpp"

namespace enginewright::fasteners {

using std::numbers::pi;

double bolt_stiffness(std::span<const double> lengths, std::span<const double> areas,
                      double modulus)
{
    require_readings("lengths", lengths, 1);
    require_readings("areas", areas, 1);
    if (areas.size() != lengths.size()) {
        refuse_all("areas", "hold " + std::to_string(lengths.size()) +
                                " areas, one a length, got " + std::to_string(areas.size()));
    }
    require_modulus("modulus", modulus);
    double slenderness = 0;
    for (std::size_t i = 0; i < lengths.size(); ++i) {
        require_section(element_name("lengths", i), lengths[i]);
        require_area(element_name("areas", i), areas[i]);
        slenderness += lengths[i] / areas[i];
    }
    return modulus / slenderness;
}

namespace {

/// Bolt hole and spread of the cones: what the pieces of a joint have in common.
struct Cone {
    double hole;
    double face;
    double slope;

    /// Give of a piece of thickness t that starts z below its face, mm/N times the modulus.
    double give(double thickness, double depth) const
    {
        const double d = hole;
        const double start = face + 2 * depth * slope;
        const double end = start + 2 * thickness * slope;
        // ((end - d)(start + d)) / ((end + d)(start - d)) as 1 + x: thin pieces keep their digits.
        const double x = 2 * d * (end - start) / ((end + d) * (start - d));
        return std::log1p(x) / (pi * d * slope);
    }
};

}  // namespace

double member_stiffness(std::span<const double> thicknesses, std::span<const double> moduli,
                        double diameter, double face_diameter, double half_angle)
{
    require_readings("thicknesses", thicknesses, 1);
    require_readings("moduli", moduli, 1);
    if (moduli.size() != thicknesses.size()) {
        refuse_all("moduli", "hold " + std::to_string(thicknesses.size()) +
                                 " moduli, one a layer, got " + std::to_string(moduli.size()));
    }
    double total = 0;
    for (std::size_t i = 0; i < thicknesses.size(); ++i) {
        require_section(element_name("thicknesses", i), thicknesses[i]);
        require_modulus(element_name("moduli", i), moduli[i]);
        total += thicknesses[i];
    }
    require_bolt_diameter(diameter);
    require_size("face_diameter", face_diameter);
    if (!(face_diameter > diameter)) {
        refuse("face_diameter", "above the diameter, " + number_text(diameter) + " mm",
               face_diameter);
    }
    require_between("half_angle", half_angle, 15.0, 45.0, "degrees");
    const Cone cone{diameter, face_diameter, std::tan(half_angle * pi / 180)};
    double give = 0;
    double top = 0;
    for (std::size_t i = 0; i < thicknesses.size(); ++i) {
        const double bottom = top + thicknesses[i];
        const double above = std::min(bottom, total / 2) - top;
        if (above > 0) {
            give += cone.give(above, top) / moduli[i];
        }
        // The lower cone is measured from the nut's face.
        const double below = bottom - std::max(top, total / 2);
        if (below > 0) {
            give += cone.give(below, std::max(0.0, total - bottom)) / moduli[i];
        }
        top = bottom;
    }
    return 1 / give;
}

namespace {

void require_springs(double bolt_stiffness, double member_stiffness)
{
    require_stiffness("bolt_stiffness", bolt_stiffness);
    require_stiffness("member_stiffness", member_stiffness);
}

/// Stiffness of the closed loop, bolt and parts one behind the other.
double in_series(double bolt_stiffness, double member_stiffness)
{
    return bolt_stiffness * (member_stiffness / (bolt_stiffness + member_stiffness));
}

/// Proof load of the bolt, when it is asked for.
std::optional<double> strength_of(std::optional<double> stress_area,
                                  std::optional<double> proof_strength)
{
    if (stress_area.has_value() != proof_strength.has_value()) {
        refuse_all(stress_area ? "proof_strength" : "stress_area",
                   stress_area ? "be given with stress_area, got None"
                               : "be given with proof_strength, got None");
    }
    if (!stress_area) {
        return std::nullopt;
    }
    require_area("stress_area", *stress_area);
    require_positive("proof_strength", *proof_strength, "MPa");
    require_at_most("proof_strength", *proof_strength, 1e6, "MPa");
    return *stress_area * *proof_strength;
}

}  // namespace

Joint joint(double preload, double load, double bolt_stiffness, double member_stiffness,
            std::optional<double> stress_area, std::optional<double> proof_strength)
{
    require_load("preload", preload);
    require_load_at_least_zero("load", load);
    require_springs(bolt_stiffness, member_stiffness);
    const auto strength = strength_of(stress_area, proof_strength);
    const double both = bolt_stiffness + member_stiffness;
    Joint result{.load_share = bolt_stiffness / both,
                 .separation_load = preload * (both / member_stiffness)};
    if (load < result.separation_load) {
        result.bolt_load = preload + result.load_share * load;
        result.clamp_load = std::max(0.0, preload - member_stiffness / both * load);
    } else {
        result.status = JointStatus::separates;
        result.bolt_load = load;
        result.reason = wording::kilonewtons(load) + " opens the joint, it bears less than " +
                        wording::kilonewtons(result.separation_load);
        result.next = "raise the preload or add bolts";
    }
    constexpr double no_load = 1e-9;
    if (load >= no_load) {
        result.separation_factor = result.separation_load / load;
    }
    if (strength) {
        if (load >= no_load) {
            result.load_factor = (*strength - preload) / (result.load_share * load);
        }
        result.yield_factor = *strength / result.bolt_load;
    }
    return result;
}

double stretch_from_preload(double preload, double stiffness)
{
    require_load_at_least_zero("preload", preload);
    require_stiffness("stiffness", stiffness);
    return preload / stiffness;
}

double preload_from_stretch(double stretch, double stiffness)
{
    require_length_at_least_zero("stretch", stretch);
    require_stiffness("stiffness", stiffness);
    return stretch * stiffness;
}

double angle_for_preload(double preload, double pitch, double bolt_stiffness,
                         double member_stiffness, double snug)
{
    require_load("preload", preload);
    require_pitch(pitch);
    require_springs(bolt_stiffness, member_stiffness);
    require_load_at_least_zero("snug", snug);
    require_at_most("snug", snug, preload, "N");
    return 360 / pitch * (preload - snug) * (1 / bolt_stiffness + 1 / member_stiffness);
}

double preload_from_angle(double angle, double pitch, double bolt_stiffness,
                          double member_stiffness, double snug)
{
    require_at_least("angle", angle, 0.0, "degrees");
    require_at_most("angle", angle, 1e6, "degrees");
    require_pitch(pitch);
    require_springs(bolt_stiffness, member_stiffness);
    require_load_at_least_zero("snug", snug);
    return snug + angle / 360 * pitch * in_series(bolt_stiffness, member_stiffness);
}

HotPreload thermal_preload(double preload, double grip, double rise_bolt, double rise_members,
                           double bolt_expansion, double member_expansion, double bolt_stiffness,
                           double member_stiffness)
{
    require_load("preload", preload);
    require_size("grip", grip);
    require_between("rise_bolt", rise_bolt, -10000.0, 10000.0, "K");
    require_between("rise_members", rise_members, -10000.0, 10000.0, "K");
    require_between("bolt_expansion", bolt_expansion, 0.0, 0.001, "1/K");
    require_between("member_expansion", member_expansion, 0.0, 0.001, "1/K");
    require_springs(bolt_stiffness, member_stiffness);
    const double apart = member_expansion * rise_members - bolt_expansion * rise_bolt;
    const double change = grip * apart * in_series(bolt_stiffness, member_stiffness);
    HotPreload hot{.change = change, .preload = std::max(0.0, preload + change)};
    if (preload + change <= 0) {
        hot.status = HotStatus::loose;
        hot.reason = "the change of temperature takes " + wording::kilonewtons(-change) +
                     ", the joint has " + wording::kilonewtons(preload);
        hot.next = "raise the cold preload above " + wording::kilonewtons(-change) +
                   ", or use a bolt that gives more, or one that grows and shrinks as the parts do";
    }
    return hot;
}

}  // namespace enginewright::fasteners
