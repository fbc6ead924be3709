#include "numerics/complex_least_squares.hpp"

#include <Eigen/QR>

namespace enginewright::numerics {

LeastSquares complex_least_squares(const Eigen::MatrixXcd& a, const Eigen::MatrixXcd& b,
                                   const Eigen::VectorXd& weights, double dependent)
{
    const Eigen::VectorXd root = weights.cwiseSqrt();
    Eigen::MatrixXcd scaled = root.asDiagonal() * a;
    Eigen::VectorXd length = scaled.colwise().norm();
    for (Eigen::Index j = 0; j < length.size(); ++j) {
        if (length[j] == 0) {
            length[j] = 1;  // A column of zeros stays one and lowers the rank.
        }
        scaled.col(j) /= length[j];
    }
    Eigen::ColPivHouseholderQR<Eigen::MatrixXcd> qr(scaled.rows(), scaled.cols());
    qr.setThreshold(dependent);
    qr.compute(scaled);
    LeastSquares answer{.solution = {}, .residual = {}, .spread = {}, .rank = qr.rank()};
    if (answer.rank < a.cols()) {
        return answer;
    }
    answer.solution = length.cwiseInverse().asDiagonal() * qr.solve(root.asDiagonal() * b);
    answer.residual = b - a * answer.solution;
    // (A^H W A)^-1 = P R^-1 R^-H P^T: its diagonal is the squared length of the rows of P R^-1.
    const Eigen::Index n = a.cols();
    const Eigen::MatrixXcd inverse =
        qr.matrixR().topLeftCorner(n, n).triangularView<Eigen::Upper>().solve(
            Eigen::MatrixXcd::Identity(n, n));
    const Eigen::MatrixXcd rows = qr.colsPermutation() * inverse;
    answer.spread = rows.rowwise().norm().cwiseQuotient(length);
    return answer;
}

}  // namespace enginewright::numerics
