#pragma once

#include <Eigen/Core>
#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

/// Which of some points is the farthest from where: the plane cut into regions. Numbers only.
namespace enginewright::numerics {

using PlanePoint = Eigen::Vector2d;

/// Where the two farthest points change over: a piece of the bisector of points `first`, `second`.
///
/// Without a start it comes from infinity, along the left normal of first -> second.
struct RegionEdge {
    std::size_t first = 0;
    std::size_t second = 0;
    std::optional<PlanePoint> start{};
    PlanePoint end = PlanePoint::Zero();
};

/// A corner of the regions: the centre of the circle through three points, which holds all.
struct RegionCorner {
    std::array<std::size_t, 3> points{};
    PlanePoint centre = PlanePoint::Zero();
};

/// Corners and edges of the farthest-point regions.
struct FarthestRegions {
    std::vector<std::size_t> hull{};  ///< counterclockwise, no three in one line
    std::vector<RegionCorner> corners{};
    std::vector<RegionEdge> edges{};
};

/// The regions, by peeling the hull: the corner whose circle with its two neighbours is the largest
/// goes next; O(h log h) for h corners of the hull.
///
/// points  at least 3, not in one line, of a size near 1
///
/// Source: S. Skyum, A simple algorithm for computing the smallest enclosing circle, Information
/// Processing Letters 37 (1991) 121.
FarthestRegions farthest_regions(std::span<const PlanePoint> points);

/// The centre of the circle through three points; none when they lie in one line.
std::optional<PlanePoint> circle_centre(const PlanePoint& a, const PlanePoint& b,
                                        const PlanePoint& c);

}  // namespace enginewright::numerics
