#include <algorithm>
#include <cmath>

#include "balance/bounds.hpp"
#include "balance/plan_parts.hpp"
#include "numerics/angles.hpp"
#include "wording.hpp"

namespace enginewright::balance {

namespace {

std::string mm_text(double value) { return fixed_text(value, 1) + " mm"; }

std::string done(const Operation& operation)
{
    const std::string where = operation.site + " (" + angle_text(operation.angle) + ")";
    switch (operation.kind) {
        case SiteKind::drill:
            return "drill " + where + " to " + mm_text(operation.setting) + " at the tip";
        case SiteKind::slug:
            return "slug of " + mm_text(operation.setting) + " into " + where;
        case SiteKind::grind:
            return "grind " + mm_text(operation.setting) + " off " + where;
        case SiteKind::weight:
            return "bolt " + fixed_text(operation.setting, 1) + " g to " + where;
    }
    return {};
}

std::string work(const CorrectionPlan& plan)
{
    std::vector<std::string> steps;
    for (const auto& operation : plan.operations) {
        steps.push_back(done(operation));
    }
    return wording::joined(steps, ", ");
}

std::string kept(const CorrectionPlan& plan, std::size_t p)
{
    return "plane " + std::to_string(p + 1) + " keeps " + amount_text(std::abs(plan.residual[p])) +
           " against " + amount_text(plan.target * plan.tolerance[p]) + " aimed for, tolerance " +
           amount_text(plan.tolerance[p]);
}

/// Names of the sites that are used as deep as they go.
std::vector<std::string> exhausted(const CorrectionPlan& plan, const std::vector<Site>& sites)
{
    std::vector<std::string> names;
    const auto used = sites_of(plan, sites);
    for (std::size_t i = 0; i < used.size(); ++i) {
        const auto& operation = plan.operations[i];
        if (std::abs(operation.setting - settings_of(*used[i]).back().setting) < 1e-9) {
            names.push_back(operation.site + " at " + angle_text(operation.angle));
        }
    }
    return names;
}

std::string hindrance(const CorrectionPlan& plan, const std::vector<Site>& sites)
{
    switch (plan.limit) {
        case PlanLimit::none:
            return {};
        case PlanLimit::operations:
            return std::to_string(plan.maximum_operations) +
                   " operations are too few or the steps too coarse";
        case PlanLimit::depth: {
            const auto names = exhausted(plan, sites);
            return names.empty() ? "the depths allowed do not take enough metal"
                                 : wording::joined(names, ", ") +
                                       (names.size() == 1 ? " is" : " are") + " at full depth";
        }
        case PlanLimit::direction:
            return sites.empty() ? "no site is given"
                                 : "no site lies on the side where metal must go";
    }
    return {};
}

/// Weight at the largest radius of the sites that would bring a plane down to its target.
std::string closing_weight(const CorrectionPlan& plan, const std::vector<Site>& sites,
                           std::size_t p)
{
    double radius = 0;
    for (const auto& site : sites) {
        radius = std::max(radius, site.radius);
    }
    const double missing = std::abs(plan.residual[p]) - plan.target * plan.tolerance[p];
    const std::string opposite = angle_text(numerics::degrees_of(-plan.residual[p]));
    const std::string where = " at " + opposite + " in plane " + std::to_string(p + 1);
    if (radius == 0) {
        return "give sites near " + angle_text(numerics::degrees_of(plan.residual[p])) +
               " to drill, or add " + amount_text(missing) + where;
    }
    return "heavy metal of " + fixed_text(missing / radius, 1) + " g net" + where + ", " +
           mm_text(radius) + " radius, would close it";
}

}  // namespace

std::vector<const Site*> sites_of(const CorrectionPlan& plan, const std::vector<Site>& sites)
{
    std::vector<const Site*> used;
    for (const auto& operation : plan.operations) {
        const auto at = std::find_if(sites.begin(), sites.end(), [&](const Site& site) {
            return site.name == operation.site && site.kind == operation.kind;
        });
        if (at == sites.end()) {
            refuse_all("sites", "hold the site " + operation.site + " of the plan");
        }
        require_site(*at);
        used.push_back(&*at);
    }
    return used;
}

void say(CorrectionPlan& plan, const std::vector<Site>& sites)
{
    const std::size_t p = plan.ratio[1] > plan.ratio[0] ? 1 : 0;
    plan.reason = kept(plan, p);
    switch (plan.status) {
        case PlanStatus::nothing_to_do:
            plan.next = "nothing to do";
            return;
        case PlanStatus::reached:
            plan.next = work(plan) + "; clean out the chips and spin again";
            return;
        case PlanStatus::within_tolerance:
        case PlanStatus::not_reached:
            break;
    }
    plan.reason += "; " + hindrance(plan, sites);
    const std::string first = plan.operations.empty() ? "" : work(plan) + ", then spin again; ";
    plan.next = first + (plan.limit == PlanLimit::operations
                             ? std::string("plan again from the new reading")
                             : closing_weight(plan, sites, p));
}

}  // namespace enginewright::balance
