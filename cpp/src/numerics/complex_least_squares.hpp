#pragma once

#include <Eigen/Core>

/// Linear least squares in complex unknowns. Numbers only.
namespace enginewright::numerics {

/// Solution of min || W^(1/2) (A X - B) || for each column of B.
struct LeastSquares {
    Eigen::MatrixXcd solution{};  ///< one column for each of B
    Eigen::MatrixXcd residual{};  ///< B - A X, without weights
    Eigen::VectorXd spread{};     ///< sqrt of the diagonal of (A^H W A)^-1
    Eigen::Index rank = 0;        ///< below the number of columns: no solution is given
};

/// Least squares by Householder's QR with column pivoting.
///
/// Rows are scaled by the roots of their weights, columns to length 1, so that trial masses of
/// grams and of kilograms stand side by side. Never the normal equations: their condition is the
/// square of that of A.
///
/// a          rows by unknowns, at least as many rows as unknowns
/// b          rows by right-hand sides
/// weights    above 0, one for each row
/// dependent  columns whose part outside the others is below this share of the largest are
///            dependent
///
/// Source: G. H. Golub and C. F. Van Loan, Matrix Computations, 5.3 and 5.5.
LeastSquares complex_least_squares(const Eigen::MatrixXcd& a, const Eigen::MatrixXcd& b,
                                   const Eigen::VectorXd& weights, double dependent = 1e-9);

}  // namespace enginewright::numerics
