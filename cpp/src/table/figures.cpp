#include "table/figures.hpp"

#include <charconv>

#include "enginewright/units.hpp"

namespace enginewright::table {

namespace {

std::optional<std::string_view> maybe(std::string_view dimension)
{
    return dimension.empty() ? std::nullopt : std::optional(dimension);
}

/// Whether a text is a number and nothing else, in any of the shop's spellings.
bool is_bare(std::string_view text)
{
    return text.find_first_not_of("0123456789.,+-/ \t") == std::string_view::npos &&
           text.find_first_of("0123456789") != std::string_view::npos;
}

Figure parsed(std::string_view text, std::string_view dimension)
{
    const auto amount = units::parse(text, maybe(dimension));
    return {.value = amount.value,
            .unit = std::string(amount.unit),
            .given_unit = std::string(amount.given_unit),
            .dimension = std::string(amount.dimension)};
}

Figure converted(double number, std::string_view unit, std::string_view dimension)
{
    const auto& found = units::unit(unit, maybe(dimension));
    return {.value = units::convert(number, unit, std::nullopt, found.dimension),
            .unit = std::string(units::canonical(found.dimension)),
            .given_unit = std::string(found.symbol),
            .dimension = std::string(found.dimension)};
}

}  // namespace

bool says_something(const Json& written)
{
    return !written.is_null() &&
           !(written.is_string() && written.get_ref<const std::string&>().empty());
}

std::string shown(const Json& written)
{
    if (written.is_string()) {
        return "'" + written.get<std::string>() + "'";
    }
    if (written.is_array()) {
        return "a list";
    }
    if (written.is_object()) {
        return "a table";
    }
    return written.is_number_float() ? number_text(written.get<double>()) : written.dump();
}

std::optional<Figure> figure(const Place& place, std::string_view key, const Json& written,
                             std::string_view unit, std::string_view dimension)
{
    const std::string name(key);
    try {
        if (written.is_string()) {
            const auto& text = written.get_ref<const std::string&>();
            if (!unit.empty() && is_bare(text)) {
                return parsed(text + " " + std::string(unit), dimension);
            }
            return parsed(text, dimension);
        }
        if (!written.is_number()) {
            place.fault(name + " must be a figure with its unit, got " + shown(written));
        } else if (unit.empty()) {
            place.fault(name + " must have its unit, as in \"" + shown(written) + " mm\", got " +
                        shown(written));
        } else {
            return converted(written.get<double>(), unit, dimension);
        }
    } catch (const units::UnitError& refused) {
        place.fault(name + ": " + refused.what());
    }
    return std::nullopt;
}

std::optional<std::string> text_of(const Place& place, std::string_view key, const Json& written)
{
    if (written.is_string()) {
        return written.get<std::string>();
    }
    // A spreadsheet makes a number of a name like "2041".
    if (written.is_number_integer()) {
        return written.dump();
    }
    place.fault(std::string(key) + " must be a text, got " + shown(written));
    return std::nullopt;
}

std::optional<double> number_of(const Place& place, std::string_view key, const Json& written)
{
    if (written.is_number()) {
        return written.get<double>();
    }
    if (written.is_string()) {
        const auto& text = written.get_ref<const std::string&>();
        double value = 0;
        const auto end = std::from_chars(text.data(), text.data() + text.size(), value);
        if (end.ec == std::errc{} && end.ptr == text.data() + text.size() && std::isfinite(value)) {
            return value;
        }
    }
    place.fault(std::string(key) + " must be a number, got " + shown(written));
    return std::nullopt;
}

std::optional<int> whole_of(const Place& place, std::string_view key, const Json& written,
                            int least)
{
    const Faults before = place.faults;
    const auto number = number_of(place, key, written);
    if (!number || *number != std::floor(*number) || *number < least || *number > 1e9) {
        place.faults = before;
        place.fault(std::string(key) + " must be a whole number of at least " +
                    std::to_string(least) + ", got " + shown(written));
        return std::nullopt;
    }
    return static_cast<int>(*number);
}

std::vector<const Json*> objects_at(const Json& file, std::string_view key, const Place& place)
{
    std::vector<const Json*> objects;
    const auto at = file.find(std::string(key));
    if (at == file.end() || at->is_null()) {
        return objects;
    }
    if (!at->is_array()) {
        place.fault(std::string(key) + " must be a list of tables, got " + shown(*at));
        return objects;
    }
    for (const auto& each : *at) {
        if (!each.is_object()) {
            place.fault(std::string(key) + " must be a list of tables, got " + shown(each));
            return {};
        }
        objects.push_back(&each);
    }
    return objects;
}

}  // namespace enginewright::table
