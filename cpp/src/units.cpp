#include "enginewright/units.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "units_number.hpp"
#include "units_table.hpp"

namespace enginewright::units {

namespace {

constexpr double absolute_zero = -273.15;

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
    throw UnitError("dimension must be one of " + known + "; got '" + std::string(dimension) + "'");
}

/// How one dimension is shown: decimals of the metric figure, then unit and decimals of the other.
struct Shown {
    std::string_view dimension;
    int metric;
    std::string_view other;
    int decimals;
};
constexpr std::array<Shown, 20> shown{{
    {"length", 3, "in", 4},
    {"area", 1, "in²", 4},
    {"volume", 2, "in³", 3},
    {"mass", 1, "oz", 2},
    {"unbalance", 0, "oz·in", 3},
    {"force", 0, "lbf", 1},
    {"stiffness", 1, "lbf/in", 1},
    {"stress", 1, "psi", 0},
    {"gas pressure", 2, "inH2O", 1},
    {"temperature", 1, "°F", 0},
    {"temperature difference", 1, "Δ°F", 0},
    {"torque", 1, "lbf·ft", 1},
    {"flow", 1, "cfm", 2},
    {"angle", 2, "", 0},
    {"speed", 0, "", 0},
    {"time", 1, "", 0},
    {"expansion", 7, "", 0},
    {"density", 3, "", 0},
    {"number", 3, "", 0},
    {"", 3, "", 0},
}};

std::string figure(double value, int decimals, std::string_view symbol)
{
    std::string text = fixed_text(value, decimals);
    if (symbol != "1") {
        text.append(symbol == "°" ? "" : " ").append(symbol);
    }
    return text;
}

std::string unknown_unit(std::string_view symbol)
{
    const auto near = near_spellings(symbol);
    std::string text = "unknown unit '" + std::string(symbol) + "'";
    for (std::size_t i = 0; i < near.size(); ++i) {
        text.append(i == 0 ? "; near: " : ", ").append(near[i]);
    }
    return text;
}

std::string_view without_blanks(std::string_view text)
{
    while (text.starts_with(' ')) {
        text.remove_prefix(1);
    }
    while (text.ends_with(' ')) {
        text.remove_suffix(1);
    }
    return text;
}

Header with_unit(std::string_view name, const Unit& unit, std::string_view text)
{
    return {.name = std::string(without_blanks(name)),
            .unit = unit.symbol,
            .dimension = unit.dimension,
            .text = std::string(text)};
}

/// A unit in a bracket or behind a comma: of another dimension it is a fault, not a note.
const Unit* stated_unit(std::string_view spelling, std::optional<std::string_view> dimension)
{
    if (const auto* found = find_unit(spelling, dimension)) {
        return found;
    }
    if (const auto* other = dimension ? find_unit(spelling, std::nullopt) : nullptr) {
        throw UnitError("'" + std::string(spelling) + "' is a unit of " + other->dimension + ", " +
                        std::string(*dimension) + " is wanted");
    }
    return nullptr;
}

}  // namespace

const Unit& unit(std::string_view symbol, std::optional<std::string_view> dimension)
{
    if (dimension) {
        require_dimension(*dimension);
    }
    const auto trimmed = without_blanks(symbol);
    if (const auto* found = trimmed.empty() ? nullptr : find_unit(trimmed, dimension)) {
        return *found;
    }
    const auto key = spelling_key(trimmed);
    if (key == "hundredths" || key == "hundredth") {
        throw UnitError("'" + std::string(trimmed) +
                        "' can be hundredths of a millimetre or of an inch; write mm or in");
    }
    if (key == "floz") {
        throw UnitError("a fluid ounce is 'US fl oz' or 'imp fl oz', got '" + std::string(trimmed) +
                        "'");
    }
    if (dimension) {
        if (const auto* other = find_unit(trimmed, std::nullopt)) {
            throw UnitError("'" + std::string(trimmed) + "' is a unit of " + other->dimension +
                            ", " + std::string(*dimension) + " is wanted");
        }
    }
    throw UnitError(unknown_unit(trimmed));
}

std::string_view canonical(std::string_view dimension)
{
    require_dimension(dimension);
    return std::find_if(table().begin(), table().end(),
                        [&](const auto& each) { return each.dimension == dimension; })
        ->symbol;
}

Amount parse(std::string_view text, std::optional<std::string_view> dimension, Decimal decimal)
{
    if (dimension) {
        require_dimension(*dimension);
    }
    const std::string plain = normalised(text);
    const auto number = read_number(plain, decimal, text);
    if (number.rest.empty() && !number.angle && dimension != "number") {
        throw UnitError("'" + std::string(text) + "' has no unit; write for example '5 mm'");
    }
    const std::string spelling = number.angle ? "°" : number.rest.empty() ? "1" : number.rest;
    if (number.angle && !number.rest.empty()) {
        throw UnitError("'" + std::string(text) + "' has something behind its angle");
    }
    const Unit* found = nullptr;
    try {
        found = &unit(spelling, dimension);
    } catch (const UnitError& refused) {
        throw UnitError("'" + std::string(text) + "': " + refused.what());
    }
    if (number.fraction && found->symbol != "in" && found->symbol != "ft" &&
        found->symbol != "rev") {
        throw UnitError("'" + std::string(text) +
                        "': a fraction goes with in, ft or a turn, not with " + found->symbol);
    }
    const double value = (number.value + found->offset) * found->factor;
    if (found->dimension == "temperature" && value < absolute_zero - 1e-9) {
        throw UnitError("'" + std::string(text) + "' is below absolute zero, -273.15 °C");
    }
    if (!std::isfinite(value)) {
        throw UnitError("'" + std::string(text) + "' is beyond every number");
    }
    Amount amount{.value = value,
                  .unit = std::string(canonical(found->dimension)),
                  .dimension = found->dimension,
                  .number = number.value,
                  .given_unit = found->symbol,
                  .text = std::string(text)};
    if (number.place) {
        amount.resolution = *number.place * found->factor;
    }
    return amount;
}

double convert(double value, std::string_view from_unit, std::optional<std::string_view> to_unit,
               std::optional<std::string_view> dimension)
{
    require_finite("value", value);
    const Unit& from = unit(from_unit, dimension);
    if (!to_unit) {
        return (value + from.offset) * from.factor;
    }
    // The unit asked for may settle which dimension was meant: psi in kPa or in MPa.
    const Unit* to = find_unit(without_blanks(*to_unit), from.dimension);
    if (to == nullptr) {
        const Unit& other = unit(*to_unit, dimension);
        const Unit* again = find_unit(without_blanks(from_unit), other.dimension);
        if (again == nullptr || dimension) {
            throw UnitError("'" + std::string(from_unit) + "' is a unit of " + from.dimension +
                            ", '" + std::string(*to_unit) + "' of " + other.dimension);
        }
        return convert(value, from_unit, to_unit, other.dimension);
    }
    if (to == &from) {
        return value;
    }
    const double answer = (value + from.offset) * from.factor / to->factor - to->offset;
    require_finite("value", answer);
    return answer;
}

Header header(std::string_view text, std::optional<std::string_view> dimension)
{
    if (dimension) {
        require_dimension(*dimension);
    }
    const std::string plain = normalised(text);
    const std::string_view view = plain;
    if (view.ends_with(')') || view.ends_with(']')) {
        const auto open = view.rfind(view.back() == ')' ? '(' : '[');
        if (open != std::string_view::npos) {
            const auto inside = without_blanks(view.substr(open + 1, view.size() - open - 2));
            const auto before = without_blanks(view.substr(0, open));
            if (const auto* found = inside.empty() ? nullptr : stated_unit(inside, dimension)) {
                return with_unit(before, *found, text);
            }
            // "µm/(m·K)" ends with a bracket of its own.
            const auto last = view.rfind(' ');
            if (const auto* found = last == std::string_view::npos
                                        ? nullptr
                                        : find_unit(view.substr(last + 1), dimension)) {
                return with_unit(view.substr(0, last), *found, text);
            }
            Header noted{.name = std::string(before), .text = std::string(text)};
            if (!inside.empty()) {
                noted.note = std::string(inside);
            }
            return noted;
        }
    }
    for (const std::string_view mark : {",", " / "}) {
        const auto at = view.rfind(mark);
        if (at != std::string_view::npos && at > 0) {
            const auto behind = without_blanks(view.substr(at + mark.size()));
            if (const auto* found = behind.empty() ? nullptr : stated_unit(behind, dimension)) {
                return with_unit(view.substr(0, at), *found, text);
            }
        }
    }
    // Two words first: "Torque lbf ft".
    for (const int count : {2, 1}) {
        auto at = view.size();
        for (int i = 0; i < count && at != std::string_view::npos && at > 0; ++i) {
            at = view.rfind(' ', at - 1);
        }
        if (at == std::string_view::npos || at == 0) {
            continue;
        }
        const auto last = view.substr(at + 1);
        const auto letters = std::count_if(last.begin(), last.end(), [](char c) {
            return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c & 0x80) != 0;
        });
        // "min" mostly means the least, and a single letter or a digit belongs to the name.
        if (letters < 2 || spelling_key(last) == "min") {
            continue;
        }
        if (const auto* found = find_unit(last, dimension)) {
            return with_unit(view.substr(0, at), *found, text);
        }
    }
    return {.name = plain, .text = std::string(text)};
}

std::string show(double value, std::string_view dimension, System system, std::optional<int> digits)
{
    require_dimension(dimension);
    require_finite("value", value);
    if (digits && (*digits < 0 || *digits > 17)) {
        refuse("digits", "between 0 and 17", *digits);
    }
    const auto& how = *std::find_if(shown.begin(), shown.end(), [&](const auto& each) {
        return each.dimension == dimension || each.dimension.empty();
    });
    const std::string metric = figure(value, digits.value_or(how.metric), canonical(dimension));
    if (how.other.empty() || system == System::metric) {
        return metric;
    }
    const bool small = dimension == "length" && std::abs(value) < 1;
    const std::string_view symbol = small ? "thou" : how.other;
    const auto& other = unit(symbol, dimension);
    const std::string second =
        figure(value / other.factor - other.offset, small ? 1 : how.decimals, symbol);
    return system == System::inch ? second : metric + " (" + second + ")";
}

}  // namespace enginewright::units
