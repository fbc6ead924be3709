#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/units.hpp"

/// Spellings of units: case, signs of a product, superscripts, brackets, abbreviation points.
namespace enginewright::units {

/// Unit of a spelling, or null when there is none (of that dimension).
///
/// Without a dimension the first one that lists the spelling has it, and spellings that mean
/// nothing until the dimension is told ("minutes") have none.
const Unit* find_unit(std::string_view spelling, std::optional<std::string_view> dimension);

/// Why a spelling is no unit (of that dimension), with what was probably meant.
std::string why_unknown(std::string_view spelling, std::optional<std::string_view> dimension);

/// Whether two spellings are the same but for case, signs of a product and the like.
bool same_spelling(std::string_view one, std::string_view other);

}  // namespace enginewright::units
