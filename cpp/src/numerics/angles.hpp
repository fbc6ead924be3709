#pragma once

#include <cmath>
#include <complex>
#include <numbers>

#include "numerics/degrees.hpp"

/// Angles in degrees and vectors as complex numbers. Numbers only.
namespace enginewright::numerics {

inline double degrees(double radians) { return radians * 180 / std::numbers::pi; }
inline double radians(double degrees) { return degrees * std::numbers::pi / 180; }

/// An angle in (-180, 180].
inline double wrapped(double angle)
{
    const double rest = std::fmod(angle, 360.0);
    if (rest > 180) {
        return rest - 360;
    }
    return rest <= -180 ? rest + 360 : rest;
}

/// An angle brought to 0 <= angle < 360.
inline double turned_once(double angle)
{
    double rest = std::fmod(angle, 360.0);
    if (rest < 0) {
        rest += 360.0;
    }
    // The least negative angles round to a whole turn, which is the zero mark again.
    return rest >= 360.0 ? 0.0 : rest + 0.0;
}

/// Vector of length 1 at an angle in degrees; exact at every quarter of a turn: a vector at 90 has
/// no part along 0.
inline std::complex<double> unit_vector(double angle)
{
    const auto [sine, cosine] = sine_cosine_of_degrees(turned_once(angle));
    return {cosine, sine};
}

/// Angle of a vector in degrees, 0 <= angle < 360; 0 for a vector of no length.
inline double degrees_of(std::complex<double> vector)
{
    if (vector == std::complex<double>{}) {
        return 0;
    }
    return turned_once(degrees(std::atan2(vector.imag(), vector.real())));
}

}  // namespace enginewright::numerics
