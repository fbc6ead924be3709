#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/record.hpp"

/// Which part goes with which: assignment, pairs of even sums, an even choice from a box.
namespace enginewright::matching {

/// Costs, rows by columns, finite and of any sign.
using Costs = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// Which pairs may be used, rows by columns.
using Allowed = Eigen::Matrix<bool, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// What an assignment makes least.
enum class Objective { sum, bottleneck, spread };

/// Whether every row found a column.
enum class AssignmentStatus { assigned, no_assignment };

}  // namespace enginewright::matching

namespace enginewright {
template <>
inline constexpr Words<3> words<matching::Objective>{"objective", {"sum", "bottleneck", "spread"}};
template <>
inline constexpr Words<2> words<matching::AssignmentStatus>{"status",
                                                            {"assigned", "no assignment"}};
}  // namespace enginewright

namespace enginewright::matching {

/// One column for every row, and what that costs.
struct Assignment {
    std::vector<int> columns{};
    std::vector<double> costs{};
    std::optional<double> total{};
    std::optional<double> largest{};
    std::optional<double> smallest{};
    std::optional<double> spread{};
    std::vector<int> unused{};
    AssignmentStatus status = AssignmentStatus::assigned;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"columns", "", &Assignment::columns, "the column of each row"},
            Field{"costs", "", &Assignment::costs, "cost of each of these pairs"},
            Field{"total", "", &Assignment::total, "sum of the costs"},
            Field{"largest", "", &Assignment::largest, "greatest of the costs"},
            Field{"smallest", "", &Assignment::smallest, "least of the costs"},
            Field{"spread", "", &Assignment::spread, "greatest less least"},
            Field{"unused", "", &Assignment::unused, "columns that no row took"},
            Field{"status", "", &Assignment::status, "whether every row has a column"},
            Field{"reason", "", &Assignment::reason, "which rows fall short, when some do"},
            Field{"next", "", &Assignment::next, "what would help, when some do"},
        };
    }
    bool operator==(const Assignment&) const = default;
};
static_assert(lists_every_member<Assignment>);

/// The best column for every row, no column twice: exact.
///
/// "sum" makes the total least; "bottleneck" makes the greatest cost least, then the total;
/// "spread" makes greatest less least least, then the total. Among what is still equal (to 1e-9 of
/// the greatest |cost|, at least 1e-9) the list `columns` that comes first in dictionary order
/// wins, so the answer is the same everywhere.
///
/// Without a complete assignment the lists are empty, the figures None, and the reason names rows
/// that have one column too few between them.
///
/// cost       rows by columns, no more rows than columns, finite, any sign
/// allowed    True where a pair may be used, same shape; none: every pair
/// objective  "sum", "bottleneck" or "spread"
///
/// Source: shortest augmenting paths, Jonker and Volgenant, Computing 38 (1987); bottleneck and
///     balanced assignment by thresholds, Burkard, Dell'Amico and Martello, Assignment Problems.
///
/// >>> best = ew.matching.assign([[4, 1, 3], [2, 0, 5], [3, 2, 2]])
/// >>> best.columns, best.total
/// ((1, 0, 2), 5.0)
Assignment assign(const Costs& cost, const std::optional<Allowed>& allowed = std::nullopt,
                  Objective objective = Objective::sum);

/// Parts in pairs whose sums are as even as can be.
struct Pairing {
    std::vector<int> partner{};
    std::vector<double> sums{};
    double mean = 0;
    double spread = 0;
    std::optional<double> target{};
    double worst_deviation = 0;
    std::vector<int> unused{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"partner", "", &Pairing::partner, "which of the second goes with each first"},
            Field{"sums", "", &Pairing::sums, "of each pair"},
            Field{"mean", "", &Pairing::mean, "of the sums"},
            Field{"spread", "", &Pairing::spread, "greatest sum less least"},
            Field{"target", "", &Pairing::target, "sum that was wanted"},
            Field{"worst_deviation", "", &Pairing::worst_deviation, "of a sum from target or mean"},
            Field{"unused", "", &Pairing::unused, "of the second, left over"},
            Field{"next", "", &Pairing::next, "what to put together"},
        };
    }
    bool operator==(const Pairing&) const = default;
};
static_assert(lists_every_member<Pairing>);

/// Pistons to rods, pins or chambers to pistons: pairs whose sums are as even as can be.
///
/// Equal counts: the lightest goes with the heaviest, the next with the next. That gives the least
/// greatest sum and the greatest least sum at once, so it is exact for the spread, for the greatest
/// departure from any target and for the sum of squares. With spares among the second, the ones to
/// use are chosen first, exactly: for the least spread, or with a target for the least greatest
/// departure from it.
///
/// first   values of the parts that all find a partner; any finite numbers
/// second  values of the parts to choose from, at least as many
/// target  sum that is wanted; none: even among themselves
///
/// Source: rearrangement of two ordered lists, proved by exchanging two pairs.
///
/// >>> pairs = ew.matching.pair_parts([500, 502, 505], [600, 601, 604])
/// >>> pairs.next
/// 'part 1 with 3 (1104.0), part 2 with 2 (1103.0), part 3 with 1 (1105.0)'
Pairing pair_parts(std::span<const double> first, std::span<const double> second,
                   std::optional<double> target = std::nullopt);

/// The most even parts of a box.
struct Choice {
    std::vector<int> parts{};
    std::vector<double> values{};
    double spread = 0;
    std::optional<double> target{};
    double worst_deviation = 0;
    std::vector<int> unused{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"parts", "", &Choice::parts, "the parts to use"},
            Field{"values", "", &Choice::values, "their values"},
            Field{"spread", "", &Choice::spread, "greatest less least of these"},
            Field{"target", "", &Choice::target, "value that was wanted"},
            Field{"worst_deviation", "", &Choice::worst_deviation, "from the target, or the mean"},
            Field{"unused", "", &Choice::unused, "parts left in the box"},
            Field{"next", "", &Choice::next, "which parts to use"},
        };
    }
    bool operator==(const Choice&) const = default;
};
static_assert(lists_every_member<Choice>);

/// The most even set of so many parts out of a box.
///
/// Without a target: the `count` neighbours in order of value with the least spread, the lower ones
/// on a tie. With a target: the `count` parts nearest to it; of two equally near the smaller value
/// comes first, then the lower index.
///
/// values  of the parts in the box; any finite numbers
/// count   how many are needed, 1 to the number there is
/// target  value that is wanted; none: even among themselves
///
/// >>> ew.matching.choose_parts([610, 614, 611, 620, 612, 611.5], 4).parts
/// (0, 2, 4, 5)
Choice choose_parts(std::span<const double> values, int count,
                    std::optional<double> target = std::nullopt);

}  // namespace enginewright::matching
