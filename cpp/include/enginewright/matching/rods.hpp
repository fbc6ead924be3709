#pragma once

#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/matching/masses.hpp"
#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// Connecting rods weighed at both ends, and what grinding at a balance pad does to each end.
///
/// Places along a rod are counted from the big-end centre (0) towards the small-end centre
/// (length). The balance pads usually lie beyond the centres: pad_big below 0, pad_small above the
/// length. With the rod level, metal at x weighs 1 - x/L at the big end and x/L at the small one.
namespace enginewright::matching {

/// Whether metal taken off at two pads gives the weights that are wanted.
enum class RemovalStatus { possible, not_possible, over_limit };

}  // namespace enginewright::matching

namespace enginewright {
template <>
inline constexpr Words<3> words<matching::RemovalStatus>{
    "status", {"possible", "not possible", "over limit"}};
}  // namespace enginewright

namespace enginewright::matching {

/// The two ends of a rod, put right with the weight of the whole.
struct RodEnds {
    double big_end = 0;
    double small_end = 0;
    double total = 0;
    std::optional<double> centre_of_mass{};
    std::optional<double> residual{};
    std::optional<double> residual_allowed{};
    double uncertainty = 0;
    Standing verdict = Standing::unlimited;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"big_end", "g", &RodEnds::big_end, "weight at the big end, put right"},
            Field{"small_end", "g", &RodEnds::small_end, "weight at the small end, put right"},
            Field{"total", "g", &RodEnds::total, "sum of the two"},
            Field{"centre_of_mass", "mm", &RodEnds::centre_of_mass, "from the big-end centre"},
            Field{"residual", "g", &RodEnds::residual, "both ends as weighed less the whole"},
            Field{"residual_allowed", "g", &RodEnds::residual_allowed, "what the balance explains"},
            Field{"uncertainty", "g", &RodEnds::uncertainty,
                  "standard (k = 1), of each end put right"},
            Field{"verdict", "", &RodEnds::verdict, "whether ends and whole agree"},
            Field{"reason", "", &RodEnds::reason, "why, when they do not"},
            Field{"next", "", &RodEnds::next, "what to do next"},
        };
    }
    bool operator==(const RodEnds&) const = default;
};
static_assert(lists_every_member<RodEnds>);

/// Weights of a rod's ends from two weighings, checked and put right by the weight of the whole.
///
/// Three weighings of two unknowns leave one misclosure; least squares of equal weighings gives a
/// third of it to each:
///
///     residual = big_end + small_end - total
///     big_end' = big_end - residual/3,  small_end' = small_end - residual/3
///     total'   = big_end' + small_end'
///     centre_of_mass = length * small_end' / total'
///     residual_allowed = 2 * root 3 * uncertainty
///
/// Without `total` the ends stand as weighed. The verdict is "within" when |residual| is at most
/// what is allowed, else "outside"; "unlimited" without a total or with an uncertainty of 0.
///
/// big_end      weighed at the big end, small end held level, g, above 0
/// small_end    weighed at the small end, big end held level, g, above 0
/// total        the whole rod on the balance, g; none: not weighed
/// length       between the centres, mm; none: not asked
/// uncertainty  standard (k = 1), of each weighing, g; an end put right keeps root 2/3 of it
///
/// Source: least squares of three equal observations.
///
/// >>> ends = ew.matching.rod_ends(430.2, 170.1, total=600.0, length=140, uncertainty=0.3)
/// >>> round(ends.big_end, 3), round(ends.small_end, 3), ends.verdict
/// (430.1, 170.0, 'within')
RodEnds rod_ends(double big_end, double small_end, std::optional<double> total = std::nullopt,
                 std::optional<double> length = std::nullopt, double uncertainty = 0.0);

/// Metal off the two pads of one rod.
struct RodRemoval {
    double remove_big = 0;
    double remove_small = 0;
    double removed = 0;
    RemovalStatus status = RemovalStatus::possible;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"remove_big", "g", &RodRemoval::remove_big, "off the big-end pad"},
            Field{"remove_small", "g", &RodRemoval::remove_small, "off the small-end pad"},
            Field{"removed", "g", &RodRemoval::removed, "off both pads together"},
            Field{"status", "", &RodRemoval::status, "whether it can be ground"},
            Field{"reason", "", &RodRemoval::reason, "why not, when not"},
            Field{"next", "", &RodRemoval::next, "what to grind, or what to do instead"},
        };
    }
    bool operator==(const RodRemoval&) const = default;
};
static_assert(lists_every_member<RodRemoval>);

/// Metal to take off at two pads so that the weighed ends lose just their excesses.
///
/// Grinding at one end changes the other end too. With the pads at x1, x2 and L the length:
///
///     remove_big   = (excess_big * x2 - excess_small * (L - x2)) / (x2 - x1)
///     remove_small = (excess_small * (L - x1) - excess_big * x1) / (x2 - x1)
///
/// The figures stand whatever the status; a negative one means that metal would have to be added
/// there, "not possible", which goes before "over limit". With pads beyond the centres one heavy
/// end can be cured alone, with pads between them neither.
///
/// excess_big    what the big end must lose, g; any sign
/// excess_small  what the small end must lose, g; any sign
/// length        between the centres, mm, above 0
/// pad_big       place of the big-end pad from the big-end centre, mm; beyond it: negative
/// pad_small     place of the small-end pad from the big-end centre, mm, above pad_big
/// limit_big     most that may come off the big-end pad, g; none: no limit
/// limit_small   most that may come off the small-end pad, g; none: no limit
///
/// Source: two equations of the lever.
///
/// >>> off = ew.matching.rod_removal(3.0, 2.0, length=140, pad_big=-28, pad_small=154)
/// >>> round(off.remove_big, 3), round(off.remove_small, 3), off.status
/// (2.692, 2.308, 'possible')
RodRemoval rod_removal(double excess_big, double excess_small, double length, double pad_big,
                       double pad_small, std::optional<double> limit_big = std::nullopt,
                       std::optional<double> limit_small = std::nullopt);

/// Common end weights for a set of rods, and the least metal that gets there.
struct RodPlan {
    double target_big = 0;
    double target_small = 0;
    std::vector<double> remove_big{};
    std::vector<double> remove_small{};
    double total_removed = 0;
    std::vector<double> at_pad_big{};
    std::vector<double> at_pad_small{};
    std::vector<int> over_limit_big{};
    std::vector<int> over_limit_small{};
    MatchStatus status = MatchStatus::matched;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"target_big", "g", &RodPlan::target_big, "weight of each big end afterwards"},
            Field{"target_small", "g", &RodPlan::target_small,
                  "weight of each small end afterwards"},
            Field{"remove_big", "g", &RodPlan::remove_big, "off each rod's big-end pad"},
            Field{"remove_small", "g", &RodPlan::remove_small, "off each rod's small-end pad"},
            Field{"total_removed", "g", &RodPlan::total_removed, "off all rods together"},
            Field{"at_pad_big", "g", &RodPlan::at_pad_big, "each rod hung from its pads, big end"},
            Field{"at_pad_small", "g", &RodPlan::at_pad_small,
                  "each rod hung from its pads, small end"},
            Field{"over_limit_big", "", &RodPlan::over_limit_big,
                  "rods that lose too much at the big-end pad"},
            Field{"over_limit_small", "", &RodPlan::over_limit_small,
                  "rods that lose too much at the small-end pad"},
            Field{"status", "", &RodPlan::status, "whether the set can be matched"},
            Field{"reason", "", &RodPlan::reason, "why not, when not"},
            Field{"next", "", &RodPlan::next, "what to grind off which rod, or which to replace"},
        };
    }
    bool operator==(const RodPlan&) const = default;
};
static_assert(lists_every_member<RodPlan>);

/// The least metal that gives a set of rods the same weight at both ends.
///
/// Hang each rod in thought from its two pads instead of its centres: at_pad_big and at_pad_small
/// are the formulas of `rod_removal` with the rod's own ends as excesses. Grinding at one pad
/// changes that one figure alone, so every rod goes down to the lightest of each pad, A and B:
///
///     remove_big_i = at_pad_big_i - A,  remove_small_i = at_pad_small_i - B
///     target_big   = A * (1 - x1/L) + B * (1 - x2/L)
///     target_small = (A * x1 + B * x2) / L
///
/// It is exact: no other targets take less off, and where some removal exceeds its limit no other
/// targets do better. With pads at 0 and `length` each end goes down to its lightest.
///
/// With tolerances rods that lie near enough stay as they are: of all choices that keep the
/// finished set, its targets included, within them from greatest to least, the one that takes least
/// off (exact); the others go down to the targets. A set within both loses nothing.
///
/// The doubt u of one weighing becomes u * hypot(x2, L - x2) / (x2 - x1) at the big-end pad and
/// u * hypot(x1, L - x1) / (x2 - x1) at the small one. An odd rod for a finished set goes through
/// `rod_removal` with its weights less the targets.
///
/// big_ends         weights at the big end, two rods or more, g
/// small_ends       weights at the small end, as many, g
/// length           between the centres, mm, above 0
/// pad_big          place of the big-end pad, mm; beyond the big-end centre: negative
/// pad_small        place of the small-end pad, mm, above pad_big
/// limit_big        most that may come off each big-end pad, g; none: no limit
/// limit_small      most that may come off each small-end pad, g; none: no limit
/// tolerance_big    how far apart finished big ends may lie, g, at least 0
/// tolerance_small  how far apart finished small ends may lie, g, at least 0
///
/// >>> plan = ew.matching.match_rods([432.0, 430.0, 431.0], [166.0, 167.0, 165.0], length=140,
/// ...                               pad_big=-28, pad_small=154)
/// >>> round(plan.target_big, 2), round(plan.target_small, 2), round(plan.total_removed, 2)
/// (430.17, 165.14, 5.08)
RodPlan match_rods(std::span<const double> big_ends, std::span<const double> small_ends,
                   double length, double pad_big, double pad_small,
                   std::optional<double> limit_big = std::nullopt,
                   std::optional<double> limit_small = std::nullopt, double tolerance_big = 0.0,
                   double tolerance_small = 0.0);

}  // namespace enginewright::matching
