#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <variant>
#include <vector>

#include "form.hpp"

/// One step for a whole set: what the plan of undersizes and that of oversizes share.
namespace enginewright::steps {

using form_figures::Grid;

/// One figure for all parts, or one for each.
using OneOrEach = std::variant<double, std::vector<double>>;

/// Limits and fits in a plan are kept with this much slack in favour of the part, mm.
inline constexpr double slack = 1e-9;

/// Refuses an empty set, or a grid in it without readings or with one that is no size.
void require_set(std::string_view name, std::span<const Grid> set);

/// Refuses steps that are not above 0 and strictly rising.
void require_rising(std::string_view name, std::span<const double> steps);

/// Depth of damage for each part; none given: 0. Refused when below 0 or of another count.
std::vector<double> damage_of_each(const std::optional<OneOrEach>& damage_depth, std::size_t parts);

/// Least and greatest reading of each grid.
struct Extent {
    double least = 0;
    double greatest = 0;
};
std::vector<Extent> extents(std::span<const Grid> set);

/// Index of the first figure within the slack of the greatest.
int first_greatest(std::span<const double> figures);

/// The first of some steps that fits; none: no step does.
template <class Fits>
std::optional<double> first_that_fits(std::span<const double> steps, Fits&& fits)
{
    for (const double step : steps) {
        if (fits(step)) {
            return step;
        }
    }
    return std::nullopt;
}

}  // namespace enginewright::steps
