#pragma once

#include <array>
#include <cstddef>
#include <tuple>
#include <utility>

#include "checked_numbers.hpp"
#include "functions.hpp"
#include "numerics/pack.hpp"

/// Closed forms over arrays at the speed of the machine, with every check on.
///
/// A formula that the core writes once for any kind of number (`src/<module>_formulas.hpp`) runs
/// over blocks of numbers that take each step together:
///
///     define(module, "gap_at_bore", by_blocks(rings::gap_at_bore, rings::formula::gap_at_bore),
///            text::gap_at_bore, "gap"_a, "bore"_a, "bore_new"_a);
///
/// The first argument of `by_blocks` is the scalar function, which answers single calls, the last
/// few elements of an array, and any block of which a check refuses a lane: it then says which
/// argument, rule and value, and the walk adds which element. The answers are the scalar ones to
/// the last bit.
namespace enginewright::bind {

namespace detail {

/// An operand as blocks: an array moves on, a single number stands still.
template <int width, class T>
struct Stream {
    const Operand<T>& operand;
    const double* at = nullptr;
    std::size_t step = 0;
    std::array<double, static_cast<std::size_t>(width)> copies{};

    explicit Stream(const Operand<T>& given) : operand(given)
    {
        if constexpr (std::is_same_v<T, double>) {
            copies.fill(*given.at);
            at = given.step == 0 ? copies.data() : given.at;
            step = given.step * static_cast<std::size_t>(width);
        }
    }
    Stream(const Stream&) = delete;
    Stream& operator=(const Stream&) = delete;

    [[gnu::always_inline]] auto next()
    {
        if constexpr (std::is_same_v<T, double>) {
            const auto block = numerics::Pack<width>::load(at);
            at += step;
            return block;
        } else {
            return operand.plain();
        }
    }
};

/// The one value of an operand that does not move.
template <class T>
T standing(const Operand<T>& operand)
{
    if constexpr (std::is_same_v<T, double>) {
        return *operand.at;
    } else {
        return operand.plain();
    }
}

/// The values of all operands but the first, none of which moves.
template <class First, class... Rest, std::size_t... J>
std::tuple<Rest...> standing_rest(const std::tuple<Operand<First>, Operand<Rest>...>& operands,
                                  std::index_sequence<J...>)
{
    return std::tuple<Rest...>(standing(std::get<1 + J>(operands))...);
}

template <class Kernel, class Block, class Rest, std::size_t... J>
[[gnu::always_inline]] inline void run_on_rest(const Block& block, const Rest& rest, double* out,
                                               std::index_sequence<J...>)
{
    Kernel{}(block, std::get<J>(rest)...).store(out);
}

/// Walks whole blocks; how many elements are done when a lane is refused or no block is left.
template <int width, class Kernel, class... Args, std::size_t... I>
[[gnu::always_inline]] inline std::size_t walk_blocks(const std::tuple<Operand<Args>...>& operands,
                                                      std::size_t size, double* out,
                                                      std::index_sequence<I...>)
{
    constexpr auto wide = static_cast<std::size_t>(width);
    std::size_t done = 0;
    try {
        const auto& first = std::get<0>(operands);
        if (first.step == 1 && (std::get<I>(operands).step + ...) == 1) {
            // A year of angles on one crank: what follows from the crank alone is worked out once
            // a block, not once a lane.
            constexpr auto others = std::make_index_sequence<sizeof...(I) - 1>{};
            const auto rest = standing_rest(operands, others);
            for (; done + wide <= size; done += wide) {
                const auto block = numerics::Pack<width>::load(first.at + done);
                run_on_rest<Kernel>(block, rest, out + done, others);
            }
            return done;
        }
        std::tuple<Stream<width, Args>...> streams{std::get<I>(operands)...};
        for (; done + wide <= size; done += wide) {
            Kernel{}(std::get<I>(streams).next()...).store(out + done);
        }
    } catch (const numerics::LaneRefused&) {
        return done;
    }
    return done;
}

template <class Kernel, class... Args>
std::size_t walk_narrow(const std::tuple<Operand<Args>...>& operands, std::size_t size, double* out)
{
    return walk_blocks<2, Kernel, Args...>(operands, size, out, std::index_sequence_for<Args...>{});
}

#if defined(__x86_64__)
// Wider registers, the same operations: no fused multiply-add, so the same bits.
template <class Kernel, class... Args>
[[gnu::target("avx2")]] std::size_t walk_wide(const std::tuple<Operand<Args>...>& operands,
                                              std::size_t size, double* out)
{
    return walk_blocks<4, Kernel, Args...>(operands, size, out, std::index_sequence_for<Args...>{});
}
#endif

template <class Kernel, class... Args>
std::size_t walk(const std::tuple<Operand<Args>...>& operands, std::size_t size, double* out)
{
#if defined(__x86_64__)
    static const bool wide = __builtin_cpu_supports("avx2") != 0;
    if (wide) {
        return walk_wide<Kernel, Args...>(operands, size, out);
    }
#endif
    return walk_narrow<Kernel, Args...>(operands, size, out);
}

template <class... Args>
inline constexpr bool are_block_arguments = ((std::is_same_v<Args, double> || Worded<Args>) && ...);

}  // namespace detail

/// A broadcasting function whose formula also runs by blocks.
///
/// function  the public function, for single numbers
/// Kernel    the same formula for any kind of number: a lambda without captures, always inlined;
///           its first number may be of another kind than the rest
template <class Kernel, class... Args>
Broadcast<double, Args...> by_blocks(double (*function)(Args...), Kernel)
{
    static_assert(detail::are_block_arguments<Args...>, "blocks are of numbers; words stand still");
    return {function, &detail::walk<Kernel, Args...>};
}

}  // namespace enginewright::bind
