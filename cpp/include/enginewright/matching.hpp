#pragma once

#include "enginewright/matching/assignment.hpp"
#include "enginewright/matching/lightening.hpp"
#include "enginewright/matching/masses.hpp"
#include "enginewright/matching/rods.hpp"

/// Matching: parts brought to one weight, parts chosen to go together, and metal taken off wheels.
///
/// Masses and removals g, lengths mm, inertia kg·m², density g/cm³, speed rpm, stress MPa. What a
/// program indexes counts from 0; sentences count parts and rods from 1. Plans compare with a slack
/// of 1e-9 g in favour of the part.
namespace enginewright::matching {
}
