#include "numerics/assignment.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "numerics/assignment_parts.hpp"

namespace enginewright::numerics {

using namespace assignment;

namespace {

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

/// Prices each column at its cheapest row and gives it to that row while the row is free.
///
/// Only where every row is a real one: beside a row of zeros every column is worth nothing.
void reduce_columns(const Square& square, Solution& solution)
{
    std::vector<std::size_t> cheapest(square.size, none);
    auto& least = solution.column_price;
    std::fill(least.begin(), least.end(), forbidden);
    for (std::size_t i = 0; i < square.size; ++i) {
        const double* cost = square.row(i);
        for (std::size_t j = 0; j < square.size; ++j) {
            if (cost[j] < least[j]) {
                least[j] = cost[j];
                cheapest[j] = i;
            }
        }
    }
    for (std::size_t j = 0; j < square.size; ++j) {
        if (cheapest[j] == none) {
            least[j] = 0.0;
        } else if (solution.column_of[cheapest[j]] == none) {
            solution.column_of[cheapest[j]] = j;
            solution.row_of[j] = cheapest[j];
        }
    }
}

/// The two cheapest columns of a row at the present prices.
struct TwoCheapest {
    double least = forbidden;
    double second = forbidden;
    std::size_t column = none;
    std::size_t second_column = none;
};

TwoCheapest two_cheapest(const Square& square, const Solution& solution, std::size_t row)
{
    TwoCheapest found;
    const double* cost = square.row(row);
    for (std::size_t j = 0; j < square.size; ++j) {
        const double reduced = cost[j] - solution.column_price[j];
        if (reduced < found.second) {
            if (reduced < found.least) {
                found.second = found.least;
                found.second_column = found.column;
                found.least = reduced;
                found.column = j;
            } else {
                found.second = reduced;
                found.second_column = j;
            }
        }
    }
    return found;
}

/// Lets free rows take their cheapest column, at a price that leaves it just the cheapest.
///
/// A row that loses its column looks again at once while prices move, else in the next pass. A
/// column that was taken stays taken, so a column without a row never has its price lowered.
void reduce_rows(const Square& square, Solution& solution, std::size_t rows)
{
    std::vector<std::size_t> free;
    for (std::size_t i = 0; i < rows; ++i) {
        if (solution.column_of[i] == none) {
            free.push_back(i);
        }
    }
    // Prices that move by next to nothing would go on for ever.
    std::size_t budget = 4 * square.size;
    for (int pass = 0; pass < 2; ++pass) {
        std::vector<std::size_t> waiting;
        for (std::size_t k = 0; k < free.size();) {
            const std::size_t i = free[k++];
            auto cheap = two_cheapest(square, solution, i);
            if (cheap.second_column == none) {
                waiting.push_back(i);
                continue;
            }
            const bool moves = cheap.least < cheap.second;
            if (moves) {
                solution.column_price[cheap.column] -= cheap.second - cheap.least;
            } else if (solution.row_of[cheap.column] != none) {
                cheap.column = cheap.second_column;
            }
            const std::size_t loser = solution.row_of[cheap.column];
            solution.column_of[i] = cheap.column;
            solution.row_of[cheap.column] = i;
            if (loser == none) {
                continue;
            }
            solution.column_of[loser] = none;
            if (moves && budget > 0) {
                --budget;
                free[--k] = loser;
            } else {
                waiting.push_back(loser);
            }
        }
        free = std::move(waiting);
    }
}

Solution solve(const Square& square, std::size_t rows)
{
    Solution solution(square.size);
    if (rows == square.size) {
        reduce_columns(square, solution);
    }
    reduce_rows(square, solution, rows);
    for (std::size_t i = 0; i < square.size; ++i) {
        if (const std::size_t j = solution.column_of[i]; j != none) {
            solution.row_price[i] = square.row(i)[j] - solution.column_price[j];
        }
    }
    Search search(square.size);
    for (std::size_t start = 0; start < square.size; ++start) {
        if (solution.column_of[start] != none) {
            continue;
        }
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
///
/// True when some row could have a lower column that a later row holds: only then can another
/// assignment come first in dictionary order.
bool keep_tight_pairs(Square& square, const Solution& solution, double slack)
{
    bool lower = false;
    for (std::size_t i = 0; i < square.size; ++i) {
        double* cost = square.row(i);
        for (std::size_t j = 0; j < square.size; ++j) {
            const bool tight = cost[j] - solution.row_price[i] - solution.column_price[j] <= slack;
            if (!tight && solution.column_of[i] != j) {
                cost[j] = forbidden;
            } else if (tight && j < solution.column_of[i] && solution.row_of[j] > i) {
                lower = true;
            }
        }
    }
    return lower;
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

}  // namespace

double equal_within(const CostTable& cost)
{
    return 1e-9 * std::max(1.0, cost.cwiseAbs().maxCoeff());
}

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
    bool lower = false;
    for (const auto& wish : wishes) {
        write_wish(square, wish);
        solution = solve(square, rows);
        if (!solution.short_rows.empty()) {
            return {.short_rows = solution.short_rows, .short_columns = solution.short_columns};
        }
        lower = keep_tight_pairs(square, solution, equal_within(wish));
    }
    if (lower) {
        put_in_dictionary_order(square, solution, rows);
    }
    solution.column_of.resize(rows);
    return {.columns = std::move(solution.column_of)};
}

}  // namespace enginewright::numerics
