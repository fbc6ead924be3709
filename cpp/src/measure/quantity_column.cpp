#include "enginewright/measure/quantity_column.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "measure/mixture.hpp"

namespace enginewright::measure {

namespace {

using Shape = QuantityColumn::Shape;
using Index = Eigen::Index;

Index count_of(const Shape& shape)
{
    Index count = 1;
    for (const auto length : shape) {
        count *= length;
    }
    return count;
}

Series picked(const Series& amount, std::span<const std::ptrdiff_t> indices)
{
    if (amount.is_constant()) {
        return amount;
    }
    Eigen::ArrayXd out(static_cast<Index>(indices.size()));
    for (std::size_t i = 0; i < indices.size(); ++i) {
        out[static_cast<Index>(i)] = amount.each()[indices[i]];
    }
    return Series(std::move(out));
}

/// Adds a power of each amount, weighed, to a sum over the sources.
void add_power(Eigen::ArrayXd& sum, double& constant, const Series& amount, double weight,
               int power)
{
    if (amount.is_constant()) {
        constant += std::pow(amount.constant(), power) * weight;
    } else if (power == 2) {
        sum += amount.each().square() * weight;
    } else {
        sum += amount.each().square().square() * weight;
    }
}

}  // namespace

QuantityColumn::QuantityColumn(Eigen::ArrayXd values, Shape shape)
    : QuantityColumn(std::move(values), std::move(shape), {}, {})
{
}

QuantityColumn::QuantityColumn(const Quantity& quantity, Shape shape)
    : values_(std::make_shared<const Eigen::ArrayXd>(
          Eigen::ArrayXd::Constant(count_of(shape), quantity.value()))),
      shape_(std::move(shape))
{
    for (const auto& each : quantity.contributions()) {
        common_.push_back({each.source, each.amount});
    }
}

QuantityColumn::QuantityColumn(Eigen::ArrayXd values, Shape shape, Series standard_uncertainty,
                               std::uint64_t source, bool common)
    : QuantityColumn(std::move(values), std::move(shape), {}, {})
{
    if (vanishes(standard_uncertainty)) {
        return;
    }
    if (common) {
        common_.push_back({source, std::move(standard_uncertainty)});
    } else if (size() > 0) {
        own_.push_back({.family = Sources::family(source),
                        .least = Sources::member(source, 0),
                        .greatest = Sources::member(source, size() - 1),
                        .row_length = static_cast<std::size_t>(shape_.empty() ? 1 : shape_.back()),
                        .amount = std::move(standard_uncertainty)});
    }
}

QuantityColumn::QuantityColumn(Eigen::ArrayXd values, Shape shape, std::vector<CommonSource> common,
                               std::vector<OwnSources> own)
    : values_(std::make_shared<const Eigen::ArrayXd>(std::move(values))),
      shape_(std::move(shape)),
      common_(std::move(common)),
      own_(std::move(own))
{
    if (values_->size() != count_of(shape_)) {
        refuse_all("value", "fill its shape");
    }
}

QuantityColumn QuantityColumn::stack(std::span<const Quantity> quantities)
{
    const auto n = static_cast<Index>(quantities.size());
    Eigen::ArrayXd values(n);
    std::map<std::uint64_t, std::size_t> uses;
    for (Index i = 0; i < n; ++i) {
        const auto& each = quantities[static_cast<std::size_t>(i)];
        values[i] = each.value();
        for (const auto& contribution : each.contributions()) {
            ++uses[contribution.source];
        }
    }
    // What at least half of them share is a column of its own; the rest stays with its element.
    std::vector<CommonSource> common;
    Mixture mixture(quantities.size());
    std::map<std::uint64_t, Eigen::ArrayXd> shared;
    for (std::size_t i = 0; i < quantities.size(); ++i) {
        for (const auto& contribution : quantities[i].contributions()) {
            const bool widely = 2 * uses[contribution.source] >= quantities.size();
            if (!widely) {
                mixture.add(i, contribution.source, contribution.amount);
                continue;
            }
            auto& amounts =
                shared.try_emplace(contribution.source, Eigen::ArrayXd::Zero(n)).first->second;
            amounts[static_cast<Index>(i)] = contribution.amount;
        }
    }
    common.reserve(shared.size());
    for (auto& [source, amounts] : shared) {
        common.push_back({source, Series(std::move(amounts))});
    }
    return {std::move(values), {n}, std::move(common), mixture.own({n})};
}

Eigen::ArrayXd QuantityColumn::variance() const
{
    Eigen::ArrayXd sum = Eigen::ArrayXd::Zero(values_->size());
    double constant = 0;
    for (const auto& each : common_) {
        add_power(sum, constant, each.amount, 1, 2);
    }
    for (const auto& each : own_) {
        add_power(sum, constant, each.amount, 1, 2);
    }
    sum += constant;
    require_results("result", sum);
    return sum;
}

Eigen::ArrayXd QuantityColumn::standard_uncertainty() const { return variance().sqrt(); }

Eigen::ArrayXd QuantityColumn::degrees_of_freedom(const Sources& sources) const
{
    Eigen::ArrayXd sum = Eigen::ArrayXd::Zero(values_->size());
    double constant = 0;
    for (const auto& each : common_) {
        add_power(sum, constant, each.amount, 1 / sources.degrees_of_freedom(each.source), 4);
    }
    for (const auto& each : own_) {
        if (!each.each) {
            add_power(sum, constant, each.amount, 1 / sources.degrees_of_freedom(each.family), 4);
            continue;
        }
        for (std::size_t i = 0; i < size(); ++i) {
            if (const double amount = each.amount[i]; amount != 0) {
                sum[static_cast<Index>(i)] +=
                    std::pow(amount, 4) / sources.degrees_of_freedom(each.source(i));
            }
        }
    }
    sum += constant;
    const Eigen::ArrayXd fourth = variance().square();
    return (sum > 0).select(fourth / sum, infinite_freedom);
}

Quantity QuantityColumn::at(std::size_t index) const
{
    std::vector<Contribution> all;
    for (const auto& each : common_) {
        all.push_back({each.source, each.amount[index]});
    }
    for (const auto& each : own_) {
        all.push_back({each.source(index), each.amount[index]});
    }
    return {(*values_)[static_cast<Index>(index)], all};
}

QuantityColumn QuantityColumn::take(std::span<const std::ptrdiff_t> indices, Shape shape) const
{
    std::vector<CommonSource> common;
    for (const auto& each : common_) {
        common.push_back({each.source, picked(each.amount, indices)});
    }
    bool in_row = true;  // a run of neighbours keeps its short form
    for (std::size_t i = 1; i < indices.size(); ++i) {
        in_row = in_row && indices[i] == indices[i - 1] + 1;
    }
    std::vector<OwnSources> own;
    for (const auto& each : own_) {
        Series amount = picked(each.amount, indices);
        if (in_row && !each.each && !indices.empty()) {
            OwnSources next = each;
            next.first += static_cast<std::size_t>(indices.front());
            next.least = Sources::member(each.family, next.first);
            next.greatest = Sources::member(each.family, next.first + indices.size() - 1);
            next.amount = std::move(amount);
            own.push_back(std::move(next));
            continue;
        }
        std::vector<std::uint64_t> sources;
        sources.reserve(indices.size());
        for (const auto index : indices) {
            sources.push_back(each.source(static_cast<std::size_t>(index)));
        }
        own.push_back(listed(std::move(sources), std::move(amount), each.row_length));
    }
    return {picked(Series(*values_), indices).each(), std::move(shape), std::move(common),
            std::move(own)};
}

QuantityColumn QuantityColumn::stretched(const Shape& shape) const
{
    if (shape == shape_) {
        return *this;
    }
    if (common_shape(shape_, shape) != shape) {
        refuse_all("shape", "fit the other array");
    }
    // Walks the new shape with the old strides; an axis of length 1 does not move.
    std::vector<std::ptrdiff_t> stride(shape.size(), 0);
    std::ptrdiff_t step = 1;
    for (std::size_t back = 1; back <= shape_.size(); ++back) {
        const auto length = shape_[shape_.size() - back];
        stride[shape.size() - back] = length == 1 ? 0 : step;
        step *= length;
    }
    std::vector<std::ptrdiff_t> indices(static_cast<std::size_t>(count_of(shape)));
    Shape at(shape.size(), 0);
    std::ptrdiff_t from = 0;
    for (auto& index : indices) {
        index = from;
        for (std::size_t axis = shape.size(); axis-- > 0;) {
            from += stride[axis];
            if (++at[axis] < shape[axis]) {
                break;
            }
            from -= stride[axis] * shape[axis];
            at[axis] = 0;
        }
    }
    return take(indices, shape);
}

Quantity QuantityColumn::sum() const
{
    std::vector<Contribution> all;
    const auto total = [this](const Series& amount) {
        return amount.is_constant() ? amount.constant() * static_cast<double>(size())
                                    : amount.each().sum();
    };
    for (const auto& each : common_) {
        all.push_back({each.source, total(each.amount)});
    }
    for (const auto& each : own_) {
        for (std::size_t i = 0; i < size(); ++i) {
            if (each.amount[i] != 0) {
                all.push_back({each.source(i), each.amount[i]});
            }
        }
    }
    return {values_->sum(), all};
}

QuantityColumn QuantityColumn::sum_last() const
{
    const auto length = static_cast<std::size_t>(shape_.back());
    const Shape shape(shape_.begin(), shape_.end() - 1);
    const auto rows = static_cast<std::size_t>(count_of(shape));
    const auto summed = [&](const Series& series) {
        Eigen::ArrayXd out(static_cast<Index>(rows));
        for (std::size_t r = 0; r < rows; ++r) {
            double sum = 0;
            for (std::size_t c = 0; c < length; ++c) {
                sum += series[r * length + c];
            }
            out[static_cast<Index>(r)] = sum;
        }
        return out;
    };
    std::vector<CommonSource> common;
    for (const auto& each : common_) {
        const bool constant = each.amount.is_constant();
        common.push_back(
            {each.source, constant ? Series(each.amount.constant() * static_cast<double>(length))
                                   : Series(summed(each.amount))});
    }
    Mixture mixture(rows);
    for (const auto& each : own_) {
        mixture.keep_rows(each.row_length);
        for (std::size_t i = 0; i < size(); ++i) {
            mixture.add(i / length, each.source(i), each.amount[i]);
        }
    }
    std::vector<OwnSources> own = mixture.own({static_cast<std::ptrdiff_t>(rows)});
    return {summed(Series(*values_)), shape, std::move(common), std::move(own)};
}

QuantityColumn::Shape common_shape(const Shape& a, const Shape& b)
{
    Shape out(std::max(a.size(), b.size()), 1);
    for (std::size_t back = 1; back <= out.size(); ++back) {
        const auto own = back <= a.size() ? a[a.size() - back] : 1;
        const auto other = back <= b.size() ? b[b.size() - back] : 1;
        if (own != other && own != 1 && other != 1) {
            refuse_all("shapes", "fit together, got " + std::to_string(own) + " and " +
                                     std::to_string(other) + " elements along one axis");
        }
        out[out.size() - back] = own == 1 ? other : own;
    }
    return out;
}

QuantityColumn combine(Eigen::ArrayXd values, const Series& a, const QuantityColumn& qa,
                       const Series& b, const QuantityColumn& qb)
{
    require_results("result", values);
    Doubts doubts = merged(a, qa, b, qb);
    return {std::move(values), qa.shape(), std::move(doubts.common), std::move(doubts.own)};
}

Eigen::ArrayXd covariance(const QuantityColumn& a, const QuantityColumn& b)
{
    Eigen::ArrayXd out(static_cast<Index>(a.size()));
    for (std::size_t i = 0; i < a.size(); ++i) {
        out[static_cast<Index>(i)] = covariance(a.at(i), b.at(i));
    }
    return out;
}

Eigen::MatrixXd covariance_matrix(const QuantityColumn& column)
{
    const auto n = static_cast<Index>(column.size());
    std::vector<Quantity> each;
    each.reserve(column.size());
    for (std::size_t i = 0; i < column.size(); ++i) {
        each.push_back(column.at(i));
    }
    Eigen::MatrixXd out(n, n);
    for (Index i = 0; i < n; ++i) {
        for (Index j = 0; j <= i; ++j) {
            out(i, j) =
                covariance(each[static_cast<std::size_t>(i)], each[static_cast<std::size_t>(j)]);
            out(j, i) = out(i, j);
        }
    }
    return out;
}

QuantityColumn stack(std::span<const Quantity> quantities)
{
    return QuantityColumn::stack(quantities);
}

}  // namespace enginewright::measure
