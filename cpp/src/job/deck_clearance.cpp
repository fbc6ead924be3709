#include <algorithm>
#include <cmath>

#include "enginewright/check.hpp"
#include "job/inspector.hpp"

/// Pistons below the deck: each depth, and how far they differ.
namespace enginewright::job {

void Inspector::check_deck_clearance()
{
    for (const auto& set : sets_) {
        if (context_.role[static_cast<std::size_t>(set.feature)] != Role::block_deck ||
            set.measured != Measured::depth) {
            continue;
        }
        const Place* highest = nullptr;
        const Place* lowest = nullptr;
        std::int32_t number_of_highest = no_number;
        for (const auto p : set.parts) {
            const auto& part = parts_[p];
            for (const auto& place : part.places) {
                depth_of_place(part, place);
                if (highest == nullptr || place.value < highest->value) {
                    highest = &place;
                    number_of_highest = part.number;
                }
                lowest = lowest == nullptr || place.value > lowest->value ? &place : lowest;
            }
        }
        if (set.parts.size() > 1 && highest != nullptr && lowest != nullptr) {
            spread_of_deck(set, *highest, *lowest, number_of_highest);
        }
    }
}

void Inspector::depth_of_place(const Part& part, const Place& place)
{
    Finding finding = begin(Check::deck_clearance, part, Derived::depth);
    finding.station = place.station;
    finding.axis = place.axis;
    const auto& row = rows_[place.rows.front()];
    judge(finding, quantity_of(place), limit_of(key_of(row)));
    finding.mark = row.row;
    use_place(place, finding);
    if (finding.verdict == Standing::outside) {
        const bool deep = finding.upper && *finding.value > *finding.upper;
        const double wanted = finding.target.value_or(deep ? *finding.upper : *finding.lower);
        finding.amount = std::abs(*finding.value - wanted);
        finding.amount_unit = context_.millimetre;
        finding.next = deep
                           ? "Take " + said(*finding.amount, part) + " off the deck at " +
                                 name_of(part.feature, part.number) + " for " + said(wanted, part) +
                                 ": look at the maker's least height and at what it changes first."
                           : "The piston at " + name_of(part.feature, part.number) + " stands " +
                                 said(*finding.amount, part) +
                                 " too high: a thicker gasket, or a lower crown.";
    }
    add(std::move(finding));
}

void Inspector::spread_of_deck(const Set& set, const Place& highest, const Place& lowest,
                               std::int32_t number_of_highest)
{
    Part all = parts_[set.parts.front()];
    all.number = no_number;
    Finding finding = begin(Check::deck_clearance, all, Derived::spread);
    const auto limit = limit_of({.engine = set.engine,
                                 .stage = set.stage,
                                 .feature = set.feature,
                                 .part = set.part,
                                 .quantity = finding.quantity,
                                 .number = no_number,
                                 .kind = context_.stage_kind[Context::index(set.stage)]});
    judge(finding, quantity_of(lowest) - quantity_of(highest), limit);
    for (const auto p : set.parts) {
        use(parts_[p], finding);
    }
    finding.mark = rows_[lowest.rows.front()].row;
    if (finding.verdict == Standing::outside) {
        finding.amount = -*finding.margin;
        finding.amount_unit = context_.millimetre;
        finding.next =
            "Swap rods and pistons, or cut the deck parallel to the crank: the piston of " +
            std::string("cylinder ") + std::to_string(number_of_highest) +
            " stands highest, the depths differ by " + said(*finding.value, all) + ".";
    }
    add(std::move(finding));
}

}  // namespace enginewright::job
