#include "enginewright/measure/quantity.hpp"

#include <algorithm>
#include <cmath>

#include "numerics/distributions.hpp"

namespace enginewright::measure {

namespace {

void require_result(double value)
{
    if (!std::isfinite(value)) [[unlikely]] {
        refuse("result", "a finite number", value);
    }
}

/// The sum of squares of amounts so large or so small that their squares leave the range.
double scaled_norm(std::span<const Contribution> contributions)
{
    double greatest = 0;
    for (const auto& each : contributions) {
        greatest = std::max(greatest, std::abs(each.amount));
    }
    if (greatest == 0) {
        return 0;
    }
    double sum = 0;
    for (const auto& each : contributions) {
        const double share = each.amount / greatest;
        sum += share * share;
    }
    return greatest * std::sqrt(sum);
}

}  // namespace

Quantity::Quantity(double value, double standard_uncertainty, std::uint64_t source) : value_(value)
{
    require_finite("value", value);
    require_at_least("standard_uncertainty", standard_uncertainty, 0.0);
    if (standard_uncertainty > 0) {
        inside_[0] = {source, standard_uncertainty};
        count_ = 1;
    }
}

Quantity::Quantity(double value, std::span<const Contribution> contributions) : value_(value)
{
    require_finite("value", value);
    std::vector<Contribution> sorted(contributions.begin(), contributions.end());
    std::ranges::stable_sort(sorted, {}, &Contribution::source);
    for (std::size_t i = 0; i < sorted.size();) {
        Contribution next = sorted[i];
        for (++i; i < sorted.size() && sorted[i].source == next.source; ++i) {
            next.amount += sorted[i].amount;
        }
        require_finite("contribution", next.amount);
        append(next);
    }
}

void Quantity::append(Contribution next)
{
    if (next.amount == 0) {
        return;
    }
    if (count_ < inside) {
        inside_[count_++] = next;
        return;
    }
    if (outside_.empty()) {
        outside_.reserve(2 * inside);
        outside_.assign(inside_.begin(), inside_.end());
    }
    outside_.push_back(next);
    ++count_;
}

double Quantity::variance() const
{
    double sum = 0;
    for (const auto& each : contributions()) {
        sum += each.amount * each.amount;
    }
    require_result(sum);
    return sum;
}

double Quantity::standard_uncertainty() const
{
    double sum = 0;
    for (const auto& each : contributions()) {
        sum += each.amount * each.amount;
    }
    constexpr double least = 1e-280;
    constexpr double greatest = 1e300;
    if (sum >= least && sum <= greatest) [[likely]] {
        return std::sqrt(sum);
    }
    const double norm = scaled_norm(contributions());
    require_result(norm);
    return norm;
}

double Quantity::degrees_of_freedom(const Sources& sources) const
{
    const bool known = std::ranges::all_of(contributions(), [](const Contribution& each) {
        return Sources::has_infinite_freedom(each.source);
    });
    if (known) {
        return infinite_freedom;
    }
    const double u = standard_uncertainty();
    double sum = 0;
    for (const auto& each : contributions()) {
        const double share = each.amount / u;
        sum += share * share * share * share / sources.degrees_of_freedom(each.source);
    }
    return sum > 0 ? 1 / sum : infinite_freedom;
}

double Quantity::contribution(std::uint64_t source) const
{
    const auto all = contributions();
    const auto found = std::ranges::lower_bound(all, source, {}, &Contribution::source);
    return found != all.end() && found->source == source ? found->amount : 0.0;
}

Quantity combine(double value, double a, const Quantity& qa, double b, const Quantity& qb)
{
    require_result(value);
    Quantity out(value);
    const auto first = qa.contributions();
    const auto second = qb.contributions();
    const auto put = [&out](std::uint64_t source, double amount) {
        require_result(amount);
        out.append({source, amount});
    };
    std::size_t i = 0;
    std::size_t j = 0;
    while (i < first.size() && j < second.size()) {
        if (first[i].source < second[j].source) {
            put(first[i].source, a * first[i].amount);
            ++i;
        } else if (second[j].source < first[i].source) {
            put(second[j].source, b * second[j].amount);
            ++j;
        } else {
            put(first[i].source, a * first[i].amount + b * second[j].amount);
            ++i;
            ++j;
        }
    }
    for (; i < first.size(); ++i) {
        put(first[i].source, a * first[i].amount);
    }
    for (; j < second.size(); ++j) {
        put(second[j].source, b * second[j].amount);
    }
    return out;
}

Quantity combine(double a, const Quantity& qa, double b, const Quantity& qb)
{
    return combine(a * qa.value() + b * qb.value(), a, qa, b, qb);
}

Quantity combine(double value, std::span<const double> gradient, std::span<const Quantity> inputs)
{
    if (gradient.size() != inputs.size()) {
        refuse_all("gradient", "hold one slope for each of the " + std::to_string(inputs.size()) +
                                   " inputs, got " + std::to_string(gradient.size()));
    }
    Quantity sum;
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        sum = combine(value, 1.0, sum, gradient[i], inputs[i]);
    }
    return inputs.empty() ? Quantity(value) : sum;
}

Quantity operator+(const Quantity& a, const Quantity& b) { return combine(1.0, a, 1.0, b); }

Quantity operator-(const Quantity& a, const Quantity& b) { return combine(1.0, a, -1.0, b); }

Quantity operator*(const Quantity& a, const Quantity& b)
{
    return combine(a.value() * b.value(), b.value(), a, a.value(), b);
}

Quantity operator/(const Quantity& a, const Quantity& b)
{
    if (b.value() == 0) {
        refuse("divisor", "other than 0", b.value());
    }
    const double ratio = a.value() / b.value();
    return combine(ratio, 1 / b.value(), a, -ratio / b.value(), b);
}

Quantity operator-(const Quantity& a) { return combine(-1.0, a, 0.0, Quantity{}); }

double covariance(const Quantity& a, const Quantity& b)
{
    const auto first = a.contributions();
    const auto second = b.contributions();
    double sum = 0;
    for (std::size_t i = 0, j = 0; i < first.size() && j < second.size();) {
        if (first[i].source == second[j].source) {
            sum += first[i++].amount * second[j++].amount;
        } else {
            ++(first[i].source < second[j].source ? i : j);
        }
    }
    return sum;
}

double correlation(const Quantity& a, const Quantity& b)
{
    const double ua = a.standard_uncertainty();
    const double ub = b.standard_uncertainty();
    if (ua == 0 || ub == 0) {
        return 0;
    }
    return std::clamp(covariance(a, b) / ua / ub, -1.0, 1.0);
}

double coverage_factor(double degrees_of_freedom, double level)
{
    if (!(level > 0 && level < 1)) {
        refuse("level", "above 0 and below 1", level);
    }
    if (!(degrees_of_freedom >= least_freedom)) {
        refuse("degrees_of_freedom", "at least 0.1", degrees_of_freedom);
    }
    return -numerics::t_quantile(0.5 - level / 2, degrees_of_freedom);
}

}  // namespace enginewright::measure
