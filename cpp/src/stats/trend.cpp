#include "enginewright/stats/trend.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <vector>

#include "enginewright/check.hpp"
#include "numerics/distributions.hpp"
#include "numerics/ranks.hpp"
#include "numerics/sums.hpp"
#include "stats/moments.hpp"

namespace enginewright::stats {

using numerics::compensated_sum;

namespace {

/// Times or values less the first of them, in units of a power of two near their range: of order 1,
/// so that no square leaves the range of doubles.
struct Series {
    std::vector<double> numbers{};
    double scaled_mean = 0;  ///< of these numbers
    double mean = 0;         ///< of what was given
    int exponent = 0;

    explicit Series(std::span<const double> given)
    {
        const auto [least, greatest] = std::minmax_element(given.begin(), given.end());
        const double range = *greatest - *least;
        exponent = range > 0 ? std::ilogb(range) : 0;
        const double first = given.front();
        numbers.reserve(given.size());
        for (const double each : given) {
            numbers.push_back(std::scalbn(each - first, -exponent));
        }
        scaled_mean = compensated_sum(numbers.size(), [&](std::size_t i) { return numbers[i]; }) /
                      static_cast<double>(numbers.size());
        mean = first + std::scalbn(scaled_mean, exponent);
    }

    double from_mean(std::size_t i) const { return numbers[i] - scaled_mean; }

    double times(const Series& other) const
    {
        return compensated_sum(numbers.size(),
                               [&](std::size_t i) { return from_mean(i) * other.from_mean(i); });
    }
};

/// A line through two series, in their scale.
struct Line {
    double slope = 0;
    double squares_of_time = 0;  ///< about their mean
    double residual = 0;         ///< standard deviation about the line
    double slope_deviation = 0;
    double correlation = 0;
};

Line fitted(const Series& t, const Series& y)
{
    const double tt = t.times(t);
    const double ty = t.times(y);
    const double yy = y.times(y);
    Line line{.slope = ty / tt, .squares_of_time = tt};
    const double squares = compensated_sum(t.numbers.size(), [&](std::size_t i) {
        const double off = y.from_mean(i) - line.slope * t.from_mean(i);
        return off * off;
    });
    line.residual = std::sqrt(squares / static_cast<double>(t.numbers.size() - 2));
    line.slope_deviation = line.residual / std::sqrt(tt);
    line.correlation = yy > 0 ? std::clamp(ty / std::sqrt(tt * yy), -1.0, 1.0) : 0;
    return line;
}

/// Two-sided probability of a slope by chance.
double significance_of(const Line& line, double freedom)
{
    if (line.slope == 0) {
        return 1;
    }
    if (line.slope_deviation == 0) {
        return 0;
    }
    return std::min(1.0,
                    2 * numerics::t_cdf(-std::abs(line.slope / line.slope_deviation), freedom));
}

/// Two-sided probability by chance that so many more pairs go one way than the other.
double monotonic_significance_of(std::span<const double> times, std::span<const double> values)
{
    const auto pairs = numerics::concordance(times, values);
    // Half a step is taken off, a step being 2: the score is whole, the normal law is not.
    const double size = std::abs(pairs.score) - 1;
    if (size <= 0 || !(pairs.variance > 0)) {
        return 1;
    }
    return std::min(1.0, 2 * numerics::normal_cdf(-size / std::sqrt(pairs.variance)));
}

/// A figure for a sentence: four significant digits.
std::string short_text(double value)
{
    std::array<char, 40> buffer{};
    const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                   std::chars_format::general, 4)
                         .ptr;
    return {buffer.data(), end};
}

/// Whether so few readings could show a drift by their pairs at all, were every pair to rise.
bool pairs_can_tell(double n, double chance)
{
    const double size = n * (n - 1) / 2 - 1;
    const double deviation = std::sqrt(n * (n - 1) * (2 * n + 5) / 18);
    return 2 * numerics::normal_cdf(-size / deviation) < chance;
}

/// What the test of the pairs adds when it does not agree with the line.
std::string second_opinion(const Trend& found, double chance)
{
    const bool pairs_drift = found.monotonic_significance < chance;
    if (pairs_drift == (found.status == Course::drifting) || !pairs_can_tell(found.count, chance)) {
        return "";
    }
    const std::string probability =
        " (probability by chance " + short_text(found.monotonic_significance) + ")";
    return pairs_drift
               ? "; the pairs do drift" + probability +
                     ": a single bad reading may hide it from the line"
               : "; the pairs do not show it" + probability + ": it may rest on one reading";
}

/// The limit that a drift is heading for, and the time at which the line meets it.
std::string set_due(Trend& found, const Series& t, const Series& y, double slope,
                    std::optional<double> limit, double latest)
{
    const std::string side = found.slope > 0 ? "upper" : "lower";
    if (!limit) {
        return "; no " + side + " limit is given, so nothing falls due";
    }
    const double due =
        t.mean + std::scalbn(std::scalbn(*limit - y.mean, -y.exponent) / slope, t.exponent);
    if (!std::isfinite(due)) {
        return "; the " + side + " limit is beyond all time";
    }
    found.due = due;
    return "; the line " + std::string(due > latest ? "meets" : "has met") + " the " + side +
           " limit at " + short_text(due);
}

void require_finite_line(const Trend& found)
{
    for (const double each :
         {found.slope, found.intercept, found.slope_deviation, found.intercept_deviation,
          found.median_slope, found.slope_interval[0], found.slope_interval[1]}) {
        if (!std::isfinite(each)) {
            refuse_all("times", "lie far enough apart for the slope of these values");
        }
    }
}

}  // namespace

Trend trend(std::span<const double> times, std::span<const double> values, double level,
            std::optional<double> lower, std::optional<double> upper)
{
    require_values("times", times, 3);
    require_values("values", values, 3);
    if (times.size() != values.size()) {
        refuse_all("values", "hold one reading for each of the " + std::to_string(times.size()) +
                                 " times, got " + std::to_string(values.size()));
    }
    require_level(level);
    require_ordered("lower", lower, "upper", upper);
    const Series t(times);
    const Series y(values);
    if (std::all_of(times.begin(), times.end(), [&](double each) { return each == times[0]; })) {
        refuse_all("times", "not all be equal, got " + number_text(times[0]) + " for each");
    }
    const auto n = static_cast<double>(times.size());
    const Line line = fitted(t, y);
    const int scale = y.exponent - t.exponent;
    Trend found{.count = static_cast<int>(times.size()), .slope = std::scalbn(line.slope, scale)};
    found.intercept = y.mean - found.slope * t.mean;
    found.slope_deviation = std::scalbn(line.slope_deviation, scale);
    found.residual_deviation = std::scalbn(line.residual, y.exponent);
    const double start = std::scalbn(t.mean, -t.exponent);
    found.intercept_deviation =
        found.residual_deviation * std::sqrt(1 / n + start * start / line.squares_of_time);
    found.correlation = line.correlation;
    const double reach = numerics::t_quantile(1 - (1 - level) / 2, n - 2) * found.slope_deviation;
    found.slope_interval = {found.slope - reach, found.slope + reach};
    found.significance = significance_of(line, n - 2);
    found.median_slope = std::scalbn(numerics::median_slope(t.numbers, y.numbers), scale);
    found.monotonic_significance = monotonic_significance_of(times, values);
    require_finite_line(found);
    const std::string probability =
        " in one unit of time (probability by chance " + short_text(found.significance) + ")";
    if (found.significance < 1 - level) {
        found.status = Course::drifting;
        const double latest = *std::max_element(times.begin(), times.end());
        found.reason = std::string(found.slope > 0 ? "rises by " : "falls by ") +
                       short_text(std::abs(found.slope)) + probability +
                       set_due(found, t, y, line.slope, found.slope > 0 ? upper : lower, latest);
    } else {
        found.reason = "no drift is shown: " + short_text(found.slope) + probability;
    }
    found.reason += second_opinion(found, 1 - level);
    return found;
}

}  // namespace enginewright::stats
