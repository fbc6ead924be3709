#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

/// Exact choice from a shelf: one option for each place, while the pieces last.
///
/// Wanted, in this order: the fewest options that are outside, the least greatest deviation, the
/// least sum of deviations, the least extra, and of what is still equal the list of options that
/// comes first in dictionary order. Deviations are whole numbers, so equal is equal everywhere.
///
/// Method. A *pass* keeps the options with a deviation up to a cap and walks the places with a
/// table: state -> the best way to get there. A state is what has been used of the scarce sizes,
/// those of which the shelf could run out, and the last option where neighbours matter. Costs add
/// along the walk, so one entry a state is exact. Passes climb the sorted deviations in doubling
/// steps until one reaches the least number outside, and bisect back to the lowest cap that does:
/// that pass is the answer. Climbing from below keeps the tables small. Where a table would still
/// grow beyond all measure only its best entries are followed, and the choice that comes out is
/// made better by swaps.
namespace enginewright::numerics {

/// Pieces of one size that an option takes.
struct Pieces {
    std::size_t size = 0;
    int count = 0;
    bool operator==(const Pieces&) const = default;
};

/// One way to fill a place.
struct ShelfOption {
    bool outside = false;
    std::int64_t deviation = 0;
    std::int64_t extra = 0;
    std::vector<Pieces> pieces{};
};

/// What there is to choose from.
struct Shelf {
    /// Options of each place, in the order in which equals are told apart.
    std::vector<std::vector<ShelfOption>> places{};
    /// Pieces of each size; none: as many as anybody wants.
    std::optional<std::vector<int>> stock{};
    /// Whether option `next` may stand at place + 1 beside `option` at place; empty: always.
    std::function<bool(std::size_t place, std::size_t option, std::size_t next)> together{};
};

/// The best choice.
struct ShelfChoice {
    std::vector<std::size_t> options{};
    /// False where a table grew too large and only its best entries were followed.
    bool optimal = true;
};

/// More places than any engine has are refused by the benches.
inline constexpr std::size_t most_places = 24;

/// The best choice; none: the shelf or the neighbours leave no complete one.
std::optional<ShelfChoice> choose_from_shelf(const Shelf& shelf);

}  // namespace enginewright::numerics
