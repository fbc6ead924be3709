#include "enginewright/stats/drift_chart.hpp"

#include <cmath>

#include "enginewright/check.hpp"
#include "stats/moments.hpp"

namespace enginewright::stats {

DriftChart drift_chart(std::span<const double> values, double centre, double sigma, double weight,
                       double width, bool steady)
{
    require_values("values", values, 1);
    require_value("centre", centre);
    require_positive("sigma", sigma);
    require_value("sigma", sigma);
    require_positive("weight", weight);
    require_at_most("weight", weight, 1.0);
    require_positive("width", width);
    require_at_most("width", width, 100.0);
    DriftChart found{.centre = centre};
    double average = centre;
    for (std::size_t i = 0; i < values.size(); ++i) {
        average += weight * (values[i] - average);
        // 1 - (1 - weight)^(2 i) without losing the digits of a small weight.
        const double grown =
            steady ? 1 : -std::expm1(2 * static_cast<double>(i + 1) * std::log1p(-weight));
        const double reach = width * sigma * std::sqrt(weight / (2 - weight) * grown);
        found.points.push_back(average);
        found.lower.push_back(centre - reach);
        found.upper.push_back(centre + reach);
        if (std::abs(average - centre) > reach) {
            found.flagged.push_back(static_cast<int>(i));
        }
    }
    return found;
}

}  // namespace enginewright::stats
