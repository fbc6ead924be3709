#pragma once

#include <span>
#include <string_view>

#include "enginewright/units.hpp"

/// What the table of units says beside the units themselves.
namespace enginewright::units {

/// Whether a spelling stands for a unit of a dimension only where that dimension is told.
///
/// lb is a mass until force is wanted; minutes are of time or of arc; ' is feet or minutes of arc.
bool only_when_told(std::string_view dimension, std::string_view spelling);

/// A spelling that is never a unit by itself, and why.
struct Refused {
    std::string_view spelling;
    std::string_view why;
};

/// Spellings that can be read in two ways whatever is wanted.
std::span<const Refused> refused_spellings();

}  // namespace enginewright::units
