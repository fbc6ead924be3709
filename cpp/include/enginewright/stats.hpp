#pragma once

#include "enginewright/stats/capability.hpp"
#include "enginewright/stats/charts.hpp"
#include "enginewright/stats/drift_chart.hpp"
#include "enginewright/stats/summary.hpp"
#include "enginewright/stats/trend.hpp"

/// The shop's own history: is the process steady, is it able, does it drift, and when is it due.
///
/// All functions take plain numbers in any one unit, in the order in which they were measured.
namespace enginewright::stats {
}  // namespace enginewright::stats
