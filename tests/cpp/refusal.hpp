#pragma once

#include <stdexcept>
#include <string>

namespace enginewright {

/// The text with which a call is refused; "not refused" when it is not.
std::string refusal(auto&& call)
{
    try {
        call();
    } catch (const std::invalid_argument& refused) {
        return refused.what();
    }
    return "not refused";
}

}  // namespace enginewright
