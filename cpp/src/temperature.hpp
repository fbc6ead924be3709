#pragma once

#include <string_view>

#include "checked_numbers.hpp"

/// What a temperature and an expansion may be, the same for every bench that warms parts.
namespace enginewright {

[[gnu::always_inline]] inline void require_temperature(std::string_view name, const auto& value)
{
    require_finite(name, value);
    require_that(value > -273.15, [&] { refuse(name, "above -273.15 °C", plain_value(value)); });
    // Nothing solid is left far above this; without a bound the growth would overflow.
    require_at_most(name, value, 10000.0, "°C");
}

[[gnu::always_inline]] inline void require_expansion(std::string_view name, const auto& value)
{
    require_between(name, value, 0.0, 0.001, "1/K");
}

}  // namespace enginewright
