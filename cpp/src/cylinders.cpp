#include "enginewright/cylinders.hpp"

#include <algorithm>
#include <numbers>

#include "form.hpp"
#include "steps.hpp"
#include "wording.hpp"

namespace enginewright::cylinders {

using form_figures::Doubts;
using form_figures::Figures;
using form_figures::Judged;
using form_figures::plain;
using form_figures::value_of;
using measure::Quantity;
using std::numbers::sqrt2;
using steps::slack;
using wording::mm;
using wording::part;

namespace {

constexpr form_figures::Missing no_unworn_size{"the ridge needs the unworn size above it",
                                               "measure the bore above the ring travel"};

struct FormLimits {
    std::optional<double> lower;
    std::optional<double> upper;
    std::optional<double> original;
    std::optional<double> ovality;
    std::optional<double> taper;
    std::optional<double> ridge;
};

void require_limits(const FormLimits& limits, std::optional<double> unworn_top)
{
    form_figures::require_limits(limits.lower, limits.upper, limits.ovality, limits.taper);
    if (limits.original) {
        require_size("original", *limits.original);
    }
    if (unworn_top) {
        require_size("unworn_top", *unworn_top);
    }
    if (limits.ridge) {
        require_length_at_least_zero("ridge_limit", *limits.ridge);
    }
}

struct JudgedBore {
    form_figures::JudgedSize size;
    Judged ovality;
    Judged taper;
    Judged ridge;
};

/// What to do with a bore that is not within its limits: the ridge first, it holds the pistons.
std::string next_for(const JudgedBore& bore, const FormLimits& limits)
{
    const auto& [size, ovality, taper, ridge] = bore;
    std::vector<std::string> told;
    if (ridge.outside()) {
        told.push_back("cut the ridge before the pistons come out, it is " + mm(ridge.beyond) +
                       " over its limit");
    }
    const std::string rebore = "plan one oversize for the whole block: this bore is ";
    if (size.large()) {
        told.push_back(rebore + mm(size.greatest.beyond) + " above " + mm(*limits.upper));
    } else if (ovality.outside()) {
        told.push_back(rebore + mm(ovality.beyond) + " over its ovality limit");
    } else if (taper.outside()) {
        told.push_back(rebore + mm(taper.beyond) + " over its taper limit");
    } else if (size.small()) {
        told.push_back("hone " + mm(size.least.beyond) + " out of the diameter, up to " +
                       mm(*limits.lower));
    }
    return told.empty()
               ? form_figures::measuring({&ovality, &taper, &ridge, &size.least, &size.greatest})
               : wording::joined(told, "; ");
}

template <class Number>
BoreForm judged_form(const Figures<Number>& figures, const std::optional<Number>& ridge,
                     const FormLimits& limits, const Doubts& doubts)
{
    const JudgedBore judged{
        .size =
            form_figures::judged_size(doubts.of(figures.minimum, 1), doubts.of(figures.maximum, 1),
                                      limits.lower, limits.upper),
        .ovality = form_figures::judged(form_figures::ovality_name(figures.ovality_station),
                                        doubts.of(figures.ovality, sqrt2), std::nullopt,
                                        limits.ovality, form_figures::one_axis),
        .taper = form_figures::judged(form_figures::taper_name(figures.taper_axis),
                                      doubts.of(figures.taper, sqrt2), std::nullopt, limits.taper,
                                      form_figures::one_station),
        // Half a difference of two readings: root 2 over 2.
        .ridge = form_figures::judged("ridge", doubts.of(ridge, sqrt2 / 2), std::nullopt,
                                      limits.ridge, no_unworn_size)};
    const auto& [size, ovality, taper, judged_ridge] = judged;
    const double maximum = value_of(figures.maximum);
    return {
        .minimum = value_of(figures.minimum),
        .maximum = maximum,
        .mean = value_of(figures.mean),
        .largest_station = figures.largest_station,
        .largest_axis = figures.largest_axis,
        .ovality = plain(figures.ovality),
        .ovality_station = figures.ovality_station,
        .taper = plain(figures.taper),
        .taper_axis = figures.taper_axis,
        .end_difference = plain(figures.end_difference),
        .barrel = plain(figures.barrel),
        .shape = static_cast<Shape>(profile_of(figures, doubts.uncertainty)),
        .wear = limits.original ? std::optional(maximum - *limits.original) : std::nullopt,
        .ridge = plain(ridge),
        .size_verdict = size.verdict(),
        .ovality_verdict = ovality.verdict,
        .taper_verdict = taper.verdict,
        .ridge_verdict = judged_ridge.verdict,
        .verdict =
            measure::worst({size.verdict(), ovality.verdict, taper.verdict, judged_ridge.verdict}),
        .reason =
            form_figures::reasons({&size.least, &size.greatest, &ovality, &taper, &judged_ridge}),
        .next = next_for(judged, limits)};
}

}  // namespace

BoreForm form(const Grid& readings, std::optional<double> lower, std::optional<double> upper,
              std::optional<double> original, std::optional<double> unworn_top,
              std::optional<double> ovality_limit, std::optional<double> taper_limit,
              std::optional<double> ridge_limit, double uncertainty)
{
    form_figures::require_grid("readings", readings);
    const FormLimits limits{lower, upper, original, ovality_limit, taper_limit, ridge_limit};
    require_limits(limits, unworn_top);
    require_length_at_least_zero("uncertainty", uncertainty);
    const auto figures = form_figures::figures_of(form_figures::stations_of(readings));
    std::optional<double> ridge;
    if (unworn_top) {
        ridge = (figures.first_station_maximum - *unworn_top) / 2;
    }
    return judged_form(figures, ridge, limits, Doubts{.uncertainty = uncertainty});
}

DoubtfulForm form_with_doubt(std::span<const Quantity> readings, std::size_t axes,
                             std::optional<double> lower, std::optional<double> upper,
                             const std::optional<Quantity>& original,
                             const std::optional<Quantity>& unworn_top,
                             std::optional<double> ovality_limit, std::optional<double> taper_limit,
                             std::optional<double> ridge_limit, const measure::Sources& sources)
{
    form_figures::require_quantities("readings", readings, axes);
    const FormLimits limits{lower, upper, plain(original), ovality_limit, taper_limit, ridge_limit};
    require_limits(limits, plain(unworn_top));
    const auto figures = form_figures::figures_of(form_figures::Stations<Quantity>{readings, axes});
    std::optional<Quantity> ridge;
    if (unworn_top) {
        ridge = measure::combine(0.5, figures.first_station_maximum, -0.5, *unworn_top);
    }
    return {.form = judged_form(figures, ridge, limits, Doubts{.sources = sources}),
            .minimum = figures.minimum,
            .maximum = figures.maximum,
            .mean = figures.mean,
            .ovality = figures.ovality,
            .taper = figures.taper,
            .end_difference = figures.end_difference,
            .barrel = figures.barrel,
            .wear = original ? std::optional(figures.maximum - *original) : std::nullopt,
            .ridge = ridge};
}

namespace {

void require_finish(std::span<const double> pistons, double clearance,
                    const std::optional<std::vector<double>>& bores, double hone_allowance)
{
    require_readings("pistons", pistons, 1);
    for (std::size_t i = 0; i < pistons.size(); ++i) {
        require_size(element_name("pistons", i), pistons[i]);
    }
    require_length_at_least_zero("clearance", clearance);
    require_length_at_least_zero("hone_allowance", hone_allowance);
    if (!bores) {
        return;
    }
    if (bores->size() != pistons.size()) {
        refuse_all("bores", "hold " + std::to_string(pistons.size()) + ", one a piston, got " +
                                std::to_string(bores->size()));
    }
    for (std::size_t i = 0; i < bores->size(); ++i) {
        require_size(element_name("bores", i), (*bores)[i]);
    }
}

/// What to do with one bore.
std::string next_for_bore(const FinishBores& plan, std::size_t i, std::optional<double> bore,
                          double clearance)
{
    const std::string name = part("cylinder", static_cast<int>(i)) + ": ";
    const std::string hone = "hone to " + mm(plan.finish_bore[i]);
    if (bore && plan.stock[i] < -slack) {
        return name + "find a piston of at least " + mm(*bore - clearance);
    }
    if (bore && plan.stock[i] <= slack) {
        return name + "leave it, it is finished to " + mm(plan.finish_bore[i]);
    }
    if (bore && *bore > plan.bored_size[i] + slack) {
        return name + hone + ", " + mm(plan.stock[i]) + " to come out";
    }
    const bool two_cuts = plan.bored_size[i] < plan.finish_bore[i];
    return name + (two_cuts ? "bore to " + mm(plan.bored_size[i]) + ", " : "bore and ") + hone;
}

}  // namespace

FinishBores finish_bores(std::span<const double> pistons, double clearance,
                         const std::optional<std::vector<double>>& bores, double hone_allowance)
{
    require_finish(pistons, clearance, bores, hone_allowance);
    FinishBores plan;
    std::vector<int> hone_only;
    for (std::size_t i = 0; i < pistons.size(); ++i) {
        plan.finish_bore.push_back(pistons[i] + clearance);
        plan.bored_size.push_back(plan.finish_bore[i] - hone_allowance);
        if (!bores) {
            continue;
        }
        plan.stock.push_back(plan.finish_bore[i] - (*bores)[i]);
        if (plan.stock[i] < -slack) {
            plan.too_large.push_back(static_cast<int>(i));
        } else if ((*bores)[i] > plan.bored_size[i] + slack) {
            hone_only.push_back(static_cast<int>(i));
        }
    }
    std::vector<std::string> next;
    for (std::size_t i = 0; i < pistons.size(); ++i) {
        next.push_back(
            next_for_bore(plan, i, bores ? std::optional((*bores)[i]) : std::nullopt, clearance));
    }
    plan.next = wording::joined(next, "; ");
    if (!bores) {
        plan.status = FinishStatus::unchecked;
        plan.reason = "no bore was given to compare with";
        plan.next = "measure the bores first; " + plan.next;
    } else if (!plan.too_large.empty()) {
        plan.status = FinishStatus::bore_too_large;
        std::vector<std::string> told;
        for (const int i : plan.too_large) {
            const auto k = static_cast<std::size_t>(i);
            told.push_back(part("cylinder", i) + " measures " + mm((*bores)[k]) + ", " +
                           mm(-plan.stock[k]) + " above its finished " + mm(plan.finish_bore[k]));
        }
        plan.reason = wording::joined(told, "; ");
    } else if (!hone_only.empty()) {
        plan.status = FinishStatus::hone_only;
        plan.reason = wording::parts("cylinder", hone_only) +
                      (hone_only.size() == 1 ? " is" : " are") + " above the bored size already";
    }
    return plan;
}

}  // namespace enginewright::cylinders
