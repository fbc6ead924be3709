#pragma once

#include <string_view>
#include <type_traits>

#include "enginewright/check.hpp"
#include "numerics/dual.hpp"
#include "numerics/pack.hpp"

/// The refusals of check.hpp for the other kinds of number that a formula runs with.
///
/// A formula that is written once, as a template over its number, states its rules once too:
/// `require_size("bore", bore)` holds for a `double`, for a `Dual` by its value, and for every
/// lane of a `Pack`. A pack has no words: it throws `LaneRefused`, and whoever walks the arrays
/// asks the `double` case for the sentence.
namespace enginewright {

using numerics::all;
using numerics::Dual;
using numerics::Pack;

/// Refuses by `refusal` what does not hold: for rules that belong to one bench.
///
/// holds    a truth value, or a mask of lanes
/// refusal  called for single numbers; writes the sentence
template <class Refusal>
void require_that(bool holds, Refusal&& refusal)
{
    if (!holds) [[unlikely]] {
        refusal();
    }
}
template <int width, class Refusal>
[[gnu::always_inline]] inline void require_that(const numerics::Mask<width>& holds, Refusal&&)
{
    if (!all(holds)) [[unlikely]] {
        numerics::refuse_lane();
    }
}

/// The value of a number of any kind, for a sentence; a pack never gets as far as one.
inline double plain_value(double number) { return number; }
template <std::size_t N>
double plain_value(const Dual<N>& number)
{
    return number.value;
}
template <int width>
double plain_value(const Pack<width>& number)
{
    return number.lanes[0];
}

/// A value or a bound that is a pack.
template <class Value, class... Bounds>
concept AnyPack = numerics::is_pack<Value> || (numerics::is_pack<Bounds> || ...);

inline constexpr double greatest_number = 0x1.fffffffffffffp+1023;

template <class Value, class Least, class Greatest>
    requires AnyPack<Value, Least, Greatest>
[[gnu::always_inline]] inline void require_between(std::string_view, const Value& value,
                                                   const Least& least, const Greatest& greatest,
                                                   std::string_view = "")
{
    if (!all((value >= least) & (value <= greatest))) [[unlikely]] {
        numerics::refuse_lane();
    }
}

template <AnyPack Value>
[[gnu::always_inline]] inline void require_finite(std::string_view name, const Value& value)
{
    require_between(name, value, -greatest_number, greatest_number);
}

template <AnyPack Value>
[[gnu::always_inline]] inline void require_positive(std::string_view, const Value& value,
                                                    std::string_view = "")
{
    if (!all((value > 0.0) & (value <= greatest_number))) [[unlikely]] {
        numerics::refuse_lane();
    }
}

template <class Value, class Least>
    requires AnyPack<Value, Least>
[[gnu::always_inline]] inline void require_at_least(std::string_view name, const Value& value,
                                                    const Least& least, std::string_view = "")
{
    require_between(name, value, least, greatest_number);
}

template <class Value, class Greatest>
    requires AnyPack<Value, Greatest>
[[gnu::always_inline]] inline void require_at_most(std::string_view name, const Value& value,
                                                   const Greatest& greatest, std::string_view = "")
{
    require_between(name, value, -greatest_number, greatest);
}

template <class Value, class Bound>
    requires AnyPack<Value, Bound>
[[gnu::always_inline]] inline void require_below(std::string_view, const Value& value,
                                                 const Bound& bound, std::string_view = "")
{
    if (!all((value < bound) & (value >= -greatest_number))) [[unlikely]] {
        numerics::refuse_lane();
    }
}

template <AnyPack Value>
[[gnu::always_inline]] inline void require_length(std::string_view name, const Value& value)
{
    require_between(name, value, -greatest_length, greatest_length);
}

template <AnyPack Value>
[[gnu::always_inline]] inline void require_size(std::string_view, const Value& value)
{
    if (!all((value > 0.0) & (value <= greatest_length))) [[unlikely]] {
        numerics::refuse_lane();
    }
}

template <AnyPack Value>
[[gnu::always_inline]] inline void require_length_at_least_zero(std::string_view name,
                                                                const Value& value)
{
    require_between(name, value, 0.0, greatest_length);
}

template <std::size_t N>
void require_between(std::string_view name, const Dual<N>& value, double least, double greatest,
                     std::string_view unit = "")
{
    require_between(name, value.value, least, greatest, unit);
}

template <std::size_t N>
void require_finite(std::string_view name, const Dual<N>& value)
{
    require_finite(name, value.value);
}

template <std::size_t N>
void require_positive(std::string_view name, const Dual<N>& value, std::string_view unit = "")
{
    require_positive(name, value.value, unit);
}

template <std::size_t N>
void require_below(std::string_view name, const Dual<N>& value, const Dual<N>& bound,
                   std::string_view unit = "")
{
    require_below(name, value.value, bound.value, unit);
}

template <std::size_t N>
void require_at_least(std::string_view name, const Dual<N>& value, double least,
                      std::string_view unit = "")
{
    require_at_least(name, value.value, least, unit);
}

template <std::size_t N>
void require_at_most(std::string_view name, const Dual<N>& value, double greatest,
                     std::string_view unit = "")
{
    require_at_most(name, value.value, greatest, unit);
}

template <std::size_t N>
void require_length(std::string_view name, const Dual<N>& value)
{
    require_length(name, value.value);
}

template <std::size_t N>
void require_size(std::string_view name, const Dual<N>& value)
{
    require_size(name, value.value);
}

template <std::size_t N>
void require_length_at_least_zero(std::string_view name, const Dual<N>& value)
{
    require_length_at_least_zero(name, value.value);
}

}  // namespace enginewright
