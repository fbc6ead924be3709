#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <tuple>
#include <variant>
#include <vector>

#include "enginewright/record.hpp"

/// The classes of ISO 286: grades, limits of holes and shafts, named fits.
namespace enginewright::fits {

/// A grade by its number or its word: 7, "7", "IT7"; "IT01" and "IT0" are the two finest.
using GradeName = std::variant<int, std::string>;

/// Which of the two parts a class belongs to: capital letters are holes, small ones shafts.
enum class Part { hole, shaft };

/// What becomes of two parts that are both within their limits.
enum class FitKind { clearance, transition, interference };

}  // namespace enginewright::fits

namespace enginewright {
template <>
inline constexpr Words<2> words<fits::Part>{"kind", {"hole", "shaft"}};
template <>
inline constexpr Words<3> words<fits::FitKind>{"kind", {"clearance", "transition", "interference"}};
}  // namespace enginewright

namespace enginewright::fits {

/// Width of a standard tolerance grade at a size, mm.
///
/// A size at the end of a range of the table belongs to that range: 50 mm is still "30 to 50".
///
/// size   nominal diameter or length, mm, above 0 to 500; IT14 to IT18 above 1
/// grade  "IT01", "IT0", "IT1" to "IT18", or without the letters, or a whole number
///
/// Throws std::invalid_argument: no such grade, a size outside the table.
///
/// Source: ISO 286-1:2010, table 1.
///
/// >>> ew.fits.grade(40, "IT7")
/// 0.025
double grade(double size, GradeName grade);

/// The limits of one class at one size.
///
/// `fundamental_deviation` is the deviation that the letter gives, the one nearer to the nominal
/// size: es for a to h, ei for j to zc, EI for A to H, ES for J to ZC, + IT/2 for js and JS.
struct Limits {
    double size = 0;
    std::string tolerance_class{};
    Part kind = Part::hole;
    double lower = 0;
    double upper = 0;
    double lower_deviation = 0;
    double upper_deviation = 0;
    double tolerance = 0;
    double fundamental_deviation = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"size", "mm", &Limits::size, "nominal size"},
            Field{"tolerance_class", "", &Limits::tolerance_class, "letter and grade"},
            Field{"kind", "", &Limits::kind, "hole or shaft"},
            Field{"lower", "mm", &Limits::lower, "smallest size allowed"},
            Field{"upper", "mm", &Limits::upper, "largest size allowed"},
            Field{"lower_deviation", "mm", &Limits::lower_deviation, "lower limit less nominal"},
            Field{"upper_deviation", "mm", &Limits::upper_deviation, "upper limit less nominal"},
            Field{"tolerance", "mm", &Limits::tolerance, "upper less lower limit"},
            Field{"fundamental_deviation", "mm", &Limits::fundamental_deviation,
                  "the deviation that the letter gives"},
        };
    }
    bool operator==(const Limits&) const = default;
};
static_assert(lists_every_member<Limits>);

/// Limits of a class at a size: "40 H7", or "H7" and the size apart.
///
/// The letters are those of the standard; small letters are shafts, capitals holes. "40H7",
/// "Ø40 H7" and "40,5 H7" are understood. Where the standard has no entry (no cd above 50 mm, no t
/// up to 24 mm, no K above IT8 over 3 mm) the class is refused and the refusal says so.
///
/// designation  class with or without the nominal size before it
/// size         nominal size, mm, above 0 to 500; only where the designation has none
///
/// Throws std::invalid_argument: no such class, no such class at this size, mixed capitals, no
///     size, or a size said twice.
///
/// Source: ISO 286-1:2010, tables 1 to 5. Holes from J on by the rules of the standard from the
///     shaft of the same letter, save J6 to J8 and M6 over 250 to 315 mm.
///
/// >>> bush = ew.fits.limits("40 H7")
/// >>> bush.lower, bush.upper
/// (40.0, 40.025)
/// >>> ew.fits.limits("p6", 40).lower_deviation
/// 0.026
Limits limits(std::string_view designation, std::optional<double> size = std::nullopt);

/// A hole and a shaft of one size, and the clearance between them.
///
/// `kind` is "clearance" when no pair interferes (least clearance 0 or more), "interference" when
/// no pair is loose (greatest clearance 0 or less), else "transition".
struct Fit {
    double size = 0;
    Limits hole{};
    Limits shaft{};
    FitKind kind = FitKind::clearance;
    double minimum_clearance = 0;
    double maximum_clearance = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"size", "mm", &Fit::size, "nominal size"},
            Field{"hole", "", &Fit::hole, "limits of the hole"},
            Field{"shaft", "", &Fit::shaft, "limits of the shaft"},
            Field{"kind", "", &Fit::kind, "clearance, transition or interference"},
            Field{"minimum_clearance", "mm", &Fit::minimum_clearance,
                  "smallest hole less largest shaft; negative: interference"},
            Field{"maximum_clearance", "mm", &Fit::maximum_clearance,
                  "largest hole less smallest shaft; negative: interference"},
        };
    }
    bool operator==(const Fit&) const = default;
};
static_assert(lists_every_member<Fit>);

/// A named fit: "40 H7/p6".
///
/// Two measured parts are judged with it as any size is:
/// `ew.measure.check(bore - pin, fit.minimum_clearance, fit.maximum_clearance)`.
///
/// designation  nominal size, class of the hole, class of the shaft: "40 H7/p6", "Ø40H7/p6"
///
/// Throws std::invalid_argument: as `limits`, and hole and shaft exchanged.
///
/// Source: ISO 286-1:2010.
///
/// >>> pressed = ew.fits.fit("40 H7/p6")
/// >>> pressed.kind, pressed.minimum_clearance, pressed.maximum_clearance
/// ('interference', -0.042, -0.001)
Fit fit(std::string_view designation);

/// The grades that a workshop grinds and hones to.
inline const std::vector<GradeName> workshop_grades{4, 5, 6, 7, 8, 9, 10, 11};

/// Shaft classes whose whole fit lies inside a wanted clearance: what to grind to.
///
/// Every letter is tried with every grade. First comes the class that leaves the grinder most room
/// (the widest spread of clearance), then the one whose middle is nearest to the middle of the
/// window, then by name. None: widen the window or tighten the hole.
///
/// size               nominal size, mm, above 0 to 500
/// minimum_clearance  least clearance wanted, mm; negative: interference
/// maximum_clearance  greatest clearance wanted, mm, at least the minimum
/// hole               class of the hole that the shaft runs in
/// grades             grades of the shaft that are worth trying
///
/// Throws std::invalid_argument: a class of a shaft for the hole, no such grade, limits that cross.
///
/// >>> [f.shaft.tolerance_class for f in ew.fits.classes(25, 0.007, 0.045)]
/// ['g6', 'fg5', 'g5', 'fg4', 'g4']
std::vector<Fit> classes(double size, double minimum_clearance, double maximum_clearance,
                         std::string_view hole = "H7",
                         const std::vector<GradeName>& grades = workshop_grades);

}  // namespace enginewright::fits
