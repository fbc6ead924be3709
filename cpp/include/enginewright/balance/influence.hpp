#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <variant>
#include <vector>

#include "enginewright/balance/tolerance.hpp"
#include "enginewright/balance/vectors.hpp"
#include "enginewright/record.hpp"

/// Influence coefficients: what a known mass does to what is read, and which masses undo it.
///
/// For balancing in place and for machines without calibration. Any unit of reading serves.
namespace enginewright::balance {

/// Whether the trials were a sound base.
enum class InfluenceStatus { sound, warned };

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<2> words<balance::InfluenceStatus>{"status", {"sound", "warned"}};
}  // namespace enginewright

namespace enginewright::balance {

/// Rows of complex numbers.
using ComplexRows = std::vector<std::vector<Vector>>;

/// How points read (rows) answer to masses in planes (columns).
struct Influence {
    ComplexRows matrix{};
    std::vector<Vector> baseline{};
    std::optional<std::vector<std::vector<double>>> matrix_uncertainty{};
    std::optional<std::vector<double>> scatter{};
    int degrees_of_freedom = 0;
    std::optional<double> condition{};
    std::vector<std::string> warnings{};
    InfluenceStatus status = InfluenceStatus::sound;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"matrix", "", &Influence::matrix, "reading for 1 g mm, points by planes"},
            Field{"baseline", "", &Influence::baseline, "reading of each point without masses"},
            Field{"matrix_uncertainty", "", &Influence::matrix_uncertainty,
                  "standard, per axis; none without spare runs"},
            Field{"scatter", "", &Influence::scatter,
                  "of the readings of each point, per axis; none without spare runs"},
            Field{"degrees_of_freedom", "", &Influence::degrees_of_freedom, "spare runs"},
            Field{"condition", "", &Influence::condition,
                  "of the matrix; none where masses in the planes cannot be told apart"},
            Field{"warnings", "", &Influence::warnings, "what makes the trials doubtful"},
            Field{"status", "", &Influence::status, "whether there are warnings"},
            Field{"reason", "", &Influence::reason, "the warnings in a sentence"},
            Field{"next", "", &Influence::next, "what to do next"},
        };
    }
    bool operator==(const Influence&) const = default;
};
static_assert(lists_every_member<Influence>);

/// Influence coefficients from runs with known masses.
///
/// Run j carries masses w_j, one for each plane (zeros for the first run), and reads
///
///     r_j = r_0 + A w_j
///
/// A trial mass that was left on stays in the rows that follow; repeated runs, trials in two planes
/// at once and every later correction are further rows. Solved by weighted complex least squares
/// (QR). With spare runs the scatter of the readings gives the uncertainty of the matrix.
///
/// Warnings, with change = greatest |A w_j| / |r_0| of a run: below 0.25 "trial too small", above
/// 10 "trial too large"; condition above 20 "planes poorly separated".
///
/// states    masses of each run as vectors, runs by planes, g mm
/// readings  what was read, runs by points
/// weights   of each run, above 0: 1 over its variance; None: all alike
///
/// Throws std::invalid_argument: too few runs, or runs that do not tell the planes apart.
///
/// Source: T. P. Goodman, A least-squares method for computing balance corrections, 1964; limits
/// of the trial: common practice, a trial should move the reading by about a third.
///
/// >>> found = ew.balance.influence_coefficients([0, 10], [4 + 0j, 4 + 3j])
/// >>> found.matrix.tolist(), found.status
/// ([[0.3j]], 'sound')
Influence influence_coefficients(const Eigen::MatrixXcd& states, const Eigen::MatrixXcd& readings,
                                 const std::optional<std::vector<double>>& weights = std::nullopt);

/// Masses to add, and what is left then.
struct Correction {
    std::vector<Vector> correction{};
    std::vector<Vector> unbalance{};
    std::vector<Vector> predicted{};
    double predicted_rms = 0;
    std::vector<double> uncertainty{};
    double condition = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"correction", "g mm", &Correction::correction, "to add, one for each plane"},
            Field{"unbalance", "g mm", &Correction::unbalance, "the opposite: what is too heavy"},
            Field{"predicted", "", &Correction::predicted, "reading of each point afterwards"},
            Field{"predicted_rms", "", &Correction::predicted_rms, "weighted mean of its squares"},
            Field{"uncertainty", "g mm", &Correction::uncertainty, "standard, per axis"},
            Field{"condition", "", &Correction::condition, "of the influence matrix"},
        };
    }
    bool operator==(const Correction&) const = default;
};
static_assert(lists_every_member<Correction>);

/// An influence as it was found, or its bare matrix.
using AnyInfluence = std::variant<Influence, Eigen::MatrixXcd>;

/// Masses that take a reading down as far as they can.
///
/// `correction` is to be **added**; it minimises
///
///     sum over k of weight_k * |r_k + (A w)_k|²
///
/// One plane, two, or N planes with M readings are the same call.
///
/// influence    record of `influence_coefficients`, or a matrix of points by planes
/// readings     one for each point
/// weights      of each point, above 0; None: all alike
/// uncertainty  standard, per axis, of the readings: one for all or one for each
///
/// Throws std::invalid_argument: fewer points than planes, planes that cannot be told apart.
///
/// Source: T. P. Goodman, A least-squares method for computing balance corrections, 1964.
///
/// >>> ew.balance.required_correction([[0.5]], [3 + 4j]).correction.tolist()
/// [(-6-8j)]
Correction required_correction(const AnyInfluence& influence, std::span<const Vector> readings,
                               const std::optional<std::vector<double>>& weights = std::nullopt,
                               const OneOrEach& uncertainty = 0.0);

}  // namespace enginewright::balance
