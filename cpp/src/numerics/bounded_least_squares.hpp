#pragma once

#include <Eigen/Core>

/// Least squares with bounds on every unknown. Numbers only.
namespace enginewright::numerics {

/// Nearest point that bounded unknowns reach, and a floor that nothing reaches below.
struct BoundedLeastSquares {
    Eigen::VectorXd solution{};
    double distance = 0;  ///< || A x - b || of the solution
    double floor = 0;     ///< proven: no x within the bounds comes nearer to b
    bool converged = true;
};

/// Minimum of || A x - b || for 0 <= x <= upper, by active sets.
///
/// Unknowns rest on a bound or are free; the one that promises most is freed, the free ones solved
/// by QR, and those that would leave their bounds are put on them. The floor is the dual bound
///
///     (r . b - sum over j of upper_j * max(0, (A^T r)_j)) / || r ||,  r = b - A x,
///
/// which holds for any r, whether or not the iteration has come to its end; at the minimum it
/// equals the distance.
///
/// a      rows by unknowns; made for few rows and up to some hundred unknowns
/// b      right-hand side
/// upper  greatest value of each unknown, at least 0; infinity: no bound
///
/// Source: P. B. Stark and R. L. Parker, Bounded-variable least-squares: an algorithm and
/// applications, 1995; C. L. Lawson and R. J. Hanson, Solving Least Squares Problems, chapter 23.
BoundedLeastSquares bounded_least_squares(const Eigen::MatrixXd& a, const Eigen::VectorXd& b,
                                          const Eigen::VectorXd& upper);

}  // namespace enginewright::numerics
