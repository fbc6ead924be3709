#include "numerics/random.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "numerics/normal_quantile.hpp"

namespace enginewright::numerics {

namespace {

std::uint32_t low(std::uint64_t bits) { return static_cast<std::uint32_t>(bits); }
std::uint32_t high(std::uint64_t bits) { return static_cast<std::uint32_t>(bits >> 32U); }

/// 52 bits and a half: never 0, never 1, and exact in a double.
double between_zero_and_one(std::uint32_t upper, std::uint32_t lower)
{
    const std::uint64_t bits = ((std::uint64_t{upper} << 32U) | lower) >> 12U;
    return (static_cast<double>(bits) + 0.5) * 0x1p-52;
}

}  // namespace

std::array<std::uint32_t, 4> philox(std::array<std::uint32_t, 4> counter,
                                    std::array<std::uint32_t, 2> key)
{
    for (int round = 0; round < 10; ++round) {
        const std::uint64_t first = std::uint64_t{0xD2511F53U} * counter[0];
        const std::uint64_t second = std::uint64_t{0xCD9E8D57U} * counter[2];
        counter = {high(second) ^ counter[1] ^ key[0], low(second),
                   high(first) ^ counter[3] ^ key[1], low(first)};
        key[0] += 0x9E3779B9U;
        key[1] += 0xBB67AE85U;
    }
    return counter;
}

std::array<double, 2> uniforms(std::uint64_t seed, std::uint64_t source, std::uint64_t draw)
{
    const auto bits =
        philox({low(draw), high(draw), low(source), high(source)}, {low(seed), high(seed)});
    return {between_zero_and_one(bits[0], bits[1]), between_zero_and_one(bits[2], bits[3])};
}

double normal_draw(std::uint64_t seed, std::uint64_t source, std::uint64_t draw)
{
    return quick_normal_quantile(uniforms(seed, source, draw / 2)[draw % 2]);
}

void fill_normal(std::uint64_t seed, std::uint64_t source, std::uint64_t first,
                 std::span<double> out)
{
    constexpr std::size_t most = 512;
    std::array<double, most + 2> uniform{};  // From an even draw to an odd one.
    std::array<double, most + 2> normal{};
    for (std::size_t done = 0; done < out.size();) {
        const std::uint64_t draw = first + done;
        const std::size_t skipped = draw % 2;
        const std::size_t count = std::min(most, out.size() - done);
        for (std::size_t i = 0; i < count + skipped; i += 2) {
            const auto both = uniforms(seed, source, (draw - skipped + i) / 2);
            uniform[i] = both[0];
            uniform[i + 1] = both[1];
        }
        quick_normal_quantiles(std::span(uniform).first(count + skipped), normal);
        std::copy_n(normal.begin() + static_cast<std::ptrdiff_t>(skipped), count,
                    out.begin() + static_cast<std::ptrdiff_t>(done));
        done += count;
    }
}

double t_draw(double freedom, std::uint64_t seed, std::uint64_t source, std::uint64_t draw)
{
    const auto [u, v] = uniforms(seed, source, draw);
    // Very few degrees of freedom reach beyond the range of a double once in a long while.
    constexpr double greatest = 1e300;
    const double square = freedom * std::expm1(-2 / freedom * std::log(u));
    return std::sqrt(std::min(square, greatest)) * std::cos(2 * std::numbers::pi * v);
}

}  // namespace enginewright::numerics
