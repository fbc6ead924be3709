#pragma once

#include <string_view>

/// Dimensions: what a unit measures.
namespace enginewright::units {

/// Refuses a word that is no dimension of the table, with the list of those that are.
void require_dimension(std::string_view dimension);

}  // namespace enginewright::units
