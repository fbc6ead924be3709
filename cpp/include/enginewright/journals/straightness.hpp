#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// A crank on its V-blocks: bend told from ovality, throws and where they stand.
namespace enginewright::journals {

/// Readings round the crank: a row a journal or pin, a column an angle.
using Turns = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// Run-out of a crank, split into the bend of its axis and the ovality of each journal.
///
/// Lists have one entry a journal; `neighbour`, its uncertainty and its verdicts one less, from
/// each journal to the next. Journals count from 0 in `worst` and from 1 in the sentences.
struct Runout {
    std::vector<double> eccentricity{};
    std::vector<double> runout{};
    std::vector<double> uncertainty{};
    std::vector<double> ovality{};
    std::vector<double> ovality_direction{};
    std::vector<double> neighbour{};
    std::vector<double> neighbour_uncertainty{};
    int worst = 0;
    double high_side = 0;
    std::vector<double> residual{};
    std::vector<Standing> verdicts{};
    std::vector<Standing> neighbour_verdicts{};
    Standing verdict = Standing::unlimited;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using R = Runout;
        return std::tuple{
            Field{"eccentricity", "mm", &R::eccentricity, "centre off the axis it turned on"},
            Field{"runout", "mm", &R::runout, "twice the bend at each journal"},
            Field{"uncertainty", "mm", &R::uncertainty, "standard (k = 1), of the run-out"},
            Field{"ovality", "mm", &R::ovality, "large less small diameter"},
            Field{"ovality_direction", "degrees", &R::ovality_direction, "of the large diameter"},
            Field{"neighbour", "mm", &R::neighbour, "run-out from each journal to the next"},
            Field{"neighbour_uncertainty", "mm", &R::neighbour_uncertainty, "standard (k = 1)"},
            Field{"worst", "", &R::worst, "the journal with the greatest run-out"},
            Field{"high_side", "degrees", &R::high_side, "where that journal stands out"},
            Field{"residual", "mm", &R::residual, "rms that neither bend nor oval explains"},
            Field{"verdicts", "", &R::verdicts, "run-out of each against the limit"},
            Field{"neighbour_verdicts", "", &R::neighbour_verdicts,
                  "run-out to the next against its limit"},
            Field{"verdict", "", &R::verdict, "the worst of all"},
            Field{"reason", "", &R::reason, "why, when it is not within"},
            Field{"next", "", &R::next, "what to do next"},
        };
    }
    bool operator==(const Runout&) const = default;
};
static_assert(lists_every_member<Runout>);

/// Bend of a crank from a dial gauge at each journal, told from ovality. mm.
///
/// A gauge on a bent but round journal swings once a turn, on a straight but oval one twice. At
/// each journal, by least squares:
///
///     reading = c + a cos θ + b sin θ + p cos 2θ + q sin 2θ
///     eccentricity = hypot(a, b)
///     ovality = 4 hypot(p, q), its large diameter at half of atan2(q, p), 0 to 180
///
/// The line through the first and the last journal's (a, b) is taken off, each at its position, so
/// that clamping off centre drops out; what is left is the bend:
///
///     runout = 2 |bend|
///     neighbour = 2 |bend of the next - bend of this one|
///
/// The ends have none by definition: the bend is that against them. The uncertainty follows the
/// readings through the fit and the line.
///
/// angle            where the gauge was read, degrees, at least 5 different ones
/// readings         a row a journal (2 or more), a column an angle, mm
/// position         of each journal along the crank, rising; none: evenly spaced
/// limit            of the run-out, mm, at least 0; none: no limit
/// neighbour_limit  of that from journal to journal, mm, at least 0; none: no limit
/// uncertainty      standard (k = 1), of one reading, mm
///
/// Source: harmonic analysis by least squares; derived.
///
/// >>> turn = [0, 72, 144, 216, 288]
/// >>> bent = [0.010, 0.003, -0.008, -0.008, 0.003]
/// >>> found = ew.journals.runout(turn, [[0] * 5, bent, [0] * 5], limit=0.03)
/// >>> f"{found.runout[1]:.3f} mm", found.worst, found.verdict
/// ('0.020 mm', 1, 'within')
Runout runout(std::span<const double> angle, const Turns& readings,
              const std::optional<std::vector<double>>& position = std::nullopt,
              std::optional<double> limit = std::nullopt,
              std::optional<double> neighbour_limit = std::nullopt, double uncertainty = 0.0);

/// Stroke and index of each crankpin.
///
/// Lists have one entry a pin; `stroke_error` and `index_error` are empty without a nominal.
struct Throws {
    std::vector<double> stroke{};
    std::vector<double> stroke_error{};
    std::vector<double> stroke_uncertainty{};
    double stroke_spread = 0;
    std::vector<double> index{};
    std::vector<double> index_error{};
    std::vector<double> index_uncertainty{};
    std::vector<double> residual{};
    std::vector<Standing> stroke_verdicts{};
    std::vector<Standing> index_verdicts{};
    Standing verdict = Standing::unlimited;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using T = Throws;
        return std::tuple{
            Field{"stroke", "mm", &T::stroke, "twice the throw of each pin"},
            Field{"stroke_error", "mm", &T::stroke_error, "stroke less its nominal"},
            Field{"stroke_uncertainty", "mm", &T::stroke_uncertainty, "standard (k = 1)"},
            Field{"stroke_spread", "mm", &T::stroke_spread, "longest less shortest stroke"},
            Field{"index", "degrees", &T::index, "where each pin stands after the first"},
            Field{"index_error", "degrees", &T::index_error, "index less its nominal"},
            Field{"index_uncertainty", "degrees", &T::index_uncertainty, "standard (k = 1)"},
            Field{"residual", "mm", &T::residual, "rms that a circle does not explain"},
            Field{"stroke_verdicts", "", &T::stroke_verdicts, "stroke error of each"},
            Field{"index_verdicts", "", &T::index_verdicts, "index error of each"},
            Field{"verdict", "", &T::verdict, "the worst of all"},
            Field{"reason", "", &T::reason, "why, when it is not within"},
            Field{"next", "", &T::next, "what to do next"},
        };
    }
    bool operator==(const Throws&) const = default;
};
static_assert(lists_every_member<Throws>);

/// Stroke and index of crankpins from heights over the plate as a dividing head turns the crank.
///
/// By least squares for each pin, R the throw:
///
///     height = c + R sin(angle + φ)
///     stroke = 2 R
///     index = φ - φ of the first pin, 0 to 360
///     stroke_error = stroke - nominal_stroke
///     index_error = index - (nominal_index - its first), -180 to 180
///
/// angle           of the dividing head, degrees, at least 3 different ones
/// heights         a row a pin, a column an angle, mm
/// nominal_stroke  mm, above 0; none: no stroke errors
/// nominal_index   of each pin, degrees; none: no index errors
/// stroke_limit    ± on the stroke error, mm, at least 0; none: no limit
/// index_limit     ± on the index error, degrees, at least 0; none: no limit
/// uncertainty     standard (k = 1), of one height, mm
///
/// Source: harmonic analysis by least squares; derived.
///
/// >>> found = ew.journals.throws([0, 90, 180, 270], [[100.0, 140.0, 100.0, 60.0],
/// ...                            [100.0, 60.0, 100.0, 140.0]], nominal_index=[0, 180])
/// >>> found.stroke.round(3).tolist(), found.index.round(3).tolist()
/// ([80.0, 80.0], [0.0, 180.0])
Throws throws(std::span<const double> angle, const Turns& heights,
              std::optional<double> nominal_stroke = std::nullopt,
              const std::optional<std::vector<double>>& nominal_index = std::nullopt,
              std::optional<double> stroke_limit = std::nullopt,
              std::optional<double> index_limit = std::nullopt, double uncertainty = 0.0);

/// Angle by which a pin is out of its place, degrees, from two pins that should be level.
///
///     index_error = asin(height_difference / throw)
///
/// height_difference  of this pin over the other, mm, at most the throw
/// throw              half the stroke, mm, above 0
///
/// >>> round(ew.journals.index_error(0.10, 40.0), 3)
/// 0.143
double index_error(double height_difference, double crank_throw);

}  // namespace enginewright::journals
