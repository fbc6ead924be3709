#pragma once

#include "enginewright/reciprocating/layouts.hpp"
#include "enginewright/reciprocating/rods.hpp"
#include "enginewright/reciprocating/shaking.hpp"

/// Masses that go to and fro: what the crank carries on the balancing machine, and what the
/// finished engine still shakes with.
///
/// Seen from the front (timing end), the real axis is bank angle 0, "up", the imaginary axis 90
/// degrees clockwise; z grows from the front towards the flywheel. Angles of throws and banks are
/// counted clockwise, degrees. Cylinder i has its piston at the top, without an offset, when
/// crank_angle + throw_angle - bank_angle is a whole number of turns. Masses g, lengths mm,
/// unbalance g mm, forces N, couples N m. A vector is a complex number.
namespace enginewright::reciprocating {
}
