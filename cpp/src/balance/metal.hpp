#pragma once

#include "enginewright/balance/metal.hpp"

/// Closed forms behind the metal: what plans and their simulation share with the public functions.
namespace enginewright::balance {

/// Shape of a drill: half its diameter and the length of its point, mm.
struct Drill {
    double half = 0;
    double tip = 0;
};

Drill drill_of(double diameter, double point_angle);

/// Metal between the entry face and a depth of the tip, for a density of 1 g/mm³.
struct Drilled {
    double volume = 0;  ///< mm³
    double first = 0;   ///< first moment of it about the entry face, mm⁴
    double area = 0;    ///< of the next slice: dV / d depth, mm²
};

Drilled drilled(const Drill& drill, double depth);

/// Unbalance, its moment along the hole and its growth, of metal taken or put somewhere.
///
/// `moment` is g mm, above 0 for what is put on. `lever` is the sum of moments times their depth
/// below the entry face, g mm²: what an axial hole needs to know where along z it acts.
struct MetalMoment {
    double moment = 0;
    double lever = 0;
    double mass = 0;
    double slope = 0;  ///< d moment / d setting, g mm for each mm
};

/// Metal of a hole of this depth, as if it were put on; density in g/mm³.
MetalMoment metal_of_hole(const Drill& drill, double depth, double radius, Direction direction,
                          double density);

/// Net gain of a slug of this length; densities in g/mm³.
MetalMoment metal_of_slug(const Drill& drill, double length, double recess, double radius,
                          Direction direction, double slug_density, double density);

/// Metal of a ground sector of this thickness, as if it were put on; half angle in radians.
MetalMoment metal_of_ground(double thickness, double radius, double width, double half_angle,
                            double density);

/// What every drilled place must be: radius, diameter, point angle.
void require_drill(double radius, double diameter, double point_angle);

void require_density(std::string_view name, double density);

}  // namespace enginewright::balance
