#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <type_traits>
#include <utility>
#include <vector>

#include "enginewright/check.hpp"

/// Records and words: how a result and a choice describe themselves.
///
/// A record is a plain struct that lists its fields once, in `fields()`, in the order in which a
/// person reads them: what it is, value, uncertainty, limits, margin, verdict, status, reason,
/// next. From that one list follow attributes, `repr` with units, `as_dict`, JSON, table columns
/// and pickling.
///
///     struct SecondRing {
///         double difference = 0;
///         ...
///         static constexpr auto fields()
///         {
///             return std::tuple{
///                 Field{"difference", "mm", &SecondRing::difference, "second gap less top gap"},
///                 ...
///             };
///         }
///         bool operator==(const SecondRing&) const = default;
///     };
///     static_assert(lists_every_member<SecondRing>);
///
/// Every member has an initialiser, and results are made with designated initialisers. A record
/// has no constructors and no methods beside `fields()` and `==`.
namespace enginewright {

/// One member of a record: its name, its unit ("" for none), where it is and what it means.
template <class R, class Value>
struct Field {
    const char* name;
    const char* unit;
    Value R::* member;
    const char* meaning;
};

template <class R, class Value>
Field(const char*, const char*, Value R::*, const char*) -> Field<R, Value>;

/// A struct that lists its fields.
template <class T>
concept Record =
    std::is_aggregate_v<T> && requires { std::tuple_size<decltype(T::fields())>::value; };

/// Calls `visit(field, value)` for each field of a record, in order.
template <class R, class Visit>
    requires Record<std::remove_const_t<R>>
constexpr void for_each_field(R& record, Visit&& visit)
{
    std::apply([&](const auto&... field) { (visit(field, record.*field.member), ...); },
               std::remove_const_t<R>::fields());
}

namespace detail {

/// Stands for a value of any member type, so that the members of a record can be counted.
template <class R>
struct Anything {
    template <class T>
        requires(!std::is_same_v<std::remove_cvref_t<T>, R>)
    constexpr operator T() const noexcept
    {
        return T{};
    }
};

template <class R, std::size_t... I>
constexpr bool takes(std::index_sequence<I...>)
{
    return requires { R{((void)I, Anything<R>{})...}; };
}

}  // namespace detail

/// True when `fields()` lists as many members as the struct has: a forgotten one stops the build.
template <Record R, std::size_t N = std::tuple_size_v<decltype(R::fields())>>
inline constexpr bool lists_every_member = detail::takes<R>(std::make_index_sequence<N>{}) &&
                                           !detail::takes<R>(std::make_index_sequence<N + 1>{});

/// The words of an enumeration, in the order of its values, and what the set is called.
///
/// In Python and in JSON a value is its word; a wrong word is refused with the list.
template <std::size_t N>
struct Words {
    std::string_view kind;
    std::array<std::string_view, N> list;
};

/// Specialised beside each enumeration that has words.
template <class E>
inline constexpr Words<0> words{};

/// An enumeration that has words.
template <class E>
concept Worded = std::is_enum_v<E> && (words<E>.list.size() > 0);

/// The word of a value: "within".
template <Worded E>
constexpr std::string_view word(E value)
{
    return words<E>.list[static_cast<std::size_t>(value)];
}

/// The words of a set as text, for sentences: "within, outside, unproven, unlimited".
template <Worded E>
std::string word_list()
{
    std::string all;
    for (const auto each : words<E>.list) {
        all.append(all.empty() ? "" : ", ").append(each);
    }
    return all;
}

/// The value that a word names.
///
/// name  argument as the caller knows it, for the refusal
///
/// Throws std::invalid_argument: "verdict must be one of within, outside, ...; got 'wihtin'".
template <Worded E>
E from_word(std::string_view name, std::string_view text)
{
    for (std::size_t i = 0; i < words<E>.list.size(); ++i) {
        if (words<E>.list[i] == text) {
            return static_cast<E>(i);
        }
    }
    refuse_word(name, word_list<E>(), text);
}

template <class T>
inline constexpr bool is_optional = false;
template <class T>
inline constexpr bool is_optional<std::optional<T>> = true;

template <class T>
inline constexpr bool is_vector = false;
template <class T>
inline constexpr bool is_vector<std::vector<T>> = true;

template <class T>
inline constexpr bool is_map = false;
template <class T>
inline constexpr bool is_map<std::map<std::string, T>> = true;

}  // namespace enginewright
