#include <algorithm>
#include <functional>

#include "enginewright/check.hpp"
#include "job/inspector.hpp"

/// Bearing clearance by number and piston clearance by cylinder.
namespace enginewright::job {

const Part* Inspector::find_part(std::int32_t stage, Role role, PartRole part, Measured measured,
                                 std::int32_t number) const
{
    for (const auto& each : parts_) {
        const auto own = each.part < 0 ? PartRole::whole
                                       : context_.part_role[static_cast<std::size_t>(each.part)];
        if (each.stage == stage && each.number == number && each.measured == measured &&
            own == part && context_.role[static_cast<std::size_t>(each.feature)] == role) {
            return &each;
        }
    }
    return nullptr;
}

bool Inspector::has_any(std::int32_t stage, Role role, PartRole part, Measured measured) const
{
    return std::any_of(parts_.begin(), parts_.end(), [&](const auto& each) {
        const auto own = each.part < 0 ? PartRole::whole
                                       : context_.part_role[static_cast<std::size_t>(each.part)];
        return each.stage == stage && each.measured == measured && own == part &&
               context_.role[static_cast<std::size_t>(each.feature)] == role;
    });
}

void Inspector::check_bearing_clearance()
{
    struct Pairing {
        Role bearing, journal;
        std::string_view bearings, journals;
    };
    constexpr std::array<Pairing, 2> pairings{
        {{Role::main_bearing, Role::main_journal, "main bearings", "main journals"},
         {Role::big_end_bearing, Role::big_end_journal, "big-end bearings", "big-end journals"}}};
    std::vector<std::int32_t> stages;
    for (const auto& set : sets_) {
        if (std::find(stages.begin(), stages.end(), set.stage) == stages.end()) {
            stages.push_back(set.stage);
        }
    }
    for (const auto stage : stages) {
        for (const auto& pairing : pairings) {
            const bool fitted =
                has_any(stage, pairing.bearing, PartRole::whole, Measured::diameter);
            const bool housing =
                has_any(stage, pairing.bearing, PartRole::housing, Measured::diameter);
            const bool shells =
                has_any(stage, pairing.bearing, PartRole::shell, Measured::thickness) ||
                has_any(stage, pairing.bearing, PartRole::shell, Measured::other);
            const bool journals =
                has_any(stage, pairing.journal, PartRole::whole, Measured::diameter);
            if (!fitted && !housing && !journals) {
                continue;
            }
            if (!fitted && !(housing && shells)) {
                missing(Check::bearing_clearance,
                        "the " + std::string(pairing.bearings) +
                            ": diameter with shells fitted, or housing and shell thickness");
                continue;
            }
            if (!journals) {
                missing(Check::bearing_clearance,
                        "the diameters of the " + std::string(pairing.journals));
                continue;
            }
            std::vector<std::int32_t> numbers;
            for (const auto& each : parts_) {
                if (each.stage == stage && each.measured == Measured::diameter &&
                    context_.role[static_cast<std::size_t>(each.feature)] == pairing.bearing &&
                    std::find(numbers.begin(), numbers.end(), each.number) == numbers.end()) {
                    numbers.push_back(each.number);
                }
            }
            std::sort(numbers.begin(), numbers.end());
            const auto one = [](std::string_view many) { return many.substr(0, many.size() - 1); };
            const auto of_number = [&](std::string_view what, std::string_view many,
                                       std::int32_t number) {
                return std::string(what).append(one(many)) + " " + std::to_string(number);
            };
            for (const auto& each : parts_) {
                if (each.stage == stage && each.measured == Measured::diameter &&
                    context_.role[static_cast<std::size_t>(each.feature)] == pairing.journal &&
                    std::find(numbers.begin(), numbers.end(), each.number) == numbers.end()) {
                    missing(Check::bearing_clearance,
                            of_number("the diameter of ", pairing.bearings, each.number));
                }
            }
            for (const auto number : numbers) {
                const auto* journal =
                    find_part(stage, pairing.journal, PartRole::whole, Measured::diameter, number);
                const auto* bearing =
                    find_part(stage, pairing.bearing, PartRole::whole, Measured::diameter, number);
                const auto* house = find_part(stage, pairing.bearing, PartRole::housing,
                                              Measured::diameter, number);
                const Part* shell =
                    find_part(stage, pairing.bearing, PartRole::shell, Measured::thickness, number);
                if (shell == nullptr) {
                    shell = find_part(stage, pairing.bearing, PartRole::shell, Measured::thickness,
                                      no_number);
                }
                const Part* bearer = bearing != nullptr ? bearing : house;
                if (journal == nullptr) {
                    missing(Check::bearing_clearance,
                            of_number("the diameter of ", pairing.journals, number));
                    continue;
                }
                if (bearing == nullptr && shell == nullptr) {
                    missing(Check::bearing_clearance,
                            of_number("the shell thickness of ", pairing.bearings, number));
                    continue;
                }
                Finding finding = begin(Check::bearing_clearance, *bearer, Derived::clearance);
                finding.part = -1;
                const auto& largest = journal->greatest();
                auto clearance = quantity_of(bearer->least()) - quantity_of(largest);
                use(*bearer, finding);
                if (bearing == nullptr) {
                    // One wall read once lies on both sides: its doubt counts twice.
                    if (shell->places.size() == 1) {
                        clearance = measure::combine(1.0, clearance, -2.0,
                                                     quantity_of(shell->places.front()));
                    } else {
                        clearance =
                            measure::combine(1.0, clearance, -1.0, quantity_of(shell->greatest()));
                        clearance = measure::combine(
                            1.0, clearance, -1.0,
                            quantity_of(shell->places.size() == 2
                                            ? (&shell->greatest() == &shell->places[0]
                                                   ? shell->places[1]
                                                   : shell->places[0])
                                            : shell->greatest()));
                    }
                    use(*shell, finding);
                }
                use(*journal, finding);
                finding.mark = rows_[bearer->least().rows.front()].row;
                const auto limit = limit_of({.engine = bearer->engine,
                                             .stage = stage,
                                             .feature = bearer->feature,
                                             .quantity = finding.quantity,
                                             .number = number,
                                             .kind = context_.stage_kind[Context::index(stage)]});
                judge(finding, clearance, limit);
                if (finding.verdict == Standing::outside && finding.margin) {
                    const bool tight = finding.lower && *finding.value < *finding.lower;
                    finding.amount = -*finding.margin;
                    finding.amount_unit = context_.millimetre;
                    finding.next = "The clearance of " + name_of(bearer->feature, number) + " is " +
                                   said(-*finding.margin, *bearer) +
                                   (tight ? " too small: take so much off the journal or fit "
                                            "thinner shells."
                                          : " too large: fit thicker shells, or grind the journal "
                                            "to an undersize and fit its shells.");
                }
                add(std::move(finding));
            }
        }
    }
}

namespace {

/// An order of pistons in which every pair is allowed, keeping as they are where possible.
/// Augmenting paths; empty when there is none.
std::vector<std::size_t> allowed_order(const std::vector<std::vector<bool>>& allowed)
{
    const std::size_t n = allowed.size();
    constexpr auto none = static_cast<std::size_t>(-1);
    std::vector<std::size_t> owner(n, none);
    for (std::size_t i = 0; i < n; ++i) {
        owner[i] = allowed[i][i] ? i : none;
    }
    std::vector<bool> seen;
    const std::function<bool(std::size_t)> place = [&](std::size_t bore) {
        for (std::size_t piston = 0; piston < n; ++piston) {
            if (!allowed[bore][piston] || seen[piston]) {
                continue;
            }
            seen[piston] = true;
            if (owner[piston] == none || place(owner[piston])) {
                owner[piston] = bore;
                return true;
            }
        }
        return false;
    };
    for (std::size_t bore = 0; bore < n; ++bore) {
        if (owner[bore] != bore) {
            seen.assign(n, false);
            if (!place(bore)) {
                return {};
            }
        }
    }
    std::vector<std::size_t> piston_of(n);
    for (std::size_t piston = 0; piston < n; ++piston) {
        piston_of[owner[piston]] = piston;
    }
    return piston_of;
}

}  // namespace

void Inspector::check_piston_clearance()
{
    std::vector<std::int32_t> stages;
    for (const auto& set : sets_) {
        if (std::find(stages.begin(), stages.end(), set.stage) == stages.end()) {
            stages.push_back(set.stage);
        }
    }
    for (const auto stage : stages) {
        const bool bores = has_any(stage, Role::bore, PartRole::whole, Measured::diameter);
        const bool pistons = has_any(stage, Role::piston, PartRole::whole, Measured::diameter);
        if (!bores && !pistons) {
            continue;
        }
        if (!bores || !pistons) {
            missing(Check::piston_clearance,
                    bores ? "the diameters of the pistons" : "the diameters of the bores");
            continue;
        }
        std::vector<const Part*> bore_parts;
        std::vector<const Part*> piston_parts;
        std::vector<std::size_t> made;
        for (const auto& each : parts_) {
            if (each.stage != stage || each.measured != Measured::diameter ||
                context_.role[static_cast<std::size_t>(each.feature)] != Role::piston ||
                each.part >= 0) {
                continue;
            }
            const auto* bore =
                find_part(stage, Role::bore, PartRole::whole, Measured::diameter, each.number);
            if (bore == nullptr) {
                missing(Check::piston_clearance,
                        "the diameter of bore " + std::to_string(each.number));
                continue;
            }
            Finding finding = begin(Check::piston_clearance, each, Derived::clearance);
            const auto limit = limit_of({.engine = each.engine,
                                         .stage = stage,
                                         .feature = each.feature,
                                         .quantity = finding.quantity,
                                         .number = each.number,
                                         .kind = context_.stage_kind[Context::index(stage)]});
            judge(finding, quantity_of(bore->least()) - quantity_of(each.greatest()), limit);
            use(*bore, finding);
            use(each, finding);
            finding.mark = rows_[each.greatest().rows.front()].row;
            if (finding.verdict == Standing::outside && finding.margin) {
                const bool tight = finding.lower && *finding.value < *finding.lower;
                finding.amount = -*finding.margin;
                finding.amount_unit = context_.millimetre;
                finding.next =
                    "The clearance of " + name_of(finding) + " is " + said(-*finding.margin, each) +
                    (tight ? " too small: hone the bore by so much or fit a smaller piston."
                           : " too large: fit a larger piston or rebore.");
            }
            made.push_back(findings_.size());
            bore_parts.push_back(bore);
            piston_parts.push_back(&each);
            add(std::move(finding));
        }
        const bool any_outside = std::any_of(made.begin(), made.end(), [&](auto i) {
            return findings_[i].verdict == Standing::outside;
        });
        if (!any_outside || made.size() < 2) {
            continue;
        }
        std::vector<std::vector<bool>> allowed(made.size(), std::vector<bool>(made.size()));
        for (std::size_t b = 0; b < made.size(); ++b) {
            for (std::size_t p = 0; p < made.size(); ++p) {
                const auto& limits = findings_[made[b]];
                const auto clearance =
                    quantity_of(bore_parts[b]->least()) - quantity_of(piston_parts[p]->greatest());
                allowed[b][p] =
                    measure::decide(clearance.value(), clearance.standard_uncertainty(),
                                    clearance.degrees_of_freedom(*sources_), limits.lower,
                                    limits.upper, context_.options.rule, context_.options.level)
                        .verdict == Standing::within;
            }
        }
        const auto order = allowed_order(allowed);
        if (order.empty()) {
            continue;
        }
        std::string swap;
        for (std::size_t b = 0; b < order.size(); ++b) {
            if (order[b] != b) {
                swap += (swap.empty() ? "Swap pistons: cylinder " : ", cylinder ") +
                        std::to_string(bore_parts[b]->number) + " takes piston " +
                        std::to_string(piston_parts[order[b]]->number);
            }
        }
        for (const auto i : made) {
            if (findings_[i].verdict == Standing::outside) {
                findings_[i].next = swap + ": then all clearances are within.";
            }
        }
    }
}

}  // namespace enginewright::job
