#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "enginewright/measure/quantity.hpp"

namespace enginewright::measure {

namespace {

/// A number to a decimal place; places before the point are filled with zeros.
std::string to_place(double value, int decimals)
{
    if (decimals >= 0) {
        return fixed_text(value, decimals);
    }
    const double unit = std::pow(10.0, -decimals);
    return fixed_text(std::nearbyint(value / unit) * unit, 0);
}

/// A number as far from 1 as no reading is, by its first digits and a power of ten.
std::string to_digits(double value, int digits)
{
    std::array<char, 64> text{};
    const auto [end, error] =
        std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::scientific,
                      std::clamp(digits, 1, 17) - 1);
    return {text.data(), end};
}

/// Decimals at which a number shows two significant digits.
int decimals_for_two_digits(double value)
{
    const int decimals = 1 - static_cast<int>(std::floor(std::log10(value)));
    // 0.0996 is 0.10 when rounded: one place less.
    const double unit = std::pow(10.0, -decimals);
    return std::nearbyint(value / unit) >= 100 ? decimals - 1 : decimals;
}

}  // namespace

Budget budget(const Quantity& quantity, double level, const Sources& sources)
{
    const double u = quantity.standard_uncertainty();
    const double freedom = quantity.degrees_of_freedom(sources);
    const double k = coverage_factor(freedom, level);
    std::vector<BudgetRow> rows;
    for (const auto& each : quantity.contributions()) {
        const double ratio = each.amount / u;
        rows.push_back({.source = sources.name(each.source),
                        .kind = Sources::kind(each.source),
                        .contribution = each.amount,
                        .share = ratio * ratio,
                        .degrees_of_freedom = sources.degrees_of_freedom(each.source)});
    }
    std::ranges::sort(rows, [](const BudgetRow& a, const BudgetRow& b) {
        const double first = std::abs(a.contribution);
        const double second = std::abs(b.contribution);
        return first != second ? first > second : a.source < b.source;
    });
    return {.rows = std::move(rows),
            .value = quantity.value(),
            .standard_uncertainty = u,
            .degrees_of_freedom = freedom,
            .level = level,
            .coverage_factor = k,
            .expanded = k * u};
}

std::string quantity_text(const Quantity& quantity, double level, const Sources& sources)
{
    const double u = quantity.standard_uncertainty();
    if (u == 0) {
        return number_text(quantity.value());
    }
    const double k = coverage_factor(quantity.degrees_of_freedom(sources), level);
    const double expanded = k * u;
    const int decimals = decimals_for_two_digits(expanded);
    std::string percent = number_text(std::nearbyint(level * 1e6) / 1e4);
    if (percent.ends_with(".0")) {
        percent.resize(percent.size() - 2);
    }
    const std::string known = " (" + percent + " %, k = " + fixed_text(k, 2) + ")";
    if (std::abs(decimals) > 15) {
        const double size = std::abs(quantity.value());
        const int digits =
            size > 0 ? static_cast<int>(std::floor(std::log10(size))) + decimals + 1 : 1;
        return to_digits(quantity.value(), digits) + " ± " + to_digits(expanded, 2) + known;
    }
    return to_place(quantity.value(), decimals) + " ± " + to_place(expanded, decimals) + known;
}

}  // namespace enginewright::measure
