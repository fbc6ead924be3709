#include "numerics/harmonics.hpp"

#include <algorithm>
#include <vector>

#include "numerics/angles.hpp"

namespace enginewright::numerics {

namespace {

Eigen::MatrixXd design_of(std::span<const double> angle, int order)
{
    Eigen::MatrixXd design(static_cast<Eigen::Index>(angle.size()), 1 + Eigen::Index{2} * order);
    for (Eigen::Index i = 0; i < design.rows(); ++i) {
        const double turn = turned_once(angle[static_cast<std::size_t>(i)]);
        design(i, 0) = 1;
        for (int k = 1; k <= order; ++k) {
            const auto direction = unit_vector(k * turn);
            design(i, Eigen::Index{2} * k - 1) = direction.real();
            design(i, Eigen::Index{2} * k) = direction.imag();
        }
    }
    return design;
}

}  // namespace

std::size_t different_angles(std::span<const double> angle)
{
    constexpr double same = 1e-6;
    std::vector<double> turns;
    for (const double each : angle) {
        turns.push_back(turned_once(each));
    }
    std::sort(turns.begin(), turns.end());
    std::size_t count = 0;
    for (std::size_t i = 0; i < turns.size(); ++i) {
        const double before = i > 0 ? turns[i - 1] : turns.back() - 360.0;
        count += turns[i] - before > same ? 1U : 0U;
    }
    // All in one place: none of them lies apart from the one before it.
    return std::max<std::size_t>(count, turns.empty() ? 0 : 1);
}

HarmonicFit::HarmonicFit(std::span<const double> angle, int order)
    : design_(design_of(angle, order))
{
    if (design_.rows() < design_.cols()) {
        return;
    }
    reflections_.setThreshold(1e-9);
    reflections_.compute(design_);
    determined_ = reflections_.rank() == design_.cols();
    if (!determined_) {
        return;
    }
    const Eigen::Index size = design_.cols();
    const Eigen::MatrixXd inverse = reflections_.matrixR()
                                        .topLeftCorner(size, size)
                                        .triangularView<Eigen::Upper>()
                                        .solve(Eigen::MatrixXd::Identity(size, size));
    const auto& order_of_columns = reflections_.colsPermutation();
    cofactors_ = order_of_columns * (inverse * inverse.transpose()) * order_of_columns.transpose();
}

Eigen::MatrixXd HarmonicFit::coefficients(const Eigen::MatrixXd& readings) const
{
    return reflections_.solve(readings);
}

Eigen::MatrixXd HarmonicFit::residuals(const Eigen::MatrixXd& readings,
                                       const Eigen::MatrixXd& coefficients) const
{
    return readings - design_ * coefficients;
}

}  // namespace enginewright::numerics
