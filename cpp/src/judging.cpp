#include "judging.hpp"

#include <set>

#include "wording.hpp"

namespace enginewright::judging {

JudgedSet judge_set(std::span<const double> figures, std::span<const double> uncertainties,
                    std::optional<double> lower, std::optional<double> upper,
                    const std::function<std::string(std::size_t)>& what, std::string_view unit)
{
    const auto shown = [&](double value) { return fixed_text(value, 3).append(" ").append(unit); };
    JudgedSet set;
    for (std::size_t i = 0; i < figures.size(); ++i) {
        const auto decision =
            measure::decide(figures[i], uncertainties[i], measure::infinite_freedom, lower, upper);
        set.verdicts.push_back(decision.verdict);
        set.verdict = measure::worst({set.verdict, decision.verdict});
        if (decision.verdict != Standing::outside && decision.verdict != Standing::unproven) {
            continue;
        }
        const bool high = decision.side == measure::Side::upper;
        std::string sentence = what(i) + " " + shown(figures[i]) + ", " +
                               (high ? shown(*upper) + " allowed" : shown(*lower) + " at least");
        if (decision.verdict == Standing::outside) {
            set.outside.push_back(std::move(sentence));
        } else {
            const double doubt =
                measure::coverage_factor(measure::infinite_freedom) * uncertainties[i];
            set.unproven.push_back(sentence + ", not proven with ±" + shown(doubt));
        }
    }
    return set;
}

Standing worst_of(std::initializer_list<const JudgedSet*> sets)
{
    Standing worst = Standing::unlimited;
    for (const auto* set : sets) {
        worst = measure::worst({worst, set->verdict});
    }
    return worst;
}

std::string reasons_of(std::initializer_list<const JudgedSet*> sets)
{
    std::vector<std::string> told;
    for (const auto* set : sets) {
        told.insert(told.end(), set->outside.begin(), set->outside.end());
    }
    for (const auto* set : sets) {
        told.insert(told.end(), set->unproven.begin(), set->unproven.end());
    }
    return wording::joined(told, "; ");
}

void require_limits(double lower, double upper)
{
    require_length("lower", lower);
    require_length("upper", upper);
    require_ordered("lower", lower, "upper", upper, "mm");
}

double target_between(double lower, double upper, std::optional<double> target)
{
    if (!target) {
        return lower + (upper - lower) / 2;
    }
    require_between("target", *target, lower, upper, "mm");
    return *target;
}

void require_count(std::string_view name, std::size_t got, std::size_t wanted,
                   std::string_view each)
{
    if (got != wanted) {
        refuse_all(name, "hold " + std::to_string(wanted) + ", one " + std::string(each) +
                             ", got " + std::to_string(got));
    }
}

void require_sizes(std::string_view name, std::span<const double> sizes)
{
    if (sizes.empty()) {
        refuse_all(name, "hold at least 1 size, got 0");
    }
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        require_size(element_name(name, i), sizes[i]);
    }
}

void require_different(std::string_view name, std::span<const double> sizes)
{
    std::set<double> seen;
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        if (!seen.insert(sizes[i]).second) {
            refuse(element_name(name, i), "different from the sizes before it", sizes[i]);
        }
    }
}

void require_stock(std::string_view name, std::span<const int> stock, std::size_t sizes)
{
    require_count(name, stock.size(), sizes, "a size");
    for (std::size_t i = 0; i < stock.size(); ++i) {
        if (stock[i] < 0) {
            refuse(element_name(name, i), "at least 0", stock[i]);
        }
    }
}

}  // namespace enginewright::judging
