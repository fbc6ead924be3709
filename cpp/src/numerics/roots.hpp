#pragma once

#include <algorithm>
#include <cmath>
#include <limits>

/// Roots of one equation. Numbers only.
namespace enginewright::numerics {

/// The root of a continuous function between two ends at which it has different signs.
///
/// Inverse quadratic steps, secant steps, and bisection whenever these do not at least halve the
/// bracket in two steps: never slower than bisection squared, never outside the bracket.
///
/// f          function of one number
/// low, high  ends, f(low) and f(high) of different sign (or one of them 0)
/// tolerance  how near the root must be; the last bits of the root are always allowed
///
/// Source: R. P. Brent, Algorithms for Minimization without Derivatives, 1973, chapter 4.
template <class Function>
double brent_root(Function f, double low, double high, double tolerance = 0)
{
    double a = low;
    double b = high;
    double fa = f(a);
    double fb = f(b);
    double c = a;
    double fc = fa;
    double step = b - a;
    double step_before = step;
    for (int round = 0; round < 1000 && fb != 0; ++round) {
        if ((fb > 0) == (fc > 0)) {
            c = a;
            fc = fa;
            step = step_before = b - a;
        }
        if (std::abs(fc) < std::abs(fb)) {
            a = b;
            b = c;
            c = a;
            fa = fb;
            fb = fc;
            fc = fa;
        }
        const double near =
            2 * std::numeric_limits<double>::epsilon() * std::abs(b) + tolerance / 2;
        const double middle = (c - b) / 2;
        if (std::abs(middle) <= near) {
            break;
        }
        bool bisect = true;
        if (std::abs(step_before) >= near && std::abs(fa) > std::abs(fb)) {
            const double s = fb / fa;
            double p = 2 * middle * s;
            double q = 1 - s;
            if (a != c) {
                const double t = fa / fc;
                const double r = fb / fc;
                p = s * (2 * middle * t * (t - r) - (b - a) * (r - 1));
                q = (t - 1) * (r - 1) * (s - 1);
            }
            q = p > 0 ? -q : q;
            p = std::abs(p);
            if (2 * p < std::min(3 * middle * q - std::abs(near * q), std::abs(step_before * q))) {
                step_before = step;
                step = p / q;
                bisect = false;
            }
        }
        if (bisect) {
            step = step_before = middle;
        }
        a = b;
        fa = fb;
        b += std::abs(step) > near ? step : std::copysign(near, middle);
        fb = f(b);
    }
    return b;
}

}  // namespace enginewright::numerics
