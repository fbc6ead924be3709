#pragma once

#include <algorithm>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <utility>
#include <vector>

/// Pairs of rows and columns as bits, and complete matchings of them.
///
/// A row's columns stand in words of 64, so a search looks at 64 columns at once: what an exact
/// choice over windows of costs needs, which asks hundreds of times whether every row can still
/// have a column of its own.
namespace enginewright::numerics {

inline constexpr std::size_t no_index = std::numeric_limits<std::size_t>::max();

/// A set of small whole numbers.
class Bits {
  public:
    explicit Bits(std::size_t size = 0) : words_((size + 63) / 64, 0) {}

    void set(std::size_t i) { words_[i / 64] |= bit(i); }
    void clear(std::size_t i) { words_[i / 64] &= ~bit(i); }
    bool holds(std::size_t i) const { return (words_[i / 64] & bit(i)) != 0; }
    std::size_t words() const { return words_.size(); }
    std::uint64_t word(std::size_t w) const { return words_[w]; }
    void clear_word(std::size_t w, std::uint64_t those) { words_[w] &= ~those; }
    /// Holds just the numbers from `first` to below `end`.
    void fill_from(std::size_t first, std::size_t end)
    {
        std::fill(words_.begin(), words_.end(), 0);
        if (first >= end) {
            return;
        }
        for (std::size_t w = first / 64; 64 * w < end; ++w) {
            words_[w] = ~std::uint64_t{0};
        }
        words_[first / 64] &= ~std::uint64_t{0} << (first % 64);
        if (end % 64 != 0) {
            words_[end / 64] &= (std::uint64_t{1} << (end % 64)) - 1;
        }
    }

  private:
    static std::uint64_t bit(std::size_t i) { return std::uint64_t{1} << (i % 64); }

    std::vector<std::uint64_t> words_;
};

/// Calls `visit(index)` for each bit of a word; `first` is the index of its lowest bit.
template <class Visit>
void for_each_bit(std::uint64_t word, std::size_t first, Visit&& visit)
{
    for (; word != 0; word &= word - 1) {
        visit(first + static_cast<std::size_t>(std::countr_zero(word)));
    }
}

/// A matching that lives on while pairs come and go.
///
/// `grow` extends it by alternating paths until it is complete or stuck. Stuck, it remembers the
/// rows and columns that the last search reached: only a new pair that leads out of them can help.
class Matching {
  public:
    Matching(std::size_t rows, std::size_t columns)
        : pairs_(rows, Bits(columns)),
          column_of_(rows, no_index),
          row_of_(columns, no_index),
          from_(columns),
          unseen_(columns),
          seen_rows_(rows)
    {
    }

    bool complete() const { return matched_ == column_of_.size(); }

    void add(std::size_t row, std::size_t column)
    {
        pairs_[row].set(column);
        stuck_ = stuck_ && !(seen_rows_.holds(row) && unseen_.holds(column));
    }

    void remove(std::size_t row, std::size_t column)
    {
        pairs_[row].clear(column);
        if (column_of_[row] == column) {
            column_of_[row] = no_index;
            row_of_[column] = no_index;
            --matched_;
            stuck_ = false;
        }
    }

    /// Extends the matching as far as it goes; true when every row has a column.
    bool grow()
    {
        for (std::size_t row = 0; !stuck_ && row < column_of_.size(); ++row) {
            if (column_of_[row] == no_index && !extend(row)) {
                stuck_ = true;
            }
        }
        return complete();
    }

  private:
    bool extend(std::size_t start)
    {
        unseen_.fill_from(0, row_of_.size());
        seen_rows_ = Bits(column_of_.size());
        seen_rows_.set(start);
        queue_.assign(1, start);
        for (std::size_t k = 0; k < queue_.size(); ++k) {
            const std::size_t row = queue_[k];
            for (std::size_t w = 0; w < unseen_.words(); ++w) {
                const std::uint64_t reached = pairs_[row].word(w) & unseen_.word(w);
                unseen_.clear_word(w, reached);
                std::size_t free = no_index;
                for_each_bit(reached, 64 * w, [&](std::size_t column) {
                    from_[column] = row;
                    if (row_of_[column] == no_index) {
                        free = column;
                    } else {
                        queue_.push_back(row_of_[column]);
                        seen_rows_.set(row_of_[column]);
                    }
                });
                if (free != no_index) {
                    turn(start, free);
                    return true;
                }
            }
        }
        return false;
    }

    void turn(std::size_t start, std::size_t column)
    {
        for (std::size_t row = no_index; row != start;) {
            row = from_[column];
            row_of_[column] = row;
            std::swap(column_of_[row], column);
        }
        ++matched_;
    }

    std::vector<Bits> pairs_;
    std::vector<std::size_t> column_of_;
    std::vector<std::size_t> row_of_;
    std::vector<std::size_t> from_;
    std::vector<std::size_t> queue_{};
    Bits unseen_;
    Bits seen_rows_;
    std::size_t matched_ = 0;
    bool stuck_ = false;
};

}  // namespace enginewright::numerics
