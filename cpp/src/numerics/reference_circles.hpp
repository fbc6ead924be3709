#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <vector>

#include "numerics/farthest_regions.hpp"

/// Centres of the reference circles of a set of points. Numbers only.
///
/// All functions take points that were centred on their mean and divided by their greatest
/// coordinate; the caller sees to it that they do not lie in one line.
namespace enginewright::numerics {

/// Greatest and least distance of some points from a centre.
struct Ring {
    double outer = 0;
    double inner = 0;

    double width() const { return outer - inner; }
};
Ring ring_about(std::span<const PlanePoint> points, const PlanePoint& centre);

/// The centre about which the distances have the least sum of squared departures from their mean.
///
/// Geometric, not algebraic: Levenberg-Marquardt from the circle that fits x² + y² linearly.
/// None when the centre runs away: an arc so flat that no circle fits it better than a line.
///
/// Source: W. Gander, G. H. Golub, R. Strebel, BIT 34 (1994) 558.
std::optional<PlanePoint> least_squares_centre(std::span<const PlanePoint> points);

/// The centre of the smallest circle that holds all points.
PlanePoint circumscribed_centre(std::span<const PlanePoint> points, const FarthestRegions& regions);

/// The centre of the greatest empty circle that holds `within` and is held by its contacts; none
/// when there is no such circle.
std::optional<PlanePoint> inscribed_centre(std::span<const PlanePoint> points,
                                           const PlanePoint& within);

/// The centre about which greatest less least distance is least, over the whole plane.
///
/// At the best centre two outer and two inner contacts alternate round it, so it lies on an edge of
/// the farthest-point regions where the nearest point changes. On the bisector of that edge's pair
/// the squared distances to the other points, less the square of the place along it, are straight
/// lines: the walk along their lower envelope meets every candidate.
///
/// start  any centre to begin with, such as that of least squares
PlanePoint minimum_zone_centre(std::span<const PlanePoint> points, const FarthestRegions& regions,
                               const PlanePoint& start);

}  // namespace enginewright::numerics
