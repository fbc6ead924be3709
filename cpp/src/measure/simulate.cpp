#include <algorithm>
#include <cmath>
#include <vector>

#include "enginewright/check.hpp"
#include "enginewright/measure/propagate.hpp"
#include "numerics/random.hpp"

namespace enginewright::measure {

namespace {

constexpr int least_draws = 1000;
constexpr int most_draws = 10'000'000;

using Index = Eigen::Index;

/// The arguments with the doubt of every source drawn: one number a trial each.
std::vector<Eigen::ArrayXd> drawn(std::span<const Quantity> quantities, int draws,
                                  std::uint64_t seed, const Sources& sources)
{
    std::vector<Eigen::ArrayXd> all;
    std::vector<std::uint64_t> seen;
    for (const auto& each : quantities) {
        all.emplace_back(Eigen::ArrayXd::Constant(draws, each.value()));
    }
    for (std::size_t first = 0; first < quantities.size(); ++first) {
        for (const auto& contribution : quantities[first].contributions()) {
            if (std::ranges::find(seen, contribution.source) != seen.end()) {
                continue;
            }
            const auto number = static_cast<std::uint64_t>(seen.size());
            seen.push_back(contribution.source);
            const double freedom = sources.degrees_of_freedom(contribution.source);
            Eigen::ArrayXd lots(draws);
            for (Index i = 0; i < draws; ++i) {
                const auto draw = static_cast<std::uint64_t>(i);
                lots[i] = std::isinf(freedom) ? numerics::normal_draw(seed, number, draw)
                                              : numerics::t_draw(freedom, seed, number, draw);
            }
            for (std::size_t i = first; i < quantities.size(); ++i) {
                const double amount = quantities[i].contribution(contribution.source);
                if (amount != 0) {
                    all[i] += amount * lots;
                }
            }
        }
    }
    return all;
}

/// Half a unit of the second significant digit.
///
/// Source: JCGM 101:2008, 7.9.2.
double half_unit(double uncertainty)
{
    double place = std::floor(std::log10(uncertainty)) - 1;
    // 0.0996 is 0.10 with two digits: the place is that of the rounded figure.
    if (std::nearbyint(uncertainty / std::pow(10.0, place)) >= 100) {
        place += 1;
    }
    return 0.5 * std::pow(10.0, place);
}

/// The formula at one point through arrays of one element: `propagate` asks for single numbers.
Formula single(const ArrayFormula& function)
{
    return [&function](std::span<const double> values) {
        std::vector<Eigen::ArrayXd> arrays;
        for (const double each : values) {
            arrays.emplace_back(Eigen::ArrayXd::Constant(1, each));
        }
        return function(arrays)[0];
    };
}

/// Ends that leave equal shares of the sorted draws on either side.
///
/// Source: JCGM 101:2008, 7.7.2.
std::pair<double, double> middle_share(const std::vector<double>& sorted, double level)
{
    const auto count = static_cast<double>(sorted.size());
    const double inside = std::clamp(std::floor(level * count + 0.5), 1.0, count - 1);
    const double below = std::floor((count - inside + 1) / 2);
    const auto first = static_cast<std::size_t>(std::max(below, 1.0)) - 1;
    const auto last = std::min(first + static_cast<std::size_t>(inside), sorted.size() - 1);
    return {sorted[first], sorted[last]};
}

void set_moments(Simulation& out, const Eigen::ArrayXd& results)
{
    const double first = results[0];
    const Eigen::ArrayXd off = results - first;
    const double shift = off.mean();
    out.mean = first + shift;
    out.standard_deviation =
        std::sqrt((off - shift).square().sum() / static_cast<double>(results.size() - 1));
    require_finite("the mean of function", out.mean);
    require_finite("the standard deviation of function", out.standard_deviation);
}

/// Whether value and expanded uncertainty to first order give the same interval.
///
/// Source: JCGM 101:2008, 8.1.3.
bool agrees_with_slopes(const Simulation& drawn, const ArrayFormula& function,
                        std::span<const Quantity> quantities, double level, const Sources& sources)
{
    Sources none;
    Quantity plain;
    try {
        plain = propagate(single(function), quantities, 1, none);
    } catch (const std::invalid_argument&) {
        return false;
    }
    const double u = plain.standard_uncertainty();
    const double near = u == 0 ? 0.0 : half_unit(u);
    const double expanded =
        u == 0 ? 0.0 : coverage_factor(plain.degrees_of_freedom(sources), level) * u;
    return std::abs(plain.value() - expanded - drawn.lower) <= near &&
           std::abs(plain.value() + expanded - drawn.upper) <= near;
}

}  // namespace

Simulation simulate(const ArrayFormula& function, std::span<const Quantity> quantities, int draws,
                    std::int64_t seed, double level, const Sources& sources)
{
    if (draws < least_draws || draws > most_draws) {
        refuse_all("draws", "be between " + std::to_string(least_draws) + " and " +
                                std::to_string(most_draws) + ", got " + std::to_string(draws));
    }
    if (seed < 0) {
        refuse_all("seed", "be at least 0, got " + std::to_string(seed));
    }
    if (!(level > 0 && level < 1)) {
        refuse("level", "above 0 and below 1", level);
    }
    if (quantities.empty()) {
        refuse_all("quantities", "hold at least 1, got 0");
    }
    const auto arguments = drawn(quantities, draws, static_cast<std::uint64_t>(seed), sources);
    const Eigen::ArrayXd results = function(arguments);
    if (results.size() != draws) {
        refuse_all("function", "give as many numbers as it gets, " + std::to_string(draws) +
                                   ", got " + std::to_string(results.size()));
    }
    for (Index i = 0; i < results.size(); ++i) {
        if (!std::isfinite(results[i])) {
            refuse_all("the result of function", "be a finite number, got " +
                                                     number_text(results[i]) + " (draw " +
                                                     std::to_string(i) + ")");
        }
    }
    Simulation out{.draws = draws, .seed = seed};
    set_moments(out, results);
    std::vector<double> sorted(results.begin(), results.end());
    std::ranges::sort(sorted);
    std::tie(out.lower, out.upper) = middle_share(sorted, level);

    out.agrees = agrees_with_slopes(out, function, quantities, level, sources);
    return out;
}

}  // namespace enginewright::measure
