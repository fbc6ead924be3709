#include "enginewright/cylinders/deck.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "form.hpp"
#include "numerics/angles.hpp"
#include "wording.hpp"

namespace enginewright::cylinders {

using measure::Quantity;
using wording::mm;

namespace {

/// Refuses parts that make no crank train; gives rod and half stroke in one line.
double reach_of(double block_height, double stroke, double rod_length, double compression_height,
                double pin_offset)
{
    require_size("block_height", block_height);
    require_size("stroke", stroke);
    require_size("rod_length", rod_length);
    require_size("compression_height", compression_height);
    require_length("pin_offset", pin_offset);
    const double shortest = stroke / 2 + std::abs(pin_offset);
    if (rod_length <= shortest) {
        refuse("rod_length", "above stroke / 2 + |pin_offset|, " + number_text(shortest) + " mm",
               rod_length);
    }
    return rod_length + stroke / 2;
}

/// Highest place of the pin over the crank's axis.
double highest(double reach, double pin_offset)
{
    return std::sqrt((reach - pin_offset) * (reach + pin_offset));
}

void require_deck_limits(std::optional<double> lower, std::optional<double> upper,
                         std::optional<double> target)
{
    form_figures::require_limits(lower, upper, std::nullopt, std::nullopt);
    if (target) {
        require_length("target", *target);
    }
}

std::string most_doubtful(const DeckFinding& found)
{
    const std::array shares{std::pair{found.share_block, "the block height"},
                            std::pair{found.share_piston, "the compression height"},
                            std::pair{found.share_rod, "the rod"},
                            std::pair{found.share_stroke, "the stroke"}};
    return std::max_element(shares.begin(), shares.end(),
                            [](const auto& a, const auto& b) { return a.first < b.first; })
        ->second;
}

/// Verdict, margin and words of a deck whose figures stand already.
void judge_finding(DeckFinding& found, double degrees_of_freedom)
{
    const auto judged = form_figures::judged(
        found.clearance < 0 ? "the piston stands above the deck, clearance" : "deck clearance",
        form_figures::Figure{found.clearance, found.uncertainty, degrees_of_freedom}, found.lower,
        found.upper);
    found.verdict = judged.verdict;
    found.reason = judged.reason;
    if (judged.verdict != Standing::unlimited) {
        found.margin = measure::decide(found.clearance, found.uncertainty, degrees_of_freedom,
                                       found.lower, found.upper)
                           .margin;
    }
    std::string cut;
    if (found.cut && *found.cut > 0) {
        cut = "take " + mm(*found.cut) + " off the deck, the maker's least height permitting";
    } else if (found.cut && *found.cut < 0) {
        cut = mm(-*found.cut) + " too much is off: a thicker gasket or a lower crown";
    }
    if (judged.verdict == Standing::unproven) {
        found.next =
            "measure " + most_doubtful(found) + " again: most of the doubt comes from there";
    } else if (judged.outside() && cut.empty()) {
        const bool low = judged.side == measure::Side::upper;
        found.next = (low ? "bring the piston up by " : "bring the piston down by ") +
                     mm(judged.beyond) +
                     (low ? ": deck cut or taller piston" : ": lower crown or thicker gasket");
    } else {
        found.next = cut;
    }
}

}  // namespace

double deck_clearance(double block_height, double stroke, double rod_length,
                      double compression_height, double pin_offset)
{
    const double reach = reach_of(block_height, stroke, rod_length, compression_height, pin_offset);
    return block_height - compression_height - highest(reach, pin_offset);
}

DeckFinding judge_deck(double block_height, double stroke, double rod_length,
                       double compression_height, double pin_offset, double uncertainty_block,
                       double uncertainty_stroke, double uncertainty_rod, double uncertainty_piston,
                       std::optional<double> lower, std::optional<double> upper,
                       std::optional<double> target)
{
    const double reach = reach_of(block_height, stroke, rod_length, compression_height, pin_offset);
    require_length_at_least_zero("uncertainty_block", uncertainty_block);
    require_length_at_least_zero("uncertainty_stroke", uncertainty_stroke);
    require_length_at_least_zero("uncertainty_rod", uncertainty_rod);
    require_length_at_least_zero("uncertainty_piston", uncertainty_piston);
    require_deck_limits(lower, upper, target);
    const double slope = reach / highest(reach, pin_offset);
    const double rod = slope * uncertainty_rod;
    const double stroke_part = slope / 2 * uncertainty_stroke;
    const double u =
        std::hypot(std::hypot(uncertainty_block, uncertainty_piston), std::hypot(rod, stroke_part));
    const auto share = [&](double part) { return u > 0 ? (part / u) * (part / u) : 0.0; };
    const double clearance = block_height - compression_height - highest(reach, pin_offset);
    DeckFinding found{.clearance = clearance,
                      .uncertainty = u,
                      .lower = lower,
                      .upper = upper,
                      .cut = target ? std::optional(clearance - *target) : std::nullopt,
                      .share_block = share(uncertainty_block),
                      .share_stroke = share(stroke_part),
                      .share_rod = share(rod),
                      .share_piston = share(uncertainty_piston)};
    judge_finding(found, measure::infinite_freedom);
    return found;
}

DoubtfulDeck judge_deck_with_doubt(const Quantity& block_height, const Quantity& stroke,
                                   const Quantity& rod_length, const Quantity& compression_height,
                                   const Quantity& pin_offset, std::optional<double> lower,
                                   std::optional<double> upper, std::optional<double> target,
                                   const measure::Sources& sources)
{
    DeckFinding found = judge_deck(block_height.value(), stroke.value(), rod_length.value(),
                                   compression_height.value(), pin_offset.value(), 0, 0, 0, 0,
                                   lower, upper, target);
    const double reach = rod_length.value() + stroke.value() / 2;
    const double top = highest(reach, pin_offset.value());
    // The formula's own slopes: exact, where differences would be near enough.
    const Quantity arms = measure::combine(0, reach / top, rod_length, reach / top / 2, stroke);
    const Quantity heights = measure::combine(0, 1, block_height, -1, compression_height);
    const Quantity train = measure::combine(0, -1, arms, pin_offset.value() / top, pin_offset);
    const Quantity clearance = measure::combine(found.clearance, 1, heights, 1, train);
    const double variance = clearance.variance();
    const auto share = [&](const Quantity& part, double slope) {
        // Zero is added so that a part without doubt has the share 0, not -0.
        return variance > 0 ? slope * measure::covariance(part, clearance) / variance + 0.0 : 0.0;
    };
    found.uncertainty = clearance.standard_uncertainty();
    found.share_block = share(block_height, 1);
    found.share_stroke = share(stroke, -reach / top / 2);
    found.share_rod = share(rod_length, -reach / top);
    found.share_piston = share(compression_height, -1);
    judge_finding(found, clearance.degrees_of_freedom(sources));
    return {.finding = found, .clearance = clearance};
}

namespace {

void require_hone(double bore, double spindle_speed, double stroke_length)
{
    require_size("bore", bore);
    require_positive("spindle_speed", spindle_speed, "rpm");
    require_at_most("spindle_speed", spindle_speed, 1e6, "rpm");
    require_size("stroke_length", stroke_length);
}

}  // namespace

double cross_hatch(double bore, double spindle_speed, double stroke_length, double stroke_rate)
{
    require_hone(bore, spindle_speed, stroke_length);
    require_positive("stroke_rate", stroke_rate, "a minute");
    require_at_most("stroke_rate", stroke_rate, 1e6, "a minute");
    const double along = 2 * stroke_length * stroke_rate;
    const double around = std::numbers::pi * bore * spindle_speed;
    return numerics::degrees(2 * std::atan2(along, around));
}

double stroke_rate_for(double angle, double bore, double spindle_speed, double stroke_length)
{
    require_positive("angle", angle, "degrees");
    require_below("angle", angle, 180, "degrees");
    require_hone(bore, spindle_speed, stroke_length);
    require_at_least("stroke_length", stroke_length, 1e-9, "mm");
    const double around = std::numbers::pi * bore * spindle_speed;
    return std::tan(numerics::radians(angle / 2)) * around / (2 * stroke_length);
}

}  // namespace enginewright::cylinders
