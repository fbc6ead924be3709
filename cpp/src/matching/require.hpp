#pragma once

#include <cmath>
#include <span>
#include <string_view>

#include "enginewright/check.hpp"

/// What masses and their kin must be. A thousand tonnes is beyond any workshop.
namespace enginewright::matching {

/// Plans compare with this much in favour of the part, g.
inline constexpr double slack = 1e-9;

inline constexpr double greatest_mass = 1e9;

inline void require_mass(std::string_view name, double value)
{
    require_positive(name, value, "g");
    require_at_most(name, value, greatest_mass, "g");
}

inline void require_mass_at_least_zero(std::string_view name, double value)
{
    require_at_least(name, value, 0.0, "g");
    require_at_most(name, value, greatest_mass, "g");
}

/// A set of masses, so many at least.
inline void require_masses(std::string_view name, std::span<const double> masses, std::size_t least)
{
    require_readings(name, masses, least);
    for (std::size_t i = 0; i < masses.size(); ++i) {
        require_mass(element_name(name, i), masses[i]);
    }
}

/// Values of any sign whose sums stay finite.
inline void require_sum_of(std::string_view name, double value)
{
    require_between(name, value, -1e300, 1e300);
}

}  // namespace enginewright::matching
