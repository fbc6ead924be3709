#include "enginewright/stats/capability.hpp"

#include <algorithm>
#include <cmath>

#include "enginewright/check.hpp"
#include "numerics/distributions.hpp"
#include "stats/moments.hpp"
#include "stats/subgroups.hpp"

namespace enginewright::stats {

namespace {

// Common practice: a process is called capable from here on.
constexpr double wanted = 1.33;

struct Limits {
    std::optional<double> lower;
    std::optional<double> upper;
};

/// A spread and how much is known about it.
struct Spread {
    double sigma;
    double freedom;
};

Spread spread_within(const Values& values)
{
    if (values.single()) {
        const std::size_t n = values.readings.size();
        return {mean_moving_range(values.readings, n) / chart_constants(2).d2,
                0.62 * static_cast<double>(n - 1)};
    }
    const double squares = numerics::compensated_sum(
        values.subgroups(), [&](std::size_t i) { return moments(values.subgroup(i)).squares; });
    const double freedom =
        static_cast<double>(values.subgroups()) * static_cast<double>(values.subgroup_size - 1);
    return {std::sqrt(squares / freedom), freedom};
}

/// Tolerance over six sigmas, and where it lies.
void rate_width(const Limits& limits, const Spread& spread, double level,
                std::optional<double>& index, std::optional<Interval>& interval)
{
    if (!limits.lower || !limits.upper || !(spread.sigma > 0)) {
        return;
    }
    index = (*limits.upper - *limits.lower) / (6 * spread.sigma);
    const double rest = (1 - level) / 2;
    const auto share = [&](double probability) {
        return std::sqrt(numerics::chi_square_quantile(probability, spread.freedom) /
                         spread.freedom);
    };
    interval = Interval{*index * share(rest), *index * share(1 - rest)};
}

/// Nearer limit over three sigmas, and where it lies.
void rate_side(const Limits& limits, double mean, std::size_t count, const Spread& spread,
               double level, std::optional<double>& index, std::optional<Interval>& interval)
{
    if (!(spread.sigma > 0)) {
        return;
    }
    double room = std::numeric_limits<double>::infinity();
    if (limits.upper) {
        room = *limits.upper - mean;
    }
    if (limits.lower) {
        room = std::min(room, mean - *limits.lower);
    }
    const double rated = room / (3 * spread.sigma);
    const double z = numerics::normal_quantile(1 - (1 - level) / 2);
    const double reach =
        z * std::sqrt(1 / (9 * static_cast<double>(count)) + rated * rated / (2 * spread.freedom));
    index = rated;
    interval = Interval{rated - reach, rated + reach};
}

double share_expected(const Limits& limits, double mean, double sigma)
{
    if (!(sigma > 0)) {
        const bool out =
            (limits.lower && mean < *limits.lower) || (limits.upper && mean > *limits.upper);
        return out ? 1 : 0;
    }
    double share = 0;
    if (limits.lower) {
        share += numerics::normal_cdf((*limits.lower - mean) / sigma);
    }
    if (limits.upper) {
        share += numerics::normal_cdf((mean - *limits.upper) / sigma);
    }
    return share;
}

double share_observed(const Limits& limits, std::span<const double> readings)
{
    const double lower = limits.lower.value_or(-std::numeric_limits<double>::infinity());
    const double upper = limits.upper.value_or(std::numeric_limits<double>::infinity());
    std::size_t outside = 0;
    for (const double each : readings) {
        outside += static_cast<std::size_t>(each < lower) + static_cast<std::size_t>(each > upper);
    }
    return static_cast<double>(outside) / static_cast<double>(readings.size());
}

void judge(Capability& found, double level)
{
    if (!found.ppk) {
        found.status = Able::no_spread;
        found.reason = "all readings are the same: take a gauge that shows smaller steps";
        return;
    }
    const auto [low, high] = *found.ppk_interval;
    const std::string between = "ppk " + fixed_text(*found.ppk, 2) + " from " +
                                std::to_string(found.count) + " readings, " + fixed_text(low, 2) +
                                " to " + fixed_text(high, 2) + " at " + fixed_text(100 * level, 0) +
                                " %";
    if (low >= wanted) {
        found.status = Able::capable;
        found.reason = between + ": all of it at 1.33 or above";
    } else if (high < wanted) {
        found.status = Able::not_capable;
        found.reason = between + ": all of it below 1.33";
    } else {
        found.status = Able::not_shown;
        found.reason = between + ": these readings cannot tell whether it reaches 1.33";
    }
}

}  // namespace

Capability capability(const Values& values, std::optional<double> lower,
                      std::optional<double> upper, std::optional<double> target, double level)
{
    require_values(values);
    if (!lower && !upper) {
        refuse_all("lower", "be given, or upper, or both, got neither");
    }
    require_ordered("lower", lower, "upper", upper);
    const auto given = {std::pair{"lower", lower}, {"upper", upper}, {"target", target}};
    for (const auto& [name, limit] : given) {
        if (limit) {
            require_value(name, *limit);
        }
    }
    require_level(level);
    const Limits limits{lower, upper};
    const std::size_t n = values.readings.size();
    const Moments of = moments(values.readings);
    const Spread within = spread_within(values);
    const Spread total{deviation(of, n), static_cast<double>(n - 1)};
    Capability found{.count = static_cast<int>(n),
                     .mean = of.mean,
                     .sigma_within = within.sigma,
                     .sigma_total = total.sigma};
    rate_width(limits, within, level, found.cp, found.cp_interval);
    rate_side(limits, of.mean, n, within, level, found.cpk, found.cpk_interval);
    rate_width(limits, total, level, found.pp, found.pp_interval);
    rate_side(limits, of.mean, n, total, level, found.ppk, found.ppk_interval);
    if (lower && upper && target && total.sigma > 0) {
        found.cpm = (*upper - *lower) / (6 * std::hypot(total.sigma, of.mean - *target));
    }
    found.expected_outside = share_expected(limits, of.mean, total.sigma);
    found.observed_outside = share_observed(limits, values.readings);
    judge(found, level);
    return found;
}

}  // namespace enginewright::stats
