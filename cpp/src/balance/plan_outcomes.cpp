#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>

#include "balance/bounds.hpp"
#include "balance/plan_parts.hpp"
#include "numerics/random.hpp"

namespace enginewright::balance {

namespace {

/// One operation with its errors, ready to be drawn.
struct Work {
    Site site{};
    double setting = 0;
};

/// A setting as the hand and the quill make it: never shallower than the hole already there.
double made(const Work& work, double error)
{
    const double setting = work.setting + error;
    if (work.site.kind == SiteKind::drill) {
        const double deepest = work.site.direction == Direction::radial
                                   ? work.site.radius
                                   : std::numeric_limits<double>::infinity();
        return std::clamp(setting, work.site.existing_depth, deepest);
    }
    return std::max(0.0, setting);
}

void require_draws(int draws, std::int64_t seed)
{
    require_between("draws", draws, 100, 1e6);
    require_at_least("seed", static_cast<double>(seed), 0);
}

}  // namespace

std::vector<std::vector<Vector>> plan_outcomes(const CorrectionPlan& plan,
                                               const std::vector<Site>& sites, int draws,
                                               std::int64_t seed)
{
    require_draws(draws, seed);
    std::vector<Work> works;
    const auto used = sites_of(plan, sites);
    for (std::size_t i = 0; i < used.size(); ++i) {
        works.push_back({*used[i], plan.operations[i].setting});
    }
    Eigen::MatrixXcd response(2, 2);
    response << plan.response[0][0], plan.response[0][1], plan.response[1][0], plan.response[1][1];
    const Carriage carriage(plan.planes, plan.tolerance_planes, response);
    const Eigen::Vector2cd start = carriage.start(plan.unbalance);
    const auto key = static_cast<std::uint64_t>(seed);
    std::vector<std::vector<Vector>> outcomes(static_cast<std::size_t>(draws));
    for (std::size_t n = 0; n < outcomes.size(); ++n) {
        std::uint64_t source = 0;
        const auto error = [&](double standard) {
            return standard * numerics::normal_draw(key, source++, n);
        };
        Eigen::Vector2cd left = start;
        for (Eigen::Index p = 0; p < 2; ++p) {
            const double u = plan.uncertainty[static_cast<std::size_t>(p)];
            const double x = error(u);
            left[p] += Vector(x, error(u));
        }
        for (auto& work : works) {
            Site turned = work.site;
            const bool weight = work.site.kind == SiteKind::weight;
            const double setting = made(work, error(weight ? plan.mass_error : plan.depth_error));
            turned.angle += error(plan.angle_error);
            left += carriage.effect(turned, metal_at(turned, setting));
        }
        outcomes[n] = {left[0], left[1]};
    }
    return outcomes;
}

PlanSimulation simulate_plan(const CorrectionPlan& plan, const std::vector<Site>& sites, int draws,
                             std::int64_t seed)
{
    const auto outcomes = plan_outcomes(plan, sites, draws, seed);
    const auto n = static_cast<double>(draws);
    PlanSimulation found{.draws = draws};
    std::vector<bool> both(outcomes.size(), true);
    for (std::size_t p = 0; p < 2; ++p) {
        Vector mean{};
        for (const auto& outcome : outcomes) {
            mean += outcome[p] / n;
        }
        double squares = 0;
        double within = 0;
        std::vector<double> amounts;
        amounts.reserve(outcomes.size());
        for (std::size_t i = 0; i < outcomes.size(); ++i) {
            squares += std::norm(outcomes[i][p] - mean);
            amounts.push_back(std::abs(outcomes[i][p]));
            const bool inside = amounts.back() <= plan.tolerance[p];
            within += inside ? 1 : 0;
            both[i] = both[i] && inside;
        }
        const auto at = static_cast<std::ptrdiff_t>(std::ceil(0.95 * n)) - 1;
        std::nth_element(amounts.begin(), amounts.begin() + at, amounts.end());
        found.worst_95.push_back(amounts[static_cast<std::size_t>(at)]);
        found.probability.push_back(within / n);
        found.mean.push_back(mean);
        found.spread.push_back(std::sqrt(squares / (2 * n)));
    }
    found.probability_both = static_cast<double>(std::count(both.begin(), both.end(), true)) / n;
    return found;
}

std::vector<Site> apply_plan(const CorrectionPlan& plan, const std::vector<Site>& sites,
                             const std::optional<std::map<std::string, double>>& as_made)
{
    const auto used = sites_of(plan, sites);
    const auto made = as_made.value_or(std::map<std::string, double>{});
    for (const auto& [name, depth] : made) {
        const bool drilled = std::any_of(
            plan.operations.begin(), plan.operations.end(), [&name = name](const auto& each) {
                return each.site == name && each.kind == SiteKind::drill;
            });
        if (!drilled) {
            refuse_all("as_made", "name sites that the plan drills, got " + name);
        }
        require_length_at_least_zero("as_made[" + name + "]", depth);
    }
    std::vector<Site> left;
    for (const auto& site : sites) {
        const auto at = std::find(used.begin(), used.end(), &site);
        if (at == used.end()) {
            left.push_back(site);
            continue;
        }
        if (site.kind != SiteKind::drill) {
            continue;
        }
        const auto& operation = plan.operations[static_cast<std::size_t>(at - used.begin())];
        const auto really = made.find(site.name);
        const double depth = really == made.end() ? operation.setting : really->second;
        require_at_least("as_made[" + site.name + "]", depth, site.existing_depth, "mm");
        auto deeper = site;
        deeper.existing_depth = depth;
        require_site(deeper);
        left.push_back(std::move(deeper));
    }
    return left;
}

}  // namespace enginewright::balance
