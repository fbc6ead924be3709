#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <functional>
#include <span>

#include "enginewright/measure/quantity.hpp"
#include "enginewright/measure/quantity_column.hpp"

/// Doubt through any formula: by its slopes, or by drawing lots.
namespace enginewright::measure {

/// A formula of the customer's own: as many numbers in as it has arguments, one out.
///
/// It throws std::invalid_argument, or gives a number that is not finite, where it does not hold.
using Formula = std::function<double(std::span<const double>)>;

/// The same for many values at once: arrays of one length in, an array of that length out.
using ArrayFormula = std::function<Eigen::ArrayXd(std::span<const Eigen::ArrayXd>)>;

/// A formula of quantities, with the doubt of its result.
///
/// For formulas that this library does not know. Its slope along each independent source is taken
/// by central differences an eighth and a sixteenth of the source's contribution away, with one
/// step of Richardson's; what several arguments share moves them together, so that correlation is
/// right without further thought. Where the formula does not reach to one side, the slope is taken
/// from the other.
///
/// With `order = 2` the second order of the law of propagation is added,
///
///     sum over i, j of (f_ij^2 / 2 + f_i f_ijj) u_i^2 u_j^2
///
/// as one more source, shared with nothing: where two differences multiply (expansion by
/// temperature) the slopes at the values can both be 0 while the doubt is not. A second order that
/// lowers the variance is left out.
///
/// Arrays of quantities give an array: the formula then gets arrays, and must work on each element
/// for itself.
///
/// function    takes as many numbers as there are quantities, gives one
/// quantities  the arguments; plain numbers have no doubt
/// order       1, or 2 for the second order
///
/// Throws std::invalid_argument: order neither 1 nor 2; a result that is not finite; no room for
/// the uncertainty within what the function takes.
///
/// Source: JCGM 100:2008, 5.1.2 with its note, 5.2.2.
///
/// >>> import math
/// >>> angle = ew.Quantity(30.0, 0.1)
/// >>> height = ew.measure.propagate(lambda a, h: h * math.sin(math.radians(a)), angle, 100.0)
/// >>> print(height)
/// 50.00 ± 0.30 (95 %, k = 1.96)
Quantity propagate(const Formula& function, std::span<const Quantity> quantities, int order = 1,
                   Sources& sources = Sources::shared());

/// The same for columns of one shape, element by element, to first order.
QuantityColumn propagate_each(const ArrayFormula& function,
                              std::span<const QuantityColumn> columns);

/// What came out of many draws.
///
/// `lower` and `upper` leave equal shares on either side. `agrees` says whether the plain way
/// (value and coverage factor of `propagate`) gives the same interval, to half a unit of the second
/// significant digit of the standard uncertainty: if it does not, the formula is too bent for it.
///
/// Source: JCGM 101:2008, 7.7 and 8.1.
struct Simulation {
    double mean = 0;
    double standard_deviation = 0;
    double lower = 0;
    double upper = 0;
    int draws = 0;
    bool agrees = false;
    std::int64_t seed = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"mean", "", &Simulation::mean, "of the draws"},
            Field{"standard_deviation", "", &Simulation::standard_deviation, "of the draws"},
            Field{"lower", "", &Simulation::lower, "lower end of the interval"},
            Field{"upper", "", &Simulation::upper, "upper end of the interval"},
            Field{"draws", "", &Simulation::draws, "how many"},
            Field{"agrees", "", &Simulation::agrees, "whether first order gives the same"},
            Field{"seed", "", &Simulation::seed, "that gives these draws again"},
        };
    }
    bool operator==(const Simulation&) const = default;
};
static_assert(lists_every_member<Simulation>);

/// A formula of quantities by drawing lots: what `propagate` says, without its straight lines.
///
/// Each independent source is drawn once a trial, normal, or of Student's t where its degrees of
/// freedom are finite, and moves all arguments that share it. The same seed gives the same draws on
/// every machine: source j of trial i is a number of its own, however many threads or calls came
/// before. Sources are numbered in the order of the arguments.
///
/// function    takes as many arrays (or numbers) as there are quantities
/// quantities  the arguments, single; plain numbers have no doubt
/// draws       how many trials, 1000 to 10000000
/// seed        a whole number of at least 0, or a NumPy Generator to take one from
/// level       probability of the interval, above 0 and below 1
///
/// Throws std::invalid_argument: a draw for which the function gives no finite number.
///
/// Source: JCGM 101:2008, 6.4.7 (normal), 6.4.9 (t), 7.6, 7.7, 8.1; J. K. Salmon and others,
/// Parallel random numbers, 2011 (Philox4x32-10).
///
/// >>> side = ew.Quantity(0.0, 1.0)
/// >>> square = ew.measure.simulate(lambda x: x**2, side, draws=100_000, seed=1)
/// >>> round(square.mean, 1), square.agrees
/// (1.0, False)
Simulation simulate(const ArrayFormula& function, std::span<const Quantity> quantities,
                    int draws = 200'000, std::int64_t seed = 0, double level = 0.95,
                    const Sources& sources = Sources::shared());

}  // namespace enginewright::measure
