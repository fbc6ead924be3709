#include "enginewright/cylinders/pistons.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "judging.hpp"
#include "numerics/assignment.hpp"
#include "wording.hpp"

namespace enginewright::cylinders {

using Eigen::Index;
using numerics::CostTable;
using wording::mm;
using wording::part;

namespace {

constexpr std::size_t most_pistons = 400;

/// What each piston costs in each bore: outside or not, and its distance to the target.
struct Costs {
    CostTable outside;
    CostTable deviation;
};

Costs costs_of(std::span<const double> bores, std::span<const double> pistons, double lower,
               double upper, double target)
{
    const auto rows = static_cast<Index>(bores.size());
    const auto columns = static_cast<Index>(pistons.size());
    Costs costs{CostTable(rows, columns), CostTable(rows, columns)};
    for (Index i = 0; i < rows; ++i) {
        for (Index j = 0; j < columns; ++j) {
            const double clearance =
                bores[static_cast<std::size_t>(i)] - pistons[static_cast<std::size_t>(j)];
            costs.outside(i, j) = judging::inside(clearance, lower, upper) ? 0 : 1;
            costs.deviation(i, j) = static_cast<double>(judging::whole(clearance - target));
        }
    }
    return costs;
}

/// How many are outside in the best assignment with no deviation above a cap; none: there is none.
std::optional<double> outside_under(const Costs& costs, double cap)
{
    const numerics::PairTable allowed = (costs.deviation.array() <= cap).matrix();
    const auto dealt = numerics::assign(std::array{costs.outside}, &allowed);
    if (!dealt.complete()) {
        return std::nullopt;
    }
    double sum = 0;
    for (std::size_t i = 0; i < dealt.columns.size(); ++i) {
        sum += costs.outside(static_cast<Index>(i), static_cast<Index>(dealt.columns[i]));
    }
    return sum;
}

/// The best assignment: the least cap that keeps the least number outside, then the least sum.
std::vector<std::size_t> dealt_out(const Costs& costs)
{
    std::vector<double> caps(costs.deviation.data(),
                             costs.deviation.data() + costs.deviation.size());
    std::sort(caps.begin(), caps.end());
    caps.erase(std::unique(caps.begin(), caps.end()), caps.end());
    const double least = *outside_under(costs, caps.back());
    std::size_t low = 0;
    std::size_t high = caps.size() - 1;
    while (low < high) {
        const std::size_t middle = low + (high - low) / 2;
        const auto outside = outside_under(costs, caps[middle]);
        if (outside && *outside <= least) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    const numerics::PairTable allowed = (costs.deviation.array() <= caps[high]).matrix();
    // Pairs above the cap are out of the game: their size must not blur the sums of the others.
    const CostTable capped = costs.deviation.cwiseMin(caps[high]);
    return numerics::assign(std::array{costs.outside, capped}, &allowed).columns;
}

void say(PistonSelection& found, double lower, double upper)
{
    std::vector<std::string> pairs;
    for (std::size_t i = 0; i < found.piston.size(); ++i) {
        pairs.push_back("piston " + std::to_string(found.piston[i] + 1) + " in cylinder " +
                        std::to_string(i + 1) + " (" + mm(found.clearances[i]) + ")");
    }
    found.next = wording::joined(pairs, ", ");
    std::vector<std::string> told;
    for (const int i : found.outside) {
        const double clearance = found.clearances[static_cast<std::size_t>(i)];
        const bool wide = clearance > upper;
        told.push_back(part("cylinder", i) + " gets " + mm(clearance) + ", " +
                       mm(wide ? upper : lower) + (wide ? " allowed" : " at least"));
    }
    found.reason = wording::joined(told, "; ");
    if (!told.empty()) {
        found.next +=
            "; hone, or find another piston, for " + wording::parts("cylinder", found.outside);
    }
}

}  // namespace

PistonSelection select_pistons(std::span<const double> bores, std::span<const double> pistons,
                               double lower, double upper, std::optional<double> target)
{
    judging::require_sizes("bores", bores);
    judging::require_sizes("pistons", pistons);
    if (pistons.size() > most_pistons) {
        refuse_all("pistons", "hold at most " + std::to_string(most_pistons) + ", got " +
                                  std::to_string(pistons.size()));
    }
    judging::require_limits(lower, upper);
    const double aim = judging::target_between(lower, upper, target);
    PistonSelection found;
    std::vector<bool> used(pistons.size(), false);
    if (bores.size() <= pistons.size()) {
        found.worst_deviation = found.total_deviation = 0;
        for (const std::size_t j : dealt_out(costs_of(bores, pistons, lower, upper, aim))) {
            const std::size_t i = found.piston.size();
            const double clearance = bores[i] - pistons[j];
            const double deviation = std::abs(clearance - aim);
            used[j] = true;
            found.piston.push_back(static_cast<int>(j));
            found.clearances.push_back(clearance);
            found.worst_deviation = std::max(*found.worst_deviation, deviation);
            *found.total_deviation += deviation;
            if (!judging::inside(clearance, lower, upper)) {
                found.outside.push_back(static_cast<int>(i));
            }
        }
    }
    for (std::size_t j = 0; j < pistons.size(); ++j) {
        if (!used[j]) {
            found.spare.push_back(static_cast<int>(j));
        }
    }
    if (found.piston.empty()) {
        found.status = PistonStatus::not_enough;
        found.reason =
            std::to_string(pistons.size()) + " for " + std::to_string(bores.size()) + " bores";
        found.next = "find " + std::to_string(bores.size() - pistons.size()) + " more";
        return found;
    }
    found.status = found.outside.empty() ? PistonStatus::selected : PistonStatus::not_all_within;
    say(found, lower, upper);
    return found;
}

}  // namespace enginewright::cylinders
