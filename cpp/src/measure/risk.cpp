#include "enginewright/measure/risk.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "numerics/distributions.hpp"
#include "numerics/quadrature.hpp"

namespace enginewright::measure {

namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

/// Beyond this many deviations there are no parts: 3e-33 of them.
constexpr double widest = 12;

/// An interval, infinite where there is no limit.
struct Zone {
    double lower = -endless;
    double upper = endless;

    bool empty() const { return lower > upper; }
    bool holds(double x) const { return x >= lower && x <= upper; }
};

/// P(lower < X < upper) for a normal X; from the side that keeps its digits.
double share(const Zone& zone, double mean, double deviation)
{
    if (zone.empty()) {
        return 0;
    }
    if (deviation == 0) {
        return zone.holds(mean) ? 1 : 0;
    }
    const double low = (zone.lower - mean) / deviation;
    const double high = (zone.upper - mean) / deviation;
    const double inside = low > 0 ? numerics::normal_cdf(-low) - numerics::normal_cdf(-high)
                                  : numerics::normal_cdf(high) - numerics::normal_cdf(low);
    return std::max(0.0, inside);
}

/// P(X outside), with its digits where that is little.
double share_outside(const Zone& zone, double mean, double deviation)
{
    if (zone.empty()) {
        return 1;
    }
    if (deviation == 0) {
        return zone.holds(mean) ? 0 : 1;
    }
    return numerics::normal_cdf((zone.lower - mean) / deviation) +
           numerics::normal_cdf((mean - zone.upper) / deviation);
}

/// Limits and gauge as a process sees them: everything counts from its mean, in its deviations, so
/// that no digits are lost where it is narrow.
struct Process {
    Zone good{};
    Zone accepted{};
    double u = 0;

    /// Share of wrong verdicts on parts of one size.
    double wrong(double x, bool is_good) const
    {
        return is_good ? share_outside(accepted, x, u) : share(accepted, x, u);
    }

    /// Where the integrand bends: at the limits, and where the gauge hesitates.
    std::vector<double> bends() const
    {
        std::vector<double> at{-widest, -8.0, -5.0, -3.0, -1.5, 0.0, 1.5, 3.0, 5.0, 8.0, widest};
        at.insert(at.end(), {good.lower, good.upper});
        for (const double edge : {accepted.lower, accepted.upper}) {
            for (const double far : {-8.0, -5.0, -3.0, -1.5, 0.0, 1.5, 3.0, 5.0, 8.0}) {
                at.push_back(edge + far * u);
            }
        }
        std::erase_if(at, [](double x) { return !(std::abs(x) <= widest); });
        std::ranges::sort(at);
        return at;
    }
};

/// Sizes between two bends: all good or all bad, and the integrand is smooth.
struct Stretch {
    double low;
    double high;
    double most;  ///< no more than this is wrong here
};

/// The stretches of good or of bad parts, those first where most can be wrong.
std::vector<Stretch> stretches(const Process& process, bool good)
{
    std::vector<Stretch> list;
    const auto bends = process.bends();
    const double centre =
        process.accepted.lower + (process.accepted.upper - process.accepted.lower) / 2;
    for (std::size_t i = 0; i + 1 < bends.size(); ++i) {
        const double low = bends[i];
        const double high = bends[i + 1];
        if (low == high || process.good.holds(low + (high - low) / 2) != good) {
            continue;
        }
        const double nearest = low > 0 ? low : high < 0 ? high : 0.0;
        // Each of the two shares is greatest at an end, but for bad parts amid accepted ones.
        const bool amid = !good && !(centre <= low || centre >= high);
        const double wrong =
            amid ? 1.0 : std::min(1.0, process.wrong(low, good) + process.wrong(high, good));
        list.push_back({low, high, (high - low) * numerics::normal_density(nearest) * wrong});
    }
    std::ranges::sort(list, [](const Stretch& a, const Stretch& b) { return a.most > b.most; });
    return list;
}

/// Share of parts that are good, or bad, and judged wrong.
double integrated(const Process& process, bool good)
{
    static const numerics::GaussLegendre rule(20);
    const auto list = stretches(process, good);
    double sum = 0;
    for (std::size_t i = 0; i < list.size(); ++i) {
        // What is left would not change the last digit.
        if (list[i].most * static_cast<double>(list.size() - i) <= 1e-17 * sum) {
            break;
        }
        sum += rule.integrate(
            [&](double x) { return numerics::normal_density(x) * process.wrong(x, good); },
            list[i].low, list[i].high);
    }
    return sum;
}

void require_all(double mean, double deviation, double standard_uncertainty,
                 std::optional<double> lower, std::optional<double> upper, double guard)
{
    require_finite("mean", mean);
    require_at_least("deviation", deviation, 0.0);
    require_at_least("standard_uncertainty", standard_uncertainty, 0.0);
    require_ordered("lower", lower, "upper", upper);
    require_finite("guard", guard);
}

}  // namespace

Risk risk(double mean, double deviation, double standard_uncertainty, std::optional<double> lower,
          std::optional<double> upper, double guard)
{
    require_all(mean, deviation, standard_uncertainty, lower, upper, guard);
    // So little is no spread: in its units the rest would leave the range of a double.
    if (deviation < 1e-200 * std::max({1.0, standard_uncertainty, std::abs(mean)})) {
        deviation = 0;
    }
    const Zone good{lower.value_or(-endless), upper.value_or(endless)};
    const Zone accepted{good.lower + guard, good.upper - guard};
    Risk out;
    if (deviation == 0) {
        const bool is_good = good.holds(mean);
        out.consumer = is_good ? 0 : share(accepted, mean, standard_uncertainty);
        out.producer = is_good ? share_outside(accepted, mean, standard_uncertainty) : 0;
    } else {
        const auto scaled = [&](const Zone& zone) {
            return Zone{(zone.lower - mean) / deviation, (zone.upper - mean) / deviation};
        };
        const Process process{.good = scaled(good),
                              .accepted = scaled(accepted),
                              .u = standard_uncertainty / deviation};
        out.consumer = integrated(process, false);
        out.producer = integrated(process, true);
    }
    const double both =
        std::min(std::hypot(deviation, standard_uncertainty), std::numeric_limits<double>::max());
    out.accepted = share(accepted, mean, both);
    out.conforming = share(good, mean, deviation);
    return out;
}

}  // namespace enginewright::measure
