#pragma once

#include <cmath>
#include <optional>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>

/// Refusals: how an impossible argument is turned away, in one form for the whole library.
///
/// The text is always *name, rule with unit, value*: "bore must be above 0 mm, got -86.0". The
/// exception is `std::invalid_argument`, in Python `ValueError`. All wording lives here; a source
/// file says `require_positive("bore", bore, "mm")` and never writes a sentence of its own,
/// unless the rule belongs to its bench alone (`refuse`).
///
/// An outcome at the bench ("no undersize left") is never a refusal: it is a result with a status.
namespace enginewright {

/// A number as text: the shortest digits that read back to the same double, with a decimal point.
///
/// "86.0", "0.1", "1e-06", "nan". Independent of the locale.
std::string number_text(double value);

/// A number with a fixed count of decimals, for sentences that a person reads: "59.470".
///
/// Rounds half to even on the exact binary value and never prints "-0.000".
std::string fixed_text(double value, int decimals);

/// Refuses an argument in the library's form: "<name> must be <rule>, got <value>".
///
/// name   argument as the caller knows it
/// rule   what is allowed, with its unit, without "must be"
/// value  what was given
///
/// Throws std::invalid_argument, always.
[[noreturn]] void refuse(std::string_view name, std::string_view rule, double value);

/// Refuses an argument that is a word: "valve must be one of inlet, exhaust; got 'inlt'".
[[noreturn]] void refuse_word(std::string_view name, std::string_view allowed,
                              std::string_view given);

/// Refuses an argument as a whole, where no single value is to blame: "<name> must <rule>".
///
/// "readings must hold at least 2 numbers, got 1": the caller writes rule and value together.
[[noreturn]] void refuse_all(std::string_view name, std::string_view rule_and_value);

/// Refuses NaN and infinity: "gap must be a finite number, got nan".
inline void require_finite(std::string_view name, double value)
{
    if (!std::isfinite(value)) [[unlikely]] {
        refuse(name, "a finite number", value);
    }
}

/// What a check calls when it fails. The checks themselves stand in the header: where they hold
/// they cost two comparisons, which is what lets a closed form run over millions of elements.
///
/// A value that is not finite is refused as such, whatever its bound: "bore must be a finite
/// number, got nan". The bound is said with its unit, and without a decimal point where it is
/// whole.
[[noreturn]] void refuse_not_positive(std::string_view name, double value, std::string_view unit);
[[noreturn]] void refuse_below(std::string_view name, double value, double least,
                               std::string_view unit);
[[noreturn]] void refuse_above(std::string_view name, double value, double greatest,
                               std::string_view unit);
[[noreturn]] void refuse_not_between(std::string_view name, double value, double least,
                                     double greatest, std::string_view unit);
[[noreturn]] void refuse_not_below(std::string_view name, double value, double bound,
                                   std::string_view unit);

/// Refuses what is not above zero: "bore must be above 0 mm, got -86.0".
inline void require_positive(std::string_view name, double value, std::string_view unit = "")
{
    if (!(value > 0.0 && std::isfinite(value))) [[unlikely]] {
        refuse_not_positive(name, value, unit);
    }
}

/// Refuses what is below a least value: "clearance must be at least 0 mm, got -0.1".
inline void require_at_least(std::string_view name, double value, double least,
                             std::string_view unit = "")
{
    if (!(value >= least && std::isfinite(value))) [[unlikely]] {
        refuse_below(name, value, least, unit);
    }
}

/// Refuses what is above a greatest value: "finish_journal must be at most 48 mm, got 49.0".
inline void require_at_most(std::string_view name, double value, double greatest,
                            std::string_view unit = "")
{
    if (!(value <= greatest && std::isfinite(value))) [[unlikely]] {
        refuse_above(name, value, greatest, unit);
    }
}

/// Refuses what lies outside a closed range: "aim must be between 0 and 1, got 1.5".
inline void require_between(std::string_view name, double value, double least, double greatest,
                            std::string_view unit = "")
{
    if (!(value >= least && value <= greatest && std::isfinite(value))) [[unlikely]] {
        refuse_not_between(name, value, least, greatest, unit);
    }
}

/// Refuses what is not strictly below a bound: "land_diameter must be below 86.0 mm, got 86.5".
inline void require_below(std::string_view name, double value, double bound,
                          std::string_view unit = "")
{
    if (!(value < bound && std::isfinite(value))) [[unlikely]] {
        refuse_not_below(name, value, bound, unit);
    }
}

/// Refuses what is no whole number, or below a least one: counts arrive as doubles when they
/// broadcast. "sprocket_teeth must be a whole number of at least 1, got 2.5".
void require_whole(std::string_view name, double value, double least);

/// Refuses limits that cross: "upper must be at least lower, 54.98 mm, got 54.9".
///
/// A limit that is absent is no limit on that side. NaN and infinity are refused by name.
void require_ordered(std::string_view lower_name, std::optional<double> lower,
                     std::string_view upper_name, std::optional<double> upper,
                     std::string_view unit = "");

/// Refuses a set of readings that is too short or holds a number that is not finite.
///
/// "front must hold at least 2 readings, got 1"; "front[2] must be a finite number, got nan".
void require_readings(std::string_view name, std::span<const double> readings, std::size_t least);

/// No length of a workshop is beyond this, mm: what is, is a slip of the unit or the decimal mark.
inline constexpr double greatest_length = 1e6;

/// Refuses a length beyond any workshop: finite and within ±1e6 mm.
inline void require_length(std::string_view name, double value)
{
    require_between(name, value, -greatest_length, greatest_length, "mm");
}

/// Refuses a length that is not above zero or beyond 1e6 mm.
inline void require_size(std::string_view name, double value)
{
    require_positive(name, value, "mm");
    require_at_most(name, value, greatest_length, "mm");
}

/// Refuses a length below zero or beyond 1e6 mm.
inline void require_length_at_least_zero(std::string_view name, double value)
{
    require_at_least(name, value, 0.0, "mm");
    require_at_most(name, value, greatest_length, "mm");
}

/// "readings[2]": how an element of a list is named in a refusal; counts from 0.
std::string element_name(std::string_view name, std::size_t index);

}  // namespace enginewright
