#pragma once

#include <cmath>
#include <numbers>
#include <string>

#include "checked_numbers.hpp"
#include "numerics/degrees.hpp"

/// The crank train's kinematics, written once for any kind of number: `double`, `Dual`, `Pack`.
///
/// The half angle carries everything: depth and velocity then have a factor sin(angle/2) in front
/// and keep all their digits at top dead centre, where the printed textbook forms subtract two
/// nearly equal lengths.
///
/// Everything is inlined wherever it is used, so that blocks stay in registers.
namespace enginewright::crank_train::formula {

inline constexpr double degrees_of_radian = 180 / std::numbers::pi;
/// Shorter is no engine part, and its square would vanish.
inline constexpr double least_size = 1e-6;
/// A rod of a kilometre stands for harmonic motion in textbook examples; so does one of 1e9 mm.
inline constexpr double greatest_rod = 1e9;
inline constexpr double greatest_angle = 1e9;
inline constexpr double greatest_speed = 1e6;

template <class Number>
[[gnu::always_inline]] inline void require_part(std::string_view name, const Number& size,
                                                double greatest)
{
    require_positive(name, size, "mm");
    require_between(name, size, least_size, greatest, "mm");
}

/// The sizes of a crank train and what follows from them at top dead centre.
template <class Number>
struct Train {
    Number radius;
    Number rod_length;
    Number pin_offset;
    Number reach;   ///< height of the wrist pin at top dead centre
    Number sine;    ///< of the crank's angle from the cylinder axis at top dead centre
    Number cosine;  ///< of the same
    Number h;       ///< of the rod at top dead centre: its lean to the side
    Number q;       ///< and its height
};

/// The sizes, checked.
template <class Number>
[[gnu::always_inline]] inline Train<Number> train(const Number& stroke, const Number& rod_length,
                                                  const Number& pin_offset)
{
    using std::abs;
    using std::sqrt;
    require_part("stroke", stroke, greatest_length);
    require_part("rod_length", rod_length, greatest_rod);
    require_length("pin_offset", pin_offset);
    const Number r = stroke * 0.5;
    const Number bound = r + abs(pin_offset);
    // The margin keeps the rod's height a number that can be divided by.
    require_that(rod_length > bound * (1 + 1e-12), [&] {
        refuse("rod_length",
               "above stroke/2 + |pin_offset|, " + number_text(plain_value(bound)) + " mm",
               plain_value(rod_length));
    });
    const Number stretched = rod_length + r;
    const Number reach = sqrt((stretched - pin_offset) * (stretched + pin_offset));
    const Number sine = pin_offset / stretched;
    const Number cosine = reach / stretched;
    return {r,    rod_length, pin_offset,         reach,
            sine, cosine,     -rod_length * sine, rod_length * cosine};
}

/// Where crank and rod stand at an angle after top dead centre.
template <class Number>
struct Pose {
    Number s;          ///< sine of half the angle
    Number c;          ///< cosine of half the angle
    Number sine;       ///< of the crank's angle from the cylinder axis
    Number cosine;     ///< of the same
    Number lead;       ///< cosine of half the angle and the whole one at top dead centre
    Number side_step;  ///< change of h since top dead centre
    Number h;          ///< sideways from the wrist pin's path to the big end
    Number q;          ///< height of the wrist pin above the big end
    Number tilt;       ///< (h + h at top dead centre) / (q + q at top dead centre)
    Number tall;       ///< q + q at top dead centre
};

template <class Angle, class Size>
[[gnu::always_inline]] inline auto pose(const Angle& angle, const Train<Size>& t)
{
    using std::sqrt;
    using Number = decltype(angle + t.radius);
    require_between("angle", angle, -greatest_angle, greatest_angle, "deg");
    const auto half = numerics::sine_cosine_of_degrees(angle * 0.5);
    const Number s = half.sine;
    const Number c = half.cosine;
    const Number sine_angle = 2.0 * s * c;
    const Number cosine_angle = (c - s) * (c + s);
    const Number lead = c * t.cosine - s * t.sine;
    const Number side_step = 2.0 * t.radius * lead * s;
    const Number h = side_step + t.h;
    const Number q = sqrt((t.rod_length - h) * (t.rod_length + h));
    const Number tall = q + t.q;
    return Pose<Number>{s,
                        c,
                        sine_angle * t.cosine + cosine_angle * t.sine,
                        cosine_angle * t.cosine - sine_angle * t.sine,
                        lead,
                        side_step,
                        h,
                        q,
                        (h + t.h) / tall,
                        tall};
}

/// Depth below top dead centre, mm.
///
/// reach - r cos(theta) - q, brought to a form in which no two large numbers are subtracted. With
/// the half angle's sine s, the angle t at top dead centre, and the sums `tall` and `tilt`:
///
///     depth = 2 r s² (1/cos t + 2 r lead² (1 - tan t * tilt) / tall)
template <class Number, class Size>
[[gnu::always_inline]] inline Number depth(const Pose<Number>& p, const Train<Size>& t)
{
    const Size slant = t.sine / t.cosine;
    return 2.0 * t.radius * p.s * p.s *
           (1.0 / t.cosine + 2.0 * t.radius * p.lead * p.lead * (1.0 - slant * p.tilt) / p.tall);
}

/// Change of depth with the crank's angle, mm a radian; exactly 0 at top dead centre.
template <class Number, class Size>
[[gnu::always_inline]] inline Number depth_slope(const Pose<Number>& p, const Train<Size>& t)
{
    return 2.0 * t.radius * p.s *
           (t.rod_length * p.c + t.radius * p.lead * (p.cosine - p.tilt * p.sine)) / p.q;
}

/// Second change of depth with the crank's angle, mm a radian².
template <class Number, class Size>
[[gnu::always_inline]] inline Number depth_curvature(const Pose<Number>& p, const Train<Size>& t)
{
    const Number swing = t.radius * p.cosine * t.rod_length / p.q;
    return t.radius * (p.cosine - p.sine * (p.h / p.q)) + swing * swing / p.q;
}

struct PistonDepth {
    [[gnu::always_inline]] auto operator()(const auto& angle, const auto& stroke,
                                           const auto& rod_length, const auto& pin_offset) const
    {
        const auto t = train(stroke, rod_length, pin_offset);
        return depth(pose(angle, t), t);
    }
};
inline constexpr PistonDepth piston_depth{};

/// Radians a second.
template <class Number>
[[gnu::always_inline]] inline Number angular_speed(const Number& speed)
{
    require_between("speed", speed, 0.0, greatest_speed, "rpm");
    return speed * (std::numbers::pi / 30);
}

struct PistonVelocity {
    [[gnu::always_inline]] auto operator()(const auto& angle, const auto& stroke,
                                           const auto& rod_length, const auto& pin_offset,
                                           const auto& speed) const
    {
        const auto t = train(stroke, rod_length, pin_offset);
        const auto omega = angular_speed(speed);
        return omega * depth_slope(pose(angle, t), t) * 1e-3;
    }
};
inline constexpr PistonVelocity piston_velocity{};

struct PistonAcceleration {
    [[gnu::always_inline]] auto operator()(const auto& angle, const auto& stroke,
                                           const auto& rod_length, const auto& pin_offset,
                                           const auto& speed) const
    {
        const auto t = train(stroke, rod_length, pin_offset);
        const auto omega = angular_speed(speed);
        return omega * omega * depth_curvature(pose(angle, t), t) * 1e-3;
    }
};
inline constexpr PistonAcceleration piston_acceleration{};

struct RodAngle {
    [[gnu::always_inline]] auto operator()(const auto& angle, const auto& stroke,
                                           const auto& rod_length, const auto& pin_offset) const
    {
        using std::asin;
        const auto t = train(stroke, rod_length, pin_offset);
        return asin(pose(angle, t).h / t.rod_length) * degrees_of_radian;
    }
};
inline constexpr RodAngle rod_angle{};

struct RodVelocity {
    [[gnu::always_inline]] auto operator()(const auto& angle, const auto& stroke,
                                           const auto& rod_length, const auto& pin_offset,
                                           const auto& speed) const
    {
        const auto t = train(stroke, rod_length, pin_offset);
        const auto omega = angular_speed(speed);
        const auto p = pose(angle, t);
        return omega * (t.radius * p.cosine / p.q);
    }
};
inline constexpr RodVelocity rod_velocity{};

struct RodAcceleration {
    [[gnu::always_inline]] auto operator()(const auto& angle, const auto& stroke,
                                           const auto& rod_length, const auto& pin_offset,
                                           const auto& speed) const
    {
        const auto t = train(stroke, rod_length, pin_offset);
        const auto omega = angular_speed(speed);
        const auto p = pose(angle, t);
        const auto swing = t.radius * p.cosine / p.q;
        return omega * omega * (swing * swing * (p.h / p.q) - t.radius * p.sine / p.q);
    }
};
inline constexpr RodAcceleration rod_acceleration{};

struct SweptVolume {
    [[gnu::always_inline]] auto operator()(const auto& angle, const auto& bore, const auto& stroke,
                                           const auto& rod_length, const auto& pin_offset) const
    {
        require_size("bore", bore);
        return piston_depth(angle, stroke, rod_length, pin_offset) *
               (bore * bore * (std::numbers::pi / 4000));
    }
};
inline constexpr SweptVolume swept_volume{};

/// Height of the wrist pin at bottom dead centre.
template <class Number>
[[gnu::always_inline]] inline Number low_reach(const Train<Number>& t)
{
    using std::sqrt;
    const Number folded = t.rod_length - t.radius;
    return sqrt((folded - t.pin_offset) * (folded + t.pin_offset));
}

template <class Number>
[[gnu::always_inline]] inline Number travel(const Train<Number>& t)
{
    return 4.0 * t.rod_length * t.radius / (t.reach + low_reach(t));
}

/// The arc to a depth: half its width, and how far its middle lies from top dead centre; degrees.
template <class Number>
struct Arc {
    Number half;
    Number middle;
};

/// Closed form that keeps its digits at both dead centres.
///
/// With D from the crank's axis to the wrist pin, the half angle of the triangle r, D, l has
/// sin² = (l+r-D)(l-r+D)/(4rD) and cos² = (D+r-l)(D+r+l)/(4rD). The small factors, l+r-D at the
/// top and D-(l-r) at the bottom, are written as depth times a sum and travel less depth times a
/// sum.
template <class Number>
[[gnu::always_inline]] inline Arc<Number> arc_at_depth(const Number& depth, const Train<Number>& t)
{
    using numerics::max;
    using std::atan2;
    using std::max;
    using std::sqrt;
    const Number full = travel(t);
    require_that((depth >= -1e-12 * full) & (depth <= full * (1 + 1e-12)), [&] {
        refuse("depth", "between 0 and the travel, " + number_text(plain_value(full)) + " mm",
               plain_value(depth));
    });
    const Number down = max(Number(0.0), depth);
    const Number left = max(Number(0.0), full - down);
    const Number r = t.radius;
    const Number l = t.rod_length;
    const Number y = t.reach - down;
    const Number distance = sqrt(y * y + t.pin_offset * t.pin_offset);
    const Number above = down * (t.reach + y) / (l + r + distance) * (l - r + distance);
    const Number below = left * (y + low_reach(t)) / (distance + l - r) * (distance + r + l);
    return {
        2.0 * degrees_of_radian * atan2(sqrt(above), sqrt(below)),
        degrees_of_radian * atan2(t.pin_offset * down, y * t.reach + t.pin_offset * t.pin_offset)};
}

}  // namespace enginewright::crank_train::formula
