#include "measure/mixture.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace enginewright::measure {

namespace {

using Index = Eigen::Index;

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

void require_amount(const Series& amount)
{
    if (amount.is_constant()) {
        if (!std::isfinite(amount.constant())) {
            refuse("result", "a finite number", amount.constant());
        }
    } else {
        require_results("result", amount.each());
    }
}

/// Sorts a list and adds up what is of one source.
void merge(std::vector<Contribution>& list)
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

}  // namespace

bool vanishes(const Series& amount)
{
    return amount.is_constant() ? amount.constant() == 0 : (amount.each() == 0).all();
}

/// Refuses results beyond the range of doubles, by element.
void require_results(std::string_view name, const Eigen::ArrayXd& values)
{
    // One sum tells whether all are finite: NaN and infinity cannot cancel out of it.
    if (!std::isfinite((values * 0.0).sum())) [[unlikely]] {
        for (Index i = 0; i < values.size(); ++i) {
            if (!std::isfinite(values[i])) {
                refuse(element_name(name, static_cast<std::size_t>(i)), "a finite number",
                       values[i]);
            }
        }
    }
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

void Mixture::add(std::size_t element, std::uint64_t source, double amount)
{
    if (amount != 0) {
        lists_[element].push_back({source, amount});
    }
}

void Mixture::keep_rows(std::size_t length)
{
    row_length_ = row_length_ == 0 || row_length_ == length ? length : several;
}

void Mixture::add(const OwnSources& own)
{
    keep_rows(own.row_length);
    for (std::size_t i = 0; i < lists_.size(); ++i) {
        add(i, own.source(i), own.amount[i]);
    }
}

void Mixture::add(const CommonSource& common)
{
    for (std::size_t i = 0; i < lists_.size(); ++i) {
        add(i, common.source, common.amount[i]);
    }
}

void Mixture::require_rows() const
{
    if (row_length_ == 0 || row_length_ == several) {
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
                Sources::family(source) == Sources::family(before) && row(source) != row(before)) {
                refuse_all("axis 0",
                           "not be mixed: elements are combined along the last axis "
                           "only, got elements of different rows");
            }
        }
    }
}

std::vector<OwnSources> Mixture::own(const QuantityColumn::Shape& shape)
{
    std::size_t width = 0;
    for (auto& list : lists_) {
        merge(list);
        width = std::max(width, list.size());
    }
    require_rows();
    if (width > QuantityColumn::most_own) {
        refuse_all("axis " + std::to_string(shape.empty() ? 0 : shape.size() - 1),
                   "be at most 64 long where its elements are mixed, got " + std::to_string(width) +
                       " sources in one element");
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
                             row_length_ == several ? 0 : row_length_));
    }
    return out;
}

namespace {

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

}  // namespace

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

}  // namespace enginewright::measure
