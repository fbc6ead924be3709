#include "balance/metal.hpp"

#include <cmath>
#include <numbers>

#include "balance/bounds.hpp"
#include "numerics/angles.hpp"
#include "numerics/roots.hpp"

namespace enginewright::balance {

using std::numbers::pi;

namespace {

constexpr double per_cubic_millimetre = 1e-3;  // g/cm³ to g/mm³

using numerics::radians;

}  // namespace

Drill drill_of(double diameter, double point_angle)
{
    const double half = diameter / 2;
    return {half, point_angle >= 180 ? 0.0 : half / std::tan(radians(point_angle) / 2)};
}

Drilled drilled(const Drill& drill, double depth)
{
    const double a = drill.half;
    const double c = drill.tip;
    if (depth < c) {
        const double area = pi * a * a * (depth / c) * (depth / c);
        const double volume = area * depth / 3;
        return {volume, volume * depth / 4, area};
    }
    const double h = depth - c;
    const double area = pi * a * a;
    return {area * (h + c / 3), area * (h * h / 2 + c / 3 * (h + c / 4)), area};
}

MetalMoment metal_of_hole(const Drill& drill, double depth, double radius, Direction direction,
                          double density)
{
    const Drilled hole = drilled(drill, depth);
    if (direction == Direction::radial) {
        return {.moment = density * (hole.volume * radius - hole.first),
                .mass = density * hole.volume,
                // dS / d depth = V: deepening pushes every slice above the tip further out.
                .slope = density * (hole.area * radius - hole.volume)};
    }
    return {.moment = density * hole.volume * radius,
            .lever = density * hole.first * radius,
            .mass = density * hole.volume,
            .slope = density * hole.area * radius};
}

MetalMoment metal_of_slug(const Drill& drill, double length, double recess, double radius,
                          Direction direction, double slug_density, double density)
{
    const auto hole = metal_of_hole(drill, recess + length + drill.tip, radius, direction, density);
    const double area = pi * drill.half * drill.half;
    const double mass = slug_density * area * length;
    const double depth = recess + length / 2;
    if (direction == Direction::radial) {
        return {.moment = mass * (radius - depth) - hole.moment,
                .mass = mass - hole.mass,
                .slope = slug_density * area * (radius - recess - length) - hole.slope};
    }
    return {.moment = mass * radius - hole.moment,
            .lever = mass * radius * depth - hole.lever,
            .mass = mass - hole.mass,
            .slope = slug_density * area * radius - hole.slope};
}

MetalMoment metal_of_ground(double thickness, double radius, double width, double half_angle,
                            double density)
{
    const double inner = radius - thickness;
    const double arc = 2 * std::sin(half_angle);
    return {.moment = density * width * arc *
                      (thickness * (radius * radius + radius * inner + inner * inner)) / 3,
            .mass = density * width * half_angle * thickness * (radius + inner),
            .slope = density * width * arc * inner * inner};
}

void require_drill(double radius, double diameter, double point_angle)
{
    require_radius("radius", radius);
    require_positive("diameter", diameter, "mm");
    require_at_least("diameter", diameter, least_radius, "mm");
    require_below("diameter", diameter, 2 * radius, "mm");
    require_between("point_angle", point_angle, 60, 180, "deg");
}

void require_density(std::string_view name, double density)
{
    // Densities arrive as g/cm³: one given in g/mm³ or kg/m³ would be off a thousandfold.
    require_at_least(name, density, 0.5, "g/cm³");
    require_at_most(name, density, 25, "g/cm³");
}

Hole hole_moment(double radius, double depth, double diameter, Direction direction,
                 double point_angle, double existing_depth, double density)
{
    require_drill(radius, diameter, point_angle);
    require_length_at_least_zero("existing_depth", existing_depth);
    require_length_at_least_zero("depth", depth);
    if (depth < existing_depth) {
        refuse("depth", "at least existing_depth, " + number_text(existing_depth) + " mm", depth);
    }
    if (direction == Direction::radial) {
        require_below("depth", depth, radius, "mm");
    }
    require_density("density", density);
    const Drill drill = drill_of(diameter, point_angle);
    const double rho = density * per_cubic_millimetre;
    const auto now = metal_of_hole(drill, depth, radius, direction, rho);
    const auto before = metal_of_hole(drill, existing_depth, radius, direction, rho);
    return {.mass = now.mass - before.mass,
            .moment = now.moment - before.moment,
            .shoulder_depth = std::max(0.0, depth - drill.tip),
            .tip_length = drill.tip};
}

HoleDepth hole_depth(double moment, double radius, double diameter, Direction direction,
                     double point_angle, double existing_depth, std::optional<double> maximum_depth,
                     double density)
{
    require_amount("moment", moment);
    require_drill(radius, diameter, point_angle);
    require_length_at_least_zero("existing_depth", existing_depth);
    require_density("density", density);
    const bool radial = direction == Direction::radial;
    const double deepest = maximum_depth.value_or(radial ? radius : 10 * radius);
    require_positive("maximum_depth", deepest, "mm");
    require_length("maximum_depth", deepest);
    if (radial) {
        require_at_most("maximum_depth", deepest, radius, "mm");
    }
    if (existing_depth > deepest) {
        refuse("existing_depth", "at most maximum_depth, " + number_text(deepest) + " mm",
               existing_depth);
    }
    const Drill drill = drill_of(diameter, point_angle);
    const double rho = density * per_cubic_millimetre;
    const double before = metal_of_hole(drill, existing_depth, radius, direction, rho).moment;
    const auto taken = [&](double depth) {
        return metal_of_hole(drill, depth, radius, direction, rho).moment - before;
    };
    if (taken(deepest) < moment) {
        const double missing = moment - taken(deepest);
        return {.depth = deepest,
                .moment = taken(deepest),
                .status = DepthStatus::too_shallow,
                .short_by = missing,
                .reason = "at " + fixed_text(deepest, 1) + " mm the hole takes " +
                          amount_text(taken(deepest)) + " of " + amount_text(moment),
                .next = "take the missing " + amount_text(missing) +
                        " with a second hole or a larger drill"};
    }
    const double depth = numerics::brent_root([&](double d) { return taken(d) - moment; },
                                              existing_depth, deepest, 1e-9);
    return {.depth = depth,
            .moment = taken(depth),
            .next = "drill to " + fixed_text(depth, 1) + " mm at the tip"};
}

Slug slug_moment(double radius, double length, double diameter, Direction direction,
                 double point_angle, double slug_density, double density, double recess)
{
    require_drill(radius, diameter, point_angle);
    require_size("length", length);
    require_density("slug_density", slug_density);
    require_density("density", density);
    require_length_at_least_zero("recess", recess);
    const Drill drill = drill_of(diameter, point_angle);
    const double depth = recess + length + drill.tip;
    if (direction == Direction::radial) {
        require_below("length", length, radius - recess - drill.tip, "mm");
    }
    const double rho = density * per_cubic_millimetre;
    const double slug = slug_density * per_cubic_millimetre;
    const auto gain = metal_of_slug(drill, length, recess, radius, direction, slug, rho);
    const double slug_mass = slug * pi * drill.half * drill.half * length;
    return {.mass = gain.mass,
            .moment = gain.moment,
            .hole_depth = depth,
            .slug_mass = slug_mass,
            .hole_mass = slug_mass - gain.mass};
}

Ground ground_moment(double radius, double thickness, double width, double half_angle,
                     double density)
{
    require_radius("radius", radius);
    require_length_at_least_zero("thickness", thickness);
    require_below("thickness", thickness, radius, "mm");
    require_size("width", width);
    require_positive("half_angle", half_angle, "deg");
    require_at_most("half_angle", half_angle, 180, "deg");
    require_density("density", density);
    const auto metal = metal_of_ground(thickness, radius, width, radians(half_angle),
                                       density * per_cubic_millimetre);
    return {.mass = metal.mass, .moment = metal.moment};
}

}  // namespace enginewright::balance
