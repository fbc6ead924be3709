#include <algorithm>
#include <cmath>

#include "balance/bounds.hpp"
#include "enginewright/balance/verdict.hpp"
#include "job/inspector.hpp"
#include "job/spins.hpp"
#include "numerics/angles.hpp"
#include "wording.hpp"

/// The findings that spins give: each plane's residual, each part's contribution, the hole plan.
namespace enginewright::job {

using balance::Vector;

namespace {

std::string in_words(std::string text)
{
    constexpr std::array<std::string_view, 2> planes{"plane 1", "plane 2"};
    for (std::size_t p = 0; p < planes.size(); ++p) {
        // On from behind the word that was put in: "left plane 12 g mm" holds another "plane 1".
        for (auto at = text.find(planes[p]); at != std::string::npos;
             at = text.find(planes[p], at + plane_words[p].size())) {
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

}  // namespace

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
    finding.station = station_code(context_.readings, plane);
    for (const auto i : finding.basis) {
        if (rows_[i].station == finding.station) {
            finding.mark = rows_[i].row;
            break;
        }
    }
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
    add_reason(finding.reason, "counts on a rigid rotor");
    add(std::move(finding));
}

}  // namespace enginewright::job
