#include "enginewright/journals/straightness.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "judging.hpp"
#include "numerics/harmonics.hpp"
#include "turns.hpp"
#include "wording.hpp"

namespace enginewright::journals {

using Eigen::Index;
using Eigen::Vector2d;
using judging::JudgedSet;
using std::numbers::pi;
using wording::mm;
using wording::part;

namespace {

std::size_t at(Index index) { return static_cast<std::size_t>(index); }

/// Positions of the journals, or one step each; refused when they do not rise.
std::vector<double> positions_of(const std::optional<std::vector<double>>& position,
                                 std::size_t journals)
{
    if (!position) {
        std::vector<double> even(journals);
        for (std::size_t i = 0; i < journals; ++i) {
            even[i] = static_cast<double>(i);
        }
        return even;
    }
    judging::require_count("position", position->size(), journals, "a journal");
    for (std::size_t i = 0; i < journals; ++i) {
        require_length(element_name("position", i), (*position)[i]);
        if (i > 0 && (*position)[i] <= (*position)[i - 1]) {
            refuse(element_name("position", i),
                   "above the position before, " + number_text((*position)[i - 1]) + " mm",
                   (*position)[i]);
        }
    }
    return *position;
}

/// Doubt of a vector's length per unit of its coefficients: along its direction, or along the worst
/// one where it has none.
double doubt_along(const Eigen::Matrix2d& cofactors, const Vector2d& vector)
{
    const double length = vector.norm();
    if (length < turns::no_length) {
        return std::sqrt(
            Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d>(cofactors).eigenvalues()[1]);
    }
    const Vector2d direction = vector / length;
    return std::sqrt(direction.dot(cofactors * direction));
}

/// The bend of each journal: its centre less the line through the first and the last.
struct Bends {
    std::vector<Vector2d> at{};
    /// How much of each journal's centre goes into each bend.
    Eigen::MatrixXd shares{};
};

Bends bends_of(const std::vector<Vector2d>& centres, const std::vector<double>& position)
{
    const auto last = static_cast<Index>(centres.size()) - 1;
    Bends bends{.shares = Eigen::MatrixXd::Zero(last + 1, last + 1)};
    for (Index i = 0; i <= last; ++i) {
        if (i == 0 || i == last) {
            bends.at.push_back(Vector2d::Zero());
            continue;
        }
        const double along =
            (position[at(i)] - position.front()) / (position.back() - position.front());
        bends.at.push_back(centres[at(i)] - (1 - along) * centres.front() - along * centres.back());
        bends.shares(i, i) += 1;
        bends.shares(i, 0) -= 1 - along;
        bends.shares(i, last) -= along;
    }
    return bends;
}

/// What each journal shows by itself; returns its centre.
std::vector<Vector2d> add_shapes(Runout& found, const numerics::HarmonicFit& fit,
                                 const Turns& readings)
{
    const Eigen::MatrixXd columns = readings.transpose();
    const Eigen::MatrixXd coefficients = fit.coefficients(columns);
    const Eigen::MatrixXd residuals = fit.residuals(columns, coefficients);
    std::vector<Vector2d> centres;
    for (Index i = 0; i < readings.rows(); ++i) {
        const auto c = coefficients.col(i);
        centres.emplace_back(c[1], c[2]);
        found.eccentricity.push_back(centres.back().norm());
        found.ovality.push_back(4 * std::hypot(c[3], c[4]));
        const bool round = found.ovality.back() < turns::no_length;
        found.ovality_direction.push_back(
            round ? 0.0 : turns::in_range(turns::degrees(std::atan2(c[4], c[3])) / 2, 180));
        found.residual.push_back(turns::rms(residuals.col(i)));
    }
    return centres;
}

void add_bends(Runout& found, const Bends& bends, const Eigen::Matrix2d& cofactors, double u)
{
    for (std::size_t i = 0; i < bends.at.size(); ++i) {
        const Eigen::RowVectorXd shares = bends.shares.row(static_cast<Index>(i));
        found.runout.push_back(2 * bends.at[i].norm());
        found.uncertainty.push_back(2 * u * doubt_along(cofactors, bends.at[i]) * shares.norm());
        if (i == 0) {
            continue;
        }
        const Vector2d step = bends.at[i] - bends.at[i - 1];
        const Eigen::RowVectorXd between = shares - bends.shares.row(static_cast<Index>(i) - 1);
        found.neighbour.push_back(2 * step.norm());
        found.neighbour_uncertainty.push_back(2 * u * doubt_along(cofactors, step) *
                                              between.norm());
    }
    found.worst = turns::first_greatest(found.runout);
    const Vector2d& bend = bends.at[static_cast<std::size_t>(found.worst)];
    found.high_side = bend.norm() < turns::no_length
                          ? 0.0
                          : turns::in_range(turns::degrees(std::atan2(bend.y(), bend.x())), 360);
}

void judge_runout(Runout& found, std::optional<double> limit, std::optional<double> neighbour_limit)
{
    const auto bend = judging::judge_set(
        found.runout, found.uncertainty, std::nullopt, limit,
        [](std::size_t i) { return "run-out of " + part("journal", static_cast<int>(i)); });
    const auto step = judging::judge_set(
        found.neighbour, found.neighbour_uncertainty, std::nullopt, neighbour_limit,
        [](std::size_t i) {
            return "run-out from journal " + std::to_string(i + 1) + " to " + std::to_string(i + 2);
        });
    found.verdicts = bend.verdicts;
    found.neighbour_verdicts = step.verdicts;
    found.verdict = judging::worst_of({&bend, &step});
    found.reason = judging::reasons_of({&bend, &step});
    if (found.verdict == Standing::outside) {
        found.next =
            "test for cracks, then have the crank straightened by somebody qualified or "
            "replaced: " +
            part("journal", found.worst) + " stands out " +
            mm(found.runout[static_cast<std::size_t>(found.worst)] / 2) + " at " +
            fixed_text(found.high_side, 0) + " degrees";
    } else if (found.verdict == Standing::unproven) {
        found.next = "read again at more angles, or with a better gauge";
    }
}

}  // namespace

Runout runout(std::span<const double> angle, const Turns& readings,
              const std::optional<std::vector<double>>& position, std::optional<double> limit,
              std::optional<double> neighbour_limit, double uncertainty)
{
    turns::require_readings("readings", readings, angle.size(), "a journal", 2);
    const auto fit = turns::fitted("angle", angle, 2);
    const auto along = positions_of(position, at(readings.rows()));
    turns::require_limit("limit", limit, "mm");
    turns::require_limit("neighbour_limit", neighbour_limit, "mm");
    require_length_at_least_zero("uncertainty", uncertainty);
    Runout found;
    const auto centres = add_shapes(found, fit, readings);
    add_bends(found, bends_of(centres, along), fit.cofactors().block<2, 2>(1, 1), uncertainty);
    judge_runout(found, limit, neighbour_limit);
    return found;
}

namespace {

/// One pin: its vector, where it stands, and how well that is known.
struct Pin {
    double radius = 0;
    double phase = 0;  ///< degrees
    double radius_doubt = 0;
    double phase_doubt = 0;  ///< radians
};

std::vector<Pin> pins_of(Throws& found, const numerics::HarmonicFit& fit, const Turns& heights,
                         double u)
{
    const Eigen::MatrixXd columns = heights.transpose();
    const Eigen::MatrixXd coefficients = fit.coefficients(columns);
    const Eigen::MatrixXd residuals = fit.residuals(columns, coefficients);
    const Eigen::Matrix2d cofactors = fit.cofactors().block<2, 2>(1, 1);
    std::vector<Pin> pins;
    for (Index i = 0; i < heights.rows(); ++i) {
        const Vector2d vector = coefficients.col(i).segment<2>(1);
        const double radius = vector.norm();
        if (!(radius > 1e-9)) {
            refuse_all(
                element_name("heights", at(i)),
                "rise and fall as the crank turns, got a throw of " + number_text(radius) + " mm");
        }
        const Vector2d along = vector / radius;
        const Vector2d across(-along.y(), along.x());
        // height = R sin φ cos θ + R cos φ sin θ.
        pins.push_back({.radius = radius,
                        .phase = turns::degrees(std::atan2(vector.x(), vector.y())),
                        .radius_doubt = u * std::sqrt(along.dot(cofactors * along)),
                        .phase_doubt = u * std::sqrt(across.dot(cofactors * across)) / radius});
        found.residual.push_back(turns::rms(residuals.col(i)));
    }
    return pins;
}

void require_nominals(const Turns& heights, std::optional<double> nominal_stroke,
                      const std::optional<std::vector<double>>& nominal_index,
                      std::optional<double> stroke_limit, std::optional<double> index_limit)
{
    if (nominal_stroke) {
        require_size("nominal_stroke", *nominal_stroke);
    }
    if (nominal_index) {
        judging::require_count("nominal_index", nominal_index->size(), at(heights.rows()), "a pin");
        for (std::size_t i = 0; i < nominal_index->size(); ++i) {
            turns::require_angle(element_name("nominal_index", i), (*nominal_index)[i]);
        }
    }
    turns::require_limit("stroke_limit", stroke_limit, "mm");
    turns::require_limit("index_limit", index_limit, "degrees");
    if (stroke_limit && !nominal_stroke) {
        refuse("stroke_limit", "left out without a nominal_stroke", *stroke_limit);
    }
    if (index_limit && !nominal_index) {
        refuse("index_limit", "left out without a nominal_index", *index_limit);
    }
}

void judge_throws(Throws& found, std::optional<double> stroke_limit,
                  std::optional<double> index_limit)
{
    const auto below = [](std::optional<double> limit) {
        return limit ? std::optional(-*limit) : std::nullopt;
    };
    // Without a nominal there is no error to judge: as many "unlimited" as pins.
    const std::vector<double> none(found.stroke.size(), 0.0);
    const auto stroke = judging::judge_set(
        stroke_limit ? found.stroke_error : none, found.stroke_uncertainty, below(stroke_limit),
        stroke_limit,
        [](std::size_t i) { return "stroke error of " + part("pin", static_cast<int>(i)); });
    const auto index = judging::judge_set(
        index_limit ? found.index_error : none, found.index_uncertainty, below(index_limit),
        index_limit,
        [](std::size_t i) { return "index error of " + part("pin", static_cast<int>(i)); },
        "degrees");
    found.stroke_verdicts = stroke.verdicts;
    found.index_verdicts = index.verdicts;
    found.verdict = judging::worst_of({&stroke, &index});
    found.reason = judging::reasons_of({&stroke, &index});
    if (found.verdict == Standing::outside) {
        found.next =
            "grind the pins to their nominal throw and place with the next undersize, "
            "the stock permitting";
    } else if (found.verdict == Standing::unproven) {
        found.next = "read again at more angles, or with a better gauge";
    }
}

}  // namespace

Throws throws(std::span<const double> angle, const Turns& heights,
              std::optional<double> nominal_stroke,
              const std::optional<std::vector<double>>& nominal_index,
              std::optional<double> stroke_limit, std::optional<double> index_limit,
              double uncertainty)
{
    turns::require_readings("heights", heights, angle.size(), "a pin", 1);
    const auto fit = turns::fitted("angle", angle, 1);
    require_nominals(heights, nominal_stroke, nominal_index, stroke_limit, index_limit);
    require_length_at_least_zero("uncertainty", uncertainty);
    Throws found;
    const auto pins = pins_of(found, fit, heights, uncertainty);
    for (std::size_t i = 0; i < pins.size(); ++i) {
        const Pin& pin = pins[i];
        found.stroke.push_back(2 * pin.radius);
        found.stroke_uncertainty.push_back(2 * pin.radius_doubt);
        found.index.push_back(turns::in_range(pin.phase - pins.front().phase, 360));
        found.index_uncertainty.push_back(
            i == 0 ? 0.0 : turns::degrees(std::hypot(pin.phase_doubt, pins.front().phase_doubt)));
        if (nominal_stroke) {
            found.stroke_error.push_back(found.stroke.back() - *nominal_stroke);
        }
        if (nominal_index) {
            const double wanted = (*nominal_index)[i] - nominal_index->front();
            found.index_error.push_back(turns::wrapped(found.index.back() - wanted));
        }
    }
    const auto [least, greatest] = std::minmax_element(found.stroke.begin(), found.stroke.end());
    found.stroke_spread = *greatest - *least;
    judge_throws(found, stroke_limit, index_limit);
    return found;
}

double index_error(double height_difference, double crank_throw)
{
    require_size("throw", crank_throw);
    require_between("height_difference", height_difference, -crank_throw, crank_throw, "mm");
    return turns::degrees(std::asin(height_difference / crank_throw));
}

}  // namespace enginewright::journals
