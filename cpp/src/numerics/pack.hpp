#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>

#if defined(__SSE2__)
#include <emmintrin.h>
#endif

/// Several numbers that take every step together: a formula written once runs over them at speed.
///
/// `Pack<2>` fills a register of any 64-bit machine, `Pack<4>` one of machines that have wider
/// ones. Each lane goes through the very operations that a single `double` goes through, in the
/// same order and with the same rounding, so the answers are the same to the last bit. Numbers
/// only.
namespace enginewright::numerics {

/// Thrown by a check when a lane breaks its rule; the caller then asks again number by number.
struct LaneRefused {};

[[noreturn, gnu::cold, gnu::noinline]] inline void refuse_lane() { throw LaneRefused{}; }

template <int width>
struct Mask;

/// A register of `width` numbers of a kind: lanes that the compiler knows.
template <class Number, int width>
struct Register {
    using type [[gnu::vector_size(width * sizeof(Number))]] = Number;
    /// The same anywhere in memory: arrays are aligned to single numbers only.
    using loose [[gnu::vector_size(width * sizeof(Number)), gnu::aligned(8), gnu::may_alias]] =
        Number;
};

/// `width` numbers side by side.
///
/// Copied by a constructor of its own, so that it is always handed over in memory: functions
/// compiled for wider and for narrower registers then agree on where it is. Once they are inlined
/// nothing of that is left.
template <int width>
struct Pack {
    using Lanes = typename Register<double, width>::type;
    using Bits = typename Register<std::int64_t, width>::type;
    Lanes lanes{};

    Pack() = default;
    [[gnu::always_inline]] Pack(double each) : lanes(each - Lanes{}) {}
    [[gnu::always_inline]] explicit Pack(const Lanes& given) : lanes(given) {}
    [[gnu::always_inline]] Pack(const Pack& other) : lanes(other.lanes) {}
    [[gnu::always_inline]] Pack& operator=(const Pack& other)
    {
        lanes = other.lanes;
        return *this;
    }

    [[gnu::always_inline]] static Pack load(const double* from)
    {
        return Pack(Lanes(*reinterpret_cast<const typename Register<double, width>::loose*>(from)));
    }
    [[gnu::always_inline]] void store(double* to) const
    {
        *reinterpret_cast<typename Register<double, width>::loose*>(to) = lanes;
    }

    [[gnu::always_inline]] friend Pack operator+(const Pack& a, const Pack& b)
    {
        return Pack(a.lanes + b.lanes);
    }
    [[gnu::always_inline]] friend Pack operator-(const Pack& a, const Pack& b)
    {
        return Pack(a.lanes - b.lanes);
    }
    [[gnu::always_inline]] friend Pack operator*(const Pack& a, const Pack& b)
    {
        return Pack(a.lanes * b.lanes);
    }
    [[gnu::always_inline]] friend Pack operator/(const Pack& a, const Pack& b)
    {
        return Pack(a.lanes / b.lanes);
    }
    [[gnu::always_inline]] friend Pack operator-(const Pack& a) { return Pack(-a.lanes); }
    [[gnu::always_inline]] friend Mask<width> operator<(const Pack& a, const Pack& b)
    {
        return Mask<width>(a.lanes < b.lanes);
    }
    [[gnu::always_inline]] friend Mask<width> operator>(const Pack& a, const Pack& b)
    {
        return Mask<width>(a.lanes > b.lanes);
    }
    [[gnu::always_inline]] friend Mask<width> operator<=(const Pack& a, const Pack& b)
    {
        return Mask<width>(a.lanes <= b.lanes);
    }
    [[gnu::always_inline]] friend Mask<width> operator>=(const Pack& a, const Pack& b)
    {
        return Mask<width>(a.lanes >= b.lanes);
    }
};

/// Which lanes hold a condition.
template <int width>
struct Mask {
    using Bits = typename Register<std::int64_t, width>::type;
    Bits bits{};

    [[gnu::always_inline]] explicit Mask(const Bits& given) : bits(given) {}
    [[gnu::always_inline]] Mask(bool each) : bits(Bits{} - std::int64_t{each}) {}
    [[gnu::always_inline]] Mask(const Mask& other) : bits(other.bits) {}
    Mask& operator=(const Mask&) = delete;

    [[gnu::always_inline]] friend Mask operator&(const Mask& a, const Mask& b)
    {
        return Mask(a.bits & b.bits);
    }
    [[gnu::always_inline]] friend Mask operator|(const Mask& a, const Mask& b)
    {
        return Mask(a.bits | b.bits);
    }
};

inline bool all(bool holds) { return holds; }

/// True when every lane holds the condition.
template <int width>
[[gnu::always_inline]] inline bool all(const Mask<width>& mask)
{
#if defined(__SSE2__)
    if constexpr (width == 2) {
        return _mm_movemask_pd((__m128d)mask.bits) == 3;
    } else if constexpr (width == 4) {
        const auto low = __builtin_shufflevector(mask.bits, mask.bits, 0, 1);
        const auto high = __builtin_shufflevector(mask.bits, mask.bits, 2, 3);
        return _mm_movemask_pd((__m128d)(low & high)) == 3;
    }
#endif
    bool every = true;
    for (int i = 0; i < width; ++i) {
        every = every && mask.bits[i] != 0;
    }
    return every;
}

template <int width>
[[gnu::always_inline]] inline Pack<width> sqrt(const Pack<width>& a)
{
#if defined(__SSE2__)
    if constexpr (width == 2) {
        return Pack<width>(_mm_sqrt_pd(a.lanes));
    } else if constexpr (width == 4) {
        const auto low = _mm_sqrt_pd(__builtin_shufflevector(a.lanes, a.lanes, 0, 1));
        const auto high = _mm_sqrt_pd(__builtin_shufflevector(a.lanes, a.lanes, 2, 3));
        return Pack<width>(__builtin_shufflevector(low, high, 0, 1, 2, 3));
    }
#endif
    Pack<width> root;
    for (int i = 0; i < width; ++i) {
        root.lanes[i] = std::sqrt(a.lanes[i]);
    }
    return root;
}

template <int width>
[[gnu::always_inline]] inline Pack<width> abs(const Pack<width>& a)
{
    using Bits = typename Pack<width>::Bits;
    constexpr std::int64_t magnitude = 0x7fffffffffffffff;
    return Pack<width>((typename Pack<width>::Lanes)((Bits)a.lanes & magnitude));
}

/// The greater of two, `a` where they are equal: as std::max.
template <int width>
[[gnu::always_inline]] inline Pack<width> max(const Pack<width>& a, const Pack<width>& b)
{
    return Pack<width>(a.lanes < b.lanes ? b.lanes : a.lanes);
}

/// Lane by lane, where no steps of our own exist for a function.
template <int width>
Pack<width> asin(const Pack<width>& a)
{
    Pack<width> angle;
    for (int i = 0; i < width; ++i) {
        angle.lanes[i] = std::asin(a.lanes[i]);
    }
    return angle;
}

template <int width>
Pack<width> atan2(const Pack<width>& y, const Pack<width>& x)
{
    Pack<width> angle;
    for (int i = 0; i < width; ++i) {
        angle.lanes[i] = std::atan2(y.lanes[i], x.lanes[i]);
    }
    return angle;
}

template <class T>
inline constexpr bool is_pack = false;
template <int width>
inline constexpr bool is_pack<Pack<width>> = true;

}  // namespace enginewright::numerics
