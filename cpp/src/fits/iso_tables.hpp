#pragma once

#include <array>
#include <optional>
#include <string_view>

/// The tables of ISO 286-1 as they stand in the code, and nothing that follows from them by rule.
///
/// All widths and deviations are whole hundredths of a micrometre: half of IT0 is still a whole
/// one, so sums and differences are exact and a limit is rounded once, on its way to millimetres.
namespace enginewright::fits::iso {

/// Hundredths of a micrometre.
using Hundredths = int;

constexpr Hundredths from_micrometres(double value)
{
    return static_cast<Hundredths>(value * 100 + (value < 0 ? -0.5 : 0.5));
}
constexpr double millimetres(Hundredths value) { return value / 1e5; }

/// Grades by their index: 0 is IT01, 1 is IT0, 2 is IT1 and so on to 19, IT18.
inline constexpr int finest_grade = -1;  ///< IT01, as a number; IT0 is 0
inline constexpr int coarsest_grade = 18;

/// Width of a grade, -1 for IT01 to 18, at a size that lies in the table.
Hundredths tolerance(double size, int grade);

/// Deviation of a shaft letter nearer to the nominal size, at a size: es for a to g (negative), ei
/// for k (grades 4 to 7) to zc. None where the standard has no entry.
std::optional<Hundredths> shaft_deviation(std::string_view letter, double size);

/// Lower deviation of j with its grade: 5, 6, 7, and 8 up to 3 mm.
std::optional<Hundredths> j_deviation(int grade, double size);

/// Upper deviation of J with its grade: 6, 7, 8.
std::optional<Hundredths> hole_j_deviation(int grade, double size);

}  // namespace enginewright::fits::iso
