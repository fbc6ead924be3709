#include "enginewright/matching/assignment.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "matching/require.hpp"
#include "numerics/assignment.hpp"
#include "wording.hpp"

namespace enginewright::matching {

namespace {

std::string shape_text(Eigen::Index rows, Eigen::Index columns)
{
    return std::to_string(rows) + " by " + std::to_string(columns);
}

void require_costs(const Costs& cost, const std::optional<Allowed>& allowed)
{
    if (cost.size() == 0) {
        refuse_all("cost",
                   "hold at least 1 row and 1 column, got " + shape_text(cost.rows(), cost.cols()));
    }
    if (cost.rows() > cost.cols()) {
        refuse_all("cost",
                   "hold no more rows than columns, got " + shape_text(cost.rows(), cost.cols()));
    }
    for (Eigen::Index i = 0; i < cost.rows(); ++i) {
        for (Eigen::Index j = 0; j < cost.cols(); ++j) {
            // The name is made only when it is needed: a table has many elements.
            if (!(std::abs(cost(i, j)) <= 1e300)) {
                require_sum_of(element_name(element_name("cost", static_cast<std::size_t>(i)),
                                            static_cast<std::size_t>(j)),
                               cost(i, j));
            }
        }
    }
    if (allowed && (allowed->rows() != cost.rows() || allowed->cols() != cost.cols())) {
        refuse_all("allowed", "be as large as cost, " + shape_text(cost.rows(), cost.cols()) +
                                  ", got " + shape_text(allowed->rows(), allowed->cols()));
    }
}

numerics::Assigned solved(const Costs& cost, const Allowed* allowed, Objective objective)
{
    switch (objective) {
        case Objective::bottleneck:
            return numerics::assign_bottleneck(cost, allowed);
        case Objective::spread:
            return numerics::assign_spread(cost, allowed);
        case Objective::sum:
            break;
    }
    return numerics::assign({&cost, 1}, allowed);
}

std::vector<int> whole(const std::vector<std::size_t>& indices)
{
    return {indices.begin(), indices.end()};
}

/// Which of so many are not in the list, rising.
std::vector<int> others(std::size_t count, std::span<const int> used)
{
    std::vector<bool> taken(count, false);
    for (const int each : used) {
        taken[static_cast<std::size_t>(each)] = true;
    }
    std::vector<int> left;
    for (std::size_t i = 0; i < count; ++i) {
        if (!taken[i]) {
            left.push_back(static_cast<int>(i));
        }
    }
    return left;
}

void say_what_falls_short(Assignment& result, const numerics::Assigned& found)
{
    result.status = AssignmentStatus::no_assignment;
    const auto rows = wording::parts("row", whole(found.short_rows));
    const char* have = found.short_rows.size() == 1 ? " has " : " have ";
    if (found.short_columns.empty()) {
        result.reason = rows + have + "no column";
    } else {
        result.reason = rows + have + "only " +
                        wording::parts("column", whole(found.short_columns)) + " between them";
    }
    result.next = "allow " + std::string(found.short_rows.size() == 1 ? "" : "one of ") + rows +
                  (found.short_columns.empty() ? " a column" : " another column");
}

}  // namespace

Assignment assign(const Costs& cost, const std::optional<Allowed>& allowed, Objective objective)
{
    require_costs(cost, allowed);
    const auto found = solved(cost, allowed ? &*allowed : nullptr, objective);
    Assignment result{.columns = whole(found.columns)};
    result.unused = others(static_cast<std::size_t>(cost.cols()), result.columns);
    if (!found.complete()) {
        say_what_falls_short(result, found);
        return result;
    }
    for (Eigen::Index i = 0; i < cost.rows(); ++i) {
        result.costs.push_back(cost(i, result.columns[static_cast<std::size_t>(i)]));
    }
    const auto [least, greatest] = std::minmax_element(result.costs.begin(), result.costs.end());
    result.total = std::accumulate(result.costs.begin(), result.costs.end(), 0.0);
    result.largest = *greatest;
    result.smallest = *least;
    result.spread = *greatest - *least;
    return result;
}

namespace {

void require_values(std::string_view name, std::span<const double> values)
{
    require_readings(name, values, 1);
    for (std::size_t i = 0; i < values.size(); ++i) {
        require_sum_of(element_name(name, i), values[i]);
    }
}

/// Indices in order of value, rising or falling, equal ones by index.
std::vector<int> ordered(std::span<const double> values, bool falling)
{
    std::vector<int> order(values.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
        const double left = values[static_cast<std::size_t>(a)];
        const double right = values[static_cast<std::size_t>(b)];
        return falling ? left > right : left < right;
    });
    return order;
}

/// Which of the second to use when there are more than are needed.
std::vector<int> chosen_partners(std::span<const double> first, std::span<const double> second,
                                 std::optional<double> target)
{
    numerics::CostTable sums(static_cast<Eigen::Index>(first.size()),
                             static_cast<Eigen::Index>(second.size()));
    for (std::size_t i = 0; i < first.size(); ++i) {
        for (std::size_t j = 0; j < second.size(); ++j) {
            const double sum = first[i] + second[j];
            sums(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) =
                target ? std::abs(sum - *target) : sum;
        }
    }
    const auto found = target ? numerics::assign_bottleneck(sums) : numerics::assign_spread(sums);
    auto columns = whole(found.columns);
    std::sort(columns.begin(), columns.end());
    return columns;
}

double mean_of(std::span<const double> values)
{
    // About the first value, so that large equal ones have just their own mean.
    double sum = 0;
    for (const double value : values) {
        sum += value - values.front();
    }
    return values.front() + sum / static_cast<double>(values.size());
}

double worst_deviation_of(std::span<const double> values, double from)
{
    double worst = 0;
    for (const double value : values) {
        worst = std::max(worst, std::abs(value - from));
    }
    return worst;
}

/// How far a value is from the target, so that 609.9 and 610.1 are equally far from 610.
double distance(double value, double target)
{
    const double apart = std::abs(value - target);
    return apart < 1e6 ? std::round(apart / slack) * slack : apart;
}

double spread_of(std::span<const double> values)
{
    const auto [least, greatest] = std::minmax_element(values.begin(), values.end());
    return *greatest - *least;
}

}  // namespace

Pairing pair_parts(std::span<const double> first, std::span<const double> second,
                   std::optional<double> target)
{
    require_values("first", first);
    require_values("second", second);
    if (second.size() < first.size()) {
        refuse_all("second", "hold at least " + std::to_string(first.size()) +
                                 " values, as many as first, got " + std::to_string(second.size()));
    }
    if (target) {
        require_sum_of("target", *target);
    }
    std::vector<int> used(second.size());
    std::iota(used.begin(), used.end(), 0);
    if (second.size() > first.size()) {
        used = chosen_partners(first, second, target);
    }
    std::vector<double> values;
    values.reserve(used.size());
    for (const int j : used) {
        values.push_back(second[static_cast<std::size_t>(j)]);
    }
    const auto light = ordered(first, false);
    const auto heavy = ordered(values, true);
    Pairing pairs{.partner = std::vector<int>(first.size()), .target = target};
    for (std::size_t k = 0; k < light.size(); ++k) {
        pairs.partner[static_cast<std::size_t>(light[k])] =
            used[static_cast<std::size_t>(heavy[k])];
    }
    std::vector<std::string> pieces;
    for (std::size_t i = 0; i < first.size(); ++i) {
        const int j = pairs.partner[i];
        pairs.sums.push_back(first[i] + second[static_cast<std::size_t>(j)]);
        pieces.push_back(wording::part("part", static_cast<int>(i)) + " with " +
                         std::to_string(j + 1) + " (" + fixed_text(pairs.sums.back(), 1) + ")");
    }
    pairs.mean = mean_of(pairs.sums);
    pairs.spread = spread_of(pairs.sums);
    pairs.worst_deviation = worst_deviation_of(pairs.sums, target.value_or(pairs.mean));
    pairs.unused = others(second.size(), pairs.partner);
    pairs.next = wording::joined(pieces, ", ");
    return pairs;
}

Choice choose_parts(std::span<const double> values, int count, std::optional<double> target)
{
    require_values("values", values);
    if (count < 1 || static_cast<std::size_t>(count) > values.size()) {
        refuse_all("count", "be between 1 and " + std::to_string(values.size()) + ", got " +
                                std::to_string(count));
    }
    if (target) {
        require_sum_of("target", *target);
    }
    const auto at = [&](int part) { return values[static_cast<std::size_t>(part)]; };
    auto order = ordered(values, false);
    const auto needed = static_cast<std::ptrdiff_t>(count);
    std::ptrdiff_t start = 0;
    if (target) {
        // Equally near: the smaller value stands first already, and equal ones by their index.
        std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
            return distance(at(a), *target) < distance(at(b), *target);
        });
    } else {
        double least = at(order[static_cast<std::size_t>(needed - 1)]) - at(order[0]);
        for (std::ptrdiff_t i = 1; i + needed <= std::ssize(order); ++i) {
            const double spread = at(order[static_cast<std::size_t>(i + needed - 1)]) -
                                  at(order[static_cast<std::size_t>(i)]);
            if (spread < least - slack) {
                least = spread;
                start = i;
            }
        }
    }
    Choice choice{.parts = std::vector<int>(order.begin() + start, order.begin() + start + needed),
                  .target = target};
    std::sort(choice.parts.begin(), choice.parts.end());
    for (const int part : choice.parts) {
        choice.values.push_back(at(part));
    }
    choice.spread = spread_of(choice.values);
    choice.worst_deviation =
        worst_deviation_of(choice.values, target.value_or(mean_of(choice.values)));
    choice.unused = others(values.size(), choice.parts);
    choice.next = "use " + wording::parts("part", choice.parts);
    return choice;
}

}  // namespace enginewright::matching
