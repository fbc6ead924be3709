#include "enginewright/stats/summary.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "enginewright/check.hpp"
#include "numerics/sums.hpp"
#include "stats/moments.hpp"

namespace enginewright::stats {

using numerics::compensated_sum;

namespace {

constexpr double greatest_value = 1e100;

// The square of less than this would vanish.
constexpr double least_spread = 1e-140;

double median_of(std::span<const double> values)
{
    std::vector<double> copy(values.begin(), values.end());
    const auto middle = copy.begin() + static_cast<std::ptrdiff_t>(copy.size() / 2);
    std::nth_element(copy.begin(), middle, copy.end());
    if (copy.size() % 2 == 1) {
        return *middle;
    }
    const double below = *std::max_element(copy.begin(), middle);
    return below + (*middle - below) / 2;
}

/// Correlation of each number with the one before it.
double lag_one_of(std::span<const double> values, const Moments& of)
{
    const double first = values.front();
    const double mean = of.mean - first;
    const auto from_mean = [&](std::size_t i) { return (values[i] - first) - mean; };
    return compensated_sum(values.size() - 1,
                           [&](std::size_t i) { return from_mean(i) * from_mean(i + 1); }) /
           of.squares;
}

}  // namespace

void require_value(std::string_view name, double value)
{
    require_between(name, value, -greatest_value, greatest_value);
}

void require_values(std::string_view name, std::span<const double> values, std::size_t least)
{
    if (values.size() < least) {
        require_readings(name, values, least);
    }
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (!(std::abs(values[i]) <= greatest_value)) [[unlikely]] {
            require_value(element_name(name, i), values[i]);
        }
    }
}

void require_level(double level)
{
    require_finite("level", level);
    if (!(level > 0 && level < 1)) {
        refuse("level", "above 0 and below 1", level);
    }
    // Closer to 1 than this, quantiles lie beyond what doubles can tell.
    require_at_most("level", level, 1 - 1e-12);
}

Moments moments(std::span<const double> values)
{
    const auto [least, greatest] = std::minmax_element(values.begin(), values.end());
    Moments found{.mean = values.front(), .minimum = *least, .maximum = *greatest};
    if (!(*greatest - *least >= least_spread)) {
        return found;
    }
    const auto n = static_cast<double>(values.size());
    const double first = values.front();
    // Shifted by the first, then by the mean of what is left: the tenth of ten million and a tenth
    // keeps its digits, and what the mean itself lost is taken back by the sum of the distances.
    const double rest =
        compensated_sum(values.size(), [&](std::size_t i) { return values[i] - first; }) / n;
    const auto from_mean = [&](std::size_t i) { return (values[i] - first) - rest; };
    const double left = compensated_sum(values.size(), from_mean);
    const double squares = compensated_sum(values.size(), [&](std::size_t i) {
        const double e = from_mean(i);
        return e * e;
    });
    found.mean = first + (rest + left / n);
    found.squares = std::max(0.0, squares - left * left / n);
    return found;
}

double deviation(const Moments& of, std::size_t count)
{
    return std::sqrt(of.squares / static_cast<double>(count - 1));
}

Summary summary(std::span<const double> values)
{
    require_values("values", values, 1);
    const Moments of = moments(values);
    Summary found{.count = static_cast<int>(values.size()),
                  .mean = of.mean,
                  .minimum = of.minimum,
                  .maximum = of.maximum,
                  .range = of.maximum - of.minimum,
                  .median = median_of(values)};
    if (values.size() > 1) {
        found.standard_deviation = deviation(of, values.size());
    }
    if (of.has_spread()) {
        found.lag_one = lag_one_of(values, of);
    }
    return found;
}

}  // namespace enginewright::stats
