#include "enginewright/journals/thrust.hpp"

#include <cmath>
#include <tuple>

#include "judging.hpp"
#include "wording.hpp"

namespace enginewright::journals {

using wording::mm;

namespace {

constexpr std::size_t most_sizes = 1000;

void require_washers(double end_float, const Washers& fitted, std::span<const double> sizes,
                     const std::optional<std::vector<int>>& stock)
{
    require_length_at_least_zero("end_float", end_float);
    require_size("fitted[0]", fitted.first);
    require_size("fitted[1]", fitted.second);
    judging::require_sizes("sizes", sizes);
    if (sizes.size() > most_sizes) {
        refuse_all("sizes", "hold at most " + std::to_string(most_sizes) + ", got " +
                                std::to_string(sizes.size()));
    }
    judging::require_different("sizes", sizes);
    if (stock) {
        judging::require_stock("stock", *stock, sizes.size());
    }
}

/// A pair on trial, and how it ranks.
struct Pair {
    std::size_t front = 0;
    std::size_t rear = 0;
    double end_float = 0;
    double shift = 0;
    bool outside = false;
};

std::string fitting(const ThrustPlan& plan)
{
    return "fit " + mm(*plan.front) + " at the front and " + mm(*plan.rear) +
           " at the rear: end float " + mm(*plan.end_float);
}

void say_none(ThrustPlan& plan, double lower, double upper)
{
    plan.status = ThrustStatus::no_combination;
    if (!plan.front) {
        plan.reason = "fewer than two washers on the shelf";
        plan.next = "find two washers that make " + mm(plan.total_for_target) + " together";
        return;
    }
    const bool wide = *plan.end_float > upper;
    plan.reason = "the nearest pair, " + mm(*plan.front) + " and " + mm(*plan.rear) + ", leaves " +
                  mm(*plan.end_float) + ", " + mm(wide ? upper : lower) +
                  (wide ? " allowed" : " at least");
    plan.next = "find or grind washers that make " + mm(plan.total_for_target) + " together";
}

}  // namespace

ThrustPlan thrust_plan(double end_float, const Washers& fitted, std::span<const double> sizes,
                       double lower, double upper, std::optional<double> target,
                       const std::optional<std::vector<int>>& stock)
{
    require_washers(end_float, fitted, sizes, stock);
    judging::require_limits(lower, upper);
    const double aim = judging::target_between(lower, upper, target);
    const double space = end_float + fitted.first + fitted.second;
    const auto order = [&](const Pair& pair) {
        return std::make_tuple(pair.outside, judging::whole(pair.end_float - aim),
                               judging::whole(pair.shift), sizes[pair.front]);
    };
    std::optional<Pair> best;
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        for (std::size_t j = 0; j < sizes.size(); ++j) {
            if (stock && ((*stock)[i] < (i == j ? 2 : 1) || (*stock)[j] < 1)) {
                continue;
            }
            Pair pair{.front = i, .rear = j, .end_float = space - sizes[i] - sizes[j]};
            pair.shift = ((sizes[i] - fitted.first) - (sizes[j] - fitted.second)) / 2;
            pair.outside = !judging::inside(pair.end_float, lower, upper);
            if (!best || order(pair) < order(*best)) {
                best = pair;
            }
        }
    }
    ThrustPlan plan{.total_for_target = space - aim};
    if (best) {
        plan.front = sizes[best->front];
        plan.rear = sizes[best->rear];
        plan.end_float = best->end_float;
        plan.shift = best->shift;
    }
    if (!best || best->outside) {
        say_none(plan, lower, upper);
        return plan;
    }
    plan.next = fitting(plan);
    if (judging::whole(*plan.shift) != 0) {
        plan.next += ", the crank moves " + mm(std::abs(*plan.shift)) +
                     (*plan.shift > 0 ? " to the rear" : " to the front");
    }
    return plan;
}

}  // namespace enginewright::journals
