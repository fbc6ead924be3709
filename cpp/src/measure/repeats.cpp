#include "enginewright/measure/repeats.hpp"

#include <cmath>

#include "numerics/distributions.hpp"

namespace enginewright::measure {

namespace {

/// True when readings scatter more than the record allows, by the F test at 99 %.
bool exceeds(double deviation, double own_freedom, double record, double record_freedom)
{
    if (deviation <= record) {
        return false;
    }
    if (record == 0) {
        return true;
    }
    const double ratio = deviation / record;
    return ratio * ratio > numerics::f_quantile(0.99, own_freedom, record_freedom);
}

/// Scatter or record of the mean of n readings, whatever the resolution.
Repeatability of_scatter(const Repeats& repeats, double n, std::optional<double> deviation)
{
    if (!deviation && !repeats.record) {
        return {};
    }
    Repeatability out{.assessed = true};
    bool recorded = repeats.record.has_value();
    if (deviation && recorded) {
        out.stands_out = exceeds(*deviation, n - 1, *repeats.record, repeats.record_freedom);
        recorded = !out.stands_out && repeats.record_freedom >= n - 1;
    }
    out.uncertainty = (recorded ? *repeats.record : *deviation) / std::sqrt(n);
    out.freedom = recorded ? repeats.record_freedom : n - 1;
    return out;
}

}  // namespace

Repeatability repeatability(const Repeats& repeats, std::size_t count,
                            std::optional<double> deviation)
{
    Repeatability out = of_scatter(repeats, static_cast<double>(count), deviation);
    const double resolution = repeats.resolution / std::sqrt(12.0);
    if (resolution > out.uncertainty) {
        out.uncertainty = resolution;
        out.freedom = std::numeric_limits<double>::infinity();
        out.by_resolution = true;
    }
    return out;
}

}  // namespace enginewright::measure
