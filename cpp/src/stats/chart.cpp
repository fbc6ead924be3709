#include <algorithm>
#include <cmath>

#include "enginewright/check.hpp"
#include "enginewright/stats/charts.hpp"
#include "stats/moments.hpp"
#include "stats/subgroups.hpp"

namespace enginewright::stats {

namespace {

std::size_t baseline_count(const Values& values, std::optional<int> baseline)
{
    const std::size_t all = values.single() ? values.readings.size() : values.subgroups();
    if (!baseline) {
        return all;
    }
    const double least = values.single() ? 2 : 1;
    require_between("baseline", *baseline, least, static_cast<double>(all));
    return static_cast<std::size_t>(*baseline);
}

double mean_of_first(std::span<const double> numbers, std::size_t count)
{
    return moments(numbers.first(count)).mean;
}

void require_spread(double sigma)
{
    if (!(sigma > 0)) {
        refuse_all("values", "have some spread in the baseline, got none");
    }
}

void set_limits(Chart& chart, double half_width, double lower_share, double upper_share)
{
    chart.lower = chart.centre - half_width;
    chart.upper = chart.centre + half_width;
    chart.spread_lower = lower_share * chart.spread_centre;
    chart.spread_upper = upper_share * chart.spread_centre;
}

Chart individuals(std::span<const double> readings, std::size_t baseline)
{
    Chart chart{.kind = ChartKind::individuals};
    chart.points.assign(readings.begin(), readings.end());
    chart.spread_points.resize(readings.size() - 1);
    for (std::size_t i = 1; i < readings.size(); ++i) {
        chart.spread_points[i - 1] = std::abs(readings[i] - readings[i - 1]);
    }
    const auto two = chart_constants(2);
    chart.centre = mean_of_first(readings, baseline);
    chart.spread_centre = mean_moving_range(readings, baseline);
    chart.sigma = chart.spread_centre / two.d2;
    require_spread(chart.sigma);
    set_limits(chart, 3 * chart.sigma, two.D3, two.D4);
    return chart;
}

Chart of_subgroups(const Values& values, ChartKind kind, std::size_t baseline)
{
    Chart chart{.kind = kind};
    const bool by_range = kind == ChartKind::mean_and_range;
    for (std::size_t i = 0; i < values.subgroups(); ++i) {
        const auto of = moments(values.subgroup(i));
        chart.points.push_back(of.mean);
        chart.spread_points.push_back(by_range ? of.maximum - of.minimum
                                               : deviation(of, values.subgroup_size));
    }
    const auto factors = chart_constants(static_cast<double>(values.subgroup_size));
    chart.centre = mean_of_first(chart.points, baseline);
    chart.spread_centre = mean_of_first(chart.spread_points, baseline);
    chart.sigma = chart.spread_centre / (by_range ? factors.d2 : factors.c4);
    require_spread(chart.sigma);
    set_limits(chart, (by_range ? factors.A2 : factors.A3) * chart.spread_centre,
               by_range ? factors.D3 : factors.B3, by_range ? factors.D4 : factors.B4);
    return chart;
}

}  // namespace

void require_values(const Values& values)
{
    if (values.single()) {
        require_values("values", values.readings, 2);
        return;
    }
    if (values.subgroup_size < 2 || values.subgroup_size > 1000 || values.readings.empty()) {
        refuse_all("values", "hold at least 1 subgroup of 2 to 1000 readings, got " +
                                 std::to_string(values.subgroups()) + " of " +
                                 std::to_string(values.subgroup_size));
    }
    require_values("values", values.readings, 2);
}

Chart chart(const Values& values, std::optional<ChartKind> kind, std::optional<int> baseline,
            const std::vector<Pattern>& rules)
{
    require_values(values);
    const auto chosen =
        kind.value_or(values.single() ? ChartKind::individuals : ChartKind::mean_and_range);
    if ((chosen == ChartKind::individuals) != values.single()) {
        refuse_all("kind", values.single()
                               ? "be individuals where values have one dimension, got '" +
                                     std::string(word(chosen)) + "'"
                               : "be mean and range or mean and deviation where values have two "
                                 "dimensions, got 'individuals'");
    }
    const std::size_t first = baseline_count(values, baseline);
    Chart made =
        values.single() ? individuals(values.readings, first) : of_subgroups(values, chosen, first);
    const double of_a_point =
        values.single() ? made.sigma
                        : made.sigma / std::sqrt(static_cast<double>(values.subgroup_size));
    made.signals = signals(made.points, made.centre, of_a_point, rules);
    return made;
}

}  // namespace enginewright::stats
