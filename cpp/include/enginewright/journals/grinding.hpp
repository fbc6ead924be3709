#pragma once

#include <optional>
#include <span>
#include <string>
#include <tuple>

#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// At the crank grinder: a new stroke, the finish that is left, the fillet and the shell.
namespace enginewright::journals {

/// Whether an offset pin comes clean.
///
/// cleans up          enough comes off on every side
/// does not clean up  the thin side keeps its old surface
enum class OffsetStatus { cleans_up, does_not_clean_up };

/// How readings of roughness are held against one upper limit.
///
/// 16 percent  some few of them may be above it
/// maximum     none may
enum class FinishRule { sixteen_percent, maximum };

/// Whether a shell keeps clear of the fillet beside its journal.
///
/// clear             it does
/// rides the fillet  it would stand on it
enum class FilletStatus { clear, rides };

}  // namespace enginewright::journals

namespace enginewright {
template <>
inline constexpr Words<2> words<journals::OffsetStatus>{"status",
                                                        {"cleans up", "does not clean up"}};
template <>
inline constexpr Words<2> words<journals::FinishRule>{"rule", {"16 percent", "maximum"}};
template <>
inline constexpr Words<2> words<journals::FilletStatus>{"status", {"clear", "rides the fillet"}};
}  // namespace enginewright

namespace enginewright::journals {

/// A crankpin ground off its old centre for another stroke.
struct OffsetGrind {
    double offset = 0;
    double stroke_change = 0;
    double thin_side = 0;
    double thick_side = 0;
    OffsetStatus status = OffsetStatus::cleans_up;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using O = OffsetGrind;
        return std::tuple{
            Field{"offset", "mm", &O::offset, "new centre, + away from the crank's axis"},
            Field{"stroke_change", "mm", &O::stroke_change, "new stroke less old"},
            Field{"thin_side", "mm", &O::thin_side, "least off the radius"},
            Field{"thick_side", "mm", &O::thick_side, "most off the radius"},
            Field{"status", "", &O::status, "whether it comes clean"},
            Field{"reason", "", &O::reason, "why, when it does not"},
            Field{"next", "", &O::next, "what it changes, and what to check"},
        };
    }
    bool operator==(const OffsetGrind&) const = default;
};
static_assert(lists_every_member<OffsetGrind>);

/// Offset grinding: a smaller pin, its centre moved, for a longer or a shorter stroke.
///
///     stock = (journal - finish_journal) / 2
///     offset = stock - clean_up, but at least 0        (when none is given)
///     stroke_change = 2 * offset
///     thin_side, thick_side = stock - |offset|, stock + |offset|
///
/// The piston rises by the offset: look at deck clearance and compression before the wheel starts.
///
/// journal         pin as it is, mm, above 0
/// finish_journal  pin as it will be, mm, below journal
/// clean_up        least to come off on radius, mm, at least 0
/// offset          mm, + away from the crank's axis; none: the greatest that still cleans up
///
/// Source: geometry; derived.
///
/// >>> found = ew.journals.offset_grind(53.98, 50.80, clean_up=0.05)
/// >>> round(found.stroke_change, 3), found.status
/// (3.08, 'cleans up')
OffsetGrind offset_grind(double journal, double finish_journal, double clean_up = 0.0,
                         std::optional<double> offset = std::nullopt);

/// Readings of roughness against their upper limit. Figures in the unit of the readings.
struct SurfaceFinish {
    int count = 0;
    int over = 0;
    double mean = 0;
    double greatest = 0;
    std::optional<int> next_count{};
    Standing verdict = Standing::unlimited;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using S = SurfaceFinish;
        return std::tuple{
            Field{"count", "", &S::count, "readings taken"},
            Field{"over", "", &S::over, "readings above the limit"},
            Field{"mean", "", &S::mean, "mean of the readings"},
            Field{"greatest", "", &S::greatest, "greatest reading"},
            Field{"next_count", "", &S::next_count, "readings wanted in all, when still open"},
            Field{"verdict", "", &S::verdict, "by the rule"},
            Field{"reason", "", &S::reason, "why"},
            Field{"next", "", &S::next, "what to do next"},
        };
    }
    bool operator==(const SurfaceFinish&) const = default;
};
static_assert(lists_every_member<SurfaceFinish>);

/// Roughness against an upper limit, by the rule of one reading in six or by the greatest.
///
/// "16 percent", the first that applies:
///
///     outside: more than the greater of 2 and 16 % of the readings are above the limit
///     within: the first reading is at most 0.7 of the limit
///             or none of the first 3 is above it
///             or at most one of the first 6
///             or there are 12 or more
///     else unproven: next_count says how many to take in all
///
/// "maximum": outside when any reading is above the limit, else within.
///
/// readings  Ra, Rz or another, in the order taken, each at least 0, at least one
/// limit     in the same unit, above 0
/// rule      "16 percent" or "maximum"
///
/// Source: ISO 4288:1996, annex A; drawings to ISO 21920 mean "maximum" unless they say otherwise;
/// both from memory.
///
/// >>> found = ew.journals.surface_finish([0.18, 0.21, 0.19], 0.20)
/// >>> found.verdict, found.next_count
/// ('unproven', 6)
SurfaceFinish surface_finish(std::span<const double> readings, double limit,
                             FinishRule rule = FinishRule::sixteen_percent);

/// How near a shell comes to the fillet beside its journal.
struct FilletClearance {
    double clearance = 0;
    double side_corner = 0;
    double running_corner = 0;
    FilletStatus status = FilletStatus::clear;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using C = FilletClearance;
        return std::tuple{
            Field{"clearance", "mm", &C::clearance, "the nearer corner; negative: it stands on"},
            Field{"side_corner", "mm", &C::side_corner, "corner of the shell's end face"},
            Field{"running_corner", "mm", &C::running_corner, "corner of the running surface"},
            Field{"status", "", &C::status, "whether the shell keeps clear"},
            Field{"reason", "", &C::reason, "why, when it does not"},
            Field{"next", "", &C::next, "what to do next"},
        };
    }
    bool operator==(const FilletClearance&) const = default;
};
static_assert(lists_every_member<FilletClearance>);

/// Distance from a chamfered shell to the fillet beside its journal, mm.
///
/// The fillet is a quarter of a circle of radius R that touches the web and the journal; x counts
/// from the web, y from the journal's surface. The two corners of the chamfer stand at
///
///     (side_gap, bearing_clearance / 2 + chamfer_radial)
///     (side_gap + chamfer_axial, bearing_clearance / 2)
///
/// and a corner's distance is R - hypot(R - x, R - y) inside the fillet's square, else that to the
/// web or to the journal. A line between two corners is never nearer than the nearer of them.
/// "clear" while it is above 0.
///
/// fillet_radius      mm, above 0
/// side_gap           shell to web, the crank pushed to that side, mm, at least 0
/// chamfer_axial      along the journal, mm, at least 0
/// chamfer_radial     off the journal, mm, at least 0
/// bearing_clearance  on diameter, mm, at least 0
///
/// Source: geometry; derived.
///
/// >>> found = ew.journals.fillet_clearance(3.0, 0.3, 0.8, 0.8, 0.05)
/// >>> round(found.clearance, 3), found.status
/// (-0.53, 'rides the fillet')
FilletClearance fillet_clearance(double fillet_radius, double side_gap, double chamfer_axial,
                                 double chamfer_radial, double bearing_clearance);

}  // namespace enginewright::journals
