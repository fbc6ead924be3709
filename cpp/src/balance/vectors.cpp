#include "enginewright/balance/vectors.hpp"

#include <cmath>

#include "balance/bounds.hpp"
#include "numerics/angles.hpp"

namespace enginewright::balance {

using numerics::degrees_of;
using numerics::turned_once;
using numerics::unit_vector;

Vector vector(double amount, double angle, Spot spot)
{
    require_amount("amount", amount);
    require_angle("angle", angle);
    return (spot == Spot::heavy ? amount : -amount) * unit_vector(angle);
}

double amount_of(Vector vector)
{
    require_vector("vector", vector);
    return std::hypot(vector.real(), vector.imag());
}

double angle_of(Vector vector)
{
    require_vector("vector", vector);
    return degrees_of(vector);
}

Vector unbalance(double mass, double radius, double angle, Spot spot)
{
    require_mass("mass", mass);
    require_size("radius", radius);
    require_angle("angle", angle);
    return vector(mass * radius, angle, spot);
}

double mass_at_radius(double amount, double radius)
{
    require_amount("amount", amount);
    require_radius("radius", radius);
    return amount / radius;
}

double rotor_angle(double reading, double zero, SeenFrom seen_from, Counted counted)
{
    require_angle("reading", reading);
    require_angle("zero", zero);
    const bool same = (seen_from == SeenFrom::front) == (counted == Counted::clockwise);
    return turned_once(same ? reading - zero : zero - reading);
}

namespace {

double cross(Vector a, Vector b) { return a.real() * b.imag() - a.imag() * b.real(); }

}  // namespace

Split split_between(Vector unbalance, double angle_1, double angle_2)
{
    require_vector("unbalance", unbalance);
    require_angle("angle_1", angle_1);
    require_angle("angle_2", angle_2);
    const Vector e1 = unit_vector(angle_1);
    const Vector e2 = unit_vector(angle_2);
    const double spread = cross(e1, e2);
    if (std::abs(spread) < 1e-9) {
        refuse("angle_2", "out of line with angle_1, " + number_text(angle_1) + " deg", angle_2);
    }
    Split split{.amount_1 = cross(unbalance, e2) / spread,
                .amount_2 = cross(e1, unbalance) / spread};
    const double slack = 1e-12 * std::abs(unbalance);
    if (split.amount_1 < -slack || split.amount_2 < -slack) {
        split.status = SplitStatus::outside;
        split.reason = angle_text(degrees_of(unbalance)) + " lies outside " +
                       angle_text(turned_once(angle_1)) + " and " +
                       angle_text(turned_once(angle_2));
        split.next = "take two angles on either side of " + angle_text(degrees_of(unbalance));
        return split;
    }
    split.next = "take off " + amount_text(std::abs(split.amount_1)) + " at " +
                 angle_text(turned_once(angle_1)) + " and " +
                 amount_text(std::abs(split.amount_2)) + " at " + angle_text(turned_once(angle_2));
    return split;
}

}  // namespace enginewright::balance
