#pragma once

#include <string_view>

#include "enginewright/check.hpp"

/// What a temperature and an expansion may be, the same for every bench that warms parts.
namespace enginewright {

inline void require_temperature(std::string_view name, double value)
{
    require_finite(name, value);
    if (value <= -273.15) {
        refuse(name, "above -273.15 °C", value);
    }
    // Nothing solid is left far above this; without a bound the growth would overflow.
    require_at_most(name, value, 10000.0, "°C");
}

inline void require_expansion(std::string_view name, double value)
{
    require_between(name, value, 0.0, 0.001, "1/K");
}

}  // namespace enginewright
