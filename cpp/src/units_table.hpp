#pragma once

#include "enginewright/units.hpp"

/// Looking up spellings of units.
namespace enginewright::units {

/// What spellings have in common: case, the sign of a product, superscripts and brackets left out.
std::string spelling_key(std::string_view spelling);

/// Unit of a spelling, or null when there is none (of that dimension).
const Unit* find_unit(std::string_view spelling, std::optional<std::string_view> dimension);

/// Up to three units whose spelling is near, nearest first.
std::vector<std::string> near_spellings(std::string_view spelling);

}  // namespace enginewright::units
