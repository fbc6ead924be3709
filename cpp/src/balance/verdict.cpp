#include "enginewright/balance/verdict.hpp"

#include <algorithm>
#include <cmath>

#include "balance/bounds.hpp"
#include "enginewright/balance/planes.hpp"
#include "enginewright/balance/spins.hpp"
#include "numerics/angles.hpp"
#include "numerics/rice.hpp"
#include "wording.hpp"

namespace enginewright::balance {

double probability_within(double amount, double uncertainty, std::optional<double> tolerance)
{
    require_tolerance(tolerance);
    require_amount("amount", amount);
    require_positive("uncertainty", uncertainty, "g mm");
    require_amount("uncertainty", uncertainty);
    return numerics::rice_cdf(amount, uncertainty, *tolerance);
}

namespace {

Standing standing_of(double probability, double level)
{
    if (probability >= level) {
        return Standing::within;
    }
    return 1 - probability >= level ? Standing::outside : Standing::unproven;
}

std::string percent(double probability)
{
    return fixed_text(100 * probability, probability > 0.99 || probability < 0.01 ? 1 : 0) + " %";
}

void say(ResidualVerdict& found, std::span<const Vector> residual,
         const std::vector<double>& tolerance, double level)
{
    std::vector<std::string> parts;
    for (std::size_t p = 0; p < residual.size(); ++p) {
        parts.push_back("plane " + std::to_string(p + 1) + " " +
                        amount_text(std::abs(residual[p])) + " of " + amount_text(tolerance[p]) +
                        ", within at " + percent(found.probability[p]));
    }
    found.reason = wording::joined(parts, "; ");
    const auto worst = static_cast<std::size_t>(found.worst_plane);
    const std::string where = "plane " + std::to_string(worst + 1) + ": ";
    switch (found.overall) {
        case Standing::outside:
            found.next = where + "take off " + amount_text(std::abs(residual[worst])) + " at " +
                         angle_text(numerics::degrees_of(residual[worst])) + ", or add it opposite";
            break;
        case Standing::unproven:
            found.next = where + "spin again for less doubt, or correct further: " +
                         fixed_text(100 * level, 0) + " % is asked for";
            break;
        default:
            found.next = "nothing to do";
    }
}

}  // namespace

ResidualVerdict residual_verdict(std::span<const Vector> residual, const OneOrEach& tolerance,
                                 const OneOrEach& uncertainty, double level)
{
    if (residual.empty()) {
        refuse_all("residual", "hold at least 1 vector, got 0");
    }
    require_vectors("residual", residual);
    const auto limits = each_tolerance(tolerance, residual.size());
    const auto doubts = each_uncertainty("uncertainty", uncertainty, residual.size());
    require_level(level);
    ResidualVerdict found{.overall = Standing::within};
    for (std::size_t p = 0; p < residual.size(); ++p) {
        const double amount = std::abs(residual[p]);
        const double probability = doubts[p] > 0 ? numerics::rice_cdf(amount, doubts[p], limits[p])
                                                 : (amount <= limits[p] ? 1.0 : 0.0);
        found.probability.push_back(probability);
        found.ratio.push_back(amount / limits[p]);
        found.verdict.push_back(standing_of(probability, level));
    }
    const auto any = [&](Standing standing) {
        return std::find(found.verdict.begin(), found.verdict.end(), standing) !=
               found.verdict.end();
    };
    if (any(Standing::outside)) {
        found.overall = Standing::outside;
    } else if (any(Standing::unproven)) {
        found.overall = Standing::unproven;
    }
    found.worst_plane = static_cast<int>(std::max_element(found.ratio.begin(), found.ratio.end()) -
                                         found.ratio.begin());
    say(found, residual, limits, level);
    return found;
}

BearingForce bearing_force(std::span<const Vector> unbalance, std::span<const double> positions,
                           std::span<const double> bearings, double speed)
{
    require_plane_pair("bearings", bearings);
    require_speed("speed", speed);
    BearingForce found;
    for (const auto& carried : to_planes(unbalance, positions, bearings)) {
        found.force.push_back(carried * unbalance_force(1, speed));
        found.amount.push_back(std::abs(found.force.back()));
    }
    return found;
}

}  // namespace enginewright::balance
