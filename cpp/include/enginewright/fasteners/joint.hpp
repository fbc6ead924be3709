#pragma once

#include <optional>
#include <span>
#include <string>
#include <tuple>

#include "enginewright/record.hpp"

/// The elastic joint: bolt and clamped parts as two springs.
namespace enginewright::fasteners {

/// Whether the parts stay pressed together under the working load.
enum class JointStatus { clamped, separates };

/// Whether a joint keeps preload when it is hot.
enum class HotStatus { clamped, loose };

}  // namespace enginewright::fasteners

namespace enginewright {
template <>
inline constexpr Words<2> words<fasteners::JointStatus>{"status", {"clamped", "separates"}};
template <>
inline constexpr Words<2> words<fasteners::HotStatus>{"status", {"clamped", "loose"}};
}  // namespace enginewright

namespace enginewright::fasteners {

/// Stiffness of a bolt between head and nut, N/mm.
///
///     bolt_stiffness = modulus / sum of (length / area)
///
/// Sections stand in series: a shank counts pi/4 d², thread in the grip its stress area.
///
/// lengths  of the sections, mm
/// areas    of the sections, mm², as many
/// modulus  of elasticity, MPa; steel 207000
///
/// Source: springs in series.
///
/// >>> round(ew.fasteners.bolt_stiffness([40, 18], [63.617, 58.0], modulus=205000))
/// 218292
double bolt_stiffness(std::span<const double> lengths, std::span<const double> areas,
                      double modulus = 207000.0);

/// Stiffness of the clamped parts, N/mm, by pressure cones.
///
/// Cones grow from both outer faces and meet at half the total thickness; a layer across the middle
/// is cut there. A piece of thickness t that starts z below its face, D = face_diameter +
/// 2 z tan(half_angle), d = diameter:
///
///     k = pi E d tan(a) / ln(((2 t tan(a) + D - d)(D + d)) / ((2 t tan(a) + D + d)(D - d)))
///     1/member_stiffness = sum of 1/k over all pieces of both cones
///
/// For plain plates. A tapped hole: layers down to half the engaged thread, at most half the
/// diameter.
///
/// thicknesses    of the layers from head to nut, mm
/// moduli         of elasticity of each, MPa
/// diameter       of the bolt, mm
/// face_diameter  of head or washer, mm, above `diameter`
/// half_angle     of the cones, degrees, 15 to 45
///
/// Source: Shigley, Mechanical Engineering Design, frusta of pressure.
///
/// >>> round(ew.fasteners.member_stiffness([25, 25], [207000, 100000], 10, 16) / 1000)
/// 1207
double member_stiffness(std::span<const double> thicknesses, std::span<const double> moduli,
                        double diameter, double face_diameter, double half_angle = 30.0);

/// How a preloaded joint shares a working load.
struct Joint {
    double load_share = 0;
    double bolt_load = 0;
    double clamp_load = 0;
    double separation_load = 0;
    std::optional<double> separation_factor{};
    std::optional<double> load_factor{};
    std::optional<double> yield_factor{};
    JointStatus status = JointStatus::clamped;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"load_share", "", &Joint::load_share, "of the working load that the bolt feels"},
            Field{"bolt_load", "N", &Joint::bolt_load, "in the bolt under the load"},
            Field{"clamp_load", "N", &Joint::clamp_load, "left between the parts"},
            Field{"separation_load", "N", &Joint::separation_load,
                  "working load that opens the joint"},
            Field{"separation_factor", "", &Joint::separation_factor, "separation load over load"},
            Field{"load_factor", "", &Joint::load_factor, "times the load until the proof load"},
            Field{"yield_factor", "", &Joint::yield_factor, "proof load over bolt load"},
            Field{"status", "", &Joint::status, "whether the parts stay together"},
            Field{"reason", "", &Joint::reason, "why not, when not"},
            Field{"next", "", &Joint::next, "what to do next"},
        };
    }
    bool operator==(const Joint&) const = default;
};
static_assert(lists_every_member<Joint>);

/// What a working load does to a preloaded joint, per bolt.
///
/// With kb and km the stiffnesses, P = stress_area * proof_strength:
///
///     load_share C    = kb / (kb + km)
///     separation_load = preload / (1 - C)
///     clamped:    bolt_load = preload + C * load,  clamp_load = preload - (1 - C) * load
///     separates:  bolt_load = load,                clamp_load = 0
///     separation_factor = separation_load / load
///     load_factor = (P - preload) / (C * load),  yield_factor = P / bolt_load
///
/// It is "clamped" while the load is below the separation load. Factors are None without P, the
/// first two also without a load (below 1e-9 N).
///
/// preload           N, above 0
/// load              working load on one bolt, N, at least 0
/// bolt_stiffness    kb, N/mm; only the ratio of the two counts
/// member_stiffness  km, N/mm
/// stress_area       of the thread, mm², together with `proof_strength`
/// proof_strength    MPa
///
/// Source: Shigley, Mechanical Engineering Design, tension joints with an external load.
///
/// >>> joint = ew.fasteners.joint(30000, 12000, 300000, 900000)
/// >>> joint.load_share, joint.bolt_load, joint.clamp_load
/// (0.25, 33000.0, 21000.0)
Joint joint(double preload, double load, double bolt_stiffness, double member_stiffness,
            std::optional<double> stress_area = std::nullopt,
            std::optional<double> proof_strength = std::nullopt);

/// Stretch of a bolt by its preload, mm: the best number at the bench.
///
///     stretch = preload / stiffness
///
/// preload    N, at least 0
/// stiffness  of the bolt alone, N/mm
///
/// >>> ew.fasteners.stretch_from_preload(45000, 300000)
/// 0.15
double stretch_from_preload(double preload, double stiffness);

/// Preload of a bolt by its stretch, N.
///
///     preload = stretch * stiffness
///
/// stretch    measured length, tight less loose, mm, at least 0
/// stiffness  of the bolt alone, N/mm
///
/// >>> ew.fasteners.preload_from_stretch(0.15, 300000)
/// 45000.0
double preload_from_stretch(double stretch, double stiffness);

/// Angle to turn from snug to a preload, degrees, while all is elastic.
///
///     angle = 360 / pitch * (preload - snug) * (1/bolt_stiffness + 1/member_stiffness)
///
/// preload           N, above 0
/// pitch             mm
/// bolt_stiffness    N/mm
/// member_stiffness  N/mm
/// snug              preload that the angle starts from, N, 0 to `preload`
///
/// Source: a turn closes one pitch, shared by stretch of the bolt and squeeze of the parts.
///
/// >>> round(ew.fasteners.angle_for_preload(45000, 1.5, 300000, 900000, snug=9000), 1)
/// 38.4
double angle_for_preload(double preload, double pitch, double bolt_stiffness,
                         double member_stiffness, double snug = 0.0);

/// Preload after turning by an angle from snug, N, while all is elastic.
///
///     preload = snug + angle / 360 * pitch * kb * km / (kb + km)
///
/// angle             degrees, at least 0
/// pitch             mm
/// bolt_stiffness    kb, N/mm
/// member_stiffness  km, N/mm
/// snug              preload that the angle starts from, N, at least 0
///
/// >>> ew.fasteners.preload_from_angle(90, 1.5, 300000, 900000, snug=9000)
/// 93375.0
double preload_from_angle(double angle, double pitch, double bolt_stiffness,
                          double member_stiffness, double snug = 0.0);

/// Preload when bolt and parts are hot.
struct HotPreload {
    double change = 0;
    double preload = 0;
    HotStatus status = HotStatus::clamped;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"change", "N", &HotPreload::change, "by the heat; negative: lost"},
            Field{"preload", "N", &HotPreload::preload, "left when hot"},
            Field{"status", "", &HotPreload::status, "whether the joint still holds"},
            Field{"reason", "", &HotPreload::reason, "why not, when not"},
            Field{"next", "", &HotPreload::next, "what to do next"},
        };
    }
    bool operator==(const HotPreload&) const = default;
};
static_assert(lists_every_member<HotPreload>);

/// Preload of a joint whose bolt and parts grow unequally.
///
///     change  = grip * (member_expansion * rise_members - bolt_expansion * rise_bolt)
///               * kb * km / (kb + km)
///     preload = max(0, preload + change)
///
/// A steel bolt in alloy is right when cold and tighter hot. "loose" when nothing is left.
/// Stiffness and strength are taken as at 20 °C.
///
/// preload           cold, N, above 0
/// grip              clamped length, mm
/// rise_bolt         warmer than when tightened, K, either sign
/// rise_members      the parts, K
/// bolt_expansion    1/K, 0 to 0.001
/// member_expansion  1/K, 0 to 0.001
/// bolt_stiffness    kb, N/mm
/// member_stiffness  km, N/mm
///
/// Source: linear expansion of two springs in series.
///
/// >>> hot = ew.fasteners.thermal_preload(40000, 90, 80, 80, 12.3e-6, 21.5e-6, 250000, 750000)
/// >>> round(hot.change)
/// 12420
HotPreload thermal_preload(double preload, double grip, double rise_bolt, double rise_members,
                           double bolt_expansion, double member_expansion, double bolt_stiffness,
                           double member_stiffness);

}  // namespace enginewright::fasteners
