#pragma once

#include <Eigen/QR>
#include <cstddef>
#include <span>

/// Least-squares fit of harmonics to readings taken round a circle. Numbers only.
namespace enginewright::numerics {

/// How many of some angles, in degrees, differ modulo 360 by more than 1e-6.
std::size_t different_angles(std::span<const double> angle);

/// The fit reading = c0 + a1 cos θ + b1 sin θ + ... + an cos nθ + bn sin nθ at fixed angles.
///
/// Made once for the angles and asked for any readings taken at them. Householder reflections with
/// column pivots, not normal equations: at crowded angles the columns are nearly dependent.
class HarmonicFit {
  public:
    /// angle  degrees, any finite figures
    /// order  highest harmonic, at least 1
    HarmonicFit(std::span<const double> angle, int order);

    /// Whether the angles determine every coefficient: no pivot below 1e-9 of the greatest.
    bool determined() const { return determined_; }

    /// Coefficients c0, a1, b1, a2, b2, ...; a column a set of readings, a row an angle.
    Eigen::MatrixXd coefficients(const Eigen::MatrixXd& readings) const;

    /// Readings less the fit, shaped as the readings.
    Eigen::MatrixXd residuals(const Eigen::MatrixXd& readings,
                              const Eigen::MatrixXd& coefficients) const;

    /// (AᵀA)⁻¹: times the variance of a reading it is the covariance of the coefficients.
    const Eigen::MatrixXd& cofactors() const { return cofactors_; }

  private:
    Eigen::MatrixXd design_;
    Eigen::ColPivHouseholderQR<Eigen::MatrixXd> reflections_;
    Eigen::MatrixXd cofactors_;
    bool determined_ = false;
};

}  // namespace enginewright::numerics
