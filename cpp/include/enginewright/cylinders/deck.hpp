#pragma once

#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/measure.hpp"
#include "enginewright/record.hpp"

/// The deck: how far the piston stays below it, how flat it is, and the lines the hone leaves.
namespace enginewright::cylinders {

/// Piston below the deck at the top of its travel, mm; negative: it stands above.
///
///     deck_clearance = block_height - compression_height - sqrt(reach² - pin_offset²)
///     reach = rod_length + stroke / 2
///
/// With an offset pin the true highest place, not that at top dead centre of the crank.
///
/// block_height        crank axis to deck, mm, above 0
/// stroke              mm, above 0
/// rod_length          centre to centre, mm, above stroke / 2 + |pin_offset|
/// compression_height  pin to crown, mm, above 0
/// pin_offset          pin or cylinder off the crank's axis, mm, either sign
///
/// Source: geometry; derived.
///
/// >>> round(ew.cylinders.deck_clearance(227.0, 88.0, 140.0, 42.5), 3)
/// 0.5
double deck_clearance(double block_height, double stroke, double rod_length,
                      double compression_height, double pin_offset = 0.0);

/// A deck clearance with its doubt and its verdict.
///
/// The shares add up to 1 and say which part to measure again when the verdict is "unproven".
struct DeckFinding {
    double clearance = 0;
    double uncertainty = 0;
    std::optional<double> lower{};
    std::optional<double> upper{};
    std::optional<double> margin{};
    std::optional<double> cut{};
    double share_block = 0;
    double share_stroke = 0;
    double share_rod = 0;
    double share_piston = 0;
    Standing verdict = Standing::unlimited;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using D = DeckFinding;
        return std::tuple{
            Field{"clearance", "mm", &D::clearance, "piston below the deck"},
            Field{"uncertainty", "mm", &D::uncertainty, "standard (k = 1)"},
            Field{"lower", "mm", &D::lower, "lower limit"},
            Field{"upper", "mm", &D::upper, "upper limit"},
            Field{"margin", "mm", &D::margin, "distance to the nearer limit, + inside"},
            Field{"cut", "mm", &D::cut, "off the deck for the target; negative: too much is off"},
            Field{"share_block", "", &D::share_block, "the block's share of the variance"},
            Field{"share_stroke", "", &D::share_stroke, "the stroke's share"},
            Field{"share_rod", "", &D::share_rod, "the rod's share"},
            Field{"share_piston", "", &D::share_piston, "the piston's share"},
            Field{"verdict", "", &D::verdict, "where the clearance stands"},
            Field{"reason", "", &D::reason, "why, when it is not within"},
            Field{"next", "", &D::next, "what to do next"},
        };
    }
    bool operator==(const DeckFinding&) const = default;
};
static_assert(lists_every_member<DeckFinding>);

/// Deck clearance judged against its limits, with the doubt of every part. mm.
///
///     u² = u_block² + u_piston² + (g u_rod)² + (g u_stroke / 2)²
///     g = reach / sqrt(reach² - pin_offset²), reach = rod_length + stroke / 2
///     cut = clearance - target
///
/// block_height        crank axis to deck, mm, above 0
/// stroke              mm, above 0
/// rod_length          centre to centre, mm, above stroke / 2 + |pin_offset|
/// compression_height  pin to crown, mm, above 0
/// pin_offset          mm, either sign
/// uncertainty_block   standard (k = 1), mm
/// uncertainty_stroke  standard (k = 1), mm
/// uncertainty_rod     standard (k = 1), mm
/// uncertainty_piston  standard (k = 1), mm
/// lower, upper        limits, mm; none: no limit
/// target              clearance to cut to, mm; none: no cut
///
/// Source: JCGM 100:2008, 5.1.2; geometry derived.
///
/// >>> found = ew.cylinders.judge_deck(227.0, 88.0, 140.0, 42.5, pin_offset=1.0, target=0.3)
/// >>> round(found.cut, 3)
/// 0.203
DeckFinding judge_deck(double block_height, double stroke, double rod_length,
                       double compression_height, double pin_offset = 0.0,
                       double uncertainty_block = 0.0, double uncertainty_stroke = 0.0,
                       double uncertainty_rod = 0.0, double uncertainty_piston = 0.0,
                       std::optional<double> lower = std::nullopt,
                       std::optional<double> upper = std::nullopt,
                       std::optional<double> target = std::nullopt);

/// A deck finding with its sources of doubt.
struct DoubtfulDeck {
    DeckFinding finding{};
    measure::Quantity clearance{};
};

/// The same from parts that carry their doubt; what two of them share drops out or adds up.
///
/// A part's share is its covariance with the clearance over the clearance's variance: they add up
/// to 1 where the pin's offset is exact, and one may be negative where parts share an error.
DoubtfulDeck judge_deck_with_doubt(
    const measure::Quantity& block_height, const measure::Quantity& stroke,
    const measure::Quantity& rod_length, const measure::Quantity& compression_height,
    const measure::Quantity& pin_offset, std::optional<double> lower = std::nullopt,
    std::optional<double> upper = std::nullopt, std::optional<double> target = std::nullopt,
    const measure::Sources& sources = measure::Sources::shared());

/// How flat a deck is, over all of it and over short spans.
///
/// Points are indices of the readings.
struct DeckFlatness {
    double flatness = 0;
    double flatness_least_squares = 0;
    double uncertainty = 0;
    double slope_x = 0;
    double slope_y = 0;
    std::vector<int> high_points{};
    std::vector<int> low_points{};
    double skim_best = 0;
    double skim_parallel = 0;
    std::optional<double> local_flatness{};
    std::vector<int> local_points{};
    Standing flatness_verdict = Standing::unlimited;
    Standing local_verdict = Standing::unlimited;
    Standing verdict = Standing::unlimited;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        using D = DeckFlatness;
        return std::tuple{
            Field{"flatness", "mm", &D::flatness, "least range over any plane"},
            Field{"flatness_least_squares", "mm", &D::flatness_least_squares,
                  "range over the least-squares plane"},
            Field{"uncertainty", "mm", &D::uncertainty, "standard (k = 1), of the flatness"},
            Field{"slope_x", "", &D::slope_x, "of the best plane, mm a mm"},
            Field{"slope_y", "", &D::slope_y, "of the best plane, mm a mm"},
            Field{"high_points", "", &D::high_points, "highest over the best plane"},
            Field{"low_points", "", &D::low_points, "lowest over the best plane"},
            Field{"skim_best", "mm", &D::skim_best, "to take off, set up on the best plane"},
            Field{"skim_parallel", "mm", &D::skim_parallel, "to take off, set up as it was read"},
            Field{"local_flatness", "mm", &D::local_flatness, "worst within a short span"},
            Field{"local_points", "", &D::local_points, "where that is"},
            Field{"flatness_verdict", "", &D::flatness_verdict, "flatness against its limit"},
            Field{"local_verdict", "", &D::local_verdict, "local flatness against its limit"},
            Field{"verdict", "", &D::verdict, "the worst of the two"},
            Field{"reason", "", &D::reason, "why, when it is not within"},
            Field{"next", "", &D::next, "what to do next"},
        };
    }
    bool operator==(const DeckFlatness&) const = default;
};
static_assert(lists_every_member<DeckFlatness>);

/// Flatness of a deck from heights at places. mm.
///
/// The least range of z - slope_x x - slope_y y over all planes, exactly. `skim_parallel` is the
/// range of z as read: what the mill takes off when the block is set up on the datum the readings
/// were taken from; the difference to `skim_best` is what setting up on the best plane saves.
///
/// Local flatness: the greatest of that figure among the squares of side local_span that have a
/// place on their left side and one on their lower side, and hold 4 places or more, or 3 in a line.
/// No such square: None, and with a local limit "unproven".
///
/// x, y         places on the deck, mm, at least 4, not in one line; at most 10000
/// z            heights, mm, + up
/// limit        of the flatness, mm, at least 0; none: no limit
/// local_span   side of the squares, mm, above 0, with at most 1000 places; none: not looked at
/// local_limit  of the local flatness, mm, at least 0, with local_span; none: no limit
/// uncertainty  standard (k = 1), of one height, mm; the flatness carries root 2 of it
///
/// Source: minimum zone of ISO 12781-1 (from memory); linear programme, Bland 1977.
///
/// >>> found = ew.cylinders.deck_flatness([0, 100, 200, 0, 100, 200], [0, 0, 0, 80, 80, 80],
/// ...                                    [0, 0.03, 0.02, 0, 0.03, 0.02], limit=0.05)
/// >>> round(found.flatness, 4), round(found.skim_parallel, 4), found.verdict
/// (0.02, 0.03, 'within')
DeckFlatness deck_flatness(std::span<const double> x, std::span<const double> y,
                           std::span<const double> z, std::optional<double> limit = std::nullopt,
                           std::optional<double> local_span = std::nullopt,
                           std::optional<double> local_limit = std::nullopt,
                           double uncertainty = 0.0);

/// Full angle between the lines of a cross hatch, degrees, half way up the stroke.
///
///     cross_hatch = 2 atan(2 stroke_length stroke_rate / (π bore spindle_speed))
///
/// Flatter where the hone turns round.
///
/// bore           mm, above 0
/// spindle_speed  rpm, above 0, at most 1e6
/// stroke_length  of the hone, mm, above 0
/// stroke_rate    double strokes a minute, above 0, at most 1e6
///
/// Source: geometry; common practice asks for 20 to 60 degrees, no source.
///
/// >>> round(ew.cylinders.cross_hatch(86.0, 150.0, 110.0, 60.0), 1)
/// 36.1
double cross_hatch(double bore, double spindle_speed, double stroke_length, double stroke_rate);

/// Double strokes a minute for a wanted cross hatch: `cross_hatch` the other way round.
///
/// angle          full angle between the lines, degrees, above 0, below 180
/// bore           mm, above 0
/// spindle_speed  rpm, above 0, at most 1e6
/// stroke_length  of the hone, mm, above 0
///
/// >>> round(ew.cylinders.stroke_rate_for(45.0, 86.0, 150.0, 110.0), 1)
/// 76.3
double stroke_rate_for(double angle, double bore, double spindle_speed, double stroke_length);

}  // namespace enginewright::cylinders
