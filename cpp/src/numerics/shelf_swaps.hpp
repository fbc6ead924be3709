#pragma once

#include <cstddef>
#include <vector>

#include "numerics/shelf_choice.hpp"

/// A choice from a shelf made better by swaps: no proof, but no step back either.
namespace enginewright::numerics {

/// Gives one place or two another option as long as that makes the whole choice better, in the
/// order of `choose_from_shelf`. What comes out is a complete choice that the stock allows.
///
/// options  a complete choice that the stock allows
std::vector<std::size_t> improved_by_swaps(const Shelf& shelf, std::vector<std::size_t> options);

}  // namespace enginewright::numerics
