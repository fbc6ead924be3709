#pragma once

#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// Roundness of a profile: reference circles, and what shape the departure has.
namespace enginewright::cylinders {

/// The circle that a profile is measured from.
///
/// least squares          least sum of squared departures
/// minimum zone           two rings round one centre with the least distance between them
/// minimum circumscribed  the smallest circle round all points: a shaft's
/// maximum inscribed      the greatest circle inside all points: a bore's
enum class Criterion { least_squares, minimum_zone, minimum_circumscribed, maximum_inscribed };

/// Whether the points go all round.
///
/// closed    they do
/// open arc  half the circle or more is missing, or no circle fits
enum class ProfileStatus { closed, open_arc };

}  // namespace enginewright::cylinders

namespace enginewright {
template <>
inline constexpr Words<4> words<cylinders::Criterion>{
    "criterion", {"least squares", "minimum zone", "minimum circumscribed", "maximum inscribed"}};
template <>
inline constexpr Words<2> words<cylinders::ProfileStatus>{"status", {"closed", "open arc"}};
}  // namespace enginewright

namespace enginewright::cylinders {

/// A reference circle and the profile about its centre. Contacts are indices of points.
struct CircleFit {
    Criterion criterion = Criterion::least_squares;
    double centre_x = 0;
    double centre_y = 0;
    double radius = 0;
    double roundness = 0;
    double peak = 0;
    double valley = 0;
    double outer_radius = 0;
    double inner_radius = 0;
    std::vector<int> outer_contacts{};
    std::vector<int> inner_contacts{};
    double gap = 0;
    ProfileStatus status = ProfileStatus::closed;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using C = CircleFit;
        return std::tuple{
            Field{"criterion", "", &C::criterion, "how the circle is laid"},
            Field{"centre_x", "mm", &C::centre_x, "its centre"},
            Field{"centre_y", "mm", &C::centre_y, "its centre"},
            Field{"radius", "mm", &C::radius, "its radius"},
            Field{"roundness", "mm", &C::roundness, "greatest less least distance to the centre"},
            Field{"peak", "mm", &C::peak, "farthest point outside the circle"},
            Field{"valley", "mm", &C::valley, "farthest point inside it"},
            Field{"outer_radius", "mm", &C::outer_radius, "greatest distance to the centre"},
            Field{"inner_radius", "mm", &C::inner_radius, "least distance to the centre"},
            Field{"outer_contacts", "", &C::outer_contacts, "points at the greatest distance"},
            Field{"inner_contacts", "", &C::inner_contacts, "points at the least distance"},
            Field{"gap", "degrees", &C::gap, "widest angle without a point"},
            Field{"status", "", &C::status, "whether the points go all round"},
            Field{"reason", "", &C::reason, "why, when they do not"},
            Field{"next", "", &C::next, "what to do next"},
        };
    }
    bool operator==(const CircleFit&) const = default;
};
static_assert(lists_every_member<CircleFit>);

/// A reference circle through a profile, mm.
///
/// - "least squares": the mean distance; geometric, not the fit of x² + y².
/// - "minimum zone": the middle of the two rings; the least roundness there is, found without a
///   start value that a profile could fool.
/// - "minimum circumscribed": the outer ring, of the least radius.
/// - "maximum inscribed": the inner ring, of the greatest radius, round the least-squares centre.
///
/// `roundness` = outer_radius - inner_radius, `peak` = outer_radius - radius, `valley` = radius -
/// inner_radius. Contacts lie within 1e-9 of their ring. "open arc" when an angle of more than 180
/// degrees, seen from the centre, is without a point, or when no circle of the kind exists: then
/// the least-squares circle comes out.
///
/// x, y       points, mm, at least 3, not in one line; at most 10000
/// criterion  one of the four
///
/// Source: circles of ISO 12181-1; Gander, Golub, Strebel 1994 (least squares); Skyum 1991
/// (circumscribed); the exact minimum zone is derived.
///
/// >>> fit = ew.cylinders.circle_fit([0, 8, 0, 2], [0, 0, 6, 1],
/// ...                               criterion="minimum circumscribed")
/// >>> [round(each, 6) for each in (fit.centre_x, fit.centre_y, fit.radius)]
/// [4.0, 3.0, 5.0]
CircleFit circle_fit(std::span<const double> x, std::span<const double> y,
                     Criterion criterion = Criterion::least_squares);

/// Roundness of a trace and its harmonics.
///
/// `amplitudes` and `directions` are indexed by the number of lobes; amplitudes[0] is the mean
/// deviation, with its sign.
struct Roundness {
    double roundness_minimum_zone = 0;
    double roundness_least_squares = 0;
    double uncertainty = 0;
    double eccentricity = 0;
    std::vector<double> amplitudes{};
    std::vector<double> directions{};
    std::optional<int> dominant_order{};
    double residual = 0;
    double centre_x = 0;
    double centre_y = 0;
    Standing verdict = Standing::unlimited;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using R = Roundness;
        return std::tuple{
            Field{"roundness_minimum_zone", "mm", &R::roundness_minimum_zone, "least there is"},
            Field{"roundness_least_squares", "mm", &R::roundness_least_squares,
                  "about the least-squares centre"},
            Field{"uncertainty", "mm", &R::uncertainty, "standard (k = 1)"},
            Field{"eccentricity", "mm", &R::eccentricity, "of the trace on its table"},
            Field{"amplitudes", "mm", &R::amplitudes, "by number of lobes, on radius"},
            Field{"directions", "degrees", &R::directions, "the first crest of each"},
            Field{"dominant_order", "", &R::dominant_order, "lobes of the greatest, from 2 on"},
            Field{"residual", "mm", &R::residual, "rms that the harmonics leave"},
            Field{"centre_x", "mm", &R::centre_x, "of the minimum zone"},
            Field{"centre_y", "mm", &R::centre_y, "of the minimum zone"},
            Field{"verdict", "", &R::verdict, "minimum zone against the limit"},
            Field{"reason", "", &R::reason, "why, and what shape it has"},
            Field{"next", "", &R::next, "what to do next"},
        };
    }
    bool operator==(const Roundness&) const = default;
};
static_assert(lists_every_member<Roundness>);

/// Roundness of a trace, and which number of lobes makes it. mm.
///
/// The points stand at radius + deviation, unfiltered; their roundness is that of `circle_fit`,
/// judged by the minimum zone with an uncertainty of root 2 of one reading's. The deviation is
/// fitted by least squares:
///
///     deviation = amplitudes[0] + sum over k of amplitudes[k] cos(k (angle - directions[k]))
///
/// One lobe is the trace off its centre. Two is an oval, three no two-point gauge sees, the number
/// of head bolts round the bore is their pull: hone with a torque plate. Among orders within 1e-9
/// of the greatest the lowest is dominant; none if no order from 2 on exceeds 1e-9.
///
/// angle        degrees, at least 2 * harmonics + 1 different ones
/// deviation    of the radius at each angle, mm
/// radius       nominal, mm, above 0
/// harmonics    greatest number of lobes to look for, 2 to 50
/// limit        of the roundness, mm, at least 0; none: no limit
/// uncertainty  standard (k = 1), of one deviation, mm
///
/// Source: ISO 12181-1, ISO 4291 (definitions, from memory); harmonic analysis derived.
///
/// >>> import numpy as np
/// >>> turn = np.arange(0, 360, 10)
/// >>> oval = ew.cylinders.roundness(turn, 0.004 * np.cos(2 * np.radians(turn - 30)), 43.0)
/// >>> round(oval.roundness_minimum_zone, 4), oval.dominant_order, f"{oval.directions[2]:.1f}"
/// (0.008, 2, '30.0')
Roundness roundness(std::span<const double> angle, std::span<const double> deviation, double radius,
                    int harmonics = 6, std::optional<double> limit = std::nullopt,
                    double uncertainty = 0.0);

}  // namespace enginewright::cylinders
