#pragma once

#include <algorithm>
#include <array>
#include <cmath>

/// Distance of two straight segments in space. Numbers only.
namespace enginewright::numerics {

using Point = std::array<double, 3>;

struct Segment {
    Point from{};
    Point to{};
};

namespace segment_detail {

inline Point less(const Point& a, const Point& b)
{
    return {a[0] - b[0], a[1] - b[1], a[2] - b[2]};
}

inline double dot(const Point& a, const Point& b)
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/// Distance of a point from a segment.
inline double from_point(const Point& p, const Segment& s)
{
    const Point along = less(s.to, s.from);
    const double square = dot(along, along);
    const double share =
        square > 0 ? std::clamp(dot(less(p, s.from), along) / square, 0.0, 1.0) : 0.0;
    const Point off{p[0] - s.from[0] - share * along[0], p[1] - s.from[1] - share * along[1],
                    p[2] - s.from[2] - share * along[2]};
    return std::sqrt(dot(off, off));
}

}  // namespace segment_detail

/// Least distance between the points of two segments.
///
/// Either both nearest points lie inside their segments, where the joining line is square to both,
/// or one of them is an end: the least of the four distances from an end, and of the common
/// perpendicular where it meets both segments. Segments of no length are points.
///
/// Source: analytic geometry; the case of parallel segments is one of the four ends.
inline double segment_distance(const Segment& first, const Segment& second)
{
    using namespace segment_detail;
    double least = std::min({from_point(first.from, second), from_point(first.to, second),
                             from_point(second.from, first), from_point(second.to, first)});
    const Point u = less(first.to, first.from);
    const Point v = less(second.to, second.from);
    const Point w = less(first.from, second.from);
    const double a = dot(u, u);
    const double b = dot(u, v);
    const double c = dot(v, v);
    const double determinant = a * c - b * b;
    // Below this the lines are parallel as far as doubles can tell, and an end is nearest.
    if (determinant > 1e-14 * a * c) {
        const double s = (b * dot(v, w) - c * dot(u, w)) / determinant;
        const double t = (a * dot(v, w) - b * dot(u, w)) / determinant;
        if (s > 0 && s < 1 && t > 0 && t < 1) {
            const Point gap{w[0] + s * u[0] - t * v[0], w[1] + s * u[1] - t * v[1],
                            w[2] + s * u[2] - t * v[2]};
            least = std::min(least, std::sqrt(dot(gap, gap)));
        }
    }
    return least;
}

}  // namespace enginewright::numerics
