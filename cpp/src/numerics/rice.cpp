#include "numerics/rice.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "numerics/distributions.hpp"

namespace enginewright::numerics {

namespace {

struct Node {
    double at;
    double weight;
};

// Gauss-Legendre, 16 points on (-1, 1), positive half: NIST DLMF 3.5(v).
constexpr std::array<Node, 8> nodes{{
    {0.0950125098376374402, 0.189450610455068496},
    {0.281603550779258913, 0.182603415044923589},
    {0.458016777657227386, 0.169156519395002538},
    {0.617876244402643748, 0.149595988816576732},
    {0.755404408355003034, 0.124628971255533872},
    {0.865631202387831744, 0.0951585116824927848},
    {0.944575023073232576, 0.0622535239386478929},
    {0.989400934991649933, 0.0271524594117540949},
}};

template <class Function>
double integral(Function f, double from, double to, int panels)
{
    double sum = 0;
    const double half = (to - from) / (2 * panels);
    for (int i = 0; i < panels; ++i) {
        const double middle = from + (2 * i + 1) * half;
        for (const auto& node : nodes) {
            const double off = half * node.at;
            sum += half * node.weight * (f(middle - off) + f(middle + off));
        }
    }
    return sum;
}

}  // namespace

double rice_cdf(double length, double s, double bound)
{
    // Beyond this many deviations nothing is left that a double could show.
    constexpr double far = 40;
    constexpr double near = 9;
    const double margin = bound - length;
    if (margin > far * s) {
        return 1;
    }
    if (-margin > far * s) {
        return 0;
    }
    const double b = bound / s;
    const double above = margin / s;  // how far the bound lies above the length
    if (!(b < 1e12)) {
        // The circle is a straight line as far as the error reaches.
        return normal_cdf(above);
    }
    // x = b - 2 b sin²(t/2): distances from the bound's edge keep their digits at any size.
    const auto angle_at = [&](double below_edge) {
        return 2 * std::asin(std::sqrt(std::clamp(below_edge / (2 * b), 0.0, 1.0)));
    };
    const double from = angle_at(std::max(0.0, above - near));
    const double to = angle_at(std::min(2 * b, above + near));
    const auto density = [&](double t) {
        const double sine = std::sin(t / 2);
        const double off = above - 2 * b * sine * sine;
        const double chord = b * std::sin(t);
        return normal_density(off) * std::erf(chord / std::numbers::sqrt2) * chord;
    };
    if (!(from < to)) {
        return 0;
    }
    // Beyond a chord of nine deviations the circle is as good as straight; the edge before it can
    // be far narrower than the rest and has panels of its own.
    const double straight = std::clamp(b > near ? std::asin(near / b) : to, from, to);
    const double sum = integral(density, from, straight, 12) + integral(density, straight, to, 12);
    return std::clamp(sum, 0.0, 1.0);
}

}  // namespace enginewright::numerics
