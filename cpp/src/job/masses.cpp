#include <algorithm>

#include "enginewright/check.hpp"
#include "enginewright/matching.hpp"
#include "job/inspector.hpp"

/// Weights of pistons, pins and rods: the spread of each set, and what comes off which part.
namespace enginewright::job {

namespace {

/// Masses of a set in the order of its parts: repeats of one part are their mean.
std::vector<double> weights(const Set& set, const std::vector<Part>& parts)
{
    std::vector<double> all;
    for (const auto p : set.parts) {
        all.push_back(parts[p].places.front().value);
    }
    return all;
}

/// Lightest and heaviest part of a set.
std::pair<const Part*, const Part*> ends_of(const Set& set, const std::vector<Part>& parts)
{
    const auto [lightest, heaviest] =
        std::minmax_element(set.parts.begin(), set.parts.end(), [&](auto a, auto b) {
            return parts[a].places.front().value < parts[b].places.front().value;
        });
    return {&parts[*lightest], &parts[*heaviest]};
}

bool same_parts(const Set& a, const Set& b, const std::vector<Part>& parts)
{
    return std::equal(a.parts.begin(), a.parts.end(), b.parts.begin(), b.parts.end(),
                      [&](auto i, auto j) { return parts[i].number == parts[j].number; });
}

}  // namespace

void Inspector::check_masses()
{
    for (const auto& set : sets_) {
        const auto role = context_.role[static_cast<std::size_t>(set.feature)];
        const bool weighed = role == Role::piston || role == Role::pin || role == Role::rod;
        // One part alone has nothing to match.
        if (weighed && set.measured == Measured::mass && set.parts.size() > 1) {
            mass_match_of(set);
        }
    }
}

std::int32_t Inspector::limit_of_spread(const Set& set)
{
    const Part& any = parts_[set.parts.front()];
    const auto limit = limit_of({.engine = set.engine,
                                 .stage = set.stage,
                                 .feature = set.feature,
                                 .part = set.part,
                                 .quantity = context_.derived(Derived::spread),
                                 .kind = context_.stage_kind[Context::index(set.stage)]});
    // A spread of something else than masses does not count.
    return limit >= 0 && context_.limit_unit[static_cast<std::size_t>(limit)] == written(any).unit
               ? limit
               : -1;
}

double Inspector::spread_left_alone(const Set& set)
{
    const auto limit = limit_of_spread(set);
    if (limit < 0) {
        return 0;
    }
    Finding spread;
    const auto [light, heavy] = ends_of(set, parts_);
    judge(spread, quantity_of(heavy->places.front()) - quantity_of(light->places.front()), limit);
    // What stays must be proven to lie near enough together, so the scales' doubt comes off.
    return spread.upper ? std::max(0.0, *spread.upper - *spread.uncertainty) : 0.0;
}

void Inspector::mass_match_of(const Set& set)
{
    const auto [lightest, heaviest] = ends_of(set, parts_);
    const Part& light = *lightest;
    const Part& heavy = *heaviest;
    Finding finding = begin(Check::mass_match, heavy, Derived::spread);
    finding.number = no_number;
    finding.unit = written(heavy).unit;
    const auto limit = limit_of_spread(set);
    judge(finding, quantity_of(heavy.places.front()) - quantity_of(light.places.front()), limit);
    for (const auto p : set.parts) {
        use(parts_[p], finding);
    }
    finding.mark = rows_[heavy.places.front().rows.front()].row;
    if (finding.verdict == Standing::unproven) {
        finding.next = "Weigh the " + plural_of(set.feature) +
                       (set.part < 0 ? "" : " at the " + part_word(set.part)) +
                       " again: they differ by " + said_in(*finding.value, written(heavy)) +
                       ", known to ±" + said_in(*finding.uncertainty, written(heavy)) + ".";
    }
    const bool plans = !context_.finished[Context::index(set.stage)];
    if (light.places.front().value <= 0) {
        unprove(finding,
                "a mass of " + said_in(light.places.front().value, written(light)) + " is written",
                "Weigh " + name_of(set.feature, light.number) + " again.");
    } else if (doubt_rods(set, finding)) {
        // The weighings contradict each other: nothing is planned on them.
    } else if (finding.verdict == Standing::outside ||
               (context_.options.plans_always && finding.verdict != Standing::unproven)) {
        finding.next = plans ? weights_next(set)
                             : "The " + plural_of(set.feature) + " still differ by " +
                                   said_in(*finding.value, written(heavy)) + ": weigh again.";
    }
    for (const auto p : set.parts) {
        const auto* block = block_of(set.stage, set.feature, parts_[p].number, set.part);
        if (block != nullptr && finding.verdict != Standing::outside) {
            unprove(finding, reason_of(*block), next_of(*block));
            break;
        }
    }
    add(std::move(finding));
}

const Set* Inspector::other_end(const Set& set) const
{
    if (set.part < 0 || context_.role[static_cast<std::size_t>(set.feature)] != Role::rod) {
        return nullptr;
    }
    const auto own = context_.part_role[static_cast<std::size_t>(set.part)];
    if (own != PartRole::big_end && own != PartRole::small_end) {
        return nullptr;
    }
    const auto wanted = own == PartRole::big_end ? PartRole::small_end : PartRole::big_end;
    const auto found = std::find_if(sets_.begin(), sets_.end(), [&](const Set& each) {
        return each.stage == set.stage && each.feature == set.feature && each.part >= 0 &&
               each.measured == Measured::mass &&
               context_.part_role[static_cast<std::size_t>(each.part)] == wanted;
    });
    return found == sets_.end() ? nullptr : &*found;
}

std::string Inspector::part_word(std::int32_t part) const
{
    return std::string(context_.readings.part.words[static_cast<std::size_t>(part)]);
}

std::string Inspector::weights_next(const Set& set)
{
    const auto* other = other_end(set);
    if (other != nullptr && same_parts(set, *other, parts_)) {
        const bool big =
            context_.part_role[static_cast<std::size_t>(set.part)] == PartRole::big_end;
        const auto told = std::any_of(findings_.begin(), findings_.end(), [&](const auto& each) {
            return each.check == Check::mass_match && each.stage == set.stage &&
                   each.feature == set.feature && each.part == other->part &&
                   each.verdict == Standing::outside;
        });
        // Grinding at one end changes the other: one plan holds for both, and is said once.
        return told ? "The plan of the other end brings this end down too: weigh both again "
                      "after it."
                    : rods_next(big ? set : *other, big ? *other : set);
    }
    const auto plan =
        matching::match_masses(weights(set, parts_), std::nullopt, spread_left_alone(set));
    std::string next;
    std::size_t cut = 0;
    for (std::size_t i = 0; i < set.parts.size(); ++i) {
        const Part& part = parts_[set.parts[i]];
        if (plan.removal[i] > 1e-9) {
            ++cut;
            next += (next.empty() ? "Take " : ", ") + said_in(plan.removal[i], written(part)) +
                    " off " + name_of(set.feature, part.number);
        }
    }
    const std::string end = set.part < 0 ? std::string() : " at the " + part_word(set.part);
    // The lightest is never cut: one part less means that all others are.
    const bool all = cut + 1 >= set.parts.size();
    return next.empty() ? next
                        : next + end +
                              (all ? ": all then weigh as the lightest."
                                   : ": down to the lightest; the others are near enough.");
}

std::string Inspector::rods_next(const Set& big, const Set& small)
{
    const auto* card = context_.card[Context::index(big.engine)];
    // Without a length or pads of its own the rod is ground at its centres, and any length does.
    const bool known = card != nullptr && card->rod_length && card->rod_pads.size() == 2;
    const double length = known ? *card->rod_length : 100.0;
    const auto plan = matching::match_rods(
        weights(big, parts_), weights(small, parts_), length, known ? card->rod_pads[0] : 0.0,
        known ? card->rod_pads[1] : length, std::nullopt, std::nullopt, spread_left_alone(big),
        spread_left_alone(small));
    const auto at_pad = [&](const std::vector<double>& removal, std::string_view end) {
        std::string text;
        for (std::size_t i = 0; i < removal.size(); ++i) {
            const Part& part = parts_[big.parts[i]];
            if (removal[i] > 1e-9) {
                text += (text.empty() ? "" : ", ") + said_in(removal[i], written(part)) + " off " +
                        name_of(big.feature, part.number);
            }
        }
        return text.empty() ? text : text + " at the " + std::string(end) + (known ? " pad" : "");
    };
    const auto at_big = at_pad(plan.remove_big, "big-end");
    const auto at_small = at_pad(plan.remove_small, "small-end");
    if (at_big.empty() && at_small.empty()) {
        return "";
    }
    bool all = true;
    for (std::size_t i = 0; i < big.parts.size(); ++i) {
        all &= plan.remove_big[i] > 1e-9 || plan.remove_small[i] > 1e-9;
    }
    return "Take " + at_big + (at_big.empty() || at_small.empty() ? "" : "; ") + at_small +
           ": then " + (all ? "" : "their ") + "big ends weigh " +
           said_in(plan.target_big, written(parts_[big.parts.front()])) + ", small ends " +
           said_in(plan.target_small, written(parts_[small.parts.front()])) +
           (all ? "." : "; the other rods are near enough.");
}

bool Inspector::doubt_rods(const Set& set, Finding& finding)
{
    const auto* other = other_end(set);
    if (other == nullptr) {
        return false;
    }
    const auto mass_of = [&](std::int32_t number, PartRole end) {
        return find_part(set.stage, Role::rod, end, Measured::mass, number);
    };
    for (const auto p : set.parts) {
        const auto number = parts_[p].number;
        const auto* big = mass_of(number, PartRole::big_end);
        const auto* small = mass_of(number, PartRole::small_end);
        if (big == nullptr || small == nullptr) {
            const std::string end = big == nullptr ? "big end" : "small end";
            unprove(finding,
                    "the " + end + " of " + name_of(set.feature, number) + " was not weighed",
                    "Weigh the " + end + " of " + name_of(set.feature, number) + ".");
            return true;
        }
        const auto* whole = mass_of(number, PartRole::whole);
        if (whole == nullptr || whole->places.front().value <= 0 ||
            small->places.front().value <= 0 || big->places.front().value <= 0) {
            continue;
        }
        const double doubt = quantity_of(big->places.front()).standard_uncertainty();
        const auto ends = matching::rod_ends(big->places.front().value, small->places.front().value,
                                             whole->places.front().value, std::nullopt, doubt);
        if (ends.verdict == Standing::outside) {
            const auto apart = said_in(std::abs(*ends.residual), written(*big));
            unprove(finding,
                    "ends and whole of " + name_of(set.feature, number) + " differ by " + apart,
                    "Level the fixture and weigh " + name_of(set.feature, number) +
                        " again: ends and whole differ by " + apart + ".");
            return true;
        }
    }
    return false;
}

}  // namespace enginewright::job
