#include "numerics/random.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace enginewright::numerics {

namespace {

/// Value of a polynomial, its coefficients from the constant upwards.
template <std::size_t N>
double polynomial(const std::array<double, N>& coefficients, double x)
{
    double sum = 0;
    for (auto each = coefficients.rbegin(); each != coefficients.rend(); ++each) {
        sum = sum * x + *each;
    }
    return sum;
}

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

double quick_normal_quantile(double probability)
{
    constexpr std::array middle_above{
        3.3871328727963666080, 133.14166789178437745, 1971.5909503065514427, 13731.693765509461125,
        45921.953931549871457, 67265.770927008700853, 33430.575583588128105, 2509.0809287301226727};
    constexpr std::array middle_below{1.0,
                                      42.313330701600911252,
                                      687.18700749205790830,
                                      5394.1960214247511077,
                                      21213.794301586595867,
                                      39307.895800092710610,
                                      28729.085735721942674,
                                      5226.4952788528545610};
    constexpr std::array near_above{1.42343711074968357734,   4.63033784615654529590,
                                    5.76949722146069140550,   3.64784832476320460504,
                                    1.27045825245236838258,   0.241780725177450611770,
                                    0.0227238449892691845833, 7.74545014278341407640e-4};
    constexpr std::array near_below{1.0,
                                    2.05319162663775882187,
                                    1.67638483018380384940,
                                    0.689767334985100004550,
                                    0.148103976427480074590,
                                    0.0151986665636164571966,
                                    5.47593808499534494600e-4,
                                    1.05075007164441684324e-9};
    constexpr std::array far_above{6.65790464350110377720,    5.46378491116411436990,
                                   1.78482653991729133580,    0.296560571828504891230,
                                   0.0265321895265761230930,  0.00124266094738807843860,
                                   2.71155556874348757815e-5, 2.01033439929228813265e-7};
    constexpr std::array far_below{1.0,
                                   0.599832206555887937690,
                                   0.136929880922735805310,
                                   0.0148753612908506148525,
                                   7.86869131145613259100e-4,
                                   1.84631831751005468180e-5,
                                   1.42151175831644588870e-7,
                                   2.04426310338993978564e-15};
    const double q = probability - 0.5;
    if (std::abs(q) <= 0.425) {
        const double r = 0.180625 - q * q;
        return q * polynomial(middle_above, r) / polynomial(middle_below, r);
    }
    const double r = std::sqrt(-std::log(q < 0 ? probability : 1 - probability));
    const double size = r <= 5 ? polynomial(near_above, r - 1.6) / polynomial(near_below, r - 1.6)
                               : polynomial(far_above, r - 5) / polynomial(far_below, r - 5);
    return q < 0 ? -size : size;
}

double normal_draw(std::uint64_t seed, std::uint64_t source, std::uint64_t draw)
{
    return quick_normal_quantile(uniforms(seed, source, draw)[0]);
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
