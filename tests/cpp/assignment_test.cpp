#include "numerics/assignment.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <optional>
#include <random>

namespace enginewright::numerics {
namespace {

Eigen::Index at(std::size_t index) { return static_cast<Eigen::Index>(index); }

double total(const CostTable& cost, const std::vector<std::size_t>& columns)
{
    double sum = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        sum += cost(at(i), at(columns[i]));
    }
    return sum;
}

/// The best list of columns by trying every one; none when no list is allowed.
std::optional<std::vector<std::size_t>> by_trying_all(const std::vector<CostTable>& wishes,
                                                      const PairTable& allowed)
{
    const auto rows = static_cast<std::size_t>(allowed.rows());
    std::vector<std::size_t> order(static_cast<std::size_t>(allowed.cols()));
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::optional<std::pair<std::vector<double>, std::vector<std::size_t>>> best;
    do {
        const std::vector<std::size_t> columns(order.begin(), order.begin() + at(rows));
        bool possible = true;
        for (std::size_t i = 0; i < rows; ++i) {
            possible = possible && allowed(at(i), at(columns[i]));
        }
        if (!possible) {
            continue;
        }
        std::vector<double> totals;
        for (const auto& wish : wishes) {
            totals.push_back(total(wish, columns));
        }
        const auto candidate = std::pair(totals, columns);
        best = best ? std::min(*best, candidate) : candidate;
    } while (std::next_permutation(order.begin(), order.end()));
    return best ? std::optional(best->second) : std::nullopt;
}

/// Small whole costs, so that ties happen all the time.
CostTable whole_costs(std::mt19937& draw, std::size_t rows, std::size_t columns, int greatest)
{
    std::uniform_int_distribution<int> cost(-greatest, greatest);
    CostTable table(at(rows), at(columns));
    for (auto& each : table.reshaped()) {
        each = cost(draw);
    }
    return table;
}

TEST(Assign, MatchesEveryOrderWithTiesAndForbiddenPairs)
{
    for (unsigned seed = 0; seed < 4000; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        const std::size_t rows = 1 + draw() % 4;
        const std::size_t columns = rows + draw() % (6 - rows);
        std::vector<CostTable> wishes;
        for (std::size_t w = 0; w < 1 + seed % 3; ++w) {
            wishes.push_back(whole_costs(draw, rows, columns, 1 + static_cast<int>(draw() % 3)));
        }
        PairTable allowed(at(rows), at(columns));
        for (auto& each : allowed.reshaped()) {
            each = draw() % 4 != 0;
        }
        const auto expected = by_trying_all(wishes, allowed);
        const auto found = assign(wishes, &allowed);
        ASSERT_EQ(found.complete(), expected.has_value());
        if (expected) {
            ASSERT_EQ(found.columns, *expected);
        }
    }
}

TEST(Assign, NamesTheRowsThatShareTooFewColumns)
{
    for (unsigned seed = 0; seed < 2000; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        PairTable allowed(6, 7);
        for (auto& each : allowed.reshaped()) {
            each = draw() % 4 == 0;
        }
        const std::vector<CostTable> wishes{CostTable::Zero(6, 7)};
        const auto found = assign(wishes, &allowed);
        if (found.complete()) {
            continue;
        }
        ASSERT_TRUE(found.columns.empty());
        ASSERT_EQ(found.short_columns.size() + 1, found.short_rows.size());
        for (const auto row : found.short_rows) {
            for (std::size_t column = 0; column < 7; ++column) {
                const bool among = std::binary_search(found.short_columns.begin(),
                                                      found.short_columns.end(), column);
                ASSERT_TRUE(among || !allowed(at(row), at(column)));
            }
        }
    }
}

TEST(Assign, IsUnmovedByAConstantOnARow)
{
    for (unsigned seed = 0; seed < 200; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        std::vector<CostTable> wishes{whole_costs(draw, 6, 9, 3)};
        const auto before = assign(wishes).columns;
        wishes[0].row(at(draw() % 6)).array() += 1000.25;
        EXPECT_EQ(assign(wishes).columns, before);
    }
}

TEST(Assign, NeverGivesUpTheFirstWishForTheSecond)
{
    // The second wish would gain a million by the other order; the first is worse there by 1e-6.
    CostTable first(2, 2);
    first << 0, 0, 1e-6, 0;
    CostTable second(2, 2);
    second << 1e6, 0, 0, 1e6;
    EXPECT_EQ(assign(std::vector{first, second}).columns, (std::vector<std::size_t>{0, 1}));
}

TEST(Assign, TakesTheFirstColumnsWhenAllIsEqual)
{
    const std::vector<CostTable> equal{CostTable::Constant(4, 7, 2.5)};
    EXPECT_EQ(assign(equal).columns, (std::vector<std::size_t>{0, 1, 2, 3}));
}

TEST(Assign, HoldsTiesThatRoundingBlurs)
{
    // a_i + b_j has the same total in every order, though no two sums round alike.
    for (unsigned seed = 0; seed < 200; ++seed) {
        SCOPED_TRACE(seed);
        std::mt19937 draw(seed);
        std::uniform_real_distribution<double> size(0.0, 100.0);
        const Eigen::VectorXd a = Eigen::VectorXd::NullaryExpr(8, [&] { return size(draw); });
        const Eigen::RowVectorXd b = Eigen::RowVectorXd::NullaryExpr(8, [&] { return size(draw); });
        const std::vector<CostTable> wishes{a.replicate(1, 8) + b.replicate(8, 1)};
        EXPECT_EQ(assign(wishes).columns, (std::vector<std::size_t>{0, 1, 2, 3, 4, 5, 6, 7}));
    }
}

}  // namespace
}  // namespace enginewright::numerics
