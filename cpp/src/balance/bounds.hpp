#pragma once

#include <complex>
#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/balance/tolerance.hpp"
#include "enginewright/balance/vectors.hpp"
#include "enginewright/check.hpp"

/// What an argument of this bench may be. Beyond these bounds lies no rotor, only a slip of the
/// unit, and products of them stay far from the ends of a double.
namespace enginewright::balance {

inline constexpr double greatest_mass = 1e9;        // g: a thousand tonnes
inline constexpr double greatest_unbalance = 1e15;  // g mm: that mass at the longest radius
inline constexpr double least_unbalance = 1e-9;     // g mm
inline constexpr double greatest_speed = 1e6;       // rpm
inline constexpr double least_speed = 1e-3;         // rpm
inline constexpr double least_radius = 1e-3;        // mm

inline void require_amount(std::string_view name, double value)
{
    require_at_least(name, value, 0.0, "g mm");
    require_at_most(name, value, greatest_unbalance, "g mm");
}

/// An amount that is divided by: above nothing at all.
inline void require_some_amount(std::string_view name, double value)
{
    require_positive(name, value, "g mm");
    require_between(name, value, least_unbalance, greatest_unbalance, "g mm");
}

inline void require_vector(std::string_view name, Vector value)
{
    const double part = std::isfinite(value.real()) ? value.imag() : value.real();
    require_finite(name, part);
    if (std::hypot(value.real(), value.imag()) > greatest_unbalance) {
        require_amount(name, std::hypot(value.real(), value.imag()));
    }
}

inline void require_vectors(std::string_view name, std::span<const Vector> values)
{
    for (std::size_t i = 0; i < values.size(); ++i) {
        require_vector(values.size() == 1 ? std::string(name) : element_name(name, i), values[i]);
    }
}

/// Angles beyond any number of turns have lost their degrees.
inline void require_angle(std::string_view name, double value)
{
    require_between(name, value, -1e6, 1e6, "deg");
}

inline void require_mass(std::string_view name, double value)
{
    require_between(name, value, 0.0, greatest_mass, "g");
}

inline void require_rotor_mass(std::string_view name, double value)
{
    require_positive(name, value, "g");
    require_between(name, value, 1e-6, greatest_mass, "g");
}

inline void require_radius(std::string_view name, double value)
{
    require_positive(name, value, "mm");
    require_between(name, value, least_radius, greatest_length, "mm");
}

inline void require_speed(std::string_view name, double value)
{
    require_positive(name, value, "rpm");
    require_between(name, value, least_speed, greatest_speed, "rpm");
}

/// Refuses a list that has not as many members as it must: "planes must hold 2 positions, got 3".
inline void require_count(std::string_view name, std::size_t count, std::size_t wanted,
                          std::string_view what)
{
    if (count != wanted) {
        refuse_all(name, "hold " + std::to_string(wanted) + " " + std::string(what) + ", got " +
                             std::to_string(count));
    }
}

/// Two planes, front first or not, but not in one place.
inline void require_plane_pair(std::string_view name, std::span<const double> planes)
{
    require_count(name, planes.size(), 2, "positions");
    require_length(element_name(name, 0), planes[0]);
    require_length(element_name(name, 1), planes[1]);
    if (std::abs(planes[1] - planes[0]) < 1e-3) {
        refuse_all(name, "lie at least 0.001 mm apart, got " + number_text(planes[0]) + " and " +
                             number_text(planes[1]));
    }
}

inline void require_level(double level)
{
    if (!(level > 0.5 && level < 1)) {
        refuse("level", "above 0.5 and below 1", level);
    }
}

/// One figure for each plane out of one for all or one for each.
std::vector<double> each_plane(std::string_view name, const OneOrEach& given, std::size_t planes);

/// Uncertainties of the planes: at least 0, one for all or one for each.
std::vector<double> each_uncertainty(std::string_view name, const OneOrEach& given,
                                     std::size_t planes);

/// Tolerances of the planes, refused when one is missing.
std::vector<double> each_tolerance(const OneOrEach& given, std::size_t planes);

/// omega = 2 pi speed / 60, rad/s.
double omega_of(double speed);

/// "41 g mm", with a decimal below ten.
std::string amount_text(double amount);

/// "31 deg".
std::string angle_text(double angle);

}  // namespace enginewright::balance
