#include <algorithm>

#include "enginewright/check.hpp"
#include "enginewright/cylinders.hpp"
#include "enginewright/journals.hpp"
#include "job/inspector.hpp"
#include "wording.hpp"

/// The plans: one undersize for a set of journals, one oversize for a set of bores.
namespace enginewright::job {

namespace {

constexpr std::array<std::string_view, 13> counts{"no",   "one",    "two",   "three", "four",
                                                  "five", "six",    "seven", "eight", "nine",
                                                  "ten",  "eleven", "twelve"};

std::string count_word(std::size_t count)
{
    return count < counts.size() ? std::string(counts[count]) : std::to_string(count);
}

}  // namespace

void Inspector::check_plans()
{
    for (auto& set : sets_) {
        const auto role = context_.role[static_cast<std::size_t>(set.feature)];
        for (const auto& each : blocked_) {
            set.unproven |= each.stage == set.stage && each.feature == set.feature;
        }
        if (set.measured != Measured::diameter || context_.finished[Context::index(set.stage)] ||
            !(set.worn || set.unproven || context_.options.plans_always)) {
            continue;
        }
        if (role == Role::main_journal || role == Role::big_end_journal) {
            plan_regrind(set);
        } else if (role == Role::bore) {
            plan_rebore(set);
        }
    }
}

namespace {

/// One grid a part; the plans need no more than its greatest and least reading.
std::vector<journals::Grid> grids(const Set& set, const std::vector<Part>& parts)
{
    std::vector<journals::Grid> all;
    for (const auto p : set.parts) {
        const auto& places = parts[p].places;
        journals::Grid grid(1, static_cast<Eigen::Index>(places.size()));
        for (std::size_t i = 0; i < places.size(); ++i) {
            grid(0, static_cast<Eigen::Index>(i)) = places[i].value;
        }
        all.push_back(std::move(grid));
    }
    return all;
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
    const double lower = limit.lower ? *limit.lower : *limit.upper;
    const double upper = limit.upper ? *limit.upper : *limit.lower;
    const auto readings = grids(set, parts_);
    double doubt = 0;
    for (const auto p : set.parts) {
        for (const auto& place : parts_[p].places) {
            doubt = std::max(doubt, quantity_of(place).standard_uncertainty());
        }
    }
    Finding finding = begin(Check::regrind, first, Derived::undersize);
    finding.number = no_number;
    const auto plan = journals::regrind_plan(
        readings, lower, upper, card->undersizes.at(feature),
        card->grinding_allowance.value_or(0.0), card->aim.value_or(0.5), std::nullopt,
        card->wear_side.empty() ? journals::WearSide::even
                                : from_word<journals::WearSide>("wear_side", card->wear_side),
        0.0, card->case_depth, doubt);
    for (const auto p : set.parts) {
        use(parts_[p], finding);
    }
    const auto& governing = parts_[set.parts[static_cast<std::size_t>(plan.governing)]];
    finding.mark = rows_[governing.least().rows.front()].row;
    finding.value = plan.undersize;
    finding.source = context_.limit_source[static_cast<std::size_t>(fresh)];
    finding.kind = context_.limit_kind[static_cast<std::size_t>(fresh)];
    if (plan.undersize) {
        finding.lower = plan.finish_lower;
        finding.upper = plan.finish_upper;
        finding.target = plan.target;
        finding.next =
            "Grind " + std::string(set.parts.size() > 1 ? "all " : "the ") +
            (set.parts.size() > 1 ? count_word(set.parts.size()) + " " : "") +
            (set.parts.size() > 1 ? plural_of(set.feature) : feature) + " to " +
            fixed_text(*plan.finish_lower, 3) + "-" + fixed_text(*plan.finish_upper, 3) + " mm" +
            (written(first).imperial ? " (" + fixed_text(*plan.finish_lower / 25.4, 4) + "-" +
                                           fixed_text(*plan.finish_upper / 25.4, 4) + " in)"
                                     : "") +
            " (" + fixed_text(*plan.undersize, 2) + " under); " +
            name_of(set.feature, governing.number) + " decides; " +
            said(plan.margin[static_cast<std::size_t>(plan.governing)], first) + " to spare.";
        finding.reason = plan.reason;
    } else {
        finding.verdict = Standing::outside;
        finding.reason = plan.reason.empty() ? "no undersize left" : plan.reason;
        finding.next = wording::sentence(plan.next);
    }
    for (const auto& each : blocked_) {
        if (each.stage == set.stage && each.feature == set.feature) {
            finding.reason +=
                (finding.reason.empty() ? "" : "; ") + name_of(each.feature, each.number) +
                " is written '" +
                std::string(
                    context_.readings.observation.words[static_cast<std::size_t>(each.word)]) +
                "', its depth is unknown and not counted: measure it before grinding";
        }
    }
    if (set.parts.size() == 1 && plan.undersize) {
        finding.amount = plan.stock_most.front();
        finding.amount_unit = context_.millimetre;
    }
    add(std::move(finding));
}

void Inspector::plan_rebore(const Set& set)
{
    const auto& first = parts_[set.parts.front()];
    const auto* card = context_.card[Context::index(set.engine)];
    if (card == nullptr || card->oversizes.empty()) {
        return missing(Check::rebore, "the oversizes on the engine card");
    }
    const auto code = [](const table::WordView& words, std::string_view word) {
        const auto at = std::find(words.words.begin(), words.words.end(), word);
        return at == words.words.end() ? LimitCodes::never
                                       : static_cast<std::int32_t>(at - words.words.begin());
    };
    // Pistons need not be among the readings: their limits are looked up by word.
    const auto limit_of_piston = [&](std::string_view quantity, std::string_view kind) {
        std::optional<double> figure;
        for (const auto& row : context_.limits.rows) {
            const bool ours =
                row.feature == "piston" && row.quantity == quantity && row.kind == kind &&
                !row.number && row.part.empty() &&
                (row.engine.empty() || code(context_.readings.engine, row.engine) == set.engine) &&
                (row.stage.empty() || code(context_.readings.stage, row.stage) == set.stage);
            if (ours && !figure) {
                figure = row.target               ? row.target
                         : row.lower && row.upper ? std::optional((*row.lower + *row.upper) / 2)
                                                  : (row.lower ? row.lower : row.upper);
            }
        }
        return figure;
    };
    const auto piston = limit_of_piston("diameter", "new");
    if (!piston) {
        return missing(Check::rebore, "the 'new' limits of the pistons' diameter");
    }
    std::optional<double> clearance;
    for (const auto kind : {"new", "machining", "", "wear"}) {
        clearance = clearance ? clearance : limit_of_piston("clearance", kind);
    }
    if (!clearance) {
        return missing(Check::rebore, "the limits of the pistons' clearance");
    }
    double doubt = 0;
    for (const auto p : set.parts) {
        for (const auto& place : parts_[p].places) {
            doubt = std::max(doubt, quantity_of(place).standard_uncertainty());
        }
    }
    Finding finding = begin(Check::rebore, first, Derived::oversize);
    finding.number = no_number;
    const auto plan = cylinders::oversize_plan(
        grids(set, parts_), *piston, card->oversizes, *clearance,
        card->hone_allowance.value_or(0.0), card->clean_up.value_or(0.0), std::nullopt,
        card->wear_side.empty() ? cylinders::WearSide::even
                                : from_word<cylinders::WearSide>("wear_side", card->wear_side),
        0.0, card->largest_bore, doubt);
    for (const auto p : set.parts) {
        use(parts_[p], finding);
    }
    const auto& governing = parts_[set.parts[static_cast<std::size_t>(plan.governing)]];
    finding.mark = rows_[governing.greatest().rows.front()].row;
    finding.value = plan.oversize;
    finding.reason = plan.reason;
    if (plan.oversize) {
        finding.target = plan.finish_bore;
        finding.next =
            "Bore " + std::string(set.parts.size() > 1 ? "all " : "the ") +
            (set.parts.size() > 1 ? count_word(set.parts.size()) + " " : "") +
            (set.parts.size() > 1 ? "cylinders" : "cylinder") + " to " +
            fixed_text(*plan.bored_size, 3) + " mm and hone to " +
            fixed_text(*plan.finish_bore, 3) + " mm" +
            (written(first).imperial ? " (" + fixed_text(*plan.bored_size / 25.4, 4) + " and " +
                                           fixed_text(*plan.finish_bore / 25.4, 4) + " in)"
                                     : "") +
            " (" + fixed_text(*plan.oversize, 2) + " over); " +
            name_of(set.feature, governing.number) + " decides; " +
            said(plan.margin[static_cast<std::size_t>(plan.governing)], first) + " to spare.";
        carried_.push_back({set.stage, *plan.finish_bore});
    } else {
        finding.verdict = Standing::outside;
        finding.reason = plan.reason.empty() ? "no oversize cleans every bore" : plan.reason;
        finding.next = wording::sentence(plan.next);
    }
    for (const auto& each : blocked_) {
        if (each.stage == set.stage && each.feature == set.feature) {
            finding.reason +=
                (finding.reason.empty() ? "" : "; ") + name_of(each.feature, each.number) +
                " is written '" +
                std::string(
                    context_.readings.observation.words[static_cast<std::size_t>(each.word)]) +
                "', its depth is unknown and not counted: measure it before boring";
        }
    }
    add(std::move(finding));
}

}  // namespace enginewright::job
