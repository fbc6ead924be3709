#include "enginewright/balance/stages.hpp"

#include <algorithm>
#include <cmath>

#include "balance/bounds.hpp"
#include "enginewright/balance/verdict.hpp"
#include "numerics/angles.hpp"

namespace enginewright::balance {

using numerics::degrees_of;

void require_stage(const Stage& stage)
{
    if (stage.name.empty()) {
        refuse_all("name", "hold a word, got ''");
    }
    require_count("found", stage.found.size(), 2, "vectors");
    require_vectors("found", stage.found);
    if (stage.left) {
        require_count("left", stage.left->size(), 2, "vectors");
        require_vectors("left", *stage.left);
    }
    require_amount("uncertainty", stage.uncertainty);
    if (stage.tolerance) {
        each_tolerance(*stage.tolerance, 2);
    }
}

namespace {

StageAdvice advised(Standing overall, bool first, bool removable)
{
    switch (overall) {
        case Standing::unlimited:
            return StageAdvice::give_a_tolerance;
        case Standing::within:
            return StageAdvice::accept;
        case Standing::unproven:
            return StageAdvice::measure_again;
        case Standing::outside:
            break;
    }
    if (first) {
        return StageAdvice::correct_rotor;
    }
    return removable ? StageAdvice::correct_part : StageAdvice::correct_assembly;
}

std::string next_of(const StageFinding& finding, const Stage& stage)
{
    const auto p = static_cast<std::size_t>(finding.worst_plane);
    const std::string where = "plane " + std::to_string(p + 1);
    const std::string heavy =
        amount_text(finding.amount[p]) + " heavy at " + angle_text(finding.angle[p]);
    switch (finding.advice) {
        case StageAdvice::accept:
            return "carry on: " + where + " " + amount_text(finding.amount[p]) + " of " +
                   amount_text((*stage.tolerance)[p]);
        case StageAdvice::give_a_tolerance:
            return "give " + stage.name + " a tolerance; it brings " +
                   amount_text(finding.amount[p]) + " to " + where;
        case StageAdvice::measure_again:
            return "spin " + stage.name + " again: " + where + " reads " + heavy + ", too near " +
                   amount_text((*stage.tolerance)[p]) + " to tell";
        case StageAdvice::correct_rotor:
            return "correct " + stage.name + " in " + where + ": " + heavy;
        case StageAdvice::correct_part:
            return "correct " + stage.name + " itself, not what it is bolted to; " + where + ": " +
                   heavy;
        case StageAdvice::correct_assembly:
            return "correct the assembly with " + stage.name + " in " + where + ": " + heavy +
                   "; mark the parts to each other";
    }
    return {};
}

StageFinding finding_of(const Stage& stage, const Stage* before, double level)
{
    StageFinding finding{.name = stage.name,
                         .contribution = stage.found,
                         .uncertainty = stage.uncertainty,
                         .found = stage.found,
                         .left = stage.left.value_or(stage.found)};
    if (before != nullptr) {
        const auto& left = before->left.value_or(before->found);
        for (std::size_t p = 0; p < 2; ++p) {
            finding.contribution[p] -= left[p];
        }
        finding.uncertainty = std::hypot(stage.uncertainty, before->uncertainty);
    }
    for (const auto& vector : finding.contribution) {
        finding.amount.push_back(std::abs(vector));
        finding.angle.push_back(degrees_of(vector));
    }
    if (stage.tolerance) {
        const auto judged =
            residual_verdict(finding.contribution, *stage.tolerance, finding.uncertainty, level);
        finding.verdict = judged.verdict;
        finding.overall = judged.overall;
        finding.worst_plane = judged.worst_plane;
        finding.ratio = judged.ratio;
        finding.reason = judged.reason;
    } else {
        finding.verdict.assign(2, Standing::unlimited);
        finding.worst_plane = finding.amount[1] > finding.amount[0] ? 1 : 0;
        finding.reason = "no tolerance set for " + stage.name;
    }
    finding.advice = advised(finding.overall, before == nullptr, stage.removable);
    finding.next = next_of(finding, stage);
    return finding;
}

}  // namespace

std::vector<StageFinding> staged_assembly(const std::vector<Stage>& stages, double level)
{
    if (stages.empty()) {
        refuse_all("stages", "hold at least 1 stage, got 0");
    }
    require_level(level);
    std::vector<StageFinding> findings;
    for (std::size_t k = 0; k < stages.size(); ++k) {
        require_stage(stages[k]);
        findings.push_back(finding_of(stages[k], k == 0 ? nullptr : &stages[k - 1], level));
    }
    return findings;
}

}  // namespace enginewright::balance
