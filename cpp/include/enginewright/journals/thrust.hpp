#pragma once

#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "enginewright/record.hpp"

/// Thrust washers: the pair that gives the crank its end float.
namespace enginewright::journals {

/// What came of choosing thrust washers.
///
/// fit             a pair puts the end float into its limits
/// no combination  none does; the nearest pair is given all the same
enum class ThrustStatus { fit, no_combination };

/// Thickness of the front washer and of the rear one, mm.
using Washers = std::pair<double, double>;

}  // namespace enginewright::journals

namespace enginewright {
template <>
inline constexpr Words<2> words<journals::ThrustStatus>{"status", {"fit", "no combination"}};
}  // namespace enginewright

namespace enginewright::journals {

/// The thrust washers to fit; sizes bit for bit as they were listed.
///
/// Without two washers on the shelf there is no pair: front, rear, end_float and shift are None.
struct ThrustPlan {
    std::optional<double> front{};
    std::optional<double> rear{};
    std::optional<double> end_float{};
    std::optional<double> shift{};
    double total_for_target = 0;
    ThrustStatus status = ThrustStatus::fit;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using T = ThrustPlan;
        return std::tuple{
            Field{"front", "mm", &T::front, "washer at the front"},
            Field{"rear", "mm", &T::rear, "washer at the rear"},
            Field{"end_float", "mm", &T::end_float, "end float with that pair"},
            Field{"shift", "mm", &T::shift, "the crank's move to the rear"},
            Field{"total_for_target", "mm", &T::total_for_target, "both washers for the target"},
            Field{"status", "", &T::status, "whether a pair fits"},
            Field{"reason", "", &T::reason, "why, when none does"},
            Field{"next", "", &T::next, "what to fit"},
        };
    }
    bool operator==(const ThrustPlan&) const = default;
};
static_assert(lists_every_member<ThrustPlan>);

/// The pair of thrust washers that gives the end float wanted.
///
///     end float = end_float + fitted front + fitted rear - front - rear
///     shift = ((front - fitted front) - (rear - fitted rear)) / 2
///     total_for_target = end_float + fitted front + fitted rear - target
///
/// All pairs that the stock allows, front and rear told apart; one size twice needs two pieces. The
/// best: inside the limits, then least distance to the target, then least shift (the rods and the
/// timing stay in line), then the thinner front.
///
/// end_float     as measured with the washers in `fitted`, mm, at least 0
/// fitted        (front, rear) thicknesses at that float, mm, each above 0
/// sizes         the washers there are, mm, each above 0, all different, at most 1000
/// lower, upper  limits of the end float, mm
/// target        mm, within the limits; none: their middle
/// stock         pieces of each size; none: as many as wanted
///
/// Source: derived.
///
/// >>> plan = ew.journals.thrust_plan(0.32, (2.31, 2.31), [2.31, 2.36, 2.41, 2.44],
/// ...                                lower=0.05, upper=0.20, target=0.12)
/// >>> plan.front, plan.rear, round(plan.end_float, 3)
/// (2.41, 2.41, 0.12)
ThrustPlan thrust_plan(double end_float, const Washers& fitted, std::span<const double> sizes,
                       double lower, double upper, std::optional<double> target = std::nullopt,
                       const std::optional<std::vector<int>>& stock = std::nullopt);

}  // namespace enginewright::journals
