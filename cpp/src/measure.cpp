#include "enginewright/measure.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <initializer_list>
#include <numbers>

#include "measure/figure.hpp"
#include "numerics/distributions.hpp"
#include "numerics/roots.hpp"

namespace enginewright::measure {

namespace {

/// A small memory of one thread for figures that columns ask for again and again. What it gives
/// back is what would be computed anew, so no result depends on it.
template <std::size_t N, class Compute>
double remembered(const std::array<double, N>& key, Compute compute)
{
    struct Entry {
        std::array<double, N> key{};
        double answer = 0;
        bool used = false;
    };
    static constexpr std::size_t size = 64;
    thread_local std::array<Entry, size> memory{};
    std::uint64_t mixed = 0;
    for (const double each : key) {
        mixed = (mixed ^ std::bit_cast<std::uint64_t>(each)) * 0x9E3779B97F4A7C15U;
    }
    Entry& entry = memory[mixed >> 58U];
    if (!entry.used || entry.key != key) {
        entry = {key, compute(), true};
    }
    return entry.answer;
}

/// Quantile of t (normal for infinite freedom) above 1/2, by the probability that is left above it.
double upper_quantile(double above, double freedom)
{
    return remembered<2>({above, freedom}, [&] { return -numerics::t_quantile(above, freedom); });
}

/// P(T > x) for x >= 0.
double tail(double x, double freedom)
{
    if (freedom == infinite_freedom) {
        return 0.5 * std::erfc(x / std::numbers::sqrt2);
    }
    return numerics::t_cdf(-x, freedom);
}

/// Beyond this many standard uncertainties one less the normal tail is 1 to the last bit.
constexpr double certain = 8.3;

double sure_tail(double x, double freedom)
{
    return freedom == infinite_freedom && x > certain ? 0.0 : tail(x, freedom);
}

/// Probability of conformity from the distances to both limits in standard uncertainties,
/// positive inside, infinite for a limit that is not there.
double conformity(double below_upper, double above_lower, double freedom)
{
    if (below_upper >= 0 && above_lower >= 0) {
        return std::max(0.0, 1 - sure_tail(below_upper, freedom) - sure_tail(above_lower, freedom));
    }
    // Outside: the difference of two tails keeps the digits of a small probability.
    const double out = -std::min(below_upper, above_lower);
    const double far = std::max(below_upper, above_lower);
    return std::max(0.0, tail(out, freedom) - tail(far, freedom));
}

constexpr double no_limit = std::numeric_limits<double>::infinity();

/// Distance to a limit, 0 when nothing but rounding lies between.
double distance(double from, double to, double value, double limit)
{
    const double difference = to - from;
    const double slack = 1e-12 * std::max({1.0, std::abs(value), std::abs(limit)});
    return std::abs(difference) <= slack ? 0.0 : difference;
}

void require_figures(double value, double u, double freedom, std::optional<double> lower,
                     std::optional<double> upper, double level)
{
    require_finite("value", value);
    if (!(u >= 0 && u < no_limit)) [[unlikely]] {
        require_at_least("standard_uncertainty", u, 0.0);
    }
    if (!(freedom >= least_freedom)) [[unlikely]] {
        refuse("degrees_of_freedom", "at least 0.1", freedom);
    }
    require_ordered("lower", lower, "upper", upper);
    if (!(level > 0.5 && level < 1)) [[unlikely]] {
        refuse("level", "above 0.5 and below 1", level);
    }
}

/// Expanded uncertainty, two-sided at the level.
double expanded_at(double level, double u, double freedom)
{
    return u == 0 ? 0.0 : upper_quantile(0.5 - level / 2, freedom) * u;
}

/// Width of the guard band between two limits; negative when no value reaches the level.
double guard_between(double tolerance, double u, double freedom, double level)
{
    return remembered<4>({tolerance, u, freedom, level}, [&] {
        const double half = tolerance / 2;
        const auto surplus = [&](double guard) {
            return conformity(guard / u, (tolerance - guard) / u, freedom) - level;
        };
        if (surplus(half) < 0) {
            return -1.0;
        }
        // One limit alone needs the least; as much as both together would need is always enough.
        const double least = upper_quantile(1 - level, freedom) * u;
        const double enough = std::min(half, upper_quantile(0.5 - level / 2, freedom) * u);
        if (least >= enough || surplus(least) >= 0) {
            return std::min(least, enough);
        }
        return surplus(enough) <= 0 ? enough : numerics::brent_root(surplus, least, enough);
    });
}

Standing by_rule(Rule rule, double margin, double probability, double level, double u,
                 double freedom)
{
    if (u == 0 || rule == Rule::simple) {
        return margin >= 0 ? Standing::within : Standing::outside;
    }
    if (rule == Rule::guarded) {
        return probability >= level       ? Standing::within
               : 1 - probability >= level ? Standing::outside
                                          : Standing::unproven;
    }
    const double guard = expanded_at(level, u, freedom);
    return margin >= guard   ? Standing::within
           : margin < -guard ? Standing::outside
                             : Standing::unproven;
}

std::string reason_of(const Verdict& verdict, double u, std::string_view unit)
{
    const bool upper = *verdict.side == Side::upper;
    std::string text;
    if (*verdict.margin == 0) {
        text = upper ? "on the upper limit" : "on the lower limit";
    } else {
        const bool below = upper == (*verdict.margin > 0);
        text = figure(*verdict.margin, unit) + (below ? " below the " : " above the ") +
               (upper ? "upper limit" : "lower limit");
    }
    if (u == 0) {
        return text + "; no uncertainty stated, judged at face value";
    }
    if (verdict.rule == Rule::simple) {
        return text + ", judged at face value by the simple rule";
    }
    if (!verdict.accept_lower && !verdict.accept_upper) {
        return text + "; the gauge is too coarse for these limits, no value can be proven within";
    }
    return text + ", the gauge needs " + figure(*verdict.guard, unit);
}

/// Acceptance zone and guard band of a verdict whose limits, rule and level stand already.
void set_zone(Verdict& verdict, double u, double freedom)
{
    double guard = 0;
    if (u > 0 && verdict.rule == Rule::expanded) {
        guard = verdict.expanded;
    } else if (u > 0 && verdict.rule == Rule::guarded) {
        guard = verdict.lower && verdict.upper
                    ? guard_between(*verdict.upper - *verdict.lower, u, freedom, verdict.level)
                    : upper_quantile(1 - verdict.level, freedom) * u;
        if (guard < 0) {
            return;
        }
    }
    verdict.guard = guard;
    const bool both = verdict.lower && verdict.upper;
    if (both && *verdict.lower + guard > *verdict.upper - guard && guard > 0) {
        const double overlap = 2 * guard - (*verdict.upper - *verdict.lower);
        if (verdict.rule == Rule::expanded || overlap > 1e-9 * guard) {
            return;
        }
    }
    if (verdict.lower) {
        verdict.accept_lower = *verdict.lower + guard;
    }
    if (verdict.upper) {
        verdict.accept_upper = *verdict.upper - guard;
    }
}

}  // namespace

Decision decide(double value, double standard_uncertainty, double degrees_of_freedom,
                std::optional<double> lower, std::optional<double> upper, Rule rule, double level)
{
    require_figures(value, standard_uncertainty, degrees_of_freedom, lower, upper, level);
    if (!lower && !upper) {
        return {};
    }
    const double u = standard_uncertainty;
    const double below_upper = upper ? distance(value, *upper, value, *upper) : no_limit;
    const double above_lower = lower ? distance(*lower, value, value, *lower) : no_limit;
    Decision decision;
    decision.side = above_lower < below_upper ? Side::lower : Side::upper;
    decision.margin = std::min(above_lower, below_upper);
    require_finite("margin", decision.margin);
    if (u > 0) {
        decision.probability = conformity(below_upper / u, above_lower / u, degrees_of_freedom);
    } else {
        decision.probability = decision.margin >= 0 ? 1 : 0;
    }
    decision.verdict =
        by_rule(rule, decision.margin, decision.probability, level, u, degrees_of_freedom);
    return decision;
}

Verdict judge(double value, double standard_uncertainty, double degrees_of_freedom,
              std::optional<double> lower, std::optional<double> upper, Rule rule, double level,
              std::string_view unit)
{
    const double u = standard_uncertainty;
    const Decision decision = decide(value, u, degrees_of_freedom, lower, upper, rule, level);
    Verdict verdict{.verdict = decision.verdict,
                    .value = value,
                    .expanded = expanded_at(level, u, degrees_of_freedom),
                    .lower = lower,
                    .upper = upper,
                    .rule = rule,
                    .level = level};
    if (decision.verdict == Standing::unlimited) {
        verdict.reason = "no limit stated";
        return verdict;
    }
    verdict.side = decision.side;
    verdict.margin = decision.margin;
    verdict.probability = decision.probability;
    if (lower && upper && u > 0) {
        const double capability = (*upper - *lower) / 4 / u;
        if (std::isfinite(capability)) {
            verdict.capability = capability;
        }
    }
    set_zone(verdict, u, degrees_of_freedom);
    verdict.reason = reason_of(verdict, u, unit);
    return verdict;
}

Verdict check(const Quantity& quantity, std::optional<double> lower, std::optional<double> upper,
              Rule rule, double level, std::string_view unit, const Sources& sources)
{
    return judge(quantity.value(), quantity.standard_uncertainty(),
                 quantity.degrees_of_freedom(sources), lower, upper, rule, level, unit);
}

FieldDoubt doubt_of(std::span<const FieldDoubt> doubts, std::string_view field)
{
    const auto found = std::ranges::find(doubts, field, &FieldDoubt::field);
    return found == doubts.end() ? FieldDoubt{.field = field} : *found;
}

double central_slope(double far, double far_step, double near, double near_step)
{
    // A step that rounding has swallowed has no slope to tell.
    return near_step == 0 ? 0.0 : (4 * (near / near_step) - far / far_step) / 3;
}

double one_sided_slope(double far, double far_step, double near, double near_step)
{
    return near_step == 0 ? 0.0 : 2 * (near / near_step) - far / far_step;
}

double slope_through(const Around& f)
{
    const std::array gaps{f.near_below - f.below, f.at - f.near_below, f.near_above - f.at,
                          f.above - f.near_above};
    std::array<double, 4> sizes{};
    std::ranges::transform(gaps, sizes.begin(), [](double gap) {
        return std::isfinite(gap) ? std::abs(gap) : std::numeric_limits<double>::infinity();
    });
    const auto greatest = std::ranges::max_element(sizes);
    double others = 0;
    for (auto each = sizes.begin(); each != sizes.end(); ++each) {
        others = each == greatest ? others : std::max(others, *each);
    }
    // No formula bends so sharply within a quarter of its doubt; rounding alone is no jump.
    constexpr double jump = 8;
    const double noise = 64 * std::numeric_limits<double>::epsilon() *
                         std::max({std::abs(f.below), std::abs(f.at), std::abs(f.above)});
    if (std::isfinite(*greatest) && !(*greatest > jump * others + noise)) {
        return central_slope(f.above - f.below, f.far_up - f.far_down, f.near_above - f.near_below,
                             f.near_up - f.near_down);
    }
    const bool below = greatest - sizes.begin() < 2;
    const double slope =
        below ? one_sided_slope(f.above - f.at, f.far_up, f.near_above - f.at, f.near_up)
              : one_sided_slope(f.below - f.at, f.far_down, f.near_below - f.at, f.near_down);
    return std::isfinite(slope) ? slope : 0.0;
}

bool is_steep_edge(double far, double near, double at)
{
    // A root has gone 0.71 of its way after half the step, a straight line 0.5.
    const double noise = 64 * std::numeric_limits<double>::epsilon() * std::abs(at);
    return std::abs(near) > noise && std::abs(far - near) < 0.5 * std::abs(near);
}

Standing worst(std::initializer_list<Standing> verdicts)
{
    constexpr std::array order{Standing::outside, Standing::unproven, Standing::within};
    for (const Standing each : order) {
        if (std::ranges::find(verdicts, each) != verdicts.end()) {
            return each;
        }
    }
    return Standing::unlimited;
}

}  // namespace enginewright::measure
