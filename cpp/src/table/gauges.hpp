#pragma once

#include "enginewright/table/limits.hpp"

/// What the file of gauges and the table of gauges both say.
namespace enginewright::table {

/// Expanded uncertainty of a gauge's setting, mm: divided by its coverage factor it gives back the
/// card's standard uncertainty, bit for bit.
double expanded_setting(const GaugeCard& card);

}  // namespace enginewright::table
