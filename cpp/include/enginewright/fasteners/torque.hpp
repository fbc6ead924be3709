#pragma once

#include <optional>
#include <string>
#include <tuple>

#include "enginewright/record.hpp"

/// Torque and the preload it leaves: nine tenths of the torque is friction.
namespace enginewright::fasteners {

/// Where the band of preloads lies against the bolt's proof load.
enum class PreloadStatus { within, may_pass, passes, no_proof_load };

}  // namespace enginewright::fasteners

namespace enginewright {
template <>
inline constexpr Words<4> words<fasteners::PreloadStatus>{
    "status", {"within proof load", "may pass proof load", "passes proof load", "no proof load"}};
}  // namespace enginewright

namespace enginewright::fasteners {

/// Nut factor K of torque = K * preload * diameter, from thread and frictions.
///
/// With d2 the pitch diameter, t = pitch / (pi d2), s = thread_friction / cos 30° (the flank of a
/// 60° thread as a wedge):
///
///     K = (d2/2 * (t + s) / (1 - s t) + bearing_friction * bearing_diameter / 2) / diameter
///
/// diameter          nominal, mm
/// pitch             mm, at most a third of the diameter
/// thread_friction   0 to 1
/// bearing_friction  under head or nut, 0 to 1
/// bearing_diameter  mean diameter of the rubbing face, mm, above `diameter`; none: 1.25 diameter
///
/// Source: Shigley, Mechanical Engineering Design, torque of a fastener (square wedge with the
///     flank angle).
///
/// >>> oiled = ew.fasteners.nut_factor(10, pitch=1.5, thread_friction=0.12, bearing_friction=0.12)
/// >>> round(oiled, 3)
/// 0.162
double nut_factor(double diameter, double pitch, double thread_friction, double bearing_friction,
                  std::optional<double> bearing_diameter = std::nullopt);

/// Torque that leaves a preload, N·m.
///
///     torque = K * preload * diameter / 1000
///
/// K is given as `nut_factor`, or follows from pitch and both frictions; not both.
///
/// preload           N, above 0
/// diameter          nominal, mm
/// nut_factor        K, above 0 to 1; dry near 0.20, oiled near 0.16: common practice
/// pitch             mm, with both frictions
/// thread_friction   0 to 1
/// bearing_friction  0 to 1
/// bearing_diameter  mm; none: 1.25 diameter
///
/// >>> ew.fasteners.torque_for_preload(40000, 10, nut_factor=0.15)
/// 60.0
double torque_for_preload(double preload, double diameter,
                          std::optional<double> nut_factor = std::nullopt,
                          std::optional<double> pitch = std::nullopt,
                          std::optional<double> thread_friction = std::nullopt,
                          std::optional<double> bearing_friction = std::nullopt,
                          std::optional<double> bearing_diameter = std::nullopt);

/// Preload that a torque leaves, N: the other way round.
///
///     preload = 1000 * torque / (K * diameter)
///
/// torque            N·m, above 0
/// diameter          nominal, mm
/// nut_factor        K, above 0 to 1
/// pitch             mm, with both frictions
/// thread_friction   0 to 1
/// bearing_friction  0 to 1
/// bearing_diameter  mm; none: 1.25 diameter
///
/// >>> ew.fasteners.preload_from_torque(60, 10, nut_factor=0.15)
/// 40000.0
double preload_from_torque(double torque, double diameter,
                           std::optional<double> nut_factor = std::nullopt,
                           std::optional<double> pitch = std::nullopt,
                           std::optional<double> thread_friction = std::nullopt,
                           std::optional<double> bearing_friction = std::nullopt,
                           std::optional<double> bearing_diameter = std::nullopt);

/// The band of preloads that one torque leaves in a row of bolts.
struct PreloadRange {
    double preload = 0;
    double least = 0;
    double greatest = 0;
    std::optional<double> proof_load{};
    std::optional<double> share{};
    std::optional<double> torque_limit{};
    PreloadStatus status = PreloadStatus::within;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"preload", "N", &PreloadRange::preload, "by the nut factor"},
            Field{"least", "N", &PreloadRange::least, "with the scatter against it"},
            Field{"greatest", "N", &PreloadRange::greatest, "with the scatter on top"},
            Field{"proof_load", "N", &PreloadRange::proof_load, "of the bolt, when given"},
            Field{"share", "", &PreloadRange::share, "preload over proof load"},
            Field{"torque_limit", "N·m", &PreloadRange::torque_limit,
                  "torque whose greatest preload is the proof load"},
            Field{"status", "", &PreloadRange::status, "where the band lies"},
            Field{"reason", "", &PreloadRange::reason, "why, when it may pass"},
            Field{"next", "", &PreloadRange::next, "what to do instead"},
        };
    }
    bool operator==(const PreloadRange&) const = default;
};
static_assert(lists_every_member<PreloadRange>);

/// The preloads that a torque leaves, with the scatter of friction, against the proof load.
///
///     least, greatest = preload * (1 -+ scatter)
///     share = preload / proof_load,  torque_limit = torque * proof_load / greatest
///
/// A wrench on oiled threads scatters by about a quarter either way, tightening by angle 0.15, by
/// stretch 0.05; for bolts that are used again aim at 75 % of the proof load: common practice, no
/// source.
///
/// torque            N·m, above 0
/// diameter          nominal, mm
/// nut_factor        K, above 0 to 1
/// pitch             mm, with both frictions
/// thread_friction   0 to 1
/// bearing_friction  0 to 1
/// bearing_diameter  mm; none: 1.25 diameter
/// scatter           share of the preload either way, at least 0 and below 1
/// proof_load        of the bolt, N; none: not compared
///
/// >>> band = ew.fasteners.preload_range(60, 10, nut_factor=0.15, proof_load=48100)
/// >>> band.status, band.next
/// ('may pass proof load', 'set at most 57.7 N·m, or tighten by angle or stretch')
PreloadRange preload_range(double torque, double diameter,
                           std::optional<double> nut_factor = std::nullopt,
                           std::optional<double> pitch = std::nullopt,
                           std::optional<double> thread_friction = std::nullopt,
                           std::optional<double> bearing_friction = std::nullopt,
                           std::optional<double> bearing_diameter = std::nullopt,
                           double scatter = 0.25, std::optional<double> proof_load = std::nullopt);

}  // namespace enginewright::fasteners
