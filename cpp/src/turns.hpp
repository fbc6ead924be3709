#pragma once

#include <Eigen/Core>
#include <cmath>
#include <optional>
#include <span>
#include <string_view>

#include "numerics/angles.hpp"
#include "numerics/harmonics.hpp"

/// Readings taken round a part as it turns: what cranks, bores and liners share.
namespace enginewright::turns {

using numerics::degrees;
using numerics::radians;
using numerics::wrapped;

using Readings = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// Below this a vector has no direction, mm.
inline constexpr double no_length = 1e-12;

/// A measured angle in [0, turn); what lies a hair under a whole turn is 0.
double in_range(double angle, double turn);

/// Root of the mean square.
double rms(const Eigen::Ref<const Eigen::VectorXd>& values);

/// Index of the first figure within 1e-9 of the greatest.
int first_greatest(std::span<const double> figures);

/// Refuses what is no angle: finite, within a million degrees.
void require_angle(std::string_view name, double angle);

/// Refuses a limit below 0.
void require_limit(std::string_view name, std::optional<double> limit, std::string_view unit);

/// Refuses readings that are not `least` rows of one reading an angle, each a length.
void require_readings(std::string_view name, const Readings& readings, std::size_t angles,
                      std::string_view row, std::size_t least);

/// The fit of harmonics; angles that cannot determine it are refused.
numerics::HarmonicFit fitted(std::string_view name, std::span<const double> angle, int order);

}  // namespace enginewright::turns
