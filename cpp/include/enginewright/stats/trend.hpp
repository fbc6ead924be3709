#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <tuple>

#include "enginewright/record.hpp"
#include "enginewright/stats/capability.hpp"

/// A drift over time, and when it will have reached its limit.
namespace enginewright::stats {

/// Whether a row of readings goes anywhere.
enum class Course { drifting, steady };

}  // namespace enginewright::stats

namespace enginewright {
template <>
inline constexpr Words<2> words<stats::Course>{"status", {"drifting", "steady"}};
}  // namespace enginewright

namespace enginewright::stats {

/// A straight line through readings over time, and how much of it is chance.
struct Trend {
    Course status = Course::steady;
    int count = 0;
    double slope = 0;
    double intercept = 0;
    double slope_deviation = 0;
    double intercept_deviation = 0;
    double residual_deviation = 0;
    double correlation = 0;
    Interval slope_interval{};
    double significance = 1;
    double median_slope = 0;
    double monotonic_significance = 1;
    std::optional<double> due{};
    std::string reason{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"status", "", &Trend::status, "drifting or steady"},
            Field{"count", "", &Trend::count, "how many readings"},
            Field{"slope", "", &Trend::slope, "change of the value in one unit of time"},
            Field{"intercept", "", &Trend::intercept, "value of the line at time 0"},
            Field{"slope_deviation", "", &Trend::slope_deviation, "standard deviation of it"},
            Field{"intercept_deviation", "", &Trend::intercept_deviation,
                  "standard deviation of it"},
            Field{"residual_deviation", "", &Trend::residual_deviation,
                  "scatter of the readings about the line"},
            Field{"correlation", "", &Trend::correlation, "-1 to 1; 0 without spread"},
            Field{"slope_interval", "", &Trend::slope_interval, "where the slope lies"},
            Field{"significance", "", &Trend::significance,
                  "probability of such a slope by chance"},
            Field{"median_slope", "", &Trend::median_slope,
                  "middle one of the slopes between all pairs"},
            Field{"monotonic_significance", "", &Trend::monotonic_significance,
                  "probability by chance that so many pairs go one way"},
            Field{"due", "", &Trend::due, "time at which the line meets its limit"},
            Field{"reason", "", &Trend::reason, "the finding in one sentence"},
        };
    }
    bool operator==(const Trend&) const = default;
};
static_assert(lists_every_member<Trend>);

/// Whether readings drift, how fast, and when the line meets its limit.
///
/// For the first journal of a year of cranks, or the monthly check of a ring: when to re-dress,
/// re-set or recalibrate. "drifting" when a slope like this would come by chance with less than
/// 1 - level. One bad reading can make a drift of a straight line: the median slope and the test of
/// the pairs do not mind it, and the reason says so when they disagree.
///
/// Line by least squares about the means; slope interval by t with n - 2 degrees of freedom; median
/// of the slopes between all pairs; test of rising against falling pairs with the normal law, half
/// a step taken off, corrected for ties.
///
/// times         any unit (days), in any order, not all equal
/// values        readings at these times, at least 3
/// level         of the interval and of the decision, above 0 and below 1
/// lower, upper  limits, in the unit of the values; None: none on that side
///
/// Throws std::invalid_argument: fewer than 3 readings, other counts, times all equal, limits that
///     cross, a level out of range.
///
/// Source: least squares, NIST/SEMATECH e-Handbook 4.1.4.1; Theil 1950 and Sen 1968 (median slope);
///     H. B. Mann, Econometrica 13 (1945) 245 and Kendall, Rank Correlation Methods (pairs).
///
/// >>> wheel = ew.stats.trend([0, 30, 60, 90, 120], [47.984, 47.986, 47.985, 47.988, 47.989],
/// ...                        upper=47.995)
/// >>> wheel.status, round(wheel.due)
/// ('drifting', 275)
Trend trend(std::span<const double> times, std::span<const double> values, double level = 0.95,
            std::optional<double> lower = std::nullopt, std::optional<double> upper = std::nullopt);

}  // namespace enginewright::stats
