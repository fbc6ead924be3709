#pragma once

#include "enginewright/fasteners/joint.hpp"
#include "enginewright/fasteners/reuse.hpp"
#include "enginewright/fasteners/threads.hpp"
#include "enginewright/fasteners/torque.hpp"

/// Fasteners: threads and their strength, torque and preload, the elastic joint, used bolts.
///
/// Lengths and stretch mm, areas mm², preloads and loads N, torque N·m, strengths and moduli MPa,
/// stiffness N/mm, angles degrees, expansions 1/K. The maker's torque, angle, order and lubricant
/// go before any figure here.
namespace enginewright::fasteners {
}
