#pragma once

#include <optional>
#include <string>
#include <tuple>

#include "enginewright/record.hpp"

/// Metal: how much a hole, a slug or a ground flat takes off or puts on.
///
/// All depths are **tip depths**: touch the point down, zero the quill, read. The entry face is
/// flat and square to the drill. With half diameter a, tip length c = a / tan(point_angle / 2) and
/// h = depth - c, the hole holds, from its entry face,
///
///     depth >= c:  V = pi a² h + pi a² c / 3,   S = pi a² h² / 2 + pi a² c / 3 * (h + c / 4)
///     depth <  c:  V = pi a² depth³ / (3 c²),   S = V * depth / 4
///
/// S being the first moment of the volume about the entry face. Densities are g/cm³. A turned rim
/// in place of a flat face loses under 1 % at the sizes of a bench.
namespace enginewright::balance {

/// How a hole runs: towards the axis, or along it.
enum class Direction { radial, axial };

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<2> words<balance::Direction>{"direction", {"radial", "axial"}};
}  // namespace enginewright

namespace enginewright::balance {

/// Metal that a drill takes away.
struct Hole {
    double mass = 0;
    double moment = 0;
    double shoulder_depth = 0;
    double tip_length = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"mass", "g", &Hole::mass, "taken away"},
            Field{"moment", "g mm", &Hole::moment, "of unbalance taken away"},
            Field{"shoulder_depth", "mm", &Hole::shoulder_depth, "of the full diameter"},
            Field{"tip_length", "mm", &Hole::tip_length, "of the drill's point"},
        };
    }
    bool operator==(const Hole&) const = default;
};
static_assert(lists_every_member<Hole>);

/// Unbalance that a hole takes away, g mm.
///
/// Going from `existing_depth` to `depth` with the same drill. A radial hole of entry radius R:
///
///     moment = density * (V R - S),
///
/// because metal at depth sits at a smaller radius; an axial one: density * V * R.
///
/// radius          of the entry face (radial) or of the hole's axis (axial), mm, above 0
/// depth           of the tip, mm, at least the existing depth; radial: below the radius
/// diameter        of the drill, mm, above 0, below twice the radius
/// direction       "radial" or "axial"
/// point_angle     of the drill, degrees, 60 to 180 (flat)
/// existing_depth  of the hole already there, mm, at least 0
/// density         g/cm³, 0.5 to 25: steel 7.85, grey iron 7.2, aluminium 2.7
///
/// Throws std::invalid_argument.
///
/// Source: volume and centroid of cylinder and cone.
///
/// >>> hole = ew.balance.hole_moment(85, depth=18, diameter=14)
/// >>> round(hole.moment, 1), round(hole.mass, 2)
/// (1420.7, 18.36)
Hole hole_moment(double radius, double depth, double diameter,
                 Direction direction = Direction::radial, double point_angle = 118.0,
                 double existing_depth = 0.0, double density = 7.85);

/// Whether the hole that was asked for exists.
enum class DepthStatus { solved, too_shallow };

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<2> words<balance::DepthStatus>{"status", {"solved", "too shallow"}};
}  // namespace enginewright

namespace enginewright::balance {

/// How deep to drill.
struct HoleDepth {
    double depth = 0;
    double moment = 0;
    DepthStatus status = DepthStatus::solved;
    double short_by = 0;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"depth", "mm", &HoleDepth::depth, "of the tip"},
            Field{"moment", "g mm", &HoleDepth::moment, "that it takes away"},
            Field{"status", "", &HoleDepth::status, "whether the moment is reached"},
            Field{"short_by", "g mm", &HoleDepth::short_by, "what is missing"},
            Field{"reason", "", &HoleDepth::reason, "why, when it is not reached"},
            Field{"next", "", &HoleDepth::next, "what to do next"},
        };
    }
    bool operator==(const HoleDepth&) const = default;
};
static_assert(lists_every_member<HoleDepth>);

/// Depth of the tip that takes a moment away, mm.
///
/// The inverse of `hole_moment`, to 1e-9 mm. When even the greatest depth takes too little,
/// status "too shallow" with that depth, what it takes and what is missing.
///
/// moment          to take away, g mm, at least 0
/// radius          mm, above 0
/// diameter        of the drill, mm, above 0, below twice the radius
/// direction       "radial" or "axial"
/// point_angle     degrees, 60 to 180
/// existing_depth  mm, at least 0
/// maximum_depth   mm; None: as far as the axis (radial) or ten radii (axial)
/// density         g/cm³, 0.5 to 25
///
/// Throws std::invalid_argument.
///
/// Source: Brent's rule on the closed form.
///
/// >>> round(ew.balance.hole_depth(620.0709982502054, 85, 14, existing_depth=11).depth, 6)
/// 18.0
HoleDepth hole_depth(double moment, double radius, double diameter,
                     Direction direction = Direction::radial, double point_angle = 118.0,
                     double existing_depth = 0.0, std::optional<double> maximum_depth = {},
                     double density = 7.85);

/// What a slug of heavy metal gains over the metal that made room for it.
struct Slug {
    double mass = 0;
    double moment = 0;
    double hole_depth = 0;
    double slug_mass = 0;
    double hole_mass = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"mass", "g", &Slug::mass, "gained, net"},
            Field{"moment", "g mm", &Slug::moment, "gained, net; may be below 0 for short slugs"},
            Field{"hole_depth", "mm", &Slug::hole_depth, "of the tip"},
            Field{"slug_mass", "g", &Slug::slug_mass, "of the slug"},
            Field{"hole_mass", "g", &Slug::hole_mass, "drilled away for it"},
        };
    }
    bool operator==(const Slug&) const = default;
};
static_assert(lists_every_member<Slug>);

/// Unbalance that a slug of heavy metal puts on, g mm.
///
/// A cylinder on the shoulder of its own hole; the cone below stays empty:
///
///     hole_depth = recess + length + c
///     moment = slug_density * pi a² * length * (radius - recess - length / 2) - hole's moment
///
/// (radial; axial: times the radius). Put slugs in parallel to the axis where there is a choice,
/// with an interference fit and a positive lock: a radial slug can leave the engine.
///
/// radius        as for a hole, mm, above 0
/// length        of the slug, mm, above 0
/// diameter      mm, above 0, below twice the radius
/// direction     "radial" or "axial"
/// point_angle   of the drill, degrees, 60 to 180
/// slug_density  g/cm³, 0.5 to 25: tungsten alloy 17.0 to 18.5
/// density       of the counterweight, g/cm³
/// recess        of the slug below the face, mm, at least 0
///
/// Throws std::invalid_argument.
///
/// Source: volume and centroid of cylinder and cone.
///
/// >>> round(ew.balance.slug_moment(80, 20, 16, slug_density=17.5).moment, 1)
/// 2567.6
Slug slug_moment(double radius, double length, double diameter,
                 Direction direction = Direction::radial, double point_angle = 118.0,
                 double slug_density = 17.0, double density = 7.85, double recess = 0.0);

/// Metal ground off a rim.
struct Ground {
    double mass = 0;
    double moment = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"mass", "g", &Ground::mass, "ground away"},
            Field{"moment", "g mm", &Ground::moment, "of unbalance taken away"},
        };
    }
    bool operator==(const Ground&) const = default;
};
static_assert(lists_every_member<Ground>);

/// Unbalance that grinding a rim takes away, g mm.
///
/// A sector of ring over half_angle to either side, with beta the half angle in radians:
///
///     mass = density * width * beta * (R² - (R - t)²)
///     moment = density * width * 2 sin(beta) * (R³ - (R - t)³) / 3
///
/// radius      R, outer radius of the rim, mm, above 0
/// thickness   t, ground off, mm, at least 0, below the radius
/// width       along the axis, mm, above 0
/// half_angle  degrees, above 0, at most 180
/// density     g/cm³, 0.5 to 25
///
/// Throws std::invalid_argument.
///
/// Source: area and centroid of a ring sector.
///
/// >>> round(ew.balance.ground_moment(90, 1, 20, 15).moment, 2)
/// 650.99
Ground ground_moment(double radius, double thickness, double width, double half_angle,
                     double density = 7.85);

}  // namespace enginewright::balance
