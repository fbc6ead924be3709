#include "enginewright/check.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace enginewright {

namespace {

std::string with_unit(double value, std::string_view unit)
{
    std::string text = number_text(value);
    // A bound reads better without its decimal point when it is whole: "above 0 mm".
    if (text.ends_with(".0")) {
        text.resize(text.size() - 2);
    }
    if (!unit.empty()) {
        text.append(" ").append(unit);
    }
    return text;
}

}  // namespace

std::string number_text(double value)
{
    if (std::isnan(value)) {
        return "nan";
    }
    if (std::isinf(value)) {
        return value > 0 ? "inf" : "-inf";
    }
    std::array<char, 40> buffer{};
    const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr;
    std::string text(buffer.data(), end);
    if (text.find_first_of(".e") == std::string::npos) {
        text += ".0";
    }
    return text;
}

namespace {

constexpr std::array<double, 10> powers_of_ten{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};

/// Text of an everyday figure by whole-number arithmetic: sentences of a year of jobs are full of
/// them. Empty where the last digit is too close to a tie to be sure, or the figure is large.
std::string everyday_text(double value, int decimals)
{
    if (decimals < 0 || decimals >= static_cast<int>(powers_of_ten.size())) {
        return {};
    }
    const double scaled = std::abs(value) * powers_of_ten[static_cast<std::size_t>(decimals)];
    if (!(scaled < 1e10)) {
        return {};
    }
    // The product is wrong by at most 1e10 * 2^-53: far less than the distance asked from a tie.
    const double whole = std::floor(scaled);
    const double rest = scaled - whole;
    if (std::abs(rest - 0.5) < 1e-4) {
        return {};
    }
    auto digits = static_cast<std::uint64_t>(whole) + (rest > 0.5 ? 1 : 0);
    const bool negative = value < 0 && digits > 0;
    std::array<char, 24> buffer;
    char* const end = buffer.data() + buffer.size();
    char* at = end;
    for (int place = 0; digits > 0 || place <= decimals; ++place) {
        if (place == decimals && decimals > 0) {
            *--at = '.';
        }
        *--at = static_cast<char>('0' + digits % 10);
        digits /= 10;
    }
    if (negative) {
        *--at = '-';
    }
    return {at, end};
}

}  // namespace

std::string fixed_text(double value, int decimals)
{
    if (auto text = everyday_text(value, decimals); !text.empty()) {
        return text;
    }
    std::array<char, 400> buffer;
    const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                   std::chars_format::fixed, decimals)
                         .ptr;
    std::string text(buffer.data(), end);
    if (text.starts_with('-') && text.find_first_not_of("-0.") == std::string::npos) {
        text.erase(0, 1);
    }
    return text;
}

void refuse(std::string_view name, std::string_view rule, double value)
{
    throw std::invalid_argument(std::string(name)
                                    .append(" must be ")
                                    .append(rule)
                                    .append(", got ")
                                    .append(number_text(value)));
}

void refuse_word(std::string_view name, std::string_view allowed, std::string_view given)
{
    throw std::invalid_argument(std::string(name)
                                    .append(" must be one of ")
                                    .append(allowed)
                                    .append("; got '")
                                    .append(given)
                                    .append("'"));
}

void refuse_all(std::string_view name, std::string_view rule_and_value)
{
    throw std::invalid_argument(std::string(name).append(" must ").append(rule_and_value));
}

void refuse_not_positive(std::string_view name, double value, std::string_view unit)
{
    require_finite(name, value);
    refuse(name, "above " + with_unit(0, unit), value);
}

void refuse_below(std::string_view name, double value, double least, std::string_view unit)
{
    require_finite(name, value);
    refuse(name, "at least " + with_unit(least, unit), value);
}

void refuse_above(std::string_view name, double value, double greatest, std::string_view unit)
{
    require_finite(name, value);
    refuse(name, "at most " + with_unit(greatest, unit), value);
}

void refuse_not_between(std::string_view name, double value, double least, double greatest,
                        std::string_view unit)
{
    require_finite(name, value);
    refuse(name, "between " + with_unit(least, "") + " and " + with_unit(greatest, unit), value);
}

void refuse_not_below(std::string_view name, double value, double bound, std::string_view unit)
{
    require_finite(name, value);
    refuse(name, "below " + with_unit(bound, unit), value);
}

void require_whole(std::string_view name, double value, double least)
{
    require_finite(name, value);
    if (value != std::floor(value) || value < least) {
        refuse(name, "a whole number of at least " + with_unit(least, ""), value);
    }
}

void require_ordered(std::string_view lower_name, std::optional<double> lower,
                     std::string_view upper_name, std::optional<double> upper,
                     std::string_view unit)
{
    if (lower) {
        require_finite(lower_name, *lower);
    }
    if (upper) {
        require_finite(upper_name, *upper);
    }
    if (lower && upper && *upper < *lower) {
        refuse(upper_name,
               std::string("at least ").append(lower_name).append(", ") + with_unit(*lower, unit),
               *upper);
    }
}

void require_readings(std::string_view name, std::span<const double> readings, std::size_t least)
{
    if (readings.size() < least) {
        refuse_all(name, "hold at least " + std::to_string(least) +
                             (least == 1 ? " reading, got " : " readings, got ") +
                             std::to_string(readings.size()));
    }
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (!std::isfinite(readings[i])) {
            refuse(element_name(name, i), "a finite number", readings[i]);
        }
    }
}

std::string element_name(std::string_view name, std::size_t index)
{
    return std::string(name).append("[").append(std::to_string(index)).append("]");
}

}  // namespace enginewright
