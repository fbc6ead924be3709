#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "numerics/degrees.hpp"

/// A number that carries its slopes: a formula run with it gives its derivatives, exact to
/// rounding, beside its value. Numbers only.
///
///     Dual<2> x = Dual<2>::variable(3.0, 0), y = Dual<2>::variable(4.0, 1);
///     Dual<2> f = x * y + sqrt(x);    // f.value 13.73, f.slope {4 + 1/(2 sqrt 3), 3}
///
/// Source: forward-mode automatic differentiation; A. Griewank and A. Walther, Evaluating
/// Derivatives, 2nd ed., 2008, chapter 3.
namespace enginewright::numerics {

template <std::size_t N>
struct Dual {
    double value = 0;
    std::array<double, N> slope{};

    Dual() = default;
    /// A constant.
    Dual(double constant) : value(constant) {}
    Dual(double at, const std::array<double, N>& slopes) : value(at), slope(slopes) {}

    /// The variable number `which`: its slope along itself is 1.
    static Dual variable(double at, std::size_t which)
    {
        Dual made(at);
        made.slope[which] = 1;
        return made;
    }

    /// f(a), where `at` is f(a.value) and `along` its derivative there.
    static Dual chained(double at, double along, const Dual& a)
    {
        Dual made(at);
        for (std::size_t i = 0; i < N; ++i) {
            made.slope[i] = along * a.slope[i];
        }
        return made;
    }

    /// f(a, b), likewise.
    static Dual chained(double at, double along_a, const Dual& a, double along_b, const Dual& b)
    {
        Dual made(at);
        for (std::size_t i = 0; i < N; ++i) {
            made.slope[i] = along_a * a.slope[i] + along_b * b.slope[i];
        }
        return made;
    }

    friend Dual operator+(const Dual& a, const Dual& b)
    {
        return chained(a.value + b.value, 1, a, 1, b);
    }
    friend Dual operator-(const Dual& a, const Dual& b)
    {
        return chained(a.value - b.value, 1, a, -1, b);
    }
    friend Dual operator*(const Dual& a, const Dual& b)
    {
        return chained(a.value * b.value, b.value, a, a.value, b);
    }
    friend Dual operator/(const Dual& a, const Dual& b)
    {
        const double ratio = a.value / b.value;
        return chained(ratio, 1 / b.value, a, -ratio / b.value, b);
    }
    friend Dual operator-(const Dual& a) { return chained(-a.value, -1, a); }
    friend bool operator<(const Dual& a, const Dual& b) { return a.value < b.value; }
    friend bool operator>(const Dual& a, const Dual& b) { return a.value > b.value; }
    friend bool operator<=(const Dual& a, const Dual& b) { return a.value <= b.value; }
    friend bool operator>=(const Dual& a, const Dual& b) { return a.value >= b.value; }
};

template <std::size_t N>
Dual<N> sqrt(const Dual<N>& a)
{
    const double root = std::sqrt(a.value);
    return Dual<N>::chained(root, 0.5 / root, a);
}

/// The slope at 0 is taken as that of the positive side.
template <std::size_t N>
Dual<N> abs(const Dual<N>& a)
{
    return a.value < 0 ? -a : a;
}

template <std::size_t N>
Dual<N> max(const Dual<N>& a, const Dual<N>& b)
{
    return a.value < b.value ? b : a;
}

template <std::size_t N>
Dual<N> asin(const Dual<N>& a)
{
    return Dual<N>::chained(std::asin(a.value), 1 / std::sqrt((1 - a.value) * (1 + a.value)), a);
}

template <std::size_t N>
Dual<N> atan2(const Dual<N>& y, const Dual<N>& x)
{
    const double square = x.value * x.value + y.value * y.value;
    return Dual<N>::chained(std::atan2(y.value, x.value), x.value / square, y, -y.value / square,
                            x);
}

template <std::size_t N>
SineCosine<Dual<N>> sine_cosine_of_degrees(const Dual<N>& degrees)
{
    const auto [sine, cosine] = sine_cosine_of_degrees(degrees.value);
    constexpr double radian = std::numbers::pi / 180;
    return {Dual<N>::chained(sine, radian * cosine, degrees),
            Dual<N>::chained(cosine, -radian * sine, degrees)};
}

template <class T>
inline constexpr bool is_dual = false;
template <std::size_t N>
inline constexpr bool is_dual<Dual<N>> = true;

}  // namespace enginewright::numerics
