#pragma once

#include "enginewright/fits/limits.hpp"
#include "enginewright/fits/materials.hpp"
#include "enginewright/fits/press_fit.hpp"
#include "enginewright/fits/temperatures.hpp"

/// Limits and fits: what a class such as H7 means in millimetres, how hard a pressed joint grips,
/// at which temperature it lets go, and how hot the housing must be for the part to drop in.
///
/// Lengths mm, temperatures °C, stresses MPa, expansions 1/K; sizes are those at 20 °C. A clearance
/// is bore less shaft, on diameter: a negative one is an interference.
namespace enginewright::fits {
}  // namespace enginewright::fits
