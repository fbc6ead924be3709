#pragma once

#include <cmath>
#include <complex>
#include <numbers>

/// Angles in degrees and vectors as complex numbers. Numbers only.
namespace enginewright::numerics {

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

/// Vector of length 1 at an angle in degrees; exact at every quarter of a turn.
///
/// The angle is folded to within 45 degrees of a quarter, where sine and cosine keep their digits:
/// a vector at 90 has no part along 0.
inline std::complex<double> unit_vector(double angle)
{
    const double once = turned_once(angle);
    const double quarter = std::floor(once / 90.0 + 0.5);
    const double rest = (once - 90.0 * quarter) * std::numbers::pi / 180.0;
    const double c = std::cos(rest);
    const double s = std::sin(rest);
    switch (static_cast<int>(quarter) % 4) {
        case 0:
            return {c, s};
        case 1:
            return {-s, c};
        case 2:
            return {-c, -s};
        default:
            return {s, -c};
    }
}

/// Angle of a vector in degrees, 0 <= angle < 360; 0 for a vector of no length.
inline double degrees_of(std::complex<double> vector)
{
    if (vector == std::complex<double>{}) {
        return 0;
    }
    return turned_once(std::atan2(vector.imag(), vector.real()) * 180.0 / std::numbers::pi);
}

}  // namespace enginewright::numerics
