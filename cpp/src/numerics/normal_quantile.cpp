#include "numerics/normal_quantile.hpp"

#include <array>
#include <cmath>
#include <cstddef>

#include "numerics/pack.hpp"

namespace enginewright::numerics {

namespace {

/// Value of a polynomial, its coefficients from the constant upwards.
template <std::size_t N, class Number>
[[gnu::always_inline]] inline Number polynomial(const std::array<double, N>& coefficients,
                                                const Number& x)
{
    Number sum = coefficients[N - 1];
    for (std::size_t k = N - 1; k > 0; --k) {
        sum = sum * x + Number(coefficients[k - 1]);
    }
    return sum;
}

/// Within this distance from one half a single quotient serves.
constexpr double middle = 0.425;

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

template <class Number>
[[gnu::always_inline]] inline Number middle_quantile(const Number& from_half)
{
    const Number r = Number(0.180625) - from_half * from_half;
    return from_half * polynomial(middle_above, r) / polynomial(middle_below, r);
}

double outer_quantile(double probability)
{
    const bool low_end = probability < 0.5;
    const double r = std::sqrt(-std::log(low_end ? probability : 1 - probability));
    const double size = r <= 5 ? polynomial(near_above, r - 1.6) / polynomial(near_below, r - 1.6)
                               : polynomial(far_above, r - 5) / polynomial(far_below, r - 5);
    return low_end ? -size : size;
}

/// The quotient of the middle for as many as fill whole registers; how many these were.
template <int width>
[[gnu::always_inline]] inline std::size_t middle_quantiles(std::span<const double> from,
                                                           std::span<double> to)
{
    constexpr auto step = static_cast<std::size_t>(width);
    std::size_t i = 0;
    for (; i + step <= from.size(); i += step) {
        middle_quantile(Pack<width>::load(&from[i]) - Pack<width>(0.5)).store(&to[i]);
    }
    return i;
}

#if defined(__x86_64__)
[[gnu::target("avx2")]] std::size_t wide_quantiles(std::span<const double> from,
                                                   std::span<double> to)
{
    return middle_quantiles<4>(from, to);
}
#endif

std::size_t widest_quantiles(std::span<const double> from, std::span<double> to)
{
#if defined(__x86_64__)
    static const bool wide = __builtin_cpu_supports("avx2") != 0;
    if (wide) {
        return wide_quantiles(from, to);
    }
#endif
    return middle_quantiles<2>(from, to);
}

}  // namespace

double quick_normal_quantile(double probability)
{
    const double from_half = probability - 0.5;
    return std::abs(from_half) <= middle ? middle_quantile(from_half) : outer_quantile(probability);
}

void quick_normal_quantiles(std::span<const double> from, std::span<double> to)
{
    // All through the quotient of the middle, several at a time; then the
    // few that lie farther out once more.
    for (std::size_t i = widest_quantiles(from, to); i < from.size(); ++i) {
        to[i] = middle_quantile(from[i] - 0.5);
    }
    for (std::size_t i = 0; i < from.size(); ++i) {
        if (std::abs(from[i] - 0.5) > middle) {
            to[i] = outer_quantile(from[i]);
        }
    }
}

}  // namespace enginewright::numerics
