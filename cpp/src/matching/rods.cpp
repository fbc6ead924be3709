#include "enginewright/matching/rods.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

#include "matching/require.hpp"
#include "matching/rods_left.hpp"
#include "wording.hpp"

namespace enginewright::matching {

using wording::grams;

namespace {

/// A rod's length and pads: what its weights are carried by.
struct Pads {
    double length;
    double big;
    double small;

    double span() const { return small - big; }
    /// Weight that hangs at the big-end pad when the ends weigh so much at their centres.
    double at_big(double big_end, double small_end) const
    {
        return (big_end * small - small_end * (length - small)) / span();
    }
    double at_small(double big_end, double small_end) const
    {
        return (small_end * (length - big) - big_end * big) / span();
    }
};

Pads pads_of(double length, double pad_big, double pad_small)
{
    require_size("length", length);
    // Anything shorter is no rod, and the levers would overflow.
    require_at_least("length", length, 1e-3, "mm");
    require_length("pad_big", pad_big);
    require_length("pad_small", pad_small);
    if (pad_small - pad_big <= 1e-6 * length) {
        refuse("pad_small", "above pad_big, " + number_text(pad_big) + " mm", pad_small);
    }
    return {length, pad_big, pad_small};
}

void require_limits(std::optional<double> limit_big, std::optional<double> limit_small)
{
    if (limit_big) {
        require_mass_at_least_zero("limit_big", *limit_big);
    }
    if (limit_small) {
        require_mass_at_least_zero("limit_small", *limit_small);
    }
}

bool over(double removal, std::optional<double> limit) { return limit && removal > *limit + slack; }

constexpr std::string_view at_big_pad = " at the big-end pad";
constexpr std::string_view at_small_pad = " at the small-end pad";

std::string off(double removal, std::string_view where)
{
    return grams(removal) + " off" + std::string(where);
}

/// "2.1 g off at the big-end pad, 1.0 g off at the small-end pad"; empty when nothing comes off.
std::string ground(double big, double small)
{
    std::vector<std::string> pieces;
    if (big > slack) {
        pieces.push_back(off(big, at_big_pad));
    }
    if (small > slack) {
        pieces.push_back(off(small, at_small_pad));
    }
    return wording::joined(pieces, ", ");
}

void say_what_must_be_added(RodRemoval& plan)
{
    std::vector<std::string> pieces;
    const auto add = [&](double removal, std::string_view where) {
        if (removal < -slack) {
            pieces.push_back(grams(-removal) + " would have to be added" + std::string(where));
        }
    };
    add(plan.remove_big, at_big_pad);
    add(plan.remove_small, at_small_pad);
    plan.reason = wording::joined(pieces, ", ");
    plan.next = "lower the excess or use a pad beyond the centre";
}

void say_what_is_too_much(RodRemoval& plan, std::optional<double> limit_big,
                          std::optional<double> limit_small)
{
    std::vector<std::string> pieces;
    const auto add = [&](double removal, std::optional<double> limit, std::string_view where) {
        if (over(removal, limit)) {
            pieces.push_back(grams(removal) + " must come off" + std::string(where) + ", " +
                             grams(*limit) + " may");
        }
    };
    add(plan.remove_big, limit_big, at_big_pad);
    add(plan.remove_small, limit_small, at_small_pad);
    plan.reason = wording::joined(pieces, "; ");
    plan.next = "replace this rod by a lighter one, or match the set to heavier ends";
}

}  // namespace

RodEnds rod_ends(double big_end, double small_end, std::optional<double> total,
                 std::optional<double> length, double uncertainty)
{
    require_mass("big_end", big_end);
    require_mass("small_end", small_end);
    if (total) {
        require_mass("total", *total);
    }
    if (length) {
        require_size("length", *length);
    }
    require_mass_at_least_zero("uncertainty", uncertainty);
    RodEnds ends{.uncertainty = uncertainty};
    double share = 0;
    if (total) {
        ends.residual = big_end + small_end - *total;
        share = *ends.residual / 3;
        ends.uncertainty = std::sqrt(2.0 / 3.0) * uncertainty;
        if (uncertainty > 0) {
            ends.residual_allowed = 2 * std::numbers::sqrt3 * uncertainty;
        }
    }
    ends.big_end = big_end - share;
    ends.small_end = small_end - share;
    ends.total = ends.big_end + ends.small_end;
    if (length) {
        ends.centre_of_mass = *length * (ends.small_end / ends.total);
    }
    if (ends.residual_allowed) {
        const double apart = std::abs(*ends.residual);
        ends.verdict =
            apart <= *ends.residual_allowed + slack ? Standing::within : Standing::outside;
        if (ends.verdict == Standing::outside) {
            ends.reason = "ends and whole differ by " + grams(apart) + ", the balance explains " +
                          grams(*ends.residual_allowed);
            ends.next =
                "level the fixture and weigh again: ends and whole differ by " + grams(apart);
        }
    }
    return ends;
}

RodRemoval rod_removal(double excess_big, double excess_small, double length, double pad_big,
                       double pad_small, std::optional<double> limit_big,
                       std::optional<double> limit_small)
{
    require_between("excess_big", excess_big, -greatest_mass, greatest_mass, "g");
    require_between("excess_small", excess_small, -greatest_mass, greatest_mass, "g");
    const Pads pads = pads_of(length, pad_big, pad_small);
    require_limits(limit_big, limit_small);
    RodRemoval plan{.remove_big = pads.at_big(excess_big, excess_small),
                    .remove_small = pads.at_small(excess_big, excess_small)};
    plan.removed = plan.remove_big + plan.remove_small;
    if (plan.remove_big < -slack || plan.remove_small < -slack) {
        plan.status = RemovalStatus::not_possible;
        say_what_must_be_added(plan);
    } else if (over(plan.remove_big, limit_big) || over(plan.remove_small, limit_small)) {
        plan.status = RemovalStatus::over_limit;
        say_what_is_too_much(plan, limit_big, limit_small);
    } else {
        plan.next = ground(plan.remove_big, plan.remove_small);
    }
    return plan;
}

namespace {

/// What one pad of the set looks like: who loses too much, who is the light one.
struct Pad {
    std::span<const double> hung;
    std::span<const double> removed;
    std::span<const int> over_limit;
    std::optional<double> limit;
    std::string_view where;

    std::string reason() const
    {
        std::vector<std::string> pieces;
        for (const int i : over_limit) {
            pieces.push_back(wording::part("rod", i) + " would lose " +
                             grams(removed[static_cast<std::size_t>(i)]) + std::string(where) +
                             ", " + grams(*limit) + " may come off");
        }
        return wording::joined(pieces, "; ");
    }

    std::string next() const
    {
        if (over_limit.empty()) {
            return "";
        }
        const double lack = *std::max_element(removed.begin(), removed.end()) - *limit;
        std::vector<int> light;
        for (std::size_t i = 0; i < removed.size(); ++i) {
            if (removed[i] < lack - slack) {
                light.push_back(static_cast<int>(i));
            }
        }
        const bool one = light.size() == 1;
        return "replace " + wording::parts("rod", light) + ", the light " +
               (one ? "one there, by one" : "ones there, by ones") + " at least " +
               grams(wording::tenths_up(lack)) + " heavier, or " +
               wording::parts("rod", over_limit);
    }
};

void say_what_to_grind(RodPlan& plan)
{
    std::vector<std::string> pieces;
    for (std::size_t i = 0; i < plan.remove_big.size(); ++i) {
        const std::string text = ground(plan.remove_big[i], plan.remove_small[i]);
        if (!text.empty()) {
            pieces.push_back(wording::part("rod", static_cast<int>(i)) + ": " + text);
        }
    }
    plan.next = wording::joined(pieces, "; ");
}

/// What brings one pad down to its lightest rod.
std::vector<double> brought_down(std::span<const double> hung)
{
    const double least = *std::min_element(hung.begin(), hung.end());
    std::vector<double> removed;
    for (const double each : hung) {
        removed.push_back(each - least);
    }
    return removed;
}

void say_what_to_replace(RodPlan& plan, std::optional<double> limit_big,
                         std::optional<double> limit_small)
{
    const Pad big{plan.at_pad_big, plan.remove_big, plan.over_limit_big, limit_big, at_big_pad};
    const Pad small{plan.at_pad_small, plan.remove_small, plan.over_limit_small, limit_small,
                    at_small_pad};
    std::vector<std::string> reasons;
    std::vector<std::string> nexts;
    for (const Pad& pad : {big, small}) {
        if (!pad.over_limit.empty()) {
            reasons.push_back(pad.reason());
            nexts.push_back(pad.next());
        }
    }
    plan.reason = wording::joined(reasons, "; ");
    plan.next = wording::joined(nexts, "; ");
}

void find_over_limit(std::span<const double> removed, std::optional<double> limit,
                     std::vector<int>& over_limit)
{
    for (std::size_t i = 0; i < removed.size(); ++i) {
        if (over(removed[i], limit)) {
            over_limit.push_back(static_cast<int>(i));
        }
    }
}

}  // namespace

RodPlan match_rods(std::span<const double> big_ends, std::span<const double> small_ends,
                   double length, double pad_big, double pad_small, std::optional<double> limit_big,
                   std::optional<double> limit_small, double tolerance_big, double tolerance_small)
{
    require_masses("big_ends", big_ends, 2);
    require_masses("small_ends", small_ends, 2);
    if (small_ends.size() != big_ends.size()) {
        refuse_all("small_ends", "hold " + std::to_string(big_ends.size()) +
                                     " weights, one a rod, got " +
                                     std::to_string(small_ends.size()));
    }
    const Pads pads = pads_of(length, pad_big, pad_small);
    require_limits(limit_big, limit_small);
    require_mass_at_least_zero("tolerance_big", tolerance_big);
    require_mass_at_least_zero("tolerance_small", tolerance_small);
    RodPlan plan;
    for (std::size_t i = 0; i < big_ends.size(); ++i) {
        plan.at_pad_big.push_back(pads.at_big(big_ends[i], small_ends[i]));
        plan.at_pad_small.push_back(pads.at_small(big_ends[i], small_ends[i]));
    }
    plan.remove_big = brought_down(plan.at_pad_big);
    plan.remove_small = brought_down(plan.at_pad_small);
    const double hung_big = *std::min_element(plan.at_pad_big.begin(), plan.at_pad_big.end());
    const double hung_small = *std::min_element(plan.at_pad_small.begin(), plan.at_pad_small.end());
    plan.target_big = hung_big * (1 - pad_big / length) + hung_small * (1 - pad_small / length);
    plan.target_small = (hung_big * pad_big + hung_small * pad_small) / length;
    std::vector<double> removed(big_ends.size());
    std::transform(plan.remove_big.begin(), plan.remove_big.end(), plan.remove_small.begin(),
                   removed.begin(), std::plus<>());
    for (const auto rod :
         rods_left_alone({big_ends, plan.target_big, tolerance_big},
                         {small_ends, plan.target_small, tolerance_small}, removed)) {
        plan.remove_big[rod] = plan.remove_small[rod] = 0;
    }
    find_over_limit(plan.remove_big, limit_big, plan.over_limit_big);
    find_over_limit(plan.remove_small, limit_small, plan.over_limit_small);
    for (std::size_t i = 0; i < big_ends.size(); ++i) {
        plan.total_removed += plan.remove_big[i] + plan.remove_small[i];
    }
    if (plan.over_limit_big.empty() && plan.over_limit_small.empty()) {
        say_what_to_grind(plan);
    } else {
        plan.status = MatchStatus::cannot_match;
        say_what_to_replace(plan, limit_big, limit_small);
    }
    return plan;
}

}  // namespace enginewright::matching
