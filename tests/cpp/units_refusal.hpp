#pragma once

#include <string>
#include <string_view>

#include "enginewright/units.hpp"

namespace enginewright::units {

/// What a call says when it refuses; "" when it does not.
template <class Call>
std::string refusal(Call&& call)
{
    try {
        call();
    } catch (const UnitError& refused) {
        return refused.what();
    }
    return "";
}

inline std::string refusal_of(std::string_view text, std::optional<std::string_view> dimension = {},
                              Decimal decimal = Decimal::automatic)
{
    return refusal([&] { parse(text, dimension, decimal); });
}

inline bool holds(const std::string& text, std::string_view part)
{
    return text.find(part) != std::string::npos;
}

}  // namespace enginewright::units
