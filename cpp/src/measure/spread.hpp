#pragma once

#include <algorithm>
#include <span>
#include <string_view>

#include "enginewright/check.hpp"

/// What sets of readings have in common: how far they lie apart.
namespace enginewright::measure {

/// Greatest less least. Squares of it must stay within the range of a double, so readings more than
/// 1e150 apart are refused.
inline double spread_of(std::string_view name, std::span<const double> readings)
{
    const auto [least, greatest] = std::ranges::minmax(readings);
    const double spread = greatest - least;
    if (!(spread <= 1e150)) {
        refuse_all(name, "lie within 1e150 of each other, got " + number_text(least) + " and " +
                             number_text(greatest));
    }
    return spread;
}

}  // namespace enginewright::measure
