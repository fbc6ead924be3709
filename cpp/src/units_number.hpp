#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "enginewright/units.hpp"

/// The grammar of written numbers.
namespace enginewright::units {

/// A number at the start of a text, and what follows it.
struct WrittenNumber {
    double value = 0;
    std::optional<double> place{};  ///< place value of the last digit; none for a fraction
    bool fraction = false;          ///< written as a fraction: only inches, feet and turns are
    bool angle = false;             ///< degrees, minutes and seconds, in degrees
    std::string rest{};             ///< the unit
};

/// Signs that have look-alikes in one form, blanks folded: U+2212 is a minus, U+03BC a micro sign.
std::string normalised(std::string_view text);

/// Reads the number at the start of a normalised text.
///
/// Throws UnitError, with `shown` as the text.
WrittenNumber read_number(std::string_view text, Decimal decimal, std::string_view shown);

}  // namespace enginewright::units
