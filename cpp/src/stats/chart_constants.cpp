#include <algorithm>
#include <cmath>
#include <map>
#include <mutex>
#include <vector>

#include "enginewright/check.hpp"
#include "enginewright/stats/charts.hpp"
#include "numerics/distributions.hpp"
#include "numerics/quadrature.hpp"

namespace enginewright::stats {

namespace {

constexpr int greatest_count = 1000;

// Normal readings lie within these, and so do their ranges.
constexpr double tail = 10;
constexpr double widest = 20;

/// Mean and deviation of the range of n standard normal readings.
struct Range {
    double mean;
    double deviation;
};

Range range_of(int n)
{
    // Twice the points across the readings as across the range: of a thousand readings the largest
    // lies in a narrow peak.
    static const numerics::GaussLegendre across(400);
    static const numerics::GaussLegendre along(200);
    const double mean = across.integrate(
        [n](double x) {
            return 1 - std::pow(numerics::normal_cdf(x), n) - std::pow(numerics::normal_cdf(-x), n);
        },
        -tail, tail);
    std::vector<double> at(across.size());
    std::vector<double> below(across.size());
    std::vector<double> weight(across.size());
    for (std::size_t i = 0; i < across.size(); ++i) {
        at[i] = across.node(i, -tail, tail);
        below[i] = numerics::normal_cdf(at[i]);
        weight[i] = across.weight(i, -tail, tail) * n * numerics::normal_density(at[i]);
    }
    const auto beyond = [&](double width) {
        double within = 0;
        for (std::size_t i = 0; i < at.size(); ++i) {
            // A reading so far out carries no weight, and its power costs most.
            if (weight[i] > 1e-18) {
                const double between = numerics::normal_cdf(at[i] + width) - below[i];
                within += weight[i] * std::pow(between, n - 1);
            }
        }
        return 1 - within;
    };
    const double square = 2 * along.integrate([&](double w) { return w * beyond(w); }, 0, widest);
    return {mean, std::sqrt(square - mean * mean)};
}

Constants computed(int n)
{
    const auto [d2, d3] = range_of(n);
    const double c4 = numerics::half_step_ratio((n - 1) / 2.0);
    const double of_deviation = 3 * std::sqrt(1 - c4 * c4) / c4;
    const double of_range = 3 * d3 / d2;
    const double root = std::sqrt(n);
    return {.count = n,
            .d2 = d2,
            .d3 = d3,
            .c4 = c4,
            .A2 = 3 / (d2 * root),
            .A3 = 3 / (c4 * root),
            .B3 = std::max(0.0, 1 - of_deviation),
            .B4 = 1 + of_deviation,
            .D3 = std::max(0.0, 1 - of_range),
            .D4 = 1 + of_range};
}

}  // namespace

Constants chart_constants(double count)
{
    require_whole("count", count, 2);
    require_at_most("count", count, greatest_count);
    const int n = static_cast<int>(count);
    // What was computed once is the same for ever.
    static std::mutex guard;
    static std::map<int, Constants> known;
    const std::lock_guard lock(guard);
    auto at = known.find(n);
    if (at == known.end()) {
        at = known.emplace(n, computed(n)).first;
    }
    return at->second;
}

}  // namespace enginewright::stats
