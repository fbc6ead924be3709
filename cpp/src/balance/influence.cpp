#include "enginewright/balance/influence.hpp"

#include <Eigen/SVD>
#include <algorithm>
#include <cmath>

#include "balance/bounds.hpp"
#include "numerics/complex_least_squares.hpp"
#include "wording.hpp"

namespace enginewright::balance {

namespace {

using Eigen::Index;

// Common practice: a trial should move the reading by about a third.
constexpr double least_change = 0.25;
constexpr double greatest_change = 10;
constexpr double greatest_condition = 20;

void require_table(std::string_view name, const Eigen::MatrixXcd& table)
{
    for (Index j = 0; j < table.rows(); ++j) {
        for (Index n = 0; n < table.cols(); ++n) {
            const auto row = element_name(name, static_cast<std::size_t>(j));
            require_vector(element_name(row, static_cast<std::size_t>(n)), table(j, n));
        }
    }
}

Eigen::VectorXd weights_of(const std::optional<std::vector<double>>& weights, Index count)
{
    if (!weights) {
        return Eigen::VectorXd::Ones(count);
    }
    require_count("weights", weights->size(), static_cast<std::size_t>(count), "weights");
    for (std::size_t i = 0; i < weights->size(); ++i) {
        require_positive(element_name("weights", i), (*weights)[i]);
        require_between(element_name("weights", i), (*weights)[i], 1e-100, 1e100);
    }
    return Eigen::Map<const Eigen::VectorXd>(weights->data(), count);
}

template <class Matrix>
auto rows_of(const Matrix& matrix)
{
    std::vector<std::vector<typename Matrix::Scalar>> rows;
    for (Index i = 0; i < matrix.rows(); ++i) {
        auto& row = rows.emplace_back();
        for (Index j = 0; j < matrix.cols(); ++j) {
            row.push_back(matrix(i, j));
        }
    }
    return rows;
}

std::vector<Vector> list_of(const Eigen::VectorXcd& column)
{
    return {column.data(), column.data() + column.size()};
}

/// Ratio of the greatest stretch of a matrix to the least; none where the least is nothing.
std::optional<double> condition_of(const Eigen::MatrixXcd& matrix)
{
    const Eigen::VectorXd stretch = Eigen::JacobiSVD<Eigen::MatrixXcd>(matrix).singularValues();
    const double least = stretch[stretch.size() - 1];
    if (matrix.rows() < matrix.cols() || least <= 1e-15 * stretch[0]) {
        return std::nullopt;
    }
    return stretch[0] / least;
}

void warn_of_trials(Influence& found, const Eigen::MatrixXcd& states,
                    const Eigen::MatrixXcd& influence, const Eigen::VectorXcd& baseline)
{
    for (Index j = 0; j < states.rows(); ++j) {
        if (states.row(j).isZero(0)) {
            continue;
        }
        const Eigen::VectorXcd moved = influence * states.row(j).transpose();
        double change = 0;
        bool judged = false;
        for (Index k = 0; k < moved.size(); ++k) {
            if (baseline[k] != Vector{}) {
                judged = true;
                change = std::max(change, std::abs(moved[k]) / std::abs(baseline[k]));
            }
        }
        const std::string run = "run " + std::to_string(j + 1) + ": ";
        if (judged && change < least_change) {
            found.warnings.push_back(run + "trial too small, it moves the reading by " +
                                     fixed_text(100 * change, 1) + " %");
        } else if (judged && change > greatest_change) {
            found.warnings.push_back(run + "trial too large, it moves the reading " +
                                     fixed_text(change, 1) + " times");
        }
    }
    if (!found.condition || *found.condition > greatest_condition) {
        found.warnings.push_back(
            "planes poorly separated" +
            (found.condition ? ", condition " + fixed_text(*found.condition, 1) : std::string()));
    }
    if (!found.warnings.empty()) {
        found.status = InfluenceStatus::warned;
        found.reason = wording::joined(found.warnings, "; ");
        found.next = "repeat the doubtful run with a trial that moves the reading by about a third";
    }
}

}  // namespace

Influence influence_coefficients(const Eigen::MatrixXcd& states, const Eigen::MatrixXcd& readings,
                                 const std::optional<std::vector<double>>& weights)
{
    const Index runs = states.rows();
    const Index planes = states.cols();
    if (runs < planes + 1 || planes < 1) {
        refuse_all("states", "hold at least one run more than planes, got " + std::to_string(runs) +
                                 (runs == 1 ? " run" : " runs") + " for " + std::to_string(planes) +
                                 (planes == 1 ? " plane" : " planes"));
    }
    require_count("readings", static_cast<std::size_t>(readings.rows()),
                  static_cast<std::size_t>(runs), "runs");
    if (readings.cols() < 1) {
        refuse_all("readings", "hold at least 1 point, got 0");
    }
    require_table("states", states);
    require_table("readings", readings);
    const Eigen::VectorXd weight = weights_of(weights, runs);
    Eigen::MatrixXcd model(runs, planes + 1);
    model << Eigen::VectorXcd::Ones(runs), states;
    const auto fit = numerics::complex_least_squares(model, readings, weight);
    if (fit.rank < planes + 1) {
        refuse_all("states", "tell the planes apart: add a run with a mass in one plane alone");
    }
    const Eigen::MatrixXcd influence = fit.solution.bottomRows(planes).transpose();
    const Eigen::VectorXcd baseline = fit.solution.row(0).transpose();
    Influence found{.matrix = rows_of(influence),
                    .baseline = list_of(baseline),
                    .degrees_of_freedom = static_cast<int>(runs - planes - 1),
                    .condition = condition_of(influence)};
    if (found.degrees_of_freedom > 0) {
        const Eigen::VectorXd squares =
            (weight.asDiagonal() * fit.residual.cwiseAbs2()).colwise().sum().transpose();
        const Eigen::VectorXd scatter = (squares / (2.0 * found.degrees_of_freedom)).cwiseSqrt();
        found.scatter = std::vector<double>(scatter.data(), scatter.data() + scatter.size());
        found.matrix_uncertainty =
            rows_of(Eigen::MatrixXd(scatter * fit.spread.tail(planes).transpose()));
    }
    warn_of_trials(found, states, influence, baseline);
    return found;
}

namespace {

Eigen::MatrixXcd matrix_of(const AnyInfluence& influence)
{
    if (const auto* bare = std::get_if<Eigen::MatrixXcd>(&influence)) {
        return *bare;
    }
    const auto& rows = std::get<Influence>(influence).matrix;
    const auto columns = rows.empty() ? 0 : rows.front().size();
    Eigen::MatrixXcd matrix(static_cast<Index>(rows.size()), static_cast<Index>(columns));
    for (std::size_t i = 0; i < rows.size(); ++i) {
        for (std::size_t j = 0; j < columns; ++j) {
            matrix(static_cast<Index>(i), static_cast<Index>(j)) = rows[i][j];
        }
    }
    return matrix;
}

}  // namespace

Correction required_correction(const AnyInfluence& influence, std::span<const Vector> readings,
                               const std::optional<std::vector<double>>& weights,
                               const OneOrEach& uncertainty)
{
    const Eigen::MatrixXcd a = matrix_of(influence);
    if (a.cols() < 1 || a.rows() < a.cols()) {
        refuse_all("influence", "have at least as many points as planes, got " +
                                    std::to_string(a.rows()) + " by " + std::to_string(a.cols()));
    }
    require_table("influence", a);
    require_count("readings", readings.size(), static_cast<std::size_t>(a.rows()), "points");
    require_vectors("readings", readings);
    const auto doubt = each_uncertainty("uncertainty", uncertainty, readings.size());
    const Eigen::VectorXd weight = weights_of(weights, a.rows());
    const auto condition = condition_of(a);
    const Eigen::VectorXcd r =
        Eigen::Map<const Eigen::VectorXcd>(readings.data(), static_cast<Index>(readings.size()));
    // Beside the readings each point's unit vector: their solutions are the pseudo-inverse.
    Eigen::MatrixXcd right(a.rows(), a.rows() + 1);
    right << -r, Eigen::MatrixXcd::Identity(a.rows(), a.rows());
    const auto fit = numerics::complex_least_squares(a, right, weight);
    if (!condition || fit.rank < a.cols()) {
        refuse_all("influence", "tell the planes apart: its columns are dependent");
    }
    const Eigen::VectorXcd w = fit.solution.col(0);
    const Eigen::VectorXcd predicted = r + a * w;
    const Eigen::Map<const Eigen::VectorXd> u(doubt.data(), a.rows());
    const Eigen::VectorXd spread =
        (fit.solution.rightCols(a.rows()).cwiseAbs2() * u.cwiseAbs2()).cwiseSqrt();
    if (!w.allFinite() || !spread.allFinite()) {
        refuse_all("influence", "move the readings: it is too small for any mass to help");
    }
    return {.correction = list_of(w),
            .unbalance = list_of(-w),
            .predicted = list_of(predicted),
            .predicted_rms = std::sqrt(weight.dot(predicted.cwiseAbs2()) / weight.sum()),
            .uncertainty = {spread.data(), spread.data() + spread.size()},
            .condition = *condition};
}

}  // namespace enginewright::balance
