#include "enginewright/measure/propagate.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "enginewright/measure.hpp"
#include "measure/mixture.hpp"

namespace enginewright::measure {

namespace {

constexpr double epsilon = std::numeric_limits<double>::epsilon();

/// How far from the values second and third slopes are taken, in standard uncertainties: farther
/// than first ones, whose rounding is divided by the step only once.
constexpr double bend_step = 0.5;

/// The sources of some quantities, each once, in the order of the quantities.
std::vector<std::uint64_t> sources_of(std::span<const Quantity> quantities)
{
    std::vector<std::uint64_t> all;
    for (const auto& quantity : quantities) {
        for (const auto& each : quantity.contributions()) {
            if (std::ranges::find(all, each.source) == all.end()) {
                all.push_back(each.source);
            }
        }
    }
    return all;
}

/// A source moved by so many of its standard uncertainties.
struct Move {
    std::size_t source;
    double by;
};

/// A formula around the values of its arguments, as a function of the sources of doubt.
class Surroundings {
  public:
    Surroundings(const Formula& function, std::span<const Quantity> quantities)
        : function_(function), sources_(sources_of(quantities))
    {
        for (const auto& each : quantities) {
            values_.push_back(each.value());
        }
        for (const auto source : sources_) {
            std::vector<double> amounts;
            for (const auto& each : quantities) {
                amounts.push_back(each.contribution(source));
            }
            amounts_.push_back(std::move(amounts));
        }
        value_ = function_(values_);
        require_finite("the result of function", value_);
    }

    double value() const { return value_; }
    const std::vector<std::uint64_t>& sources() const { return sources_; }

    /// The formula with some sources moved; none where it does not hold.
    std::optional<double> at(std::initializer_list<Move> moves) const
    {
        try {
            const double there = function_(moved(moves));
            return std::isfinite(there) ? std::optional(there) : std::nullopt;
        } catch (const std::invalid_argument&) {
            return std::nullopt;
        }
    }

    /// How far a move really goes: what rounding leaves of it in the argument that feels it least,
    /// in standard uncertainties.
    double length(std::size_t source, double from, double to) const
    {
        const auto& amounts = amounts_[source];
        std::size_t least = 0;
        double worst = -1;
        for (std::size_t i = 0; i < amounts.size(); ++i) {
            const double rounding = amounts[i] == 0 ? 0.0 : std::abs(values_[i] / amounts[i]);
            if (amounts[i] != 0 && rounding > worst) {
                worst = rounding;
                least = i;
            }
        }
        return ((values_[least] + to * amounts[least]) - (values_[least] + from * amounts[least])) /
               amounts[least];
    }

  private:
    std::vector<double> moved(std::initializer_list<Move> moves) const
    {
        std::vector<double> there = values_;
        for (const auto& move : moves) {
            for (std::size_t i = 0; i < there.size(); ++i) {
                there[i] += move.by * amounts_[move.source][i];
            }
        }
        return there;
    }

    const Formula& function_;
    std::vector<std::uint64_t> sources_;
    std::vector<double> values_{};
    std::vector<std::vector<double>> amounts_{};
    double value_ = 0;
};

[[noreturn]] void refuse_no_room()
{
    throw std::invalid_argument(
        "the quantities must leave room for their uncertainty within what the function takes");
}

/// Contribution of one source: the formula's slope along it, times its standard uncertainty.
double slope_along(const Surroundings& around, std::size_t j)
{
    constexpr double h = slope_step;
    const auto above = around.at({{j, h}});
    const auto below = around.at({{j, -h}});
    const auto near_above = around.at({{j, h / 2}});
    const auto near_below = around.at({{j, -h / 2}});
    if (above && below && near_above && near_below) {
        // A source that drops out leaves rounding behind, which is no doubt.
        const double noise = 4 * epsilon * std::max(std::abs(*above), std::abs(*below));
        if (std::abs(*above - *below) <= noise && std::abs(*near_above - *near_below) <= noise) {
            return 0;
        }
        return slope_through({.below = *below,
                              .near_below = *near_below,
                              .at = around.value(),
                              .near_above = *near_above,
                              .above = *above,
                              .far_down = around.length(j, 0, -h),
                              .near_down = around.length(j, 0, -h / 2),
                              .near_up = around.length(j, 0, h / 2),
                              .far_up = around.length(j, 0, h)});
    }
    const bool upward = above && near_above;
    if (!upward && !(below && near_below)) {
        refuse_no_room();
    }
    const double side = upward ? h : -h;
    const double far = (upward ? *above : *below) - around.value();
    const double near = (upward ? *near_above : *near_below) - around.value();
    if (is_steep_edge(far, near, around.value())) {
        throw std::invalid_argument(
            "the quantities must stand away from the edge where the slope of function is infinite");
    }
    return one_sided_slope(far, around.length(j, 0, side), near, around.length(j, 0, side / 2));
}

/// What the second order adds to the variance, from differences on a square of points.
class Bends {
  public:
    Bends(const Surroundings& around, std::span<const double> slopes)
        : around_(around), slopes_(slopes)
    {
    }

    double variance() const
    {
        double sum = 0;
        for (std::size_t i = 0; i < slopes_.size(); ++i) {
            const auto [second, third] = alone(i);
            sum += second * second / 2 + slopes_[i] * third;
            for (std::size_t j = i + 1; j < slopes_.size(); ++j) {
                const auto both = together(i, j);
                sum += both.mixed * both.mixed + slopes_[i] * both.first_second_second +
                       slopes_[j] * both.first_first_second;
            }
        }
        return sum;
    }

  private:
    struct Alone {
        double second, third;
    };
    struct Together {
        double mixed = 0, first_first_second = 0, first_second_second = 0;
    };

    double at(std::initializer_list<Move> moves) const
    {
        const auto there = around_.at(moves);
        if (!there) {
            refuse_no_room();
        }
        return *there;
    }

    /// One step of Richardson's; rounding alone counts as nothing.
    double refined(double far, double near, double step_power) const
    {
        const double better = (4 * near - far) / 3;
        const double noise = 64 * epsilon * std::abs(around_.value()) / step_power;
        return std::abs(better) <= noise ? 0.0 : better;
    }

    Alone alone(std::size_t i) const
    {
        const auto differences = [&](double h) {
            const double up = at({{i, h}});
            const double down = at({{i, -h}});
            return Alone{
                (up - 2 * around_.value() + down) / (h * h),
                (at({{i, 2 * h}}) - 2 * up + 2 * down - at({{i, -2 * h}})) / (2 * h * h * h)};
        };
        constexpr double h = bend_step;
        const auto far = differences(h);
        const auto near = differences(h / 2);
        return {refined(far.second, near.second, h * h / 4),
                refined(far.third, near.third, h * h * h / 8)};
    }

    Together together(std::size_t i, std::size_t j) const
    {
        const auto differences = [&](double h) {
            const double pp = at({{i, h}, {j, h}});
            const double pm = at({{i, h}, {j, -h}});
            const double mp = at({{i, -h}, {j, h}});
            const double mm = at({{i, -h}, {j, -h}});
            const double i_only = at({{i, h}}) - at({{i, -h}});
            const double j_only = at({{j, h}}) - at({{j, -h}});
            return Together{
                .mixed = (pp - pm - mp + mm) / (4 * h * h),
                .first_first_second = ((pp - pm) - 2 * j_only + (mp - mm)) / (2 * h * h * h),
                .first_second_second = ((pp - mp) - 2 * i_only + (pm - mm)) / (2 * h * h * h)};
        };
        constexpr double h = bend_step;
        const auto far = differences(h);
        const auto near = differences(h / 2);
        return {refined(far.mixed, near.mixed, h * h / 4),
                refined(far.first_first_second, near.first_first_second, h * h * h / 8),
                refined(far.first_second_second, near.first_second_second, h * h * h / 8)};
    }

    const Surroundings& around_;
    std::span<const double> slopes_;
};

}  // namespace

Quantity propagate(const Formula& function, std::span<const Quantity> quantities, int order,
                   Sources& sources)
{
    if (order != 1 && order != 2) {
        refuse("order", "1 or 2", order);
    }
    if (quantities.empty()) {
        refuse_all("quantities", "hold at least 1, got 0");
    }
    const Surroundings around(function, quantities);
    std::vector<double> slopes;
    std::vector<Contribution> contributions;
    for (std::size_t j = 0; j < around.sources().size(); ++j) {
        slopes.push_back(slope_along(around, j));
        contributions.push_back({around.sources()[j], slopes.back()});
    }
    Quantity result(around.value(), contributions);
    if (order == 2) {
        const double more = Bends(around, slopes).variance();
        require_finite("the second order of function", more);
        if (more > 0) {
            result = result + Quantity(0.0, std::sqrt(more), sources.unnamed());
        }
    }
    return result;
}

namespace {

/// Elements that are worked on at a time: whatever a formula makes of them then stays in the cache.
constexpr Eigen::Index block_size = 8192;

/// What a formula gives for columns of one length.
Eigen::ArrayXd evaluated(const ArrayFormula& function, std::span<const Eigen::ArrayXd> values)
{
    Eigen::ArrayXd results = function(values);
    if (results.size() != values.front().size()) {
        refuse_all("function", "give as many numbers as it gets, " +
                                   std::to_string(values.front().size()) + ", got " +
                                   std::to_string(results.size()));
    }
    require_results("the result of function", results);
    return results;
}

/// Values of columns, one of them moved.
class ColumnRun {
  public:
    ColumnRun(const ArrayFormula& function, std::vector<Eigen::ArrayXd> values,
              Eigen::ArrayXd value)
        : function_(function), values_(std::move(values)), value_(std::move(value))
    {
    }

    /// Slope of each element along one argument.
    Eigen::ArrayXd slope(std::size_t argument, const Eigen::ArrayXd& uncertainty)
    {
        const Eigen::ArrayXd& x = values_[argument];
        const Eigen::ArrayXd step = uncertainty * slope_step;
        std::array<Eigen::ArrayXd, 4> at{x + step, x - step, x + step / 2, x - step / 2};
        std::array<std::optional<Eigen::ArrayXd>, 4> there;
        for (std::size_t k = 0; k < 4; ++k) {
            there[k] = moved(argument, at[k]);
        }
        Eigen::ArrayXd slope(value_.size());
        const bool upward = there[0] && there[2];
        const bool downward = there[1] && there[3];
        if (!upward && !downward) {
            refuse_no_room();
        }
        for (Eigen::Index i = 0; i < slope.size(); ++i) {
            if (upward && downward) {
                slope[i] = central_slope((*there[0])[i] - (*there[1])[i], at[0][i] - at[1][i],
                                         (*there[2])[i] - (*there[3])[i], at[2][i] - at[3][i]);
            } else {
                const std::size_t k = upward ? 0 : 1;
                slope[i] = one_sided_slope((*there[k])[i] - value_[i], at[k][i] - x[i],
                                           (*there[k + 2])[i] - value_[i], at[k + 2][i] - x[i]);
            }
        }
        return slope;
    }

  private:
    /// Two columns that have changed places for as long as this lives, whatever is thrown.
    class Exchanged {
      public:
        Exchanged(Eigen::ArrayXd& a, Eigen::ArrayXd& b) : a_(a), b_(b) { a_.swap(b_); }
        ~Exchanged() { a_.swap(b_); }
        Exchanged(const Exchanged&) = delete;
        Exchanged& operator=(const Exchanged&) = delete;

      private:
        Eigen::ArrayXd& a_;
        Eigen::ArrayXd& b_;
    };

    std::optional<Eigen::ArrayXd> moved(std::size_t argument, Eigen::ArrayXd& to)
    {
        const Exchanged there_now(values_[argument], to);
        try {
            auto there = function_(values_);
            const bool holds = there.size() == value_.size() && there.isFinite().all();
            return holds ? std::optional(std::move(there)) : std::nullopt;
        } catch (const std::invalid_argument&) {
            return std::nullopt;
        }
    }

    const ArrayFormula& function_;
    std::vector<Eigen::ArrayXd> values_;
    Eigen::ArrayXd value_;
};

/// Slopes along all arguments; nothing for one without doubt.
std::vector<Eigen::ArrayXd> slopes_of(ColumnRun run, std::span<const Eigen::ArrayXd> doubts)
{
    std::vector<Eigen::ArrayXd> slopes;
    for (std::size_t i = 0; i < doubts.size(); ++i) {
        const bool doubted = (doubts[i] > 0).any();
        slopes.push_back(doubted ? run.slope(i, doubts[i]) : Eigen::ArrayXd());
    }
    return slopes;
}

/// The same block by block; none where the formula does not treat each element for itself, or
/// refuses somewhere: the whole column then shows how.
std::optional<std::vector<Eigen::ArrayXd>> slopes_by_blocks(const ArrayFormula& function,
                                                            std::span<const Eigen::ArrayXd> values,
                                                            std::span<const Eigen::ArrayXd> doubts,
                                                            const Eigen::ArrayXd& value)
{
    std::vector<Eigen::ArrayXd> slopes;
    for (const auto& each : doubts) {
        slopes.emplace_back((each > 0).any() ? each.size() : 0);
    }
    for (Eigen::Index first = 0; first < value.size(); first += block_size) {
        const auto count = std::min(block_size, value.size() - first);
        std::vector<Eigen::ArrayXd> block;
        for (const auto& each : values) {
            block.emplace_back(each.segment(first, count));
        }
        try {
            Eigen::ArrayXd there = evaluated(function, block);
            if (!(there == value.segment(first, count)).all()) {
                return std::nullopt;
            }
            ColumnRun run(function, std::move(block), std::move(there));
            for (std::size_t i = 0; i < slopes.size(); ++i) {
                if (slopes[i].size() > 0) {
                    slopes[i].segment(first, count) = run.slope(i, doubts[i].segment(first, count));
                }
            }
        } catch (const std::invalid_argument&) {
            return std::nullopt;
        }
    }
    return slopes;
}

}  // namespace

QuantityColumn propagate_each(const ArrayFormula& function, std::span<const QuantityColumn> columns)
{
    if (columns.empty()) {
        refuse_all("quantities", "hold at least 1 column, got 0");
    }
    const auto& shape = columns.front().shape();
    for (const auto& each : columns) {
        if (each.shape() != shape) {
            refuse_all("quantities", "be columns of one shape");
        }
    }
    std::vector<Eigen::ArrayXd> values;
    std::vector<Eigen::ArrayXd> doubts;
    for (const auto& each : columns) {
        values.push_back(each.values());
        doubts.push_back(each.standard_uncertainty());
    }
    const Eigen::ArrayXd value = evaluated(function, values);
    // Columns of several axes go to the formula whole: it may tell the axes apart.
    std::optional<std::vector<Eigen::ArrayXd>> slopes;
    if (shape.size() == 1 && value.size() > 2 * block_size) {
        slopes = slopes_by_blocks(function, values, doubts, value);
    }
    if (!slopes) {
        slopes = slopes_of(ColumnRun(function, std::move(values), value), doubts);
    }
    QuantityColumn result(value, shape);
    for (std::size_t i = 0; i < columns.size(); ++i) {
        if ((*slopes)[i].size() > 0) {
            result =
                combine(value, Series(1.0), result, Series(std::move((*slopes)[i])), columns[i]);
        }
    }
    return result;
}

}  // namespace enginewright::measure
