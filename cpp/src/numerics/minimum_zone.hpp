#pragma once

#include <cstddef>
#include <span>

/// The plane, or the line, about which heights have the least range. Numbers only.
///
/// Exact, by the simplex method on the dual problem: weights on the highest and on the lowest
/// points, each set adding up to 1, balanced about both axes. The places are first turned to the
/// axes of their spread and each axis is brought to size 1, so that a long slim rail lying askew is
/// no harder than a square plate. A trace of weight off balance keeps a grid of equal heights from
/// cycling. A pivot costs one look at each point; there is no start value for a surface to fool.
///
/// Source: linear programming; perturbation against cycling, A. Charnes, Econometrica 20 (1952)
/// 160.
namespace enginewright::numerics {

/// A place on a plate and the height there.
struct Place {
    double x = 0;
    double y = 0;
    double height = 0;
};

/// The best plane height = slope_x * x + slope_y * y + constant, by its slopes.
struct Zone {
    double slope_x = 0;
    double slope_y = 0;
    double range = 0;  ///< greatest less least height over the plane
};

/// Whether some places lie in one line: their lesser spread below 1e-9 of the greatest coordinate,
/// counted from their mean.
bool in_one_line(std::span<const Place> places);

/// Least range over all planes; at least 3 places, not in one line.
Zone flattest_plane(std::span<const Place> places);

/// Least range over all lines for places that lie in one line, at least 2 of them apart.
double flattest_line(std::span<const Place> places);

/// Range of the heights over the plane with these slopes.
double range_over(std::span<const Place> places, double slope_x, double slope_y);

/// The least-squares plane, by its slopes, and the range over it; not in one line.
Zone least_squares_plane(std::span<const Place> places);

}  // namespace enginewright::numerics
