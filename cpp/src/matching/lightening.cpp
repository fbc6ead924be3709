#include "enginewright/matching/lightening.hpp"

#include <cmath>
#include <numbers>

#include "matching/require.hpp"

namespace enginewright::matching {

using std::numbers::pi;

namespace {

void require_density(double density)
{
    require_positive("density", density, "g/cm³");
    // The densest metal has 22.6; more is a slip of the unit (kg/m³).
    require_at_most("density", density, 100.0, "g/cm³");
}

void require_ring(double outer, double inner)
{
    require_size("outer", outer);
    require_length_at_least_zero("inner", inner);
    require_below("inner", inner, outer, "mm");
}

void require_inertia(std::string_view name, double value)
{
    require_at_least(name, value, 0.0, "kg·m²");
    require_at_most(name, value, 1e12, "kg·m²");
}

}  // namespace

Removal turned_band(double outer, double inner, double width, double density)
{
    require_ring(outer, inner);
    require_size("width", width);
    require_density(density);
    const double mass = 1e-3 * density * pi / 4 * (outer * outer - inner * inner) * width;
    return {.mass = mass, .inertia = 1e-9 * mass * (outer * outer + inner * inner) / 8};
}

Removal drilled_holes(double diameter, double depth, double pitch_radius, double count,
                      double density, double point_angle)
{
    require_size("diameter", diameter);
    require_size("depth", depth);
    require_size("pitch_radius", pitch_radius);
    require_at_least("pitch_radius", pitch_radius, diameter / 2, "mm");
    require_whole("count", count, 1.0);
    require_density(density);
    require_between("point_angle", point_angle, 60.0, 180.0, "degrees");
    if (count >= 2 && 2 * pitch_radius * std::sin(pi / count) <= diameter) {
        refuse("count",
               "so small that holes of " + number_text(diameter) + " mm on a radius of " +
                   number_text(pitch_radius) + " mm do not meet",
               count);
    }
    const double a = diameter / 2;
    const double point = point_angle == 180.0 ? 0.0 : a / std::tan(point_angle / 2 * pi / 180);
    const double cylinder = 1e-3 * density * pi * a * a * depth;
    const double cone = 1e-3 * density * pi * a * a * point / 3;
    const double arm = pitch_radius * pitch_radius;
    return {.mass = count * (cylinder + cone),
            .inertia = 1e-9 * count * (cylinder * (arm + a * a / 2) + cone * (arm + 0.3 * a * a))};
}

Lightened lightened(double mass, double inertia, std::span<const Removal> removals)
{
    require_mass("mass", mass);
    require_positive("inertia", inertia, "kg·m²");
    require_inertia("inertia", inertia);
    Lightened left;
    for (std::size_t i = 0; i < removals.size(); ++i) {
        const std::string name = element_name("removals", i);
        require_at_least(name + ".mass", removals[i].mass, 0.0, "g");
        require_at_least(name + ".inertia", removals[i].inertia, 0.0, "kg·m²");
        left.removed_mass += removals[i].mass;
        left.removed_inertia += removals[i].inertia;
    }
    left.mass = mass - left.removed_mass;
    left.inertia = inertia - left.removed_inertia;
    left.inertia_share = left.removed_inertia / inertia;
    if (!(left.mass > 0)) {
        refuse("removals", "lighter than the wheel, " + number_text(mass) + " g",
               left.removed_mass);
    }
    if (!(left.inertia > 0)) {
        refuse("removals",
               "below the wheel's inertia, " + number_text(inertia) + " kg·m², in theirs",
               left.removed_inertia);
    }
    return left;
}

double equivalent_mass(double inertia, double ratio, double rolling_radius)
{
    require_inertia("inertia", inertia);
    require_positive("ratio", ratio);
    require_at_most("ratio", ratio, 1e6);
    require_size("rolling_radius", rolling_radius);
    // Anything smaller is no wheel, and the square would overflow.
    require_at_least("rolling_radius", rolling_radius, 1e-3, "mm");
    const double turn = 1000 * ratio / rolling_radius;
    return 1000 * inertia * turn * turn;
}

double spin_stress(double outer, double inner, double speed, double density, double poisson)
{
    require_ring(outer, inner);
    require_at_least("speed", speed, 0.0, "rpm");
    require_at_most("speed", speed, 1e9, "rpm");
    require_density(density);
    require_between("poisson", poisson, 0.0, 0.5);
    const double angular = speed * pi / 30;
    const double outer_radius = outer / 2000;
    const double inner_radius = inner / 2000;
    const double pressure = 1000 * density * angular * angular / 1e6;
    if (inner == 0.0) {
        return (3 + poisson) / 8 * pressure * outer_radius * outer_radius;
    }
    return pressure / 4 *
           ((3 + poisson) * outer_radius * outer_radius +
            (1 - poisson) * inner_radius * inner_radius);
}

}  // namespace enginewright::matching
