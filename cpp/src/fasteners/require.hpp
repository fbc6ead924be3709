#pragma once

#include <string>
#include <string_view>

#include "enginewright/check.hpp"

/// What bolts and joints must be. The bounds are far beyond any workshop: what passes them is a
/// slip of the unit, and without them quotients would overflow.
namespace enginewright::fasteners {

inline void require_bolt_diameter(double value)
{
    require_size("diameter", value);
    require_at_least("diameter", value, 0.01, "mm");
}

inline void require_pitch(double value)
{
    require_size("pitch", value);
    require_at_least("pitch", value, 0.001, "mm");
}

/// A thread that can be: the pitch at most a third of the diameter.
inline void require_thread(double diameter, double pitch)
{
    require_bolt_diameter(diameter);
    require_pitch(pitch);
    if (pitch > diameter / 3) {
        refuse("pitch", "at most a third of the diameter, " + number_text(diameter / 3) + " mm",
               pitch);
    }
}

inline void require_load(std::string_view name, double value)
{
    require_positive(name, value, "N");
    require_between(name, value, 1e-9, 1e12, "N");
}

inline void require_load_at_least_zero(std::string_view name, double value)
{
    require_at_least(name, value, 0.0, "N");
    require_at_most(name, value, 1e12, "N");
}

inline void require_stiffness(std::string_view name, double value)
{
    require_positive(name, value, "N/mm");
    require_between(name, value, 1e-9, 1e15, "N/mm");
}

inline void require_area(std::string_view name, double value)
{
    require_positive(name, value, "mm²");
    require_between(name, value, 1e-9, 1e12, "mm²");
}

inline void require_modulus(std::string_view name, double value)
{
    require_positive(name, value, "MPa");
    require_between(name, value, 1e-6, 1e9, "MPa");
}

/// A section of bolt or plate that has a thickness at all.
inline void require_section(std::string_view name, double value)
{
    require_size(name, value);
    require_at_least(name, value, 1e-6, "mm");
}

}  // namespace enginewright::fasteners
