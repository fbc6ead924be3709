#pragma once

#include <cmath>

#include "enginewright/stats/charts.hpp"
#include "numerics/sums.hpp"

/// What single readings and subgroups have in common for charts and capability.
namespace enginewright::stats {

/// Refuses readings that are too few, not finite, or subgroups of less than two or more than 1000.
void require_values(const Values& values);

/// Mean distance of each reading from the one before, over the first `count` readings.
inline double mean_moving_range(std::span<const double> readings, std::size_t count)
{
    return numerics::compensated_sum(
               count - 1, [&](std::size_t i) { return std::abs(readings[i + 1] - readings[i]); }) /
           static_cast<double>(count - 1);
}

}  // namespace enginewright::stats
