#include <algorithm>
#include <cmath>

#include "balance/bounds.hpp"
#include "enginewright/balance/planes.hpp"
#include "job/inspector.hpp"
#include "job/spins.hpp"
#include "wording.hpp"

/// The balance of the rotor: its states, its parts, and what is said of them.
namespace enginewright::job {

namespace {

/// From the measuring planes to those that the tolerance holds for.
void carry(const RotorCard& card, const State& state, SpunStage& spun)
{
    spun.found = state.found;
    spun.residual = state.found;
    spun.uncertainty = state.doubt;
    if (card.planes.empty()) {
        return;
    }
    balance::require_plane_pair("rotor.planes", card.planes);
    balance::require_plane_pair("rotor.tolerance_planes", card.tolerance_planes);
    if (card.planes == card.tolerance_planes) {
        return;
    }
    spun.residual = balance::to_planes(state.found, card.planes, card.tolerance_planes);
    const auto left = balance::plane_share(card.planes[0], card.tolerance_planes);
    const auto right = balance::plane_share(card.planes[1], card.tolerance_planes);
    for (std::size_t p = 0; p < 2; ++p) {
        spun.uncertainty[p] = std::hypot(left[p] * state.doubt[0], right[p] * state.doubt[1]);
    }
}

/// The later stage that takes the place of stage k; empty: it stands.
std::string overtaken_by(const std::vector<StageSpins>& stages, const std::vector<State>& states,
                         std::size_t k)
{
    std::string by;
    for (std::size_t j = k + 1; j < stages.size(); ++j) {
        const bool again = stages[j].corrected && stages[j].part == stages[k].part;
        if (states[j].known && (stages[j].finished || again)) {
            by = stages[j].name;
        }
    }
    return by;
}

/// One part of the assembly: the stage at which it came on, and its last correction.
struct PartStages {
    std::size_t first = 0, last = 0;
    std::string skipped{};  ///< parts that came on since the one before, but could not be read
};

std::vector<PartStages> parts_of(const std::vector<StageSpins>& stages,
                                 const std::vector<State>& states)
{
    std::vector<PartStages> parts;
    std::string skipped;
    for (std::size_t k = 0; k < stages.size(); ++k) {
        const auto& stage = stages[k];
        const auto own = std::find_if(parts.begin(), parts.end(), [&](const auto& each) {
            return stages[each.first].part == stage.part;
        });
        if (stage.finished && !parts.empty()) {
            continue;
        }
        if (!states[k].known) {
            skipped.append(skipped.empty() ? "" : ", ").append(stage.name);
        } else if (own != parts.end()) {
            own->last = k;
        } else {
            parts.push_back({k, k, std::exchange(skipped, {})});
        }
    }
    return parts;
}

}  // namespace

void Inspector::read_states(SpunRotor& rotor)
{
    if (const auto keys = rotor.card.missing(); !keys.empty()) {
        missing(Check::balance, keys + " on the engine card");
    }
    std::optional<KnownInfluence> influence;
    for (const auto& stage : rotor.stages) {
        auto& state = rotor.states.emplace_back(state_of(stage, rows_, rotor.card, influence));
        auto& spun = rotor.assembly.stages.emplace_back(
            SpunStage{.stage = stage.name, .part = stage.part, .scatter = state.scatter});
        if (!state.known) {
            continue;
        }
        try {
            carry(rotor.card, state, spun);
            spun.spins = state.count;
        } catch (const std::invalid_argument& refusal) {
            spun = {.stage = stage.name, .part = stage.part};
            state = {.fault = refusal.what(),
                     .next = "State the planes of the rotor on the engine card."};
        }
    }
}

void Inspector::judge_states(SpunRotor& rotor)
{
    // The last state that could be worked out: a later one without figures takes no cut away.
    std::size_t last = 0;
    for (std::size_t k = 0; k < rotor.states.size(); ++k) {
        last = rotor.states[k].known ? k : last;
    }
    for (std::size_t k = 0; k < rotor.stages.size(); ++k) {
        const auto& stage = rotor.stages[k];
        const auto& state = rotor.states[k];
        auto& spun = rotor.assembly.stages[k];
        spun.reason = wording::joined(state.notes, "; ");
        if (!state.known) {
            auto finding = about_spins(stage, rotor.number, Derived::residual);
            std::string reason = state.fault;
            add_reason(reason, spun.reason);
            spun.reason = reason;
            unprove(finding, std::move(reason), state.next);
            add(std::move(finding));
            continue;
        }
        spun.overtaken = overtaken_by(rotor.stages, rotor.states, k);
        const bool first = stage.part == rotor.stages.front().part;
        const auto limits = allowed(stage, first, Derived::residual);
        spun.tolerance = limits.tolerance;
        for (std::size_t p = 0; p < 2; ++p) {
            residual_finding(stage, rotor.number, spun, state, p);
            if (findings_.back().verdict == Standing::outside && k < last) {
                // One fault spun at four stages is one cut, not four.
                auto& before = findings_.back();
                before.next = "No cut for this state: it is judged again at '" +
                              rotor.stages[last].name + "', spun after it.";
                before.amount.reset();
                before.amount_unit = -1;
            }
            if (spun.overtaken.empty() && spun.tolerance) {
                auto& said = findings_.back();
                const auto at = static_cast<std::size_t>(std::max(limits.limit[p], 0));
                const bool by_card = limits.limit[p] < 0;
                said.source = by_card ? context_.card_source : context_.limit_source[at];
                said.kind = by_card ? -1 : context_.limit_kind[at];
            }
        }
    }
}

void Inspector::judge_parts(SpunRotor& rotor)
{
    const auto parts = parts_of(rotor.stages, rotor.states);
    const bool simple = context_.options.rule == measure::Rule::simple;
    std::vector<balance::Stage> chain;
    for (const auto& part : parts) {
        const auto& now = rotor.assembly.stages[part.last];
        const auto& stage = rotor.stages[part.first];
        const double doubt = std::max(now.uncertainty[0], now.uncertainty[1]);
        chain.push_back(
            {.name = stage.part,
             .found = now.residual,
             .uncertainty = simple ? 0.0 : doubt,
             .tolerance = allowed(stage, chain.empty(), Derived::contribution).tolerance});
    }
    if (!chain.empty()) {
        rotor.assembly.parts = balance::staged_assembly(chain, context_.options.level);
    }
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const auto& [first, last, skipped] = parts[i];
        contribution_finding(rotor.stages[last], rotor.number, rotor.assembly.parts[i],
                             rotor.assembly.stages[last],
                             skipped.empty() ? "" : "with " + skipped + ", which was not read");
    }
}

void Inspector::balance_of(SpunRotor& rotor)
{
    auto& assembly = rotor.assembly;
    assembly.planes = rotor.card.planes;
    assembly.tolerance_planes = rotor.card.tolerance_planes;
    assembly.sites = rotor.card.sites;
    if (rotor.number != no_number) {
        assembly.number = rotor.number;
    }
    read_states(rotor);
    judge_states(rotor);
    judge_parts(rotor);
    const auto& last = assembly.stages.back();
    const auto blamed = std::find_if(assembly.parts.begin(), assembly.parts.end(),
                                     [](const balance::StageFinding& part) {
                                         return part.advice == balance::StageAdvice::correct_part;
                                     });
    if (blamed != assembly.parts.end() && !rotor.stages.back().finished) {
        // Holes planned now would drill the part's error into the crank.
        for (auto& finding : findings_) {
            if (finding.check == Check::balance && finding.number == rotor.number &&
                finding.amount) {
                finding.next = "Put " + blamed->name +
                               " itself right first and spin again: holes now would drill its " +
                               balance::amount_text(*std::max_element(blamed->amount.begin(),
                                                                      blamed->amount.end())) +
                               " into the rotor.";
                finding.amount.reset();
                finding.amount_unit = -1;
            }
        }
        return missing(Check::balance, "a hole plan waits for " + blamed->name + " itself");
    }
    const bool open = std::any_of(last.verdict.begin(), last.verdict.end(), [](Standing each) {
        return each == Standing::outside || each == Standing::unproven;
    });
    if (rotor.states.back().known && last.tolerance && !rotor.stages.back().finished &&
        (open || context_.options.plans_always)) {
        plan_finding(rotor.stages.back(), rotor.number, last, assembly, rotor.card);
    }
}

void Inspector::check_balance(std::vector<Assembly>* keep)
{
    if (context_.gram_millimetre < 0) {
        return;
    }
    std::vector<std::int32_t> numbers;
    for (const auto& row : rows_) {
        if (row.feature >= 0 &&
            context_.role[static_cast<std::size_t>(row.feature)] == Role::rotor &&
            std::find(numbers.begin(), numbers.end(), row.number) == numbers.end()) {
            numbers.push_back(row.number);
        }
    }
    for (const auto number : numbers) {
        auto stages = spins_of(number);
        if (stages.empty()) {
            continue;
        }
        const auto& first = rows_[stages.front().rows.front()];
        SpunRotor rotor{.number = number,
                        .card = context_.rotor[Context::index(first.engine)],
                        .stages = std::move(stages)};
        rotor.assembly.job = context_.readings.job.text(first.row);
        balance_of(rotor);
        if (keep != nullptr) {
            keep->push_back(std::move(rotor.assembly));
        }
    }
}

void Inspector::assemblies(std::span<const std::int64_t> job_rows, Writer& out,
                           std::vector<Assembly>& found)
{
    begin_job(job_rows, out);
    check_balance(&found);
}

}  // namespace enginewright::job
