#include <algorithm>

#include "enginewright/journals.hpp"
#include "steps.hpp"
#include "wording.hpp"

namespace enginewright::journals {

using steps::slack;
using wording::mm;
using wording::part;

std::array<double, 6> undersizes(System system)
{
    // Common practice, no source. Written out so that each step is the double nearest to its print.
    if (system == System::inch) {
        return {0.254, 0.508, 0.762, 1.016, 1.270, 1.524};
    }
    return {0.25, 0.50, 0.75, 1.00, 1.25, 1.50};
}

namespace {

/// What is given, checked, with the size that the crank has now.
struct Crank {
    double standard_lower;
    double standard_upper;
    std::span<const double> undersizes;
    double grinding_allowance;
    double aim;
    WearSide wear_side;
    double current_undersize;
    std::optional<double> case_depth;
    double uncertainty;

    double present_upper() const { return standard_upper - current_undersize; }
    double target(double undersize) const
    {
        return standard_lower - undersize + aim * (standard_upper - standard_lower);
    }
    bool allowed(double undersize) const { return undersize > current_undersize + slack; }
};

void require_crank(const Crank& crank)
{
    require_size("standard_lower", crank.standard_lower);
    require_size("standard_upper", crank.standard_upper);
    require_ordered("standard_lower", crank.standard_lower, "standard_upper", crank.standard_upper,
                    "mm");
    steps::require_rising("undersizes", crank.undersizes);
    require_below(element_name("undersizes", crank.undersizes.size() - 1), crank.undersizes.back(),
                  crank.standard_lower, "mm");
    require_length_at_least_zero("grinding_allowance", crank.grinding_allowance);
    require_between("aim", crank.aim, 0.0, 1.0);
    require_length_at_least_zero("current_undersize", crank.current_undersize);
    require_below("current_undersize", crank.current_undersize, crank.standard_lower, "mm");
    if (crank.case_depth) {
        require_length_at_least_zero("case_depth", *crank.case_depth);
    }
    require_length_at_least_zero("uncertainty", crank.uncertainty);
}

double cleanup_diameter(const Crank& crank, const steps::Extent& journal, double damage)
{
    const double off = 2 * damage + crank.grinding_allowance;
    if (crank.wear_side == WearSide::even) {
        return journal.least - off;
    }
    // The worn flank lies this far inside the circle the journal was last ground to.
    const double old_circle = std::max(crank.present_upper(), journal.greatest);
    return 2 * journal.least - old_circle - off;
}

/// The first allowed step whose target is clean, counting every journal or all but one.
std::optional<double> step_for(const Crank& crank, std::span<const double> cleanup,
                               std::optional<std::size_t> without = std::nullopt, double lift = 0.0)
{
    return steps::first_that_fits(crank.undersizes, [&](double undersize) {
        if (!crank.allowed(undersize)) {
            return false;
        }
        for (std::size_t i = 0; i < cleanup.size(); ++i) {
            if (i != without && crank.target(undersize) - lift > cleanup[i] + slack) {
                return false;
            }
        }
        return true;
    });
}

void add_steps(RegrindPlan& plan, const Crank& crank)
{
    const std::span<const double> cleanup = plan.cleanup_diameters;
    const auto governing = static_cast<std::size_t>(plan.governing);
    plan.undersize = step_for(crank, cleanup);
    for (std::size_t i = 0; i < cleanup.size(); ++i) {
        plan.undersize_by_journal.push_back(step_for(crank, cleanup.subspan(i, 1)));
    }
    if (cleanup.size() > 1) {
        plan.undersize_without_governing = step_for(crank, cleanup, governing);
    }
    // Finished at the lower end of the band a smaller step may do.
    const double band = crank.aim * (crank.standard_upper - crank.standard_lower);
    const auto tight = step_for(crank, cleanup, std::nullopt, band);
    if (tight && tight != plan.undersize) {
        plan.tight_undersize = tight;
        plan.tight_diameter = *std::min_element(cleanup.begin(), cleanup.end());
    }
}

void add_sizes(RegrindPlan& plan, const Crank& crank, std::span<const steps::Extent> journals)
{
    const double undersize = *plan.undersize;
    plan.target = crank.target(undersize);
    plan.finish_lower = crank.standard_lower - undersize;
    plan.finish_upper = crank.standard_upper - undersize;
    for (const auto& journal : journals) {
        plan.stock_least.push_back(journal.least - *plan.target);
        plan.stock_most.push_back(journal.greatest - *plan.target);
    }
    plan.steps_left =
        static_cast<int>(std::count_if(crank.undersizes.begin(), crank.undersizes.end(),
                                       [&](double step) { return step > undersize; }));
    plan.remaining = crank.undersizes.back() - undersize;
    if (crank.case_depth) {
        plan.case_left = *crank.case_depth - undersize / 2;
    }
}

/// Clean-up sizes less a step's target: to spare where positive, missing where negative.
std::vector<double> margins(const Crank& crank, std::span<const double> cleanup, double undersize)
{
    std::vector<double> margin;
    for (const double diameter : cleanup) {
        margin.push_back(diameter - crank.target(undersize));
    }
    return margin;
}

void add_warnings(RegrindPlan& plan, const Crank& crank, std::span<const steps::Extent> journals)
{
    for (std::size_t i = 0; i < journals.size(); ++i) {
        if (journals[i].greatest > crank.present_upper() + slack) {
            plan.warnings.push_back(part("journal", static_cast<int>(i)) + " measures " +
                                    mm(journals[i].greatest) + ", above " +
                                    mm(crank.present_upper()) + ": check the stamp");
        }
    }
    if (plan.case_left && *plan.case_left <= slack) {
        plan.warnings.push_back("the step goes through the hard case: " + mm(*crank.case_depth) +
                                " deep when new, " + mm(*plan.undersize / 2) +
                                " comes off on radius");
    }
    const double doubt = (crank.wear_side == WearSide::even ? 2 : 4) * crank.uncertainty;
    if (plan.undersize) {
        const double least = *std::min_element(plan.margin.begin(), plan.margin.end());
        if (least < doubt - slack) {
            plan.warnings.push_back(part("journal", plan.governing) + " has " +
                                    mm(std::max(0.0, least)) + " to spare, the gauge leaves ±" +
                                    mm(doubt) + " open: measure it again before grinding");
        }
    }
}

std::string tight_hint(const RegrindPlan& plan, const Crank& crank)
{
    const bool one = plan.cleanup_diameters.size() == 1;
    return fixed_text(*plan.tight_undersize, 3) + " would do if " +
           (one ? "it finishes" : "all finish") + " between " +
           fixed_text(crank.standard_lower - *plan.tight_undersize, 3) + " and " +
           mm(*plan.tight_diameter);
}

void say_regrind(RegrindPlan& plan, const Crank& crank)
{
    const bool one = plan.cleanup_diameters.size() == 1;
    const double spare = plan.margin[static_cast<std::size_t>(plan.governing)];
    plan.next = "grind " + wording::whole_set("journal", plan.cleanup_diameters.size()) + " to " +
                fixed_text(*plan.finish_lower, 3) + "-" + mm(*plan.finish_upper) + " (" +
                fixed_text(*plan.undersize, 3) + " under), " +
                (one ? "" : part("journal", plan.governing) + " decides, ") + mm(spare) +
                " to spare";
    std::vector<std::string> told;
    if (plan.tight_undersize) {
        told.push_back(tight_hint(plan, crank));
    }
    if (plan.undersize_without_governing && plan.undersize_without_governing != plan.undersize) {
        told.push_back(fixed_text(*plan.undersize_without_governing, 3) +
                       " would do for the others without " + part("journal", plan.governing));
    }
    plan.reason = wording::joined(told, "; ");
}

void say_none_left(RegrindPlan& plan, const Crank& crank)
{
    const auto governing = static_cast<std::size_t>(plan.governing);
    const std::string name = part("journal", plan.governing);
    if (plan.margin.empty()) {
        plan.reason = "the crank is " + mm(crank.current_undersize) +
                      " under already and the last step listed is " + mm(crank.undersizes.back());
    } else {
        plan.reason = name + " is clean at " + mm(plan.cleanup_diameters[governing]) +
                      ", the last step, " + mm(crank.undersizes.back()) + ", aims at " +
                      mm(crank.target(crank.undersizes.back())) + ": " +
                      mm(-plan.margin[governing]) + " too much";
    }
    if (plan.tight_undersize) {
        plan.next = "finish low in the band, " + tight_hint(plan, crank) + ", or replace the crank";
    } else if (plan.undersize_without_governing) {
        plan.next = "have " + name + " built up by a specialist and grind the others " +
                    fixed_text(*plan.undersize_without_governing, 3) +
                    " under, or replace the crank";
    } else {
        plan.next = "replace the crank, or ask a specialist whether its journals can be built up";
    }
}

}  // namespace

RegrindPlan regrind_plan(std::span<const Grid> readings, double standard_lower,
                         double standard_upper, std::span<const double> undersizes,
                         double grinding_allowance, double aim,
                         const std::optional<OneOrEach>& damage_depth, WearSide wear_side,
                         double current_undersize, std::optional<double> case_depth,
                         double uncertainty)
{
    steps::require_set("readings", readings);
    const Crank crank{.standard_lower = standard_lower,
                      .standard_upper = standard_upper,
                      .undersizes = undersizes,
                      .grinding_allowance = grinding_allowance,
                      .aim = aim,
                      .wear_side = wear_side,
                      .current_undersize = current_undersize,
                      .case_depth = case_depth,
                      .uncertainty = uncertainty};
    require_crank(crank);
    const auto damage = steps::damage_of_each(damage_depth, readings.size());
    const auto journals = steps::extents(readings);
    RegrindPlan plan;
    std::vector<double> negative;
    for (std::size_t i = 0; i < journals.size(); ++i) {
        plan.cleanup_diameters.push_back(cleanup_diameter(crank, journals[i], damage[i]));
        negative.push_back(-plan.cleanup_diameters.back());
    }
    plan.governing = steps::first_greatest(negative);
    add_steps(plan, crank);
    const double last = undersizes.back();
    if (plan.undersize) {
        add_sizes(plan, crank, journals);
    }
    if (plan.undersize || crank.allowed(last)) {
        plan.margin = margins(crank, plan.cleanup_diameters, plan.undersize.value_or(last));
    }
    add_warnings(plan, crank, journals);
    if (plan.undersize) {
        say_regrind(plan, crank);
    } else {
        plan.status = RegrindStatus::no_undersize_left;
        say_none_left(plan, crank);
    }
    return plan;
}

}  // namespace enginewright::journals
