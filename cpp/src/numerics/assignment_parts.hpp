#pragma once

#include <cstddef>
#include <limits>
#include <vector>

#include "numerics/pair_bits.hpp"

/// What the rooms of the assignment share: the square of costs and the state of one solve.
namespace enginewright::numerics::assignment {

inline constexpr double forbidden = std::numeric_limits<double>::infinity();
inline constexpr std::size_t none = no_index;

/// A square table of costs in one piece; `forbidden` where a pair may not be used.
struct Square {
    std::size_t size = 0;
    std::vector<double> cost{};

    const double* row(std::size_t i) const { return cost.data() + i * size; }
    double* row(std::size_t i) { return cost.data() + i * size; }
};

/// The state of one solve: who is paired with whom, and the prices that prove it best.
struct Solution {
    std::vector<std::size_t> column_of;
    std::vector<std::size_t> row_of;
    std::vector<double> row_price;
    std::vector<double> column_price;
    std::vector<std::size_t> short_rows{};
    std::vector<std::size_t> short_columns{};

    explicit Solution(std::size_t size)
        : column_of(size, none), row_of(size, none), row_price(size, 0.0), column_price(size, 0.0)
    {
    }
};

/// Moves row by row to the lowest column that leaves the rest a complete assignment.
///
/// The first list in dictionary order among all complete assignments of usable pairs.
void put_in_dictionary_order(const Square& square, Solution& solution, std::size_t rows);

}  // namespace enginewright::numerics::assignment
