#pragma once

/// Balance: from spins of a crank to vectors, from vectors to verdicts, from verdicts to holes.
///
/// Stand at the front (timing, pulley) end. z grows from there towards the flywheel; angles are
/// fixed to the rotor and grow clockwise from its zero mark. A vector is a complex number in g mm
/// and points to the heavy side. Tolerance planes are the bearings, measuring planes what the
/// machine reports, sites where the machinist may work: all three are plain positions z, mm.
/// `uncertainty` of a vector is standard, per axis. Every figure assumes a rigid rotor, running
/// well below its first bending resonance.

#include "enginewright/balance/influence.hpp"
#include "enginewright/balance/learning.hpp"
#include "enginewright/balance/metal.hpp"
#include "enginewright/balance/plan.hpp"
#include "enginewright/balance/planes.hpp"
#include "enginewright/balance/spins.hpp"
#include "enginewright/balance/stages.hpp"
#include "enginewright/balance/tolerance.hpp"
#include "enginewright/balance/vectors.hpp"
#include "enginewright/balance/verdict.hpp"
