#include <algorithm>

#include "enginewright/cylinders.hpp"
#include "steps.hpp"
#include "wording.hpp"

namespace enginewright::cylinders {

using steps::slack;
using wording::mm;
using wording::part;

namespace {

/// What is given, checked, with the sizes that a step leads to.
struct Block {
    double piston_standard;
    std::span<const double> oversizes;
    double clearance;
    double hone_allowance;
    double clean_up;
    WearSide wear_side;
    double current_oversize;
    std::optional<double> largest_bore;
    double uncertainty;

    double finish_bore(double oversize) const { return piston_standard + oversize + clearance; }
    double bored_size(double oversize) const { return finish_bore(oversize) - hone_allowance; }
    bool allowed(double oversize) const
    {
        return oversize > current_oversize + slack &&
               (!largest_bore || finish_bore(oversize) <= *largest_bore + slack);
    }
    bool cleans(double oversize, double cleanup) const
    {
        return cleanup <= bored_size(oversize) + slack;
    }
};

void require_block(const Block& block)
{
    require_size("piston_standard", block.piston_standard);
    steps::require_rising("oversizes", block.oversizes);
    require_length_at_least_zero("clearance", block.clearance);
    require_length_at_least_zero("hone_allowance", block.hone_allowance);
    require_length_at_least_zero("clean_up", block.clean_up);
    require_length_at_least_zero("current_oversize", block.current_oversize);
    if (block.largest_bore) {
        require_size("largest_bore", *block.largest_bore);
    }
    require_length_at_least_zero("uncertainty", block.uncertainty);
}

double cleanup_diameter(const Block& block, const steps::Extent& bore, double damage)
{
    const double out = 2 * damage + block.clean_up;
    if (block.wear_side == WearSide::even) {
        return bore.greatest + out;
    }
    // The worn face lies this far outside the circle the bore was last finished to.
    const double old_circle = std::min(block.finish_bore(block.current_oversize), bore.least);
    return 2 * bore.greatest - old_circle + out;
}

/// The first of some steps that cleans all these cylinders.
std::optional<double> step_for(const Block& block, std::span<const double> allowed,
                               std::span<const double> cleanup)
{
    return steps::first_that_fits(allowed, [&](double oversize) {
        return std::all_of(cleanup.begin(), cleanup.end(),
                           [&](double diameter) { return block.cleans(oversize, diameter); });
    });
}

void add_sleeves(OversizePlan& plan, const Block& block, std::span<const double> allowed)
{
    const std::span<const double> cleanup = plan.cleanup_diameters;
    std::vector<double> others;
    for (std::size_t i = 0; i < cleanup.size(); ++i) {
        plan.oversize_by_cylinder.push_back(step_for(block, allowed, cleanup.subspan(i, 1)));
        if (plan.oversize_by_cylinder.back()) {
            others.push_back(cleanup[i]);
        } else {
            plan.sleeve.push_back(static_cast<int>(i));
        }
    }
    for (const double oversize : allowed) {
        SleeveOption option{.oversize = oversize, .finish_bore = block.finish_bore(oversize)};
        for (std::size_t i = 0; i < cleanup.size(); ++i) {
            if (!block.cleans(oversize, cleanup[i])) {
                option.sleeve.push_back(static_cast<int>(i));
            }
        }
        plan.sleeve_options.push_back(std::move(option));
    }
    if (!plan.sleeve.empty() && !others.empty()) {
        plan.oversize_without_sleeved = step_for(block, allowed, others);
    }
}

void add_sizes(OversizePlan& plan, const Block& block, std::span<const double> allowed,
               std::span<const steps::Extent> bores)
{
    const double oversize = *plan.oversize;
    plan.piston = block.piston_standard + oversize;
    plan.finish_bore = block.finish_bore(oversize);
    plan.bored_size = block.bored_size(oversize);
    for (std::size_t i = 0; i < bores.size(); ++i) {
        plan.margin.push_back(*plan.bored_size - plan.cleanup_diameters[i]);
        plan.stock_to_bore.push_back(*plan.bored_size - bores[i].greatest);
    }
    plan.steps_left = static_cast<int>(std::count_if(allowed.begin(), allowed.end(),
                                                     [&](double step) { return step > oversize; }));
    const double doubt = (block.wear_side == WearSide::even ? 2 : 4) * block.uncertainty;
    const double least = *std::min_element(plan.margin.begin(), plan.margin.end());
    if (least < doubt - slack) {
        plan.warnings.push_back(part("cylinder", plan.governing) + " has " +
                                mm(std::max(0.0, least)) + " to spare, the gauge leaves ±" +
                                mm(doubt) + " open: measure it again before boring");
    }
}

/// "bore to 86.190 mm, hone to 86.250 mm (0.250 over)", for the parts named.
std::string bore_and_hone(const Block& block, std::string_view parts, double oversize)
{
    std::string text = "bore " + std::string(parts);
    if (block.hone_allowance > 0) {
        text += " to " + mm(block.bored_size(oversize)) + ",";
    } else {
        text += " and";
    }
    return text + " hone to " + mm(block.finish_bore(oversize)) + " (" + fixed_text(oversize, 3) +
           " over)";
}

void say_rebore(OversizePlan& plan, const Block& block)
{
    const std::size_t count = plan.cleanup_diameters.size();
    plan.next = bore_and_hone(block, wording::whole_set("cylinder", count), *plan.oversize) + ", " +
                (count == 1 ? "" : part("cylinder", plan.governing) + " decides, ") +
                mm(plan.margin[static_cast<std::size_t>(plan.governing)]) + " to spare";
    std::vector<std::string> told;
    for (const auto& option : plan.sleeve_options) {
        if (option.oversize < *plan.oversize && option.sleeve.size() < count) {
            told.push_back(fixed_text(option.oversize, 3) + " would do with " +
                           wording::parts("cylinder", option.sleeve) + " sleeved");
        }
    }
    plan.reason = wording::joined(told, "; ");
}

void say_sleeving(OversizePlan& plan, const Block& block, std::span<const double> allowed)
{
    plan.next = "sleeve " + wording::parts("cylinder", plan.sleeve);
    if (plan.oversize_without_sleeved) {
        const std::size_t others = plan.cleanup_diameters.size() - plan.sleeve.size();
        plan.next += "; " + bore_and_hone(block, others == 1 ? "the other" : "the others",
                                          *plan.oversize_without_sleeved);
    }
    if (allowed.empty()) {
        plan.reason = "no step is left above " + mm(block.current_oversize);
        if (block.largest_bore) {
            plan.reason += " with a finished bore of at most " + mm(*block.largest_bore);
        }
        return;
    }
    const double last = allowed.back();
    std::vector<std::string> told;
    for (const int i : plan.sleeve) {
        const double cleanup = plan.cleanup_diameters[static_cast<std::size_t>(i)];
        told.push_back(part("cylinder", i) + " is clean at " + mm(cleanup) + ", " +
                       mm(cleanup - block.bored_size(last)) + " beyond the last step allowed, " +
                       mm(last) + " over");
    }
    plan.reason = wording::joined(told, "; ");
}

}  // namespace

OversizePlan oversize_plan(std::span<const Grid> readings, double piston_standard,
                           std::span<const double> oversizes, double clearance,
                           double hone_allowance, double clean_up,
                           const std::optional<OneOrEach>& damage_depth, WearSide wear_side,
                           double current_oversize, std::optional<double> largest_bore,
                           double uncertainty)
{
    steps::require_set("readings", readings);
    const Block block{.piston_standard = piston_standard,
                      .oversizes = oversizes,
                      .clearance = clearance,
                      .hone_allowance = hone_allowance,
                      .clean_up = clean_up,
                      .wear_side = wear_side,
                      .current_oversize = current_oversize,
                      .largest_bore = largest_bore,
                      .uncertainty = uncertainty};
    require_block(block);
    const auto damage = steps::damage_of_each(damage_depth, readings.size());
    const auto bores = steps::extents(readings);
    std::vector<double> allowed;
    std::copy_if(oversizes.begin(), oversizes.end(), std::back_inserter(allowed),
                 [&](double step) { return block.allowed(step); });
    OversizePlan plan;
    for (std::size_t i = 0; i < bores.size(); ++i) {
        plan.cleanup_diameters.push_back(cleanup_diameter(block, bores[i], damage[i]));
    }
    plan.governing = steps::first_greatest(plan.cleanup_diameters);
    plan.oversize = step_for(block, allowed, plan.cleanup_diameters);
    add_sleeves(plan, block, allowed);
    if (plan.oversize) {
        add_sizes(plan, block, allowed, bores);
        say_rebore(plan, block);
    } else {
        plan.status = ReboreStatus::needs_sleeving;
        say_sleeving(plan, block, allowed);
    }
    return plan;
}

}  // namespace enginewright::cylinders
