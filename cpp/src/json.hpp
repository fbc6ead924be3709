#pragma once

#include <array>
#include <charconv>
#include <cmath>
#include <complex>
#include <limits>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/check.hpp"
#include "enginewright/record.hpp"
#include "numerics/angles.hpp"

/// Records and words as JSON. Private: no public header knows of JSON.
///
/// A record is an object with its fields in their order. A number with a unit is a text with it,
/// "0.41 mm", with all its digits: what is read back is the same number, bit for bit, and nobody
/// has to guess the unit. A number without a unit is a number. Words are texts, an empty optional
/// is null, lists are lists. JSON has no infinity: infinite degrees of freedom are null. NaN is
/// refused on the way out, and everything that does not fit its field on the way in, by name.
namespace enginewright {

using numerics::degrees_of;
using numerics::unit_vector;
using Json = nlohmann::ordered_json;

namespace json_detail {

template <class T>
inline constexpr bool is_fixed_list = false;
template <class T, std::size_t N>
inline constexpr bool is_fixed_list<std::array<T, N>> = true;

inline double number_of(std::string_view name, std::string_view unit, std::string_view text)
{
    double value = 0;
    const auto end = std::from_chars(text.data(), text.data() + text.size(), value);
    const auto rest = text.substr(static_cast<std::size_t>(end.ptr - text.data()));
    const bool unit_fits =
        rest.size() == unit.size() + 1 && rest.front() == ' ' && rest.substr(1) == unit;
    if (end.ec != std::errc{} || !unit_fits || !std::isfinite(value)) {
        throw std::invalid_argument(std::string(name)
                                        .append(" must be a number in ")
                                        .append(unit)
                                        .append(", got '")
                                        .append(text)
                                        .append("'"));
    }
    return value;
}

[[noreturn]] inline void refuse_shape(std::string_view name, std::string_view wanted,
                                      const Json& given)
{
    throw std::invalid_argument(std::string(name)
                                    .append(" must be ")
                                    .append(wanted)
                                    .append(", got ")
                                    .append(given.type_name()));
}

}  // namespace json_detail

template <class T>
Json json_of(std::string_view name, std::string_view unit, const T& value);
template <class T>
void take_json(std::string_view name, std::string_view unit, const Json& json, T& value);

/// A vector as a person reads it: {"amount": "20.4 g mm", "angle": "31.0 deg"}.
inline Json json_of_vector(std::string_view name, std::string_view unit,
                           const std::complex<double>& value)
{
    Json object = Json::object();
    object["amount"] = json_of(name, unit, std::hypot(value.real(), value.imag()));
    object["angle"] = json_of(name, "deg", degrees_of(value));
    return object;
}

inline void take_json_vector(std::string_view name, std::string_view unit, const Json& json,
                             std::complex<double>& value)
{
    if (!json.is_object() || !json.contains("amount") || !json.contains("angle")) {
        json_detail::refuse_shape(name, "an object with amount and angle", json);
    }
    double amount = 0;
    double angle = 0;
    take_json(std::string(name).append(".amount"), unit, json["amount"], amount);
    take_json(std::string(name).append(".angle"), "deg", json["angle"], angle);
    if (!std::isfinite(amount) || !std::isfinite(angle)) {
        json_detail::refuse_shape(name, "a vector of finite numbers", json);
    }
    value = amount * unit_vector(angle);
}

/// A value of a field as JSON.
///
/// name, unit  of the field
template <class T>
Json json_of(std::string_view name, std::string_view unit, const T& value)
{
    if constexpr (Record<T>) {
        Json object = Json::object();
        for_each_field(value, [&](const auto& field, const auto& member) {
            object[field.name] = json_of(field.name, field.unit, member);
        });
        return object;
    } else if constexpr (std::is_same_v<T, double>) {
        if (std::isnan(value) || value == -std::numeric_limits<double>::infinity()) {
            refuse(name, "a finite number", value);
        }
        if (std::isinf(value)) {
            return nullptr;
        }
        return unit.empty() ? Json(value) : Json(number_text(value).append(" ").append(unit));
    } else if constexpr (std::is_same_v<T, std::complex<double>>) {
        return json_of_vector(name, unit, value);
    } else if constexpr (Worded<T>) {
        return std::string(word(value));
    } else if constexpr (is_optional<T>) {
        return value ? json_of(name, unit, *value) : Json(nullptr);
    } else if constexpr (is_vector<T>) {
        Json list = Json::array();
        for (std::size_t i = 0; i < value.size(); ++i) {
            list.push_back(json_of(element_name(name, i), unit, value[i]));
        }
        return list;
    } else if constexpr (is_map<T>) {
        Json object = Json::object();
        for (const auto& [key, each] : value) {
            object[key] = json_of(std::string(name).append(".").append(key), unit, each);
        }
        return object;
    } else {
        return value;
    }
}

/// A value of a field from JSON; refused by the field's name when it does not fit.
template <class T>
void take_json(std::string_view name, std::string_view unit, const Json& json, T& value)
{
    if constexpr (Record<T>) {
        if (!json.is_object()) {
            json_detail::refuse_shape(name, "an object", json);
        }
        for_each_field(value, [&](const auto& field, auto& member) {
            if (const auto at = json.find(field.name); at != json.end()) {
                take_json(field.name, field.unit, *at, member);
            }
        });
    } else if constexpr (std::is_same_v<T, double>) {
        if (json.is_null()) {
            value = std::numeric_limits<double>::infinity();
        } else if (unit.empty() && json.is_number()) {
            value = json.template get<double>();
        } else if (!unit.empty() && json.is_string()) {
            value = json_detail::number_of(name, unit, json.template get_ref<const std::string&>());
        } else {
            json_detail::refuse_shape(name, unit.empty() ? "a number" : "a text with its unit",
                                      json);
        }
    } else if constexpr (std::is_same_v<T, std::complex<double>>) {
        take_json_vector(name, unit, json, value);
    } else if constexpr (Worded<T>) {
        if (!json.is_string()) {
            json_detail::refuse_shape(name, "a word", json);
        }
        value = from_word<T>(name, json.template get_ref<const std::string&>());
    } else if constexpr (is_optional<T>) {
        value.reset();
        if (!json.is_null()) {
            take_json(name, unit, json, value.emplace());
        }
    } else if constexpr (is_vector<T>) {
        if (!json.is_array()) {
            json_detail::refuse_shape(name, "a list", json);
        }
        value.clear();
        for (const auto& each : json) {
            typename T::value_type element{};
            take_json(element_name(name, value.size()), unit, each, element);
            value.push_back(std::move(element));
        }
    } else if constexpr (json_detail::is_fixed_list<T>) {
        if (!json.is_array() || json.size() != value.size()) {
            json_detail::refuse_shape(name, "a list of " + std::to_string(value.size()), json);
        }
        for (std::size_t i = 0; i < value.size(); ++i) {
            take_json(element_name(name, i), unit, json[i], value[i]);
        }
    } else if constexpr (is_map<T>) {
        if (!json.is_object()) {
            json_detail::refuse_shape(name, "an object", json);
        }
        value.clear();
        for (const auto& [key, each] : json.items()) {
            take_json(std::string(name).append(".").append(key), unit, each, value[key]);
        }
    } else if constexpr (std::is_same_v<T, bool>) {
        if (!json.is_boolean()) {
            json_detail::refuse_shape(name, "true or false", json);
        }
        value = json.template get<bool>();
    } else if constexpr (std::is_integral_v<T>) {
        // Beyond the greatest int64 a whole number is kept as what it is, never as its remainder.
        const bool fits =
            json.is_number_unsigned()
                ? std::in_range<T>(json.template get<std::uint64_t>())
                : json.is_number_integer() && std::in_range<T>(json.template get<std::int64_t>());
        if (!fits) {
            json_detail::refuse_shape(name, "a whole number", json);
        }
        value = json.template get<T>();
    } else {
        if (!json.is_string()) {
            json_detail::refuse_shape(name, "a text", json);
        }
        value = json.template get<T>();
    }
}

/// Refuses brackets within brackets beyond any file of ours: what walks through JSON calls itself.
inline void require_shallow(std::string_view text, std::string_view place)
{
    constexpr int deepest = 64;
    int depth = 0;
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (quoted) {
            i += c == '\\' ? 1 : 0;
            quoted = c != '"';
        } else if (c == '"') {
            quoted = true;
        } else if (c == '[' || c == '{') {
            if (++depth > deepest) {
                throw std::invalid_argument(std::string(place) + " must be nested at most " +
                                            std::to_string(deepest) + " deep");
            }
        } else if (c == ']' || c == '}') {
            --depth;
        }
    }
}

/// JSON text as JSON; refused with line and column when it is damaged.
///
/// place  what the text is called in messages
inline Json parsed_json(std::string_view text, std::string_view place)
{
    require_shallow(text, place);
    try {
        return Json::parse(text);
    } catch (const Json::parse_error& damaged) {
        // Byte counts mean nothing to a person with an editor: line and column do.
        const auto byte = std::min(damaged.byte == 0 ? 0 : damaged.byte - 1, text.size());
        const auto before = text.substr(0, byte);
        const auto line = std::count(before.begin(), before.end(), '\n') + 1;
        const auto start = before.rfind('\n');
        const auto column = before.size() - (start == std::string_view::npos ? 0 : start + 1) + 1;
        throw std::invalid_argument(std::string(place) + " must be JSON, it is damaged near line " +
                                    std::to_string(line) + ", column " + std::to_string(column));
    } catch (const Json::out_of_range& beyond) {
        // The library quotes the number, and says no place.
        const std::string_view said = beyond.what();
        throw std::invalid_argument(
            std::string(place) + " must hold numbers below 1.8e308, got " +
            std::string(said.substr(std::min(said.find('\''), said.size()))));
    }
}

}  // namespace enginewright

/// Hangs the above on the library's own conversion, for every record.
template <enginewright::Record R>
struct nlohmann::adl_serializer<R> {
    template <class Any>
    static void to_json(Any& json, const R& record)
    {
        json = enginewright::json_of("record", "", record);
    }
    template <class Any>
    static void from_json(const Any& json, R& record)
    {
        enginewright::take_json("record", "", enginewright::Json(json), record);
    }
};
