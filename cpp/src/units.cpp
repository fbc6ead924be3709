#include "enginewright/units.hpp"

#include <algorithm>
#include <cmath>

#include "units/dimension.hpp"
#include "units/number.hpp"
#include "units/spelling.hpp"
#include "units/text.hpp"

namespace enginewright::units {

namespace {

constexpr double absolute_zero = -273.15;

/// The unit behind a number; a refusal quotes the whole text.
const Unit& unit_behind(const WrittenNumber& number, std::optional<std::string_view> dimension,
                        std::string_view text)
{
    if (number.form == Form::angle && !number.rest.empty()) {
        refuse_number({.shown = text}, "something stands behind its angle");
    }
    if (number.rest.empty() && number.form != Form::angle && dimension != "number") {
        const auto wanted = dimension ? canonical(*dimension) : std::string_view("mm");
        throw UnitError(quoted(text) + " has no unit; write for example '5 " + std::string(wanted) +
                        "'");
    }
    const auto spelling = number.form == Form::angle ? std::string_view("°")
                          : number.rest.empty()      ? std::string_view("1")
                                                     : number.rest;
    // "9.3 1" is how a ratio stands in a file; where no number is wanted they are two readings.
    const bool two = number.rest == "1" && dimension != "number";
    const auto* found = two ? nullptr : find_unit(spelling, dimension);
    if (found != nullptr) {
        return *found;
    }
    if (const auto digit = spelling.find_first_of("0123456789");
        digit != std::string_view::npos && spelling.find_first_not_of("+-/.,'± ") == digit) {
        refuse_number({.shown = text}, "it holds more than one number");
    }
    throw UnitError(quoted(text) + ": " + why_unknown(spelling, dimension));
}

void require_fraction_suits(const Unit& unit, std::string_view text)
{
    if (unit.symbol != "in" && unit.symbol != "ft" && unit.symbol != "rev") {
        throw UnitError(quoted(text) + ": a fraction goes with in, ft or a turn alone, got " +
                        (unit.symbol == "1" ? "no unit" : unit.symbol));
    }
}

/// The first dimension that has both spellings, as units by themselves.
std::optional<std::string_view> common_dimension(std::string_view one, std::string_view other)
{
    const auto* first = find_unit(one, std::nullopt);
    if (first != nullptr && find_unit(other, first->dimension) != nullptr) {
        return first->dimension;
    }
    const auto* second = find_unit(other, std::nullopt);
    if (first == nullptr || second == nullptr) {
        return std::nullopt;
    }
    const auto* again = find_unit(one, second->dimension);
    return again != nullptr && again->symbol == first->symbol
               ? std::optional<std::string_view>(second->dimension)
               : std::nullopt;
}

}  // namespace

void require_dimension(std::string_view dimension)
{
    std::string known;
    for (const auto& each : table()) {
        if (each.dimension == dimension) {
            return;
        }
        if (!known.ends_with(each.dimension)) {
            known.append(known.empty() ? "" : ", ").append(each.dimension);
        }
    }
    throw UnitError("dimension must be one of " + known + "; got " + quoted(dimension));
}

const Unit& unit(std::string_view symbol, std::optional<std::string_view> dimension)
{
    if (dimension) {
        require_dimension(*dimension);
    }
    const auto spelling = trimmed(symbol);
    if (spelling.empty()) {
        throw UnitError("symbol must name a unit, got " + quoted(symbol));
    }
    if (const auto* found = find_unit(spelling, dimension)) {
        return *found;
    }
    throw UnitError(why_unknown(spelling, dimension));
}

std::string_view canonical(std::string_view dimension)
{
    const auto all = table();
    const auto first = std::find_if(all.begin(), all.end(),
                                    [&](const Unit& each) { return each.dimension == dimension; });
    if (first == all.end()) {
        require_dimension(dimension);
    }
    return first->symbol;
}

Amount parse(std::string_view text, std::optional<std::string_view> dimension, Decimal decimal)
{
    if (dimension) {
        require_dimension(*dimension);
    }
    const std::string plain = normalised(text);
    const auto number = read_number(plain, {.decimal = decimal, .shown = text});
    const Unit& given = unit_behind(number, dimension, text);
    if (number.form == Form::fraction) {
        require_fraction_suits(given, text);
    }
    const double value = (number.value + given.offset) * given.factor;
    // The last digits of -459.67 °F are not exact in binary.
    if (given.dimension == "temperature" && value < absolute_zero - 1e-9) {
        throw UnitError(quoted(text) + " is below absolute zero, -273.15 °C");
    }
    if (!std::isfinite(value)) {
        refuse_number({.shown = text}, "it is too large to be held");
    }
    Amount amount{.value = value,
                  .unit = std::string(canonical(given.dimension)),
                  .dimension = given.dimension,
                  .number = number.value,
                  .given_unit = given.symbol,
                  .text = std::string(text)};
    if (number.place) {
        amount.resolution = *number.place * given.factor;
    }
    return amount;
}

Conversion conversion(std::string_view from_unit, std::optional<std::string_view> to_unit,
                      std::optional<std::string_view> dimension)
{
    if (!to_unit) {
        const Unit& from = unit(from_unit, dimension);
        return {&from, &unit(canonical(from.dimension), from.dimension)};
    }
    if (!dimension) {
        dimension = common_dimension(trimmed(from_unit), trimmed(*to_unit));
    }
    const Unit& from = unit(from_unit, dimension);
    const Unit& to = unit(*to_unit, dimension);
    if (from.dimension != to.dimension) {
        std::string text = quoted(from_unit) + " is a unit of " + from.dimension + ", " +
                           quoted(*to_unit) + " of " + to.dimension;
        // A trade habit is followed where it is told, never because it would fit.
        if (find_unit(trimmed(from_unit), to.dimension) != nullptr) {
            text += "; pass dimension=\"" + to.dimension + "\" if that is meant";
        }
        throw UnitError(text);
    }
    return {&from, &to};
}

double Conversion::operator()(double value) const
{
    require_finite("value", value);
    if (from == to) {
        return value;
    }
    const double answer = (value + from->offset) * from->factor / to->factor - to->offset;
    if (!std::isfinite(answer)) [[unlikely]] {
        refuse("value", "small enough to be held in " + to->symbol, value);
    }
    return answer;
}

double convert(double value, std::string_view from_unit, std::optional<std::string_view> to_unit,
               std::optional<std::string_view> dimension)
{
    return conversion(from_unit, to_unit, dimension)(value);
}

}  // namespace enginewright::units
