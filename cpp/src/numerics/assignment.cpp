#include "numerics/assignment.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace enginewright::numerics {

namespace {

constexpr double forbidden = std::numeric_limits<double>::infinity();
constexpr std::size_t none = std::numeric_limits<std::size_t>::max();

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

/// Room for one search, kept between searches.
struct Search {
    std::vector<double> distance;
    std::vector<std::size_t> from;
    std::vector<std::size_t> open;
    std::vector<std::size_t> rows;
    std::vector<std::size_t> columns;

    explicit Search(std::size_t size) : distance(size), from(size), open(size) {}
};

/// Finds the shortest way from a free row to a free column; `none` when the search runs out.
std::size_t nearest_free_column(const Square& square, const Solution& solution, std::size_t start,
                                Search& search, double& length)
{
    std::fill(search.distance.begin(), search.distance.end(), forbidden);
    search.open.resize(square.size);
    std::iota(search.open.begin(), search.open.end(), std::size_t{0});
    search.rows.clear();
    search.columns.clear();
    length = 0.0;
    for (std::size_t i = start;;) {
        search.rows.push_back(i);
        const double* cost = square.row(i);
        const double offset = length - solution.row_price[i];
        double least = forbidden;
        std::size_t chosen = none;
        for (std::size_t k = 0; k < search.open.size(); ++k) {
            const std::size_t j = search.open[k];
            const double reached = offset + cost[j] - solution.column_price[j];
            if (reached < search.distance[j]) {
                search.distance[j] = reached;
                search.from[j] = i;
            }
            const double distance = search.distance[j];
            // Of equal columns a free one ends the search at once.
            if (distance < least ||
                (distance == least && distance < forbidden && solution.row_of[j] == none)) {
                least = distance;
                chosen = k;
            }
        }
        if (chosen == none) {
            return none;
        }
        length = least;
        const std::size_t j = search.open[chosen];
        if (solution.row_of[j] == none) {
            return j;
        }
        search.columns.push_back(j);
        search.open[chosen] = search.open.back();
        search.open.pop_back();
        i = solution.row_of[j];
    }
}

void settle_prices(Solution& solution, const Search& search, double length)
{
    solution.row_price[search.rows.front()] += length;
    for (std::size_t k = 1; k < search.rows.size(); ++k) {
        const std::size_t i = search.rows[k];
        solution.row_price[i] += length - search.distance[solution.column_of[i]];
    }
    for (const std::size_t j : search.columns) {
        solution.column_price[j] -= length - search.distance[j];
    }
}

void augment(Solution& solution, const Search& search, std::size_t start, std::size_t column)
{
    for (std::size_t j = column;;) {
        const std::size_t i = search.from[j];
        solution.row_of[j] = i;
        std::swap(solution.column_of[i], j);
        if (i == start) {
            return;
        }
    }
}

Solution solve(const Square& square)
{
    Solution solution(square.size);
    Search search(square.size);
    for (std::size_t start = 0; start < square.size; ++start) {
        double length = 0.0;
        const std::size_t column = nearest_free_column(square, solution, start, search, length);
        if (column == none) {
            std::sort(search.rows.begin(), search.rows.end());
            std::sort(search.columns.begin(), search.columns.end());
            solution.short_rows = search.rows;
            solution.short_columns = search.columns;
            return solution;
        }
        settle_prices(solution, search, length);
        augment(solution, search, start, column);
    }
    return solution;
}

/// Forbids every pair that no best assignment of this wish can use.
void keep_tight_pairs(Square& square, const Solution& solution, double slack)
{
    for (std::size_t i = 0; i < square.size; ++i) {
        double* cost = square.row(i);
        for (std::size_t j = 0; j < square.size; ++j) {
            const bool tight = cost[j] - solution.row_price[i] - solution.column_price[j] <= slack;
            if (!tight && solution.column_of[i] != j) {
                cost[j] = forbidden;
            }
        }
    }
}

/// Writes the costs of the next wish over those of the last, where pairs are still usable.
void write_wish(Square& square, const CostTable& wish)
{
    for (std::size_t i = 0; i < square.size; ++i) {
        double* cost = square.row(i);
        const bool real = i < static_cast<std::size_t>(wish.rows());
        for (std::size_t j = 0; j < square.size; ++j) {
            if (cost[j] < forbidden) {
                cost[j] =
                    real ? wish(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) : 0.0;
            }
        }
    }
}

/// Marks the rows that could hand their column on, by tight pairs, until `freed` is taken.
///
/// Walks backwards from the freed column through rows that are not settled yet. `next` gives the
/// column that such a row moves to.
void find_movable_rows(const Square& square, const Solution& solution, std::size_t row,
                       std::vector<std::size_t>& next)
{
    std::fill(next.begin(), next.end(), none);
    std::vector<std::size_t> columns{solution.column_of[row]};
    for (std::size_t k = 0; k < columns.size(); ++k) {
        for (std::size_t i = row + 1; i < square.size; ++i) {
            if (next[i] == none && square.row(i)[columns[k]] < forbidden) {
                next[i] = columns[k];
                columns.push_back(solution.column_of[i]);
            }
        }
    }
}

/// Moves row by row to the lowest column that leaves the rest a complete assignment.
void put_in_dictionary_order(const Square& square, Solution& solution, std::size_t rows)
{
    std::vector<std::size_t> next(square.size);
    for (std::size_t row = 0; row < rows; ++row) {
        const std::size_t present = solution.column_of[row];
        find_movable_rows(square, solution, row, next);
        for (std::size_t j = 0; j < present; ++j) {
            std::size_t holder = solution.row_of[j];
            if (square.row(row)[j] == forbidden || holder < row || next[holder] == none) {
                continue;
            }
            solution.column_of[row] = j;
            solution.row_of[j] = row;
            for (std::size_t column = next[holder];; column = next[holder]) {
                const std::size_t pushed = solution.row_of[column];
                solution.column_of[holder] = column;
                solution.row_of[column] = holder;
                if (column == present) {
                    break;
                }
                holder = pushed;
            }
            break;
        }
    }
}

}  // namespace

Assigned assign(std::span<const CostTable> wishes, const PairTable* allowed)
{
    const auto rows = static_cast<std::size_t>(wishes.front().rows());
    const auto size = static_cast<std::size_t>(wishes.front().cols());
    Square square{.size = size, .cost = std::vector<double>(size * size, 0.0)};
    if (allowed != nullptr) {
        for (Eigen::Index i = 0; i < allowed->rows(); ++i) {
            for (Eigen::Index j = 0; j < allowed->cols(); ++j) {
                if (!(*allowed)(i, j)) {
                    square.row(static_cast<std::size_t>(i))[j] = forbidden;
                }
            }
        }
    }
    Solution solution(size);
    for (const auto& wish : wishes) {
        write_wish(square, wish);
        solution = solve(square);
        if (!solution.short_rows.empty()) {
            return {.short_rows = solution.short_rows, .short_columns = solution.short_columns};
        }
        const double greatest = wish.cwiseAbs().maxCoeff();
        keep_tight_pairs(square, solution, 1e-9 * std::max(1.0, greatest));
    }
    put_in_dictionary_order(square, solution, rows);
    solution.column_of.resize(rows);
    return {.columns = std::move(solution.column_of)};
}

}  // namespace enginewright::numerics
