#include <algorithm>
#include <numbers>

#include "enginewright/check.hpp"
#include "enginewright/rings.hpp"
#include "job/inspector.hpp"

/// Ring gaps, carried to the bore they will run in, and the second ring against the top one.
namespace enginewright::job {

namespace {

std::string_view position_of(PartRole part)
{
    switch (part) {
        case PartRole::top_ring:
            return "top";
        case PartRole::second_ring:
            return "second";
        case PartRole::oil_rail:
            return "oil rail";
        default:
            return "";
    }
}

/// What to do with a ring that nothing can be filed off.
///
/// wide     by how much its gap is too wide
/// band     the gap that a new one is filed to; empty: not known
/// carried  the gap is that in the bore as it will be
std::string next_of_wide_gap(const std::string& ring, const std::string& wide,
                             const std::string& band, bool carried)
{
    std::string next = carried ? "Order the " : "The gap of the ";
    next.append(ring);
    if (carried) {
        next.append(" for the new size: in the finished bore the gap of this one would be ")
            .append(wide)
            .append(" too wide");
    } else {
        next.append(" is ").append(wide).append(" too wide: find a ring with a smaller gap");
    }
    if (!band.empty()) {
        next.append("; file the new one to ").append(band);
    }
    return next.append(".");
}

}  // namespace

std::string Inspector::gap_to_file_to(const Part& ring, std::optional<double> least) const
{
    const auto key = key_of(rows_[ring.places.front().rows.front()]);
    const auto found = context_.find_limit_for_fitting(key);
    std::optional<double> most;
    if (found >= 0) {
        const auto& row = context_.limits.rows[static_cast<std::size_t>(found)];
        least = row.lower;
        most = row.upper;
    }
    if (least && most) {
        return said_band(*least, *most, ring);
    }
    return least ? "at least " + said(*least, ring) : most ? "at most " + said(*most, ring) : "";
}

void Inspector::check_ring_gaps()
{
    struct Gap {
        std::int32_t stage, number;
        PartRole part;
        measure::Quantity gap;
        const Part* from;
        bool carried;
    };
    std::vector<Gap> gaps;
    bool no_rule = false;
    for (const auto& part : parts_) {
        if (context_.role[static_cast<std::size_t>(part.feature)] != Role::ring ||
            part.measured != Measured::gap) {
            continue;
        }
        const auto role = part.part < 0 ? PartRole::other
                                        : context_.part_role[static_cast<std::size_t>(part.part)];
        const auto* bore =
            find_part(part.stage, Role::bore, PartRole::whole, Measured::diameter, part.number);
        const auto planned = std::find_if(carried_.begin(), carried_.end(), [&](const auto& each) {
            return each.stage == part.stage;
        });
        const auto* card = context_.card[Context::index(part.engine)];
        for (const auto& place : part.places) {
            Finding finding = begin(Check::ring_gap, part, Derived::gap);
            finding.station = place.station;
            auto gap = quantity_of(place);
            std::optional<double> runs_in;
            if (bore != nullptr) {
                // Read in the bore at its station, else at the smallest place the ring passes.
                const Place* at = &bore->least();
                for (const auto& each : bore->places) {
                    if (place.station >= 0 && each.station == place.station &&
                        (at->station != place.station || each.value < at->value)) {
                        at = &each;
                    }
                }
                runs_in = at->value;
                if (planned != carried_.end()) {
                    const auto size = quantity_of(*at);
                    const double carried =
                        rings::gap_at_bore(gap.value(), size.value(), planned->finish_bore);
                    gap = measure::combine(carried, 1.0, gap, -std::numbers::pi, size);
                    runs_in = planned->finish_bore;
                    finding.reason = "carried from " + fixed_text(at->value, 3) +
                                     " to the finish bore " + fixed_text(planned->finish_bore, 3) +
                                     " mm";
                }
            } else if (card != nullptr && card->bore) {
                runs_in = card->bore;
            }
            auto key = key_of(rows_[place.rows.front()]);
            const auto limit = limit_of(key);
            const std::string carried_reason = finding.reason;
            finding.reason.clear();
            judge(finding, gap, limit);
            if (limit < 0) {
                const auto position = position_of(role);
                if (card != nullptr && !card->ring_duty.empty() && runs_in && !position.empty()) {
                    finding.lower =
                        rings::gap_by_rule(*runs_in, position, card->ring_duty, std::nullopt).gap;
                    finding.source = context_.rule_source;
                    judge(finding, gap, -1);
                } else {
                    no_rule = true;
                }
            }
            if (!carried_reason.empty()) {
                finding.reason =
                    carried_reason + (finding.reason.empty() ? "" : "; ") + finding.reason;
            }
            for (const auto i : place.rows) {
                rows_[i].used = true;
                finding.basis.push_back(i);
            }
            finding.mark = rows_[place.rows.front()].row;
            if (finding.verdict == Standing::outside && finding.margin) {
                const std::string ring =
                    (part.part < 0
                         ? std::string("ring")
                         : std::string(
                               context_.readings.part.words[static_cast<std::size_t>(part.part)])) +
                    (part.number == no_number ? "" : " of cylinder " + std::to_string(part.number));
                if (finding.lower && *finding.value < *finding.lower) {
                    finding.amount = *finding.lower - *finding.value;
                    finding.amount_unit = context_.millimetre;
                    const auto to = gap_to_file_to(part, finding.lower);
                    finding.next = "File " + said(*finding.amount, part) + " off the ends of the " +
                                   ring + (to.empty() ? "." : ", to " + to + ".");
                } else {
                    finding.amount = *finding.upper - *finding.value;
                    finding.amount_unit = context_.millimetre;
                    finding.next = next_of_wide_gap(ring, said(-*finding.amount, part),
                                                    gap_to_file_to(part, std::nullopt),
                                                    !carried_reason.empty());
                }
            }
            gaps.push_back({part.stage, part.number, role, gap, &part, !carried_reason.empty()});
            add(std::move(finding));
        }
    }
    if (no_rule) {
        missing(Check::ring_gap,
                "a limit of the ring gap, or the ring_duty of the engine card "
                "with a bore");
    }
    for (const auto& second : gaps) {
        if (second.part != PartRole::second_ring) {
            continue;
        }
        const auto top = std::find_if(gaps.begin(), gaps.end(), [&](const auto& each) {
            return each.stage == second.stage && each.number == second.number &&
                   each.part == PartRole::top_ring &&
                   each.from->places.size() == second.from->places.size();
        });
        if (top == gaps.end()) {
            continue;
        }
        Finding finding = begin(Check::second_ring, *second.from, Derived::gap_difference);
        const auto limit = limit_of({.engine = second.from->engine,
                                     .stage = second.stage,
                                     .feature = second.from->feature,
                                     .part = second.from->part,
                                     .quantity = finding.quantity,
                                     .number = second.number,
                                     .kind = context_.stage_kind[Context::index(second.stage)]});
        if (limit < 0) {
            finding.lower = 0.05;  // two thou: common practice
            finding.source = context_.rule_source;
        }
        judge(finding, second.gap - top->gap, limit);
        use(*top->from, finding);
        use(*second.from, finding);
        finding.mark = rows_[second.from->places.front().rows.front()].row;
        if (finding.verdict == Standing::outside && finding.lower) {
            finding.amount = *finding.lower - *finding.value;
            finding.amount_unit = context_.millimetre;
            const std::string cylinder =
                second.number == no_number ? "" : " of cylinder " + std::to_string(second.number);
            // Rings for a bore that is still to be made are bought, not filed.
            finding.next = second.carried
                               ? "Gap the new second ring" + cylinder + " at least " +
                                     said(*finding.lower, *second.from) + " over the top ring."
                               : "File " + said(*finding.amount, *second.from) +
                                     " off the ends of the second ring" + cylinder + ".";
        }
        add(std::move(finding));
    }
}

}  // namespace enginewright::job
