#include "enginewright/journals.hpp"

#include <cmath>
#include <limits>
#include <numbers>

#include "form.hpp"
#include "wording.hpp"

namespace enginewright::journals {

using form_figures::Doubts;
using form_figures::Figures;
using form_figures::Judged;
using form_figures::plain;
using form_figures::value_of;
using measure::Quantity;
using std::numbers::sqrt2;
using wording::mm;

namespace {

struct FormLimits {
    std::optional<double> lower;
    std::optional<double> upper;
    std::optional<double> ovality;
    std::optional<double> taper;
    std::optional<double> current_size;
};

void require_limits(const FormLimits& limits)
{
    form_figures::require_limits(limits.lower, limits.upper, limits.ovality, limits.taper);
    if (limits.current_size) {
        require_size("current_size", *limits.current_size);
    }
}

/// What to do with a journal that is not within its limits.
std::string next_for(const form_figures::JudgedSize& size, const Judged& ovality,
                     const Judged& taper, const FormLimits& limits)
{
    const std::string grind = "plan one undersize for the whole set: this journal is ";
    if (size.small()) {
        return grind + mm(size.least.beyond) + " below " + mm(*limits.lower);
    }
    if (ovality.outside()) {
        return grind + mm(ovality.beyond) + " over its ovality limit";
    }
    if (taper.outside()) {
        return grind + mm(taper.beyond) + " over its taper limit";
    }
    if (size.large()) {
        return "grind " + mm(size.greatest.beyond) + " off the diameter, down to " +
               mm(*limits.upper);
    }
    return form_figures::measuring({&ovality, &taper, &size.least, &size.greatest});
}

template <class Number>
JournalForm judged_form(const Figures<Number>& figures, const FormLimits& limits,
                        const Doubts& doubts)
{
    const auto size = form_figures::judged_size(
        doubts.of(figures.minimum, 1), doubts.of(figures.maximum, 1), limits.lower, limits.upper);
    const auto ovality = form_figures::judged(form_figures::ovality_name(figures.ovality_station),
                                              doubts.of(figures.ovality, sqrt2), std::nullopt,
                                              limits.ovality, form_figures::one_axis);
    const auto taper = form_figures::judged(form_figures::taper_name(figures.taper_axis),
                                            doubts.of(figures.taper, sqrt2), std::nullopt,
                                            limits.taper, form_figures::one_station);
    const double minimum = value_of(figures.minimum);
    return {
        .minimum = minimum,
        .maximum = value_of(figures.maximum),
        .mean = value_of(figures.mean),
        .ovality = plain(figures.ovality),
        .ovality_station = figures.ovality_station,
        .taper = plain(figures.taper),
        .taper_axis = figures.taper_axis,
        .end_difference = plain(figures.end_difference),
        .barrel = plain(figures.barrel),
        .shape = static_cast<Shape>(profile_of(figures, doubts.uncertainty)),
        .wear = limits.current_size ? std::optional(*limits.current_size - minimum) : std::nullopt,
        .size_verdict = size.verdict(),
        .ovality_verdict = ovality.verdict,
        .taper_verdict = taper.verdict,
        .verdict = measure::worst({size.verdict(), ovality.verdict, taper.verdict}),
        .reason = form_figures::reasons({&size.least, &size.greatest, &ovality, &taper}),
        .next = next_for(size, ovality, taper, limits)};
}

}  // namespace

JournalForm form(const Grid& readings, std::optional<double> lower, std::optional<double> upper,
                 std::optional<double> ovality_limit, std::optional<double> taper_limit,
                 std::optional<double> current_size, double uncertainty)
{
    form_figures::require_grid("readings", readings);
    const FormLimits limits{lower, upper, ovality_limit, taper_limit, current_size};
    require_limits(limits);
    require_length_at_least_zero("uncertainty", uncertainty);
    return judged_form(form_figures::figures_of(form_figures::stations_of(readings)), limits,
                       Doubts{.uncertainty = uncertainty});
}

DoubtfulForm form_with_doubt(std::span<const Quantity> readings, std::size_t axes,
                             std::optional<double> lower, std::optional<double> upper,
                             std::optional<double> ovality_limit, std::optional<double> taper_limit,
                             const std::optional<Quantity>& current_size,
                             const measure::Sources& sources)
{
    form_figures::require_quantities("readings", readings, axes);
    const FormLimits limits{lower, upper, ovality_limit, taper_limit, plain(current_size)};
    require_limits(limits);
    const auto figures = form_figures::figures_of(form_figures::Stations<Quantity>{readings, axes});
    return {.form = judged_form(figures, limits, Doubts{.sources = sources}),
            .minimum = figures.minimum,
            .maximum = figures.maximum,
            .mean = figures.mean,
            .ovality = figures.ovality,
            .taper = figures.taper,
            .end_difference = figures.end_difference,
            .barrel = figures.barrel,
            .wear = current_size ? std::optional(*current_size - figures.minimum) : std::nullopt};
}

namespace {

void require_parts(double housing_bore, double wall, double journal,
                   std::optional<double> second_wall)
{
    require_size("housing_bore", housing_bore);
    require_size("wall", wall);
    require_size("journal", journal);
    if (second_wall) {
        require_size("second_wall", *second_wall);
    }
}

void require_clearance_limits(std::optional<double> lower, std::optional<double> upper)
{
    if (lower) {
        require_length("lower", *lower);
    }
    if (upper) {
        require_length("upper", *upper);
    }
    require_ordered("lower", lower, "upper", upper, "mm");
}

/// The part whose reading it pays to repeat: the one with the greatest share of the doubt.
std::string most_doubtful(const ClearanceFinding& found)
{
    if (found.share_walls >= found.share_housing && found.share_walls >= found.share_journal) {
        return "the shell walls";
    }
    return found.share_housing >= found.share_journal ? "the housing bore" : "the journal";
}

/// Verdict, margin and words of a clearance whose figures stand already.
void judge_finding(ClearanceFinding& found, double degrees_of_freedom)
{
    const auto judged = form_figures::judged(
        found.clearance < 0 ? "the shells pinch the journal, clearance" : "clearance",
        form_figures::Figure{found.clearance, found.uncertainty, degrees_of_freedom}, found.lower,
        found.upper);
    found.verdict = judged.verdict;
    found.reason = judged.reason;
    if (judged.verdict == Standing::unlimited) {
        return;
    }
    found.margin = measure::decide(found.clearance, found.uncertainty, degrees_of_freedom,
                                   found.lower, found.upper)
                       .margin;
    if (judged.verdict == Standing::unproven) {
        found.next =
            "measure " + most_doubtful(found) + " again: most of the doubt comes from there";
    } else if (judged.outside()) {
        const bool wide = judged.side == measure::Side::upper;
        found.next = (wide ? "close the clearance by " : "open the clearance by ") +
                     mm(judged.beyond) +
                     (wide ? ": thicker shells, or the journal to its next undersize"
                           : ": thinner shells, or so much off the journal");
    }
}

}  // namespace

double bearing_clearance(double housing_bore, double wall, double journal,
                         std::optional<double> second_wall)
{
    require_parts(housing_bore, wall, journal, second_wall);
    return housing_bore - wall - second_wall.value_or(wall) - journal;
}

ClearanceFinding judge_clearance(double housing_bore, double wall, double journal,
                                 std::optional<double> second_wall, double uncertainty_housing,
                                 double uncertainty_wall,
                                 std::optional<double> uncertainty_second_wall,
                                 double uncertainty_journal, std::optional<double> lower,
                                 std::optional<double> upper)
{
    require_parts(housing_bore, wall, journal, second_wall);
    require_length_at_least_zero("uncertainty_housing", uncertainty_housing);
    require_length_at_least_zero("uncertainty_wall", uncertainty_wall);
    require_length_at_least_zero("uncertainty_journal", uncertainty_journal);
    if (uncertainty_second_wall) {
        require_length_at_least_zero("uncertainty_second_wall", *uncertainty_second_wall);
        if (!second_wall) {
            refuse("uncertainty_second_wall", "left out without a second_wall",
                   *uncertainty_second_wall);
        }
    }
    require_clearance_limits(lower, upper);
    const double walls =
        second_wall
            ? std::hypot(uncertainty_wall, uncertainty_second_wall.value_or(uncertainty_wall))
            : 2 * uncertainty_wall;
    const double u = std::hypot(uncertainty_housing, walls, uncertainty_journal);
    const auto share = [&](double part) { return u > 0 ? (part / u) * (part / u) : 0.0; };
    ClearanceFinding found{.clearance = bearing_clearance(housing_bore, wall, journal, second_wall),
                           .uncertainty = u,
                           .lower = lower,
                           .upper = upper,
                           .share_housing = share(uncertainty_housing),
                           .share_walls = share(walls),
                           .share_journal = share(uncertainty_journal)};
    judge_finding(found, std::numeric_limits<double>::infinity());
    return found;
}

DoubtfulClearance judge_clearance_with_doubt(const Quantity& housing_bore, const Quantity& wall,
                                             const Quantity& journal,
                                             const std::optional<Quantity>& second_wall,
                                             std::optional<double> lower,
                                             std::optional<double> upper,
                                             const measure::Sources& sources)
{
    require_parts(housing_bore.value(), wall.value(), journal.value(), plain(second_wall));
    require_clearance_limits(lower, upper);
    const Quantity walls = wall + second_wall.value_or(wall);
    const Quantity clearance = housing_bore - walls - journal;
    const double variance = clearance.variance();
    const auto share = [&](const Quantity& part, double sign) {
        // Zero is added so that a part without doubt has the share 0, not -0.
        return variance > 0 ? sign * measure::covariance(part, clearance) / variance + 0.0 : 0.0;
    };
    DoubtfulClearance result{.finding = {.clearance = clearance.value(),
                                         .uncertainty = clearance.standard_uncertainty(),
                                         .lower = lower,
                                         .upper = upper,
                                         .share_housing = share(housing_bore, 1),
                                         .share_walls = share(walls, -1),
                                         .share_journal = share(journal, -1)},
                             .clearance = clearance};
    judge_finding(result.finding, clearance.degrees_of_freedom(sources));
    return result;
}

ClearanceRule clearance_by_rule(double journal_diameter, double least_share, double greatest_share)
{
    require_size("journal_diameter", journal_diameter);
    require_between("least_share", least_share, 0.0, 1.0);
    require_between("greatest_share", greatest_share, 0.0, 1.0);
    require_ordered("least_share", least_share, "greatest_share", greatest_share);
    return {.lower = least_share * journal_diameter,
            .upper = greatest_share * journal_diameter,
            .provenance = "common practice"};
}

}  // namespace enginewright::journals
