#include "enginewright/measure/quantity_column.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

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

/// Refuses results beyond the range of doubles, by element.
void require_results(const Eigen::ArrayXd& values)
{
    // One sum tells whether all are finite: NaN and infinity cannot cancel out of it.
    if (!std::isfinite((values * 0.0).sum())) [[unlikely]] {
        for (Index i = 0; i < values.size(); ++i) {
            if (!std::isfinite(values[i])) {
                refuse(element_name("result", static_cast<std::size_t>(i)), "a finite number",
                       values[i]);
            }
        }
    }
}

Series scaled(const Series& amount, const Series& slope)
{
    if (slope.is_constant()) {
        if (slope.constant() == 1) {
            return amount;
        }
        return amount.is_constant() ? Series(amount.constant() * slope.constant())
                                    : Series(Eigen::ArrayXd(amount.each() * slope.constant()));
    }
    return amount.is_constant() ? Series(Eigen::ArrayXd(slope.each() * amount.constant()))
                                : Series(Eigen::ArrayXd(slope.each() * amount.each()));
}

Series added(const Series& a, const Series& b)
{
    if (a.is_constant() && b.is_constant()) {
        return a.constant() + b.constant();
    }
    if (a.is_constant()) {
        return Series(Eigen::ArrayXd(b.each() + a.constant()));
    }
    return b.is_constant() ? Series(Eigen::ArrayXd(a.each() + b.constant()))
                           : Series(Eigen::ArrayXd(a.each() + b.each()));
}

bool vanishes(const Series& amount)
{
    return amount.is_constant() ? amount.constant() == 0 : (amount.each() == 0).all();
}

void require_amount(const Series& amount)
{
    if (amount.is_constant()) {
        if (!std::isfinite(amount.constant())) {
            refuse("result", "a finite number", amount.constant());
        }
    } else {
        require_results(amount.each());
    }
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

bool same_sources(const OwnSources& a, const OwnSources& b)
{
    if (a.each || b.each) {
        return a.each == b.each;
    }
    return a.family == b.family && a.first == b.first;
}

bool may_meet(const OwnSources& a, const OwnSources& b)
{
    return a.least <= b.greatest && b.least <= a.greatest;
}

OwnSources listed(std::vector<std::uint64_t> sources, Series amount, std::size_t row_length)
{
    OwnSources own{.row_length = row_length, .amount = std::move(amount)};
    own.least = std::numeric_limits<std::uint64_t>::max();
    for (const auto each : sources) {
        if (each != 0) {
            own.least = std::min(own.least, each);
            own.greatest = std::max(own.greatest, each);
        }
    }
    own.each = std::make_shared<const std::vector<std::uint64_t>>(std::move(sources));
    return own;
}

/// The sources of single elements, one list an element, sorted: what remains when columns are
/// mixed.
class Mixture {
  public:
    explicit Mixture(std::size_t size) : lists_(size) {}

    void add(std::size_t element, std::uint64_t source, double amount)
    {
        if (amount != 0) {
            lists_[element].push_back({source, amount});
        }
    }

    void keep_rows(std::size_t length)
    {
        row_length_ = row_length_ == 0 || row_length_ == length ? length : mixed;
    }

    void add(const OwnSources& own)
    {
        keep_rows(own.row_length);
        for (std::size_t i = 0; i < lists_.size(); ++i) {
            add(i, own.source(i), own.amount[i]);
        }
    }

    void add(const CommonSource& common)
    {
        for (std::size_t i = 0; i < lists_.size(); ++i) {
            add(i, common.source, common.amount[i]);
        }
    }

    /// Refuses what mixes rows: elements of one family that stand in different rows of it.
    void require_rows() const
    {
        if (row_length_ == 0 || row_length_ == mixed) {
            return;
        }
        const auto row = [&](std::uint64_t source) {
            return (source - Sources::family(source) - 1) / row_length_;
        };
        for (const auto& list : lists_) {
            for (std::size_t i = 1; i < list.size(); ++i) {
                const auto source = list[i].source;
                const auto before = list[i - 1].source;
                if (source != Sources::family(source) &&
                    Sources::family(source) == Sources::family(before) &&
                    row(source) != row(before)) {
                    refuse_all("axis 0",
                               "not be mixed: elements are combined along the last axis "
                               "only, got elements of different rows");
                }
            }
        }
    }

    std::vector<OwnSources> own(const Shape& shape)
    {
        std::size_t width = 0;
        for (auto& list : lists_) {
            merge(list);
            width = std::max(width, list.size());
        }
        require_rows();
        if (width > QuantityColumn::most_own) {
            refuse_all("axis " + std::to_string(shape.empty() ? 0 : shape.size() - 1),
                       "be at most 64 long where its elements are mixed, got " +
                           std::to_string(width) + " sources in one element");
        }
        std::vector<OwnSources> out;
        for (std::size_t slot = 0; slot < width; ++slot) {
            std::vector<std::uint64_t> sources(lists_.size(), 0);
            Eigen::ArrayXd amounts = Eigen::ArrayXd::Zero(static_cast<Index>(lists_.size()));
            for (std::size_t i = 0; i < lists_.size(); ++i) {
                if (slot < lists_[i].size()) {
                    sources[i] = lists_[i][slot].source;
                    amounts[static_cast<Index>(i)] = lists_[i][slot].amount;
                }
            }
            out.push_back(listed(std::move(sources), Series(std::move(amounts)),
                                 row_length_ == mixed ? 0 : row_length_));
        }
        return out;
    }

  private:
    static constexpr std::size_t mixed = std::numeric_limits<std::size_t>::max();

    static void merge(std::vector<Contribution>& list)
    {
        std::ranges::stable_sort(list, {}, &Contribution::source);
        std::size_t kept = 0;
        for (std::size_t i = 0; i < list.size();) {
            Contribution next = list[i];
            for (++i; i < list.size() && list[i].source == next.source; ++i) {
                next.amount += list[i].amount;
            }
            if (next.amount != 0) {
                list[kept++] = next;
            }
        }
        list.resize(kept);
    }

    std::vector<std::vector<Contribution>> lists_;
    std::size_t row_length_ = 0;
};

std::vector<CommonSource> merged_common(const Series& a, std::span<const CommonSource> first,
                                        const Series& b, std::span<const CommonSource> second)
{
    std::vector<CommonSource> out;
    const auto put = [&out](std::uint64_t source, Series amount) {
        if (!vanishes(amount)) {
            require_amount(amount);
            out.push_back({source, std::move(amount)});
        }
    };
    std::size_t i = 0;
    std::size_t j = 0;
    while (i < first.size() || j < second.size()) {
        const bool left =
            j == second.size() || (i < first.size() && first[i].source < second[j].source);
        const bool right =
            i == first.size() || (j < second.size() && second[j].source < first[i].source);
        if (left) {
            put(first[i].source, scaled(first[i].amount, a));
            ++i;
        } else if (right) {
            put(second[j].source, scaled(second[j].amount, b));
            ++j;
        } else {
            put(first[i].source, added(scaled(first[i].amount, a), scaled(second[j].amount, b)));
            ++i;
            ++j;
        }
    }
    return out;
}

/// True when a source lies among those of single elements: it is common no longer.
bool met_by(const CommonSource& common, std::span<const OwnSources> own, std::size_t size)
{
    return std::ranges::any_of(own, [&](const OwnSources& each) {
        if (common.source < each.least || common.source > each.greatest) {
            return false;
        }
        for (std::size_t i = 0; i < size; ++i) {
            if (each.source(i) == common.source) {
                return true;
            }
        }
        return false;
    });
}

struct Doubts {
    std::vector<CommonSource> common{};
    std::vector<OwnSources> own{};
};

/// Adds the own sources of one column, scaled, to those gathered; false when they must be mixed.
bool put_beside(std::vector<OwnSources>& gathered, std::span<const OwnSources> own,
                const Series& slope)
{
    const std::size_t before = gathered.size();
    for (const auto& each : own) {
        const auto limit = gathered.begin() + static_cast<std::ptrdiff_t>(before);
        const auto same = std::find_if(gathered.begin(), limit, [&](const OwnSources& other) {
            return same_sources(each, other);
        });
        const bool stranger = std::none_of(gathered.begin(), limit, [&](const OwnSources& other) {
            return !same_sources(each, other) && may_meet(each, other);
        });
        if (!stranger) {
            return false;
        }
        const Series amount = scaled(each.amount, slope);
        if (same != limit) {
            same->amount = added(same->amount, amount);
        } else {
            gathered.push_back(each);
            gathered.back().amount = amount;
        }
    }
    return true;
}

std::vector<OwnSources> scaled_own(std::span<const OwnSources> own, const Series& slope)
{
    std::vector<OwnSources> out(own.begin(), own.end());
    for (auto& each : out) {
        each.amount = scaled(each.amount, slope);
    }
    return out;
}

Doubts merged(const Series& a, const QuantityColumn& qa, const Series& b, const QuantityColumn& qb)
{
    Doubts out{.common = merged_common(a, qa.common(), b, qb.common())};
    out.own = scaled_own(qa.own(), a);
    const bool beside = put_beside(out.own, qb.own(), b);
    std::vector<CommonSource> met;
    std::erase_if(out.common, [&](const CommonSource& each) {
        const bool meets = met_by(each, qa.own(), qa.size()) || met_by(each, qb.own(), qb.size());
        if (meets) {
            met.push_back(each);
        }
        return meets;
    });
    if (!beside || !met.empty() || out.own.size() > QuantityColumn::most_own) {
        Mixture mixture(qa.size());
        for (const auto& each : scaled_own(qa.own(), a)) {
            mixture.add(each);
        }
        for (const auto& each : scaled_own(qb.own(), b)) {
            mixture.add(each);
        }
        for (const auto& each : met) {
            mixture.add(each);
        }
        out.own = mixture.own(qa.shape());
    }
    std::erase_if(out.own, [](const OwnSources& each) { return vanishes(each.amount); });
    for (const auto& each : out.own) {
        require_amount(each.amount);
    }
    return out;
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
    require_results(sum);
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
    require_results(values);
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
