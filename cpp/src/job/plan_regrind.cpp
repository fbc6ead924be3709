#include <algorithm>

#include "enginewright/check.hpp"
#include "enginewright/journals.hpp"
#include "job/inspector.hpp"
#include "wording.hpp"

/// One undersize for a set of journals.
namespace enginewright::job {

namespace {

/// What wear on one flank would mean, where nobody has said which way the journals are worn.
std::string worn_on_one_side(const journals::RegrindPlan& even, const journals::RegrindPlan& side)
{
    if (!side.undersize) {
        return "worn on one side, no undersize of the card would clean up";
    }
    return side.undersize == even.undersize
               ? "worn on one side, the same size would still clean up"
               : "worn on one side, " + fixed_text(*side.undersize, 2) +
                     " mm under would be the first to clean up";
}

}  // namespace

void Inspector::plan_regrind(const Set& set)
{
    const auto& first = parts_[set.parts.front()];
    const auto* card = context_.card[Context::index(set.engine)];
    const std::string feature(
        context_.readings.feature.words[static_cast<std::size_t>(set.feature)]);
    auto key = key_of(rows_[first.places.front().rows.front()]);
    key.station = key.axis = -1;
    key.number = no_number;
    const auto fresh = context_.find_limit_of_kind(key, "new");
    if (fresh < 0) {
        return missing(Check::regrind,
                       "the 'new' limits of the diameter of the " + plural_of(set.feature));
    }
    if (card == nullptr || !card->undersizes.contains(feature)) {
        return missing(Check::regrind,
                       "the undersizes of the " + plural_of(set.feature) + " on the engine card");
    }
    const auto& limit = context_.limits.rows[static_cast<std::size_t>(fresh)];
    const auto readings = grids_of(set);
    const double doubt = greatest_doubt(set);
    const auto plan_for = [&](journals::WearSide side) {
        return journals::regrind_plan(
            readings, limit.lower ? *limit.lower : *limit.upper,
            limit.upper ? *limit.upper : *limit.lower, card->undersizes.at(feature),
            card->grinding_allowance.value_or(0.0), card->aim.value_or(0.5), std::nullopt, side,
            0.0, card->case_depth, doubt);
    };
    const auto plan = plan_for(card->wear_side.empty()
                                   ? journals::WearSide::even
                                   : from_word<journals::WearSide>("wear_side", card->wear_side));
    Finding finding = begin(Check::regrind, first, Derived::undersize);
    finding.number = no_number;
    for (const auto p : set.parts) {
        use(parts_[p], finding);
    }
    const auto& governing = parts_[set.parts[static_cast<std::size_t>(plan.governing)]];
    finding.mark = rows_[governing.least().rows.front()].row;
    finding.value = plan.undersize;
    finding.source = context_.limit_source[static_cast<std::size_t>(fresh)];
    finding.kind = context_.limit_kind[static_cast<std::size_t>(fresh)];
    finding.reason =
        unmeasured_damage(set, plan.undersize ? plan.margin : std::vector<double>{}, "grinding");
    if (plan.undersize) {
        finding.lower = plan.finish_lower;
        finding.upper = plan.finish_upper;
        finding.target = plan.target;
        finding.next = "Grind " + whole_set(set, feature, plural_of(set.feature)) + " to " +
                       said_band(*plan.finish_lower, *plan.finish_upper, first) + " (" +
                       fixed_text(*plan.undersize, 2) + " under); " +
                       name_of(set.feature, governing.number) + " decides; " +
                       said(plan.margin[static_cast<std::size_t>(plan.governing)], first) +
                       " to spare.";
        if (card->wear_side.empty()) {
            add_reason(finding.reason,
                       worn_on_one_side(plan, plan_for(journals::WearSide::one_side)));
        }
        add_reason(finding.reason, renumbered(plan.reason, set));
    } else {
        finding.verdict = Standing::outside;
        add_reason(finding.reason,
                   plan.reason.empty() ? "no undersize left" : renumbered(plan.reason, set));
        finding.next = wording::sentence(renumbered(plan.next, set));
    }
    if (set.parts.size() == 1 && plan.undersize) {
        finding.amount = plan.stock_most.front();
        finding.amount_unit = context_.millimetre;
    }
    add(std::move(finding));
}

}  // namespace enginewright::job
