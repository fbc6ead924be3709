#include <algorithm>

#include "numerics/assignment_parts.hpp"

/// Dictionary order among the best assignments, so that the answer is the same everywhere.
namespace enginewright::numerics::assignment {

namespace {

/// The pairs that are still usable, by row and by column: words of 64 bits, one piece each.
class TightPairs {
  public:
    explicit TightPairs(const Square& square)
        : words_((square.size + 63) / 64),
          of_row_(square.size * words_, 0),
          of_column_(square.size * words_, 0)
    {
        for (std::size_t i = 0; i < square.size; ++i) {
            const double* cost = square.row(i);
            for (std::size_t j = 0; j < square.size; ++j) {
                if (cost[j] < forbidden) {
                    of_row_[i * words_ + j / 64] |= std::uint64_t{1} << (j % 64);
                    of_column_[j * words_ + i / 64] |= std::uint64_t{1} << (i % 64);
                }
            }
        }
    }

    std::size_t words() const { return words_; }
    std::uint64_t columns_of(std::size_t row, std::size_t w) const
    {
        return of_row_[row * words_ + w];
    }
    std::uint64_t rows_of(std::size_t column, std::size_t w) const
    {
        return of_column_[column * words_ + w];
    }

  private:
    std::size_t words_;
    std::vector<std::uint64_t> of_row_;
    std::vector<std::uint64_t> of_column_;
};

/// Room for the walks backwards, kept between rows.
struct Walk {
    Bits movable;
    std::vector<std::size_t> next;
    std::vector<std::size_t> columns{};
    std::vector<std::size_t> lower{};
};

/// Marks the rows that could hand their column on, by tight pairs, until `freed` is taken.
///
/// Walks backwards from the freed column through the rows that are not settled yet, those after
/// `row`. `next` gives the column that such a row moves to. Ends early once the row `wanted` is
/// marked: no other can do better.
void find_movable_rows(const TightPairs& tight, const Solution& solution, std::size_t row,
                       std::size_t wanted, Walk& walk)
{
    std::fill(walk.next.begin(), walk.next.end(), none);
    walk.movable.fill_from(row + 1, walk.next.size());
    walk.columns.assign(1, solution.column_of[row]);
    for (std::size_t k = 0; k < walk.columns.size() && walk.next[wanted] == none; ++k) {
        const std::size_t column = walk.columns[k];
        for (std::size_t w = 0; w < tight.words(); ++w) {
            const std::uint64_t reached = tight.rows_of(column, w) & walk.movable.word(w);
            walk.movable.clear_word(w, reached);
            for_each_bit(reached, 64 * w, [&](std::size_t mover) {
                walk.next[mover] = column;
                walk.columns.push_back(solution.column_of[mover]);
            });
        }
    }
}

/// The tight columns below a row's own that a later row holds, rising.
void find_lower_columns(const TightPairs& tight, const Solution& solution, std::size_t row,
                        std::vector<std::size_t>& lower)
{
    const std::size_t present = solution.column_of[row];
    lower.clear();
    for (std::size_t w = 0; 64 * w < present; ++w) {
        for_each_bit(tight.columns_of(row, w), 64 * w, [&](std::size_t j) {
            if (j < present && solution.row_of[j] > row) {
                lower.push_back(j);
            }
        });
    }
}

/// Gives a row a lower column; its holder and those behind it move on until `present` is taken.
void hand_on(Solution& solution, std::size_t row, std::size_t lower,
             const std::vector<std::size_t>& next)
{
    const std::size_t present = solution.column_of[row];
    std::size_t holder = solution.row_of[lower];
    solution.column_of[row] = lower;
    solution.row_of[lower] = row;
    for (std::size_t column = next[holder];; column = next[holder]) {
        const std::size_t pushed = solution.row_of[column];
        solution.column_of[holder] = column;
        solution.row_of[column] = holder;
        if (column == present) {
            return;
        }
        holder = pushed;
    }
}

}  // namespace

void put_in_dictionary_order(const Square& square, Solution& solution, std::size_t rows)
{
    const TightPairs tight(square);
    Walk walk{.movable = Bits(square.size), .next = std::vector<std::size_t>(square.size)};
    for (std::size_t row = 0; row < rows; ++row) {
        find_lower_columns(tight, solution, row, walk.lower);
        if (walk.lower.empty()) {
            continue;
        }
        find_movable_rows(tight, solution, row, solution.row_of[walk.lower.front()], walk);
        const auto chosen = std::find_if(walk.lower.begin(), walk.lower.end(), [&](std::size_t j) {
            return walk.next[solution.row_of[j]] != none;
        });
        if (chosen != walk.lower.end()) {
            hand_on(solution, row, *chosen, walk.next);
        }
    }
}

}  // namespace enginewright::numerics::assignment
