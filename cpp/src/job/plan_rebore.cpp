#include <algorithm>

#include "enginewright/check.hpp"
#include "enginewright/cylinders.hpp"
#include "job/inspector.hpp"
#include "wording.hpp"

/// One oversize for a set of bores.
namespace enginewright::job {

namespace {

/// What wear on one face would mean, where nobody has said which way the bores are worn.
std::string worn_on_one_side(const cylinders::OversizePlan& even,
                             const cylinders::OversizePlan& side)
{
    if (!side.oversize) {
        return "worn on one side, no oversize would clean up " +
               wording::parts("cylinder", side.sleeve);
    }
    return side.oversize == even.oversize ? "worn on one side, the same size would still clean up"
                                          : "worn on one side, " + fixed_text(*side.oversize, 2) +
                                                " mm over would be the first to clean up";
}

}  // namespace

const table::Limit* Inspector::limit_of_pistons(const Set& bores, std::string_view quantity,
                                                std::string_view kind) const
{
    const auto suits = [](const table::WordView& words, std::string_view word, std::int32_t code) {
        return word.empty() || (code >= 0 && words.words[static_cast<std::size_t>(code)] == word);
    };
    // Pistons need not be among the readings: their limits are looked up by word.
    const auto found = std::find_if(
        context_.limits.rows.begin(), context_.limits.rows.end(), [&](const table::Limit& row) {
            return row.feature == "piston" && row.quantity == quantity && row.kind == kind &&
                   !row.number && row.part.empty() &&
                   suits(context_.readings.engine, row.engine, bores.engine) &&
                   suits(context_.readings.stage, row.stage, bores.stage);
        });
    return found == context_.limits.rows.end() ? nullptr : &*found;
}

namespace {

/// The size that a limit asks for: its target, else its middle, else the one figure it has.
double figure_of(const table::Limit& row)
{
    return row.target               ? *row.target
           : row.lower && row.upper ? (*row.lower + *row.upper) / 2
                                    : row.lower.value_or(row.upper.value_or(0));
}

}  // namespace

void Inspector::plan_rebore(const Set& set)
{
    const auto& first = parts_[set.parts.front()];
    const auto* card = context_.card[Context::index(set.engine)];
    if (card == nullptr || card->oversizes.empty()) {
        return missing(Check::rebore, "the oversizes on the engine card");
    }
    const auto* piston = limit_of_pistons(set, "diameter", "new");
    if (piston == nullptr) {
        return missing(Check::rebore, "the 'new' limits of the pistons' diameter");
    }
    const table::Limit* clearance = nullptr;
    for (const auto kind : {"new", "machining", "", "wear"}) {
        clearance = clearance != nullptr ? clearance : limit_of_pistons(set, "clearance", kind);
    }
    if (clearance == nullptr) {
        return missing(Check::rebore, "the limits of the pistons' clearance");
    }
    const auto readings = grids_of(set);
    const double doubt = greatest_doubt(set);
    const auto plan_for = [&](cylinders::WearSide side) {
        return cylinders::oversize_plan(readings, figure_of(*piston), card->oversizes,
                                        figure_of(*clearance), card->hone_allowance.value_or(0.0),
                                        card->clean_up.value_or(0.0), std::nullopt, side, 0.0,
                                        card->largest_bore, doubt);
    };
    const auto plan = plan_for(card->wear_side.empty()
                                   ? cylinders::WearSide::even
                                   : from_word<cylinders::WearSide>("wear_side", card->wear_side));
    Finding finding = begin(Check::rebore, first, Derived::oversize);
    finding.number = no_number;
    for (const auto p : set.parts) {
        use(parts_[p], finding);
    }
    const auto& governing = parts_[set.parts[static_cast<std::size_t>(plan.governing)]];
    finding.mark = rows_[governing.greatest().rows.front()].row;
    finding.value = plan.oversize;
    finding.reason =
        unmeasured_damage(set, plan.oversize ? plan.margin : std::vector<double>{}, "boring");
    if (plan.oversize) {
        finding.target = plan.finish_bore;
        if (clearance->lower && clearance->upper) {
            // The bores that give this piston a clearance within its limits.
            finding.lower = *plan.piston + *clearance->lower;
            finding.upper = *plan.piston + *clearance->upper;
        }
        finding.next =
            "Bore " + whole_set(set, "cylinder", "cylinders") + " to " +
            fixed_text(*plan.bored_size, 3) + " mm and hone to " +
            fixed_text(*plan.finish_bore, 3) + " mm" +
            (written(first).imperial ? " (" + fixed_text(*plan.bored_size / 25.4, 4) + " and " +
                                           fixed_text(*plan.finish_bore / 25.4, 4) + " in)"
                                     : "") +
            " (" + fixed_text(*plan.oversize, 2) + " over); " +
            name_of(set.feature, governing.number) + " decides; " +
            said(plan.margin[static_cast<std::size_t>(plan.governing)], first) + " to spare.";
        if (card->wear_side.empty()) {
            add_reason(
                finding.reason,
                renumbered(worn_on_one_side(plan, plan_for(cylinders::WearSide::one_side)), set));
        }
        add_reason(finding.reason, renumbered(plan.reason, set));
        carried_.push_back({set.stage, *plan.finish_bore});
    } else {
        finding.verdict = Standing::outside;
        add_reason(finding.reason, plan.reason.empty() ? "no oversize cleans every bore"
                                                       : renumbered(plan.reason, set));
        finding.next = wording::sentence(renumbered(plan.next, set));
    }
    add(std::move(finding));
}

}  // namespace enginewright::job
