#include <algorithm>
#include <cmath>
#include <thread>
#include <vector>

#include "enginewright/check.hpp"
#include "enginewright/measure/propagate.hpp"
#include "numerics/random.hpp"

namespace enginewright::measure {

namespace {

constexpr int least_draws = 1000;
constexpr int most_draws = 10'000'000;

using Index = Eigen::Index;

/// A source of doubt among the quantities, and what one of its standard uncertainties does to each.
struct Drawn {
    double freedom = 0;
    std::vector<double> amounts{};
};

/// The sources in the order of the quantities: the place of a source is the number of its lots.
std::vector<Drawn> sources_of(std::span<const Quantity> quantities, const Sources& sources)
{
    std::vector<Drawn> all;
    std::vector<std::uint64_t> seen;
    for (const auto& quantity : quantities) {
        for (const auto& contribution : quantity.contributions()) {
            if (std::ranges::find(seen, contribution.source) != seen.end()) {
                continue;
            }
            seen.push_back(contribution.source);
            auto& source = all.emplace_back();
            source.freedom = sources.degrees_of_freedom(contribution.source);
            for (const auto& each : quantities) {
                source.amounts.push_back(each.contribution(contribution.source));
            }
        }
    }
    return all;
}

/// Draws the lots of one source, from the first draw of a block on.
void draw(const Drawn& source, std::uint64_t seed, std::uint64_t number, Index first,
          std::span<double> lots)
{
    const auto from = static_cast<std::uint64_t>(first);
    if (std::isinf(source.freedom)) {
        numerics::fill_normal(seed, number, from, lots);
        return;
    }
    for (std::size_t i = 0; i < lots.size(); ++i) {
        lots[i] = numerics::t_draw(source.freedom, seed, number, from + i);
    }
}

/// The arguments with the doubt of every source drawn: one number a trial each.
///
/// A draw is a figure of its own, so blocks and threads change no bit of it. A block is small
/// enough to stay in the cache while all sources are added to it.
std::vector<Eigen::ArrayXd> drawn(std::span<const Quantity> quantities, int draws,
                                  std::uint64_t seed, const Sources& sources)
{
    constexpr Index block = 4096;
    constexpr Index enough_for_threads = 200'000;
    const auto all_sources = sources_of(quantities, sources);
    std::vector<Eigen::ArrayXd> all(quantities.size());
    for (auto& each : all) {
        each.resize(draws);
    }
    const auto fill = [&](Index begin, Index end) {
        Eigen::ArrayXd lots(block);
        for (Index first = begin; first < end; first += block) {
            const Index count = std::min(block, end - first);
            for (std::size_t i = 0; i < all.size(); ++i) {
                all[i].segment(first, count).setConstant(quantities[i].value());
            }
            for (std::size_t j = 0; j < all_sources.size(); ++j) {
                const auto& source = all_sources[j];
                draw(source, seed, j, first, {lots.data(), static_cast<std::size_t>(count)});
                for (std::size_t i = 0; i < all.size(); ++i) {
                    if (source.amounts[i] != 0) {
                        all[i].segment(first, count) += source.amounts[i] * lots.head(count);
                    }
                }
            }
        }
    };
    const auto work = static_cast<Index>(all_sources.size()) * draws;
    const Index workers =
        work < enough_for_threads
            ? 1
            : std::clamp<Index>(static_cast<Index>(std::thread::hardware_concurrency()), 1,
                                (draws + block - 1) / block);
    std::vector<std::thread> threads;
    for (Index w = 1; w < workers; ++w) {
        threads.emplace_back(fill, draws * w / workers, draws * (w + 1) / workers);
    }
    fill(0, draws / workers);
    for (auto& thread : threads) {
        thread.join();
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

/// Ends that leave equal shares of the draws on either side.
///
/// Source: JCGM 101:2008, 7.7.2.
std::pair<double, double> middle_share(std::vector<double> draws, double level)
{
    const auto count = static_cast<double>(draws.size());
    const double inside = std::clamp(std::floor(level * count + 0.5), 1.0, count - 1);
    const double below = std::floor((count - inside + 1) / 2);
    const auto first = static_cast<std::ptrdiff_t>(std::max(below, 1.0)) - 1;
    const auto last = std::min(first + static_cast<std::ptrdiff_t>(inside),
                               static_cast<std::ptrdiff_t>(draws.size()) - 1);
    const auto low = draws.begin() + first;
    const auto high = draws.begin() + last;
    // Two places of the order are asked for, not the whole order.
    std::nth_element(draws.begin(), low, draws.end());
    if (high > low) {
        std::nth_element(low + 1, high, draws.end());
    }
    return {*low, *high};
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
    std::tie(out.lower, out.upper) = middle_share({results.begin(), results.end()}, level);
    out.agrees = agrees_with_slopes(out, function, quantities, level, sources);
    return out;
}

}  // namespace enginewright::measure
