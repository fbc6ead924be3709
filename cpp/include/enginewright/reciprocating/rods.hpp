#pragma once

#include <complex>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <variant>
#include <vector>

#include "enginewright/record.hpp"

/// Rods and bobweights: what turns with the pin, what goes with the piston, and what is clamped on
/// the crank in their place while it is spun.
namespace enginewright::reciprocating {

/// One figure for all, or one for each.
using OneOrEach = std::variant<double, std::vector<double>>;

/// Whether the two ends of a rod add up to the rod.
enum class SplitStatus { agrees, disagrees, unchecked };

/// Why a crank needs bobweights, or that it needs none.
enum class NeedReason { force, couple, self_balanced };

}  // namespace enginewright::reciprocating

namespace enginewright {
template <>
inline constexpr Words<3> words<reciprocating::SplitStatus>{"status",
                                                            {"agrees", "disagrees", "unchecked"}};
template <>
inline constexpr Words<3> words<reciprocating::NeedReason>{"reason",
                                                           {"force", "couple", "self balanced"}};
}  // namespace enginewright

namespace enginewright::reciprocating {

/// A rod as two masses: one turns with the pin, one goes with the piston.
struct RodSplit {
    double rotating = 0;
    double reciprocating = 0;
    double total = 0;
    std::optional<double> closure{};
    SplitStatus status = SplitStatus::unchecked;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"rotating", "g", &RodSplit::rotating, "big end: turns with the pin"},
            Field{"reciprocating", "g", &RodSplit::reciprocating,
                  "small end: goes with the piston"},
            Field{"total", "g", &RodSplit::total, "both ends together"},
            Field{"closure", "g", &RodSplit::closure,
                  "both ends less the rod weighed in one piece; none when it was not"},
            Field{"status", "", &RodSplit::status, "whether the weighings agree"},
            Field{"reason", "", &RodSplit::reason, "why, when they do not"},
            Field{"next", "", &RodSplit::next, "what to do next"},
        };
    }
    bool operator==(const RodSplit&) const = default;
};
static_assert(lists_every_member<RodSplit>);

/// A rod split by weighing each end with the other hung level, g.
///
///     rotating = big_end,  reciprocating = small_end,  closure = big_end + small_end - total
///
/// The two ends must add up to the rod; a rod that hangs out of level, or drags on its support,
/// does not close.
///
/// big_end    reading at the big end, g, above 0
/// small_end  reading at the small end, g, above 0
/// total      the whole rod weighed in one piece, g; none: not checked
/// allowed    greatest closure that agrees, g, at least 0
///
/// Source: common practice: rod hung level, each end weighed, the sum checked against the rod.
///
/// >>> split = ew.reciprocating.rod_split(455.2, 171.3, total=626.9)
/// >>> round(split.closure, 3), split.status
/// (-0.4, 'agrees')
RodSplit rod_split(double big_end, double small_end, std::optional<double> total, double allowed);

/// A rod split by its centre of mass, g.
///
///     rotating = mass (length - c) / length,   reciprocating = mass c / length
///
/// mass           of the whole rod, g, above 0
/// length         between the centres of its eyes, mm, above 0
/// centre_to_big  c, from the big end's centre to the centre of mass, mm, between 0 and length
///
/// Source: two masses with the rod's mass and centre; Norton, Design of Machinery.
///
/// >>> ew.reciprocating.rod_split_at_centre(620, 155, 46.5).rotating
/// 434.0
RodSplit rod_split_at_centre(double mass, double length, double centre_to_big);

/// What is clamped on one crankpin.
struct Bobweight {
    double mass = 0;
    double rotating_part = 0;
    double reciprocating_part = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"mass", "g", &Bobweight::mass, "of the bobweight, a pin"},
            Field{"rotating_part", "g", &Bobweight::rotating_part,
                  "big ends, shells and oil: all of it"},
            Field{"reciprocating_part", "g", &Bobweight::reciprocating_part,
                  "the share of what goes with the pistons"},
        };
    }
    bool operator==(const Bobweight&) const = default;
};
static_assert(lists_every_member<Bobweight>);

/// Mass of the bobweight for one crankpin, g.
///
///     mass = k rotating + oil + k factor reciprocating,   k = rods_per_pin
///
/// rotating       of one cylinder: big end and shells, g, at least 0
/// reciprocating  of one cylinder: piston, rings, pin, locks, small end, g, at least 0
/// factor         balance factor, a fraction from 0 to 1 (0.5, not 50)
/// rods_per_pin   1 or 2
/// oil            in the pin's drillings, g, at least 0
///
/// Source: common practice: all of the rotating and a share of the reciprocating mass.
///
/// >>> ew.reciprocating.bobweight(480, 760, 0.5, rods_per_pin=2, oil=5).mass
/// 1725.0
Bobweight bobweight(double rotating, double reciprocating, double factor, double rods_per_pin,
                    double oil);

/// Whether a crank is spun with bobweights or bare.
struct BobweightNeed {
    bool needed = false;
    std::complex<double> force_sum{};
    std::complex<double> couple_sum{};
    NeedReason reason = NeedReason::self_balanced;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"needed", "", &BobweightNeed::needed, "whether bobweights go on"},
            Field{"force_sum", "", &BobweightNeed::force_sum, "of the pins' directions"},
            Field{"couple_sum", "mm", &BobweightNeed::couple_sum,
                  "of the pins' directions times their place from the middle"},
            Field{"reason", "", &BobweightNeed::reason, "what equal masses on the pins leave"},
        };
    }
    bool operator==(const BobweightNeed&) const = default;
};
static_assert(lists_every_member<BobweightNeed>);

/// Whether equal masses on every pin leave a force or a couple, so that bobweights are needed.
///
///     force_sum = sum e^(i throw),   couple_sum = sum (z - mean z) e^(i throw)
///
/// Where both vanish (flat-plane inline four, inline six) masses on the pins change nothing: spin
/// the crank bare. One entry a **pin**, not a cylinder. A force is named before a couple.
///
/// throw_angles  of the pins, degrees
/// positions     of the pins along the crank, mm, as many
///
/// Source: sums of unit vectors; common practice agrees.
///
/// >>> ew.reciprocating.bobweight_needed([0, 180, 180, 0], [0, 88, 176, 264]).reason
/// 'self balanced'
BobweightNeed bobweight_needed(std::span<const double> throw_angles,
                               std::span<const double> positions);

/// How well bobweights must be made.
struct BobweightTolerance {
    double worst_case = 0;
    double statistical = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"worst_case", "g", &BobweightTolerance::worst_case,
                  "error of each, if all of them fall the worst way"},
            Field{"statistical", "g", &BobweightTolerance::statistical,
                  "error of each, if they fall independently"},
        };
    }
    bool operator==(const BobweightTolerance&) const = default;
};
static_assert(lists_every_member<BobweightTolerance>);

/// Largest error of a bobweight that spends only a share of the crank's tolerance, g.
///
/// With s the lever share of a pin in a tolerance plane:
///
///     worst_case = min over planes of share tolerance / (crank_radius sum |s|)
///     statistical = the same with the root of the sum of squares
///
/// crank_radius      half the stroke, mm, above 0
/// throw_angles      of the pins, degrees; only their number matters
/// positions         of the pins, mm, as many
/// tolerance         permissible unbalance in each plane, g mm, above 0; one figure or two
/// tolerance_planes  the two planes, mm, different
/// share             of the tolerance that bobweights may spend, 0 to 1, above 0
///
/// Source: lever rule; a tenth is common practice.
///
/// >>> best = ew.reciprocating.bobweight_tolerance(44, [0, 90, 270, 180], [50, 150, 250, 350],
/// ...                                             [60, 60], [0, 400])
/// >>> round(best.worst_case, 4), round(best.statistical, 4)
/// (0.0682, 0.119)
BobweightTolerance bobweight_tolerance(double crank_radius, std::span<const double> throw_angles,
                                       std::span<const double> positions,
                                       const std::optional<OneOrEach>& tolerance,
                                       std::span<const double> tolerance_planes, double share);

}  // namespace enginewright::reciprocating
