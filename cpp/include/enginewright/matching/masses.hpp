#pragma once

#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <variant>
#include <vector>

#include "enginewright/record.hpp"

/// Weights brought down to one figure.
namespace enginewright::matching {

/// One figure for all, or one for each.
using OneOrEach = std::variant<double, std::vector<double>>;

/// What came of bringing parts to one weight.
enum class MatchStatus { matched, cannot_match };

}  // namespace enginewright::matching

namespace enginewright {
template <>
inline constexpr Words<2> words<matching::MatchStatus>{"status", {"matched", "cannot match"}};
}  // namespace enginewright

namespace enginewright::matching {

/// How much metal comes off which part, and what the set weighs then.
struct MassPlan {
    double target = 0;
    std::vector<double> removal{};
    std::vector<double> after{};
    double total_removal = 0;
    double spread_before = 0;
    double spread_after = 0;
    std::vector<int> over_limit{};
    std::vector<int> too_light{};
    std::optional<double> least_target{};
    MatchStatus status = MatchStatus::matched;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"target", "g", &MassPlan::target, "weight that each part is brought to"},
            Field{"removal", "g", &MassPlan::removal, "to take off each part"},
            Field{"after", "g", &MassPlan::after, "each part when that is off"},
            Field{"total_removal", "g", &MassPlan::total_removal, "off all parts together"},
            Field{"spread_before", "g", &MassPlan::spread_before,
                  "heaviest less lightest, as weighed"},
            Field{"spread_after", "g", &MassPlan::spread_after,
                  "heaviest less lightest, afterwards"},
            Field{"over_limit", "", &MassPlan::over_limit,
                  "parts that would lose more than they may"},
            Field{"too_light", "", &MassPlan::too_light, "parts below the target already"},
            Field{"least_target", "g", &MassPlan::least_target,
                  "lowest target that no part is too heavy for"},
            Field{"status", "", &MassPlan::status, "whether the set can be matched"},
            Field{"reason", "", &MassPlan::reason, "why not, when not"},
            Field{"next", "", &MassPlan::next, "what to take off, or which part to replace"},
        };
    }
    bool operator==(const MassPlan&) const = default;
};
static_assert(lists_every_member<MassPlan>);

/// How much metal comes off each part so that all weigh the same.
///
/// Metal can only come off, so the lightest part sets the weight unless a target is given. With
/// d = mass - target a part stays as it is while |d| <= tolerance; below the band it is too light,
/// and above it loses
///
///     removal = d                (down to the target)
///     removal = d - tolerance    (with least_removal: down to the edge of the band)
///
/// but never more than `removable`. It is over its limit only when not even the edge of the band is
/// within reach. `least_target` = greatest of (mass - removable) - tolerance: no lower target can
/// be reached by every part.
///
/// Two weighings differ by root 2 of the balance's repeatability: do not chase less than that.
///
/// masses         of the parts, two or more, g, each above 0
/// target         weight to bring them to, g; none: the lightest part
/// tolerance      how far from the target a part may stay, g, at least 0
/// removable      how much may come off, g, one figure or one a part; none: no limit
/// least_removal  stop at the edge of the band instead of at the target
///
/// >>> plan = ew.matching.match_masses([612.4, 610.1, 611.0, 615.2])
/// >>> plan.next
/// 'take 2.3 g off part 1, 0.9 g off part 3, 5.1 g off part 4'
/// >>> ew.matching.match_masses([612.4, 610.1, 611.0, 615.2], removable=4.0).reason
/// 'part 4 must lose 5.1 g, 4.0 g may come off'
MassPlan match_masses(std::span<const double> masses, std::optional<double> target = std::nullopt,
                      double tolerance = 0.0,
                      const std::optional<OneOrEach>& removable = std::nullopt,
                      bool least_removal = false);

}  // namespace enginewright::matching
