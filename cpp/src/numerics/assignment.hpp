#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <span>
#include <vector>

/// Exact assignment: one column for every row, no column twice, at the least total cost.
///
/// Several costs are *wishes in order*: the second is made least among the assignments that are
/// best for the first, and so on; among those that are still equal the list of columns that comes
/// first in dictionary order wins. No big weights are added up, so no digits are lost, and the
/// answer is the same on every machine.
///
/// Method: the table is padded to a square by rows of zeros behind the real ones. Shortest
/// augmenting paths with a price for each row and column (Jonker and Volgenant, Computing 38, 1987;
/// Crouse, IEEE Trans. AES 52, 2016) solve one wish in O(m^3). A pair whose cost equals the sum of
/// its two prices is *tight*; the best assignments of the square are just its complete assignments
/// of tight pairs, so the next wish is solved on the tight pairs of the one before. The searches
/// start from the prices that columns and rows agree on by themselves (column reduction, augmenting
/// row reduction, same source), which leaves few rows to search for.
namespace enginewright::numerics {

/// Costs, rows by columns, finite and of any sign.
using CostTable = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// Which pairs may be used, rows by columns.
using PairTable = Eigen::Matrix<bool, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// An assignment, or the shortage that forbids one.
struct Assigned {
    /// One column a row; empty when no complete assignment exists.
    std::vector<std::size_t> columns{};
    /// Rows that have only `short_columns` between them, one fewer; empty when assigned.
    std::vector<std::size_t> short_rows{};
    std::vector<std::size_t> short_columns{};

    bool complete() const { return short_rows.empty(); }
};

/// The assignment that is best by the wishes in order, then first in dictionary order.
///
/// Two costs count as equal within 1e-9 * max(1, greatest |cost| of that wish) a pair.
///
/// wishes   at least one table, all of one shape, rows <= columns, at least one row
/// allowed  of that shape; null: every pair
Assigned assign(std::span<const CostTable> wishes, const PairTable* allowed = nullptr);

/// The assignment whose greatest cost is least, then its total, then first in dictionary order.
///
/// Binary search over the costs for the smallest up to which a complete assignment exists; `assign`
/// then works on the pairs that are left. Ties as in `assign`.
Assigned assign_bottleneck(const CostTable& cost, const PairTable* allowed = nullptr);

/// The assignment whose costs lie closest together, then the least total, then dictionary order.
///
/// Two ends move up through the costs in order: for each least cost the smallest greatest between
/// which a complete assignment exists. In each window that is as narrow as the narrowest `assign`
/// does the rest.
Assigned assign_spread(const CostTable& cost, const PairTable* allowed = nullptr);

/// How much two costs, or two totals, of a table may differ and still count as equal.
double equal_within(const CostTable& cost);

}  // namespace enginewright::numerics
