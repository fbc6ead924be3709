#pragma once

#include <span>
#include <string>
#include <vector>

#include "enginewright/record.hpp"

/// Readings that do not belong to the others.
namespace enginewright::measure {

/// What a search for outliers came to.
enum class Outlying { clear, flagged, too_few_readings };

/// On which side of the others an outlier is looked for.
enum class Tail { both, lower, upper };

}  // namespace enginewright::measure

namespace enginewright {
template <>
inline constexpr Words<3> words<measure::Outlying>{"status",
                                                   {"clear", "flagged", "too few readings"}};
template <>
inline constexpr Words<3> words<measure::Tail>{"side", {"both", "lower", "upper"}};
}  // namespace enginewright

namespace enginewright::measure {

/// Readings that stand out, the farthest first; nothing is ever removed.
///
/// `statistics` and `critical` have one figure for each outlier that was allowed for, in the order
/// in which readings were set aside: figure i belongs to what is left after i readings. `flagged`
/// counts from 0 in the readings as given.
///
/// Source: B. Rosner, Technometrics 25 (1983) 165.
struct Outliers {
    Outlying status = Outlying::clear;
    std::vector<int> flagged{};
    std::vector<double> statistics{};
    std::vector<double> critical{};
    std::string reason{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"status", "", &Outliers::status, "whether any reading stands out"},
            Field{"flagged", "", &Outliers::flagged, "their places in the readings, from 0"},
            Field{"statistics", "", &Outliers::statistics, "distance over deviation, step by step"},
            Field{"critical", "", &Outliers::critical, "what chance alone allows, step by step"},
            Field{"reason", "", &Outliers::reason, "why, in one sentence"},
        };
    }
    bool operator==(const Outliers&) const = default;
};
static_assert(lists_every_member<Outliers>);

/// Readings that stand out of a set more than chance allows.
///
/// What goes wrong: a slip of the pen or a burr under the anvil goes into a mean; or the reading
/// that nobody likes is struck out because nobody likes it. A flagged reading is measured again,
/// and struck out only when somebody knows why it was wrong.
///
/// The generalised test of Rosner, which for `most = 1` is the test of Grubbs. Step by step the
/// reading farthest from the mean of those left is set aside:
///
///     R_i = max |x - mean| / s                       of the n - i + 1 readings left
///     L_i = (n - i) t / sqrt((n - i - 1 + t^2) (n - i + 1))
///
/// t = quantile of t with n - i - 1 degrees of freedom at 1 - significance / (2 (n - i + 1)), or at
/// 1 - significance / (n - i + 1) to one side. Flagged are as many as the greatest i with R_i >
/// L_i: a second outlier hides the first one from a test that looks for one only. Readings without
/// any scatter are clear.
///
/// readings      at least 1, of what should be one size
/// most          how many outliers are allowed for, at least 1
/// significance  chance of a flag where there is no outlier, above 0 and below 1
/// side          "both", "lower" or "upper"; one side with `most = 1` only
///
/// Throws std::invalid_argument: a side with most above 1; a figure not finite; readings more than
/// 1e150 apart.
///
/// Source: B. Rosner, Technometrics 25 (1983) 165; NIST/SEMATECH e-Handbook, 1.3.5.17.1 and .3.
///
/// >>> ew.measure.outliers([59.984, 59.985, 59.983, 59.984, 59.948, 59.985]).flagged
/// (4,)
Outliers outliers(std::span<const double> readings, int most = 1, double significance = 0.05,
                  Tail side = Tail::both);

}  // namespace enginewright::measure
