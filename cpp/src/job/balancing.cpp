#include <algorithm>
#include <cmath>

#include "balance/bounds.hpp"
#include "enginewright/balance/planes.hpp"
#include "enginewright/balance/verdict.hpp"
#include "job/inspector.hpp"
#include "job/spins.hpp"
#include "numerics/angles.hpp"
#include "wording.hpp"

/// The balance of the rotor: verdict, blame, and the holes that put it right.
namespace enginewright::job {

using balance::Vector;

namespace {

std::string in_words(std::string text)
{
    constexpr std::array<std::string_view, 2> planes{"plane 1", "plane 2"};
    for (std::size_t p = 0; p < planes.size(); ++p) {
        for (auto at = text.find(planes[p]); at != std::string::npos; at = text.find(planes[p])) {
            text.replace(at, planes[p].size(), plane_words[p]);
        }
    }
    return text;
}

std::string vector_text(const Vector& vector)
{
    return balance::amount_text(std::abs(vector)) + " heavy at " +
           balance::angle_text(numerics::degrees_of(vector));
}

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

/// The tolerance of an assembly or of a part, and the limits that set it.
struct Inspector::Allowed {
    std::optional<std::vector<double>> tolerance{};
    std::array<std::int32_t, 2> limit{-1, -1};

    /// Takes one plane's figure after the other.
    void put(std::size_t plane, double figure, std::int32_t row)
    {
        if (plane == 0) {
            tolerance = std::vector<double>{figure};
        } else if (tolerance && tolerance->size() == plane) {
            tolerance->push_back(figure);
        }
        limit[plane] = row;
    }
};

Inspector::Allowed Inspector::allowed(const StageSpins& stage, bool first, Derived what)
{
    const auto& row = rows_[stage.rows.front()];
    const auto& stations = context_.readings.station.words;
    const auto amount =
        std::find(context_.quantities.begin(), context_.quantities.end(), "amount") -
        context_.quantities.begin();
    Allowed found;
    for (std::size_t p = 0; p < 2; ++p) {
        const auto station = std::find(stations.begin(), stations.end(), plane_words[p]);
        const auto look = [&](std::int32_t quantity, bool by_stage) {
            auto key = key_of(row);
            key.part = key.axis = -1;
            key.station = station == stations.end()
                              ? -1
                              : static_cast<std::int32_t>(station - stations.begin());
            key.stage = by_stage ? stage.stage : -1;
            key.quantity = quantity;
            key.kind = context_.stage_kind[Context::index(stage.stage)];
            const auto limit = limit_of(key);
            if (limit < 0) {
                return limit;
            }
            const auto& upper = context_.limits.rows[static_cast<std::size_t>(limit)].upper;
            const auto unit = context_.limit_unit[static_cast<std::size_t>(limit)];
            return upper && *upper > 0 && unit == context_.gram_millimetre ? limit : -1;
        };
        const auto names_stage = [&](std::int32_t limit) {
            return limit >= 0 &&
                   context_.limit_codes[static_cast<std::size_t>(limit)].stage != LimitCodes::any;
        };
        const auto residual = context_.derived(Derived::residual);
        std::int32_t limit = -1;
        if (what == Derived::contribution) {
            limit = look(context_.derived(Derived::contribution), true);
        }
        for (const auto quantity : {residual, static_cast<std::int32_t>(amount)}) {
            const auto general = limit < 0 ? look(quantity, false) : limit;
            const auto own = limit < 0 ? look(quantity, true) : limit;
            if (limit >= 0) {
                break;
            }
            if (first) {
                limit = own;
            } else if (what == Derived::contribution) {
                // What holds for the assembly says nothing of the part that came on.
                limit = names_stage(own) ? own : -1;
            } else {
                limit = general >= 0 ? general : own;
            }
        }
        if (limit >= 0) {
            found.put(p, *context_.limits.rows[static_cast<std::size_t>(limit)].upper, limit);
        } else if (what == Derived::residual || first) {
            const auto& card = context_.rotor[Context::index(row.engine)].tolerance;
            if (card.size() == 2 && card[p] > 0) {
                found.put(p, card[p], -1);
            }
        }
    }
    if (found.tolerance && found.tolerance->size() != 2) {
        found.tolerance = std::nullopt;
    }
    return found;
}

Finding Inspector::about_spins(const StageSpins& stage, std::int32_t number, Derived what)
{
    const auto& row = rows_[stage.rows.front()];
    Finding finding;
    finding.check = Check::balance;
    finding.stage = stage.stage;
    finding.feature = row.feature;
    finding.number = number;
    finding.quantity = context_.derived(what);
    finding.unit = context_.gram_millimetre;
    finding.mark = row.row;
    for (const auto i : stage.rows) {
        rows_[i].used = true;
        finding.basis.push_back(i);
    }
    return finding;
}

namespace {

std::int32_t station_code(const table::ReadingsView& readings, std::size_t plane)
{
    const auto& words = readings.station.words;
    const auto at = std::find(words.begin(), words.end(), plane_words[plane]);
    return at == words.end() ? -1 : static_cast<std::int32_t>(at - words.begin());
}

void add_reason(std::string& reason, std::string_view more)
{
    reason.append(reason.empty() || more.empty() ? "" : "; ").append(more);
}

/// The residual's verdict in one plane, by the rule that is asked for.
Standing standing(double amount, double doubt, double tolerance, const InspectOptions& options,
                  double& probability)
{
    const std::array<Vector, 1> residual{Vector(amount, 0)};
    const auto judged = balance::residual_verdict(residual, tolerance, doubt, options.level);
    probability = judged.probability.front();
    switch (options.rule) {
        case measure::Rule::guarded:
            break;
        case measure::Rule::expanded:
            return measure::decide(amount, doubt, measure::infinite_freedom, std::nullopt,
                                   tolerance, options.rule, options.level)
                .verdict;
        case measure::Rule::simple:
            return amount <= tolerance ? Standing::within : Standing::outside;
    }
    return judged.verdict.front();
}

}  // namespace

void Inspector::residual_finding(const StageSpins& stage, std::int32_t number, SpunStage& spun,
                                 const State& state, std::size_t plane)
{
    auto finding = about_spins(stage, number, Derived::residual);
    std::erase_if(finding.basis, [&](std::size_t i) {
        const auto other = station_code(context_.readings, 1 - plane);
        return rows_[i].station == other && other >= 0;
    });
    if (!finding.basis.empty()) {
        finding.mark = rows_[finding.basis.front()].row;
    }
    finding.station = station_code(context_.readings, plane);
    const auto& residual = spun.residual[plane];
    const double amount = std::abs(residual);
    const double doubt = spun.uncertainty[plane];
    finding.value = amount;
    finding.uncertainty = doubt * context_.normal_coverage;
    finding.reason = "heavy at " + balance::angle_text(numerics::degrees_of(residual)) +
                     (state.count > 1 ? ", mean of " + std::to_string(state.count) + " spins"
                                      : ", a single spin");
    spun.verdict.push_back(Standing::unlimited);
    if (!spun.overtaken.empty()) {
        add_reason(finding.reason, "overtaken by the spins of '" + spun.overtaken + "'");
        return add(std::move(finding));
    }
    if (!spun.tolerance) {
        add_reason(finding.reason, "no tolerance set");
        finding.next = "Give the rotor a tolerance before the first spin: it reads " +
                       vector_text(residual) + ".";
        return add(std::move(finding));
    }
    const double tolerance = (*spun.tolerance)[plane];
    double probability = 0;
    finding.verdict = standing(amount, doubt, tolerance, context_.options, probability);
    finding.upper = tolerance;
    finding.margin = tolerance - amount;
    finding.probability = probability;
    spun.probability.push_back(probability);
    if (finding.verdict == Standing::outside) {
        finding.amount = amount;
        finding.amount_unit = finding.unit;
        finding.next = "Take " + balance::amount_text(amount) + " off the " +
                       std::string(plane_words[plane]) + " at " +
                       balance::angle_text(numerics::degrees_of(residual)) +
                       ", or add it opposite; " + stage.name + ".";
    } else if (finding.verdict == Standing::unproven) {
        finding.next = "Spin " + stage.name + " again for less doubt, or correct further: the " +
                       std::string(plane_words[plane]) + " is within at " +
                       fixed_text(100 * probability, 0) + " %, asked for is " +
                       fixed_text(100 * context_.options.level, 0) + " %.";
    }
    if (doubt == 0) {
        add_reason(finding.reason, face_value);
    }
    const bool wide = !state.scatter.empty() && state.scatter[plane] > tolerance / 3;
    if (wide) {
        add_reason(finding.reason, "repeat: scatter of " +
                                       balance::amount_text(state.scatter[plane]) +
                                       " is larger than a third of the tolerance, " +
                                       balance::amount_text(tolerance));
    }
    for (const auto& note : state.notes) {
        add_reason(finding.reason, note);
    }
    if ((wide || state.unsteady) && finding.verdict != Standing::outside) {
        finding.verdict = Standing::unproven;
        finding.next = "Spin " + stage.name +
                       " again at one speed: look to the bobweights, the drive and the rollers, "
                       "the repeats lie too far apart.";
    }
    spun.verdict.back() = finding.verdict;
    add(std::move(finding));
}

void Inspector::contribution_finding(const StageSpins& stage, std::int32_t number,
                                     const balance::StageFinding& found, const SpunStage& spun,
                                     const std::string& note)
{
    auto finding = about_spins(stage, number, Derived::contribution);
    const auto p = static_cast<std::size_t>(found.worst_plane);
    finding.station = station_code(context_.readings, p);
    finding.value = found.amount[p];
    finding.uncertainty = found.uncertainty * context_.normal_coverage;
    finding.reason = in_words(found.reason);
    if (!spun.overtaken.empty()) {
        finding.reason = "overtaken by the spins of '" + spun.overtaken + "'";
        return add(std::move(finding));
    }
    finding.verdict = found.overall;
    if (found.overall != Standing::within) {
        finding.next = wording::sentence(in_words(found.next));
    }
    if (found.ratio) {
        const double tolerance = found.amount[p] / (*found.ratio)[p];
        // An amount of nothing has no ratio to come back from.
        finding.upper = (*found.ratio)[p] > 0 ? std::optional(tolerance) : std::nullopt;
    }
    add_reason(finding.reason, note);
    add(std::move(finding));
}

void Inspector::plan_finding(const StageSpins& stage, std::int32_t number, const SpunStage& spun,
                             Assembly& assembly, const RotorCard& card)
{
    if (card.sites.empty()) {
        return missing(Check::balance, "the sites of the engine card, for a hole plan");
    }
    if (card.planes.empty()) {
        return missing(Check::balance, "rotor.planes on the engine card, for a hole plan");
    }
    try {
        assembly.plan =
            balance::plan_correction(spun.found, card.planes, card.sites, *spun.tolerance,
                                     card.tolerance_planes, card.target, card.maximum_operations,
                                     card.wall, std::nullopt, 0.2, 1.0, 0.05, spun.uncertainty);
    } catch (const std::invalid_argument& refusal) {
        return missing(Check::balance, std::string("a hole plan: ") + refusal.what());
    }
    const auto& plan = *assembly.plan;
    if (plan.status == balance::PlanStatus::nothing_to_do) {
        return;
    }
    auto finding = about_spins(stage, number, Derived::planned_residual);
    const std::size_t p = plan.ratio[1] > plan.ratio[0] ? 1 : 0;
    finding.station = station_code(context_.readings, p);
    finding.value = std::abs(plan.residual[p]);
    finding.uncertainty = plan.spread[p] * context_.normal_coverage;
    finding.upper = plan.tolerance[p];
    finding.probability = plan.probability[p];
    finding.verdict =
        plan.status == balance::PlanStatus::not_reached ? Standing::outside : Standing::unlimited;
    if (plan.operations.size() == 1) {
        finding.amount = std::abs(plan.mass);
        finding.amount_unit = -1;
        const auto& units = context_.units;
        const auto gram = std::find(units.begin(), units.end(), "g");
        if (gram == units.end()) {
            finding.amount = std::nullopt;
        } else {
            finding.amount_unit = static_cast<std::int32_t>(gram - units.begin());
        }
    }
    finding.next = wording::sentence(in_words(plan.next));
    finding.reason = in_words(plan.reason);
    for (const auto& part : assembly.parts) {
        if (part.advice == balance::StageAdvice::correct_part) {
            add_reason(finding.reason,
                       part.name + " itself is out: put that right first, spin, and plan again");
        }
    }
    add_reason(finding.reason, "counts on a rigid rotor");
    add(std::move(finding));
}

void Inspector::balance_of(std::int32_t number, std::vector<StageSpins>& stages,
                           std::vector<Assembly>* keep)
{
    const auto& first = rows_[stages.front().rows.front()];
    const auto& card = context_.rotor[Context::index(first.engine)];
    Assembly assembly{.job = std::string(context_.readings.job.text(first.row)),
                      .planes = card.planes,
                      .tolerance_planes = card.tolerance_planes,
                      .sites = card.sites};
    if (number != no_number) {
        assembly.number = number;
    }
    if (const auto keys = card.missing(); !keys.empty()) {
        missing(Check::balance, keys + " on the engine card");
    }
    std::optional<KnownInfluence> influence;
    std::vector<State> states;
    for (const auto& stage : stages) {
        states.push_back(state_of(stage, rows_, card, influence));
        auto& spun = assembly.stages.emplace_back(
            SpunStage{.stage = stage.name, .part = stage.part, .scatter = states.back().scatter});
        if (!states.back().known) {
            continue;
        }
        try {
            carry(card, states.back(), spun);
            spun.spins = states.back().count;
        } catch (const std::invalid_argument& refusal) {
            spun = {.stage = stage.name, .part = stage.part};
            states.back() = {.fault = refusal.what(),
                             .next = "State the planes of the rotor on the engine card."};
        }
    }
    for (std::size_t k = 0; k < stages.size(); ++k) {
        auto& spun = assembly.stages[k];
        if (!states[k].known) {
            auto finding = about_spins(stages[k], number, Derived::residual);
            std::string reason = states[k].fault;
            for (const auto& note : states[k].notes) {
                add_reason(reason, note);
            }
            spun.reason = reason;
            unprove(finding, std::move(reason), states[k].next);
            add(std::move(finding));
            continue;
        }
        spun.overtaken = overtaken_by(stages, states, k);
        spun.reason = wording::joined(states[k].notes, "; ");
        const auto limits =
            allowed(stages[k], stages[k].part == stages.front().part, Derived::residual);
        spun.tolerance = limits.tolerance;
        for (std::size_t p = 0; p < 2; ++p) {
            residual_finding(stages[k], number, spun, states[k], p);
            if (spun.overtaken.empty() && spun.tolerance) {
                auto& said = findings_.back();
                said.source = context_.card_source;
                if (limits.limit[p] >= 0) {
                    const auto at = static_cast<std::size_t>(limits.limit[p]);
                    said.source = context_.limit_source[at];
                    said.kind = context_.limit_kind[at];
                }
            }
        }
    }
    const auto parts = parts_of(stages, states);
    std::vector<balance::Stage> chain;
    for (const auto& part : parts) {
        const auto& now = assembly.stages[part.last];
        const bool is_first = chain.empty();
        const auto limits = allowed(stages[part.first], is_first, Derived::contribution);
        const bool simple = context_.options.rule == measure::Rule::simple;
        chain.push_back(
            {.name = stages[part.first].part,
             .found = now.residual,
             .uncertainty = simple ? 0.0 : std::max(now.uncertainty[0], now.uncertainty[1]),
             .tolerance = limits.tolerance});
    }
    if (!chain.empty()) {
        assembly.parts = balance::staged_assembly(chain, context_.options.level);
    }
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const auto& part = parts[i];
        const auto& skipped = part.skipped;
        contribution_finding(stages[part.last], number, assembly.parts[i],
                             assembly.stages[part.last],
                             skipped.empty() ? "" : "with " + skipped + ", which was not read");
    }
    const auto& last = assembly.stages.back();
    const bool open = std::any_of(last.verdict.begin(), last.verdict.end(), [](Standing each) {
        return each == Standing::outside || each == Standing::unproven;
    });
    if (states.back().known && last.tolerance && !stages.back().finished &&
        (open || context_.options.plans_always)) {
        plan_finding(stages.back(), number, last, assembly, card);
    }
    if (keep != nullptr) {
        keep->push_back(std::move(assembly));
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
        if (!stages.empty()) {
            balance_of(number, stages, keep);
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
