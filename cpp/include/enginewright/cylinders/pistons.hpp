#pragma once

#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/record.hpp"

/// Selective fit: which piston goes into which bore.
namespace enginewright::cylinders {

/// What came of choosing pistons.
///
/// selected               every bore has its clearance
/// not all within limits  the best choice leaves some bore outside its limits
/// not enough pistons     fewer pistons than bores
enum class PistonStatus { selected, not_all_within, not_enough };

}  // namespace enginewright::cylinders

namespace enginewright {
template <>
inline constexpr Words<3> words<cylinders::PistonStatus>{
    "status", {"selected", "not all within limits", "not enough pistons"}};
}  // namespace enginewright

namespace enginewright::cylinders {

/// Which piston goes into which bore.
///
/// `piston` and `clearances` have one entry a bore. Pistons and bores count from 0 in the fields
/// and from 1 in the sentences.
struct PistonSelection {
    std::vector<int> piston{};
    std::vector<double> clearances{};
    std::vector<int> outside{};
    std::optional<double> worst_deviation{};
    std::optional<double> total_deviation{};
    std::vector<int> spare{};
    PistonStatus status = PistonStatus::selected;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using P = PistonSelection;
        return std::tuple{
            Field{"piston", "", &P::piston, "the piston of each bore"},
            Field{"clearances", "mm", &P::clearances, "bore less its piston"},
            Field{"outside", "", &P::outside, "bores outside their limits"},
            Field{"worst_deviation", "mm", &P::worst_deviation, "greatest distance to the target"},
            Field{"total_deviation", "mm", &P::total_deviation, "sum of the distances"},
            Field{"spare", "", &P::spare, "pistons left over"},
            Field{"status", "", &P::status, "what came of it"},
            Field{"reason", "", &P::reason, "why, when it is not simply selected"},
            Field{"next", "", &P::next, "which piston goes where"},
        };
    }
    bool operator==(const PistonSelection&) const = default;
};
static_assert(lists_every_member<PistonSelection>);

/// The pistons of a box dealt out to the bores of a block.
///
///     clearance = bore - piston
///
/// Wanted, in this order: fewest clearances outside their limits, least greatest distance to the
/// target, least sum of distances. Exact: assignments by shortest augmenting paths, and a search
/// for the least cap on the distances that keeps the number outside. Which of several equally good
/// selections comes out is not promised.
///
/// bores         finished sizes, mm, each above 0
/// pistons       measured sizes, mm, each above 0, at most 400
/// lower, upper  limits of the clearance, mm
/// target        clearance to aim at, mm, within the limits; none: their middle
///
/// Source: assignment problem; derived.
///
/// >>> dealt = ew.cylinders.select_pistons([86.010, 86.000, 86.005], [85.955, 85.965, 85.960],
/// ...                                     lower=0.035, upper=0.055)
/// >>> dealt.piston, dealt.status
/// ((1, 0, 2), 'selected')
PistonSelection select_pistons(std::span<const double> bores, std::span<const double> pistons,
                               double lower, double upper,
                               std::optional<double> target = std::nullopt);

}  // namespace enginewright::cylinders
