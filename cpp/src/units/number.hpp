#pragma once

#include <optional>
#include <string_view>

#include "enginewright/units.hpp"
#include "units/scanner.hpp"

/// The grammar of written numbers.
namespace enginewright::units {

enum class Form { decimal, fraction, angle };

/// A number at the start of a text, and what follows it.
struct WrittenNumber {
    double value = 0;
    std::optional<double> place{};  ///< place value of the last written digit; none for a fraction
    Form form = Form::decimal;      ///< an angle is in degrees, and brings its unit
    std::string_view rest{};        ///< the unit; a part of the text that was read
};

/// How a text is to be read, and as what it is quoted when it cannot be.
struct Manner {
    Decimal decimal = Decimal::automatic;
    std::string_view shown{};
};

/// Refuses a text: "'mm' is not a number with a unit: it holds no number".
[[noreturn]] void refuse_number(const Manner& manner, std::string_view why);

/// Ten to a whole power, rounded once; none where a double has no room for it.
std::optional<double> power_of_ten(long long exponent);

/// Reads the number at the start of a normalised text; the text must outlive the answer.
///
/// Throws UnitError when there is none or it can be read in two ways.
WrittenNumber read_number(std::string_view text, const Manner& manner);

/// The decimal form of it: signs, decimal and group marks, exponent.
WrittenNumber read_decimal(Scanner scan, const Manner& manner);

}  // namespace enginewright::units
