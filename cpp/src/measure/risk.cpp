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

/// Sizes of parts, their limits, and the gauge that judges them.
struct Process {
    double mean = 0;
    double deviation = 0;
    double u = 0;
    Zone good{};
    Zone accepted{};

    double scaled(double size) const { return (size - mean) / deviation; }

    /// Where the integrand bends, in deviations from the mean: at the limits, and where the gauge
    /// hesitates.
    std::vector<double> bends() const
    {
        std::vector<double> at;
        for (double x = -widest; x <= widest; x += 1) {
            at.push_back(x);
        }
        at.insert(at.end(), {scaled(good.lower), scaled(good.upper)});
        for (const double edge : {accepted.lower, accepted.upper}) {
            for (const double far : {-8.0, -5.0, -3.0, -1.5, 0.0, 1.5, 3.0, 5.0, 8.0}) {
                at.push_back(scaled(edge + far * u));
            }
        }
        std::erase_if(at, [](double x) { return !(std::abs(x) <= widest); });
        std::ranges::sort(at);
        return at;
    }
};

/// Both risks: between two bends a part is either good or bad, and the integrand is smooth.
Risk integrated(const Process& process)
{
    static const numerics::GaussLegendre rule(20);
    Risk risk;
    const auto bends = process.bends();
    for (std::size_t i = 0; i + 1 < bends.size(); ++i) {
        const double low = bends[i];
        const double high = bends[i + 1];
        if (low == high) {
            continue;
        }
        const double middle = low + (high - low) / 2;
        const bool good = middle >= process.scaled(process.good.lower) &&
                          middle <= process.scaled(process.good.upper);
        const double part = rule.integrate(
            [&](double x) {
                const double size = process.mean + x * process.deviation;
                const double wrong = good ? share_outside(process.accepted, size, process.u)
                                          : share(process.accepted, size, process.u);
                return numerics::normal_density(x) * wrong;
            },
            low, high);
        (good ? risk.producer : risk.consumer) += part;
    }
    return risk;
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
    const Zone good{lower.value_or(-endless), upper.value_or(endless)};
    const Zone accepted{good.lower + guard, good.upper - guard};
    Risk out;
    if (deviation == 0) {
        const bool is_good = good.holds(mean);
        out.consumer = is_good ? 0 : share(accepted, mean, standard_uncertainty);
        out.producer = is_good ? share_outside(accepted, mean, standard_uncertainty) : 0;
    } else {
        out = integrated({.mean = mean,
                          .deviation = deviation,
                          .u = standard_uncertainty,
                          .good = good,
                          .accepted = accepted});
    }
    const double both =
        std::min(std::hypot(deviation, standard_uncertainty), std::numeric_limits<double>::max());
    out.accepted = share(accepted, mean, both);
    out.conforming = share(good, mean, deviation);
    return out;
}

}  // namespace enginewright::measure
