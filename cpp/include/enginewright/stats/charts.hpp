#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/record.hpp"

/// Control charts: where the limits of a steady process lie, and which points speak against it.
namespace enginewright::stats {

/// Readings in the order they were taken: single ones, or subgroups of equal size row by row.
struct Values {
    std::span<const double> readings{};
    std::size_t subgroup_size = 0;  ///< 0: single readings

    bool single() const { return subgroup_size == 0; }
    std::size_t subgroups() const { return readings.size() / subgroup_size; }
    std::span<const double> subgroup(std::size_t i) const
    {
        return readings.subspan(i * subgroup_size, subgroup_size);
    }
};

/// Kinds of charts.
enum class ChartKind { individuals, mean_and_range, mean_and_deviation };

/// Patterns that a steady process hardly ever makes.
enum class Pattern {
    one_beyond_three,
    two_of_three,
    four_of_five,
    eight_on_one_side,
    six_trending,
    fourteen_alternating,
    fifteen_within,
    eight_outside
};

/// On which side of the centre a pattern lies.
enum class SignalSide { lower, upper, both };

}  // namespace enginewright::stats

namespace enginewright {
template <>
inline constexpr Words<3> words<stats::ChartKind>{
    "kind", {"individuals", "mean and range", "mean and deviation"}};
template <>
inline constexpr Words<8> words<stats::Pattern>{
    "rule",
    {"one beyond three sigma", "two of three beyond two sigma", "four of five beyond one sigma",
     "eight on one side", "six trending", "fourteen alternating", "fifteen within one sigma",
     "eight outside one sigma"}};
template <>
inline constexpr Words<3> words<stats::SignalSide>{"side", {"lower", "upper", "both"}};
}  // namespace enginewright

namespace enginewright::stats {

/// Factors of control charts for subgroups of one size, of normal readings.
struct Constants {
    int count = 0;
    double d2 = 0;
    double d3 = 0;
    double c4 = 0;
    double A2 = 0;
    double A3 = 0;
    double B3 = 0;
    double B4 = 0;
    double D3 = 0;
    double D4 = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"count", "", &Constants::count, "readings in a subgroup"},
            Field{"d2", "", &Constants::d2, "mean range over sigma"},
            Field{"d3", "", &Constants::d3, "deviation of the range over sigma"},
            Field{"c4", "", &Constants::c4, "mean standard deviation over sigma"},
            Field{"A2", "", &Constants::A2, "limits of the mean from the mean range"},
            Field{"A3", "", &Constants::A3, "limits of the mean from the mean deviation"},
            Field{"B3", "", &Constants::B3, "lower limit of deviations from their mean"},
            Field{"B4", "", &Constants::B4, "upper limit of deviations from their mean"},
            Field{"D3", "", &Constants::D3, "lower limit of ranges from their mean"},
            Field{"D4", "", &Constants::D4, "upper limit of ranges from their mean"},
        };
    }
    bool operator==(const Constants&) const = default;
};
static_assert(lists_every_member<Constants>);

/// Factors of control charts, computed, not looked up.
///
///     d2 = integral of 1 - F^n - (1 - F)^n
///     d3² = 2 integral of w (1 - P(w)) - d2²,  P(w) = n integral of f(x) (F(x + w) - F(x))^(n - 1)
///     c4 = sqrt(2 / (n - 1)) Gamma(n / 2) / Gamma((n - 1) / 2)
///     A2 = 3 / (d2 sqrt(n)),  A3 = 3 / (c4 sqrt(n))
///     B3, B4 = max(0, 1 -+ 3 sqrt(1 - c4²) / c4),  D3, D4 = max(0, 1 -+ 3 d3 / d2)
///
/// f and F are density and distribution of the normal law.
///
/// count  readings in a subgroup, a whole number, 2 to 1000
///
/// Throws std::invalid_argument: a count out of range.
///
/// Source: L. H. C. Tippett, Biometrika 17 (1925) 364 (range); Montgomery, Introduction to
///     Statistical Quality Control, appendix VI.
///
/// >>> round(ew.stats.chart_constants(5).d2, 3)
/// 2.326
Constants chart_constants(double count);

/// One pattern in a row of points: which, and the point that completes it.
struct Signal {
    Pattern rule = Pattern::one_beyond_three;
    int index = 0;
    SignalSide side = SignalSide::both;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"rule", "", &Signal::rule, "the pattern"},
            Field{"index", "", &Signal::index, "the point that completes it, from 0"},
            Field{"side", "", &Signal::side, "where it lies, or both"},
        };
    }
    bool operator==(const Signal&) const = default;
};
static_assert(lists_every_member<Signal>);

/// The four patterns that are looked for when none are named.
inline const std::vector<Pattern> usual_patterns{Pattern::one_beyond_three, Pattern::two_of_three,
                                                 Pattern::four_of_five, Pattern::eight_on_one_side};

/// Patterns in a row of points that a steady process hardly ever makes.
///
/// Each signal names the point that completes its pattern; a run that goes on goes on signalling.
/// A point counts as beyond a line when it lies strictly outside; a point on the centre is on no
/// side. The last point of "two of three" and "four of five" is one of those beyond, all on one
/// side; at the start of a row their windows may be short.
///
/// - "six trending": six points, each beyond the one before, up (side "upper") or down.
/// - "fourteen alternating": fourteen points, up and down in turn.
/// - "fifteen within one sigma": limits too wide, or subgroups of mixed parts.
/// - "eight outside one sigma": two processes taken for one.
///
/// points  in the order they were taken, at least 1
/// centre  of the steady process
/// sigma   standard deviation of a point, above 0
/// rules   words of the patterns to look for
///
/// Throws std::invalid_argument: no points, a figure not finite, an unknown rule.
///
/// Source: ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.
///
/// >>> [s.index for s in ew.stats.signals([0.1, -0.4, 3.2, 0.3], 0.0, 1.0)]
/// [2]
std::vector<Signal> signals(std::span<const double> points, double centre, double sigma,
                            const std::vector<Pattern>& rules = usual_patterns);

/// A control chart: the line of the points with its limits, and the line of their spread.
///
/// For single readings the spread points are moving ranges, one fewer than readings.
struct Chart {
    ChartKind kind = ChartKind::individuals;
    double centre = 0;
    double lower = 0;
    double upper = 0;
    double sigma = 0;
    double spread_centre = 0;
    double spread_lower = 0;
    double spread_upper = 0;
    std::vector<double> points{};
    std::vector<double> spread_points{};
    std::vector<Signal> signals{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"kind", "", &Chart::kind, "kind of chart"},
            Field{"centre", "", &Chart::centre, "mean of the baseline"},
            Field{"lower", "", &Chart::lower, "lower limit of a point"},
            Field{"upper", "", &Chart::upper, "upper limit of a point"},
            Field{"sigma", "", &Chart::sigma, "standard deviation of a single reading"},
            Field{"spread_centre", "", &Chart::spread_centre, "mean spread of the baseline"},
            Field{"spread_lower", "", &Chart::spread_lower, "lower limit of a spread"},
            Field{"spread_upper", "", &Chart::spread_upper, "upper limit of a spread"},
            Field{"points", "", &Chart::points, "readings, or means of the subgroups"},
            Field{"spread_points", "", &Chart::spread_points,
                  "moving ranges, ranges or deviations"},
            Field{"signals", "", &Chart::signals, "patterns among the points"},
        };
    }
    bool operator==(const Chart&) const = default;
};
static_assert(lists_every_member<Chart>);

/// A control chart of readings in the order they were taken.
///
/// What goes wrong: reacting to noise, and missing a drift. The limits say what the process does by
/// itself; they are no limits of the drawing. They come from the first `baseline` points, taken
/// when nothing was wrong, and every point is judged against them.
///
///     individuals         sigma = mean moving range / d2(2);  mean -+ 3 sigma
///     mean and range      sigma = mean range / d2;            mean -+ A2 mean range
///     mean and deviation  sigma = mean deviation / c4;        mean -+ A3 mean deviation
///
/// Spread limits: D3, D4 of the mean range, or B3, B4 of the mean deviation. Subgroup means are
/// watched for patterns with sigma / sqrt(n).
///
/// values    one dimension: single readings; two: subgroups by readings
/// kind      "individuals", "mean and range" or "mean and deviation"; None: by the dimensions
/// baseline  points or subgroups that the limits come from; None: all
/// rules     patterns to look for, as in `signals`
///
/// Throws std::invalid_argument: too few readings, a kind that does not fit the dimensions, no
///     spread in the baseline.
///
/// Source: ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.1, 6.3.2.2.
///
/// >>> crank = ew.stats.chart([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
/// >>> round(crank.lower, 1), round(crank.upper, 1), crank.signals
/// (45.8, 55.8, ())
Chart chart(const Values& values, std::optional<ChartKind> kind = std::nullopt,
            std::optional<int> baseline = std::nullopt,
            const std::vector<Pattern>& rules = usual_patterns);

}  // namespace enginewright::stats
