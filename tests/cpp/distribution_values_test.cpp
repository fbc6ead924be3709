#include "distribution_values.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "numerics/distributions.hpp"

// derived: mpmath at 60 digits, by make_distribution_values.py.
namespace numerics = enginewright::numerics;
namespace values = distribution_values;

namespace {

constexpr double near = 1e-12;

/// A quantile is right when the share that it misses by moves it by less than `near`.
void expect_quantile(double got, const values::Row& row, double density)
{
    const double share = std::min(row.lesser, row.greater);
    // Half a unit of the last digit of the probability itself moves the quantile this far.
    const double rounding = 2e-16 / std::max(density * std::abs(row.x), 1e-300);
    if (share > 1e-12 && rounding < near) {
        EXPECT_NEAR(got / row.x, 1, near + rounding) << row.x << " " << row.above;
    }
}

}  // namespace

TEST(DistributionValues, Normal)
{
    for (const auto& row : values::normal) {
        EXPECT_NEAR(numerics::normal_cdf(row.x) / row.lesser, 1, near) << row.x;
        EXPECT_NEAR(numerics::normal_cdf(-row.x) / row.greater, 1, near) << row.x;
        if (row.lesser < 0.5) {
            EXPECT_NEAR(numerics::normal_quantile(row.lesser) / row.x, 1, near) << row.x;
        }
    }
}

TEST(DistributionValues, StudentT)
{
    for (const auto& row : values::student) {
        EXPECT_NEAR(numerics::t_cdf(row.x, row.above) / row.lesser, 1, near)
            << row.x << " " << row.above;
        EXPECT_NEAR(numerics::t_cdf(-row.x, row.above) / row.greater, 1, near)
            << row.x << " " << row.above;
        expect_quantile(numerics::t_quantile(row.lesser, row.above), row,
                        numerics::t_density(row.x, row.above));
    }
}

TEST(DistributionValues, ChiSquare)
{
    for (const auto& row : values::chi_square) {
        const auto shares = numerics::incomplete_gamma(row.above / 2, row.x / 2);
        EXPECT_NEAR(shares.below / row.lesser, 1, near) << row.x << " " << row.above;
        EXPECT_NEAR(shares.above / row.greater, 1, near) << row.x << " " << row.above;
        expect_quantile(numerics::chi_square_quantile(row.lesser, row.above), row,
                        numerics::chi_square_density(row.x, row.above));
    }
}

TEST(DistributionValues, F)
{
    for (const auto& row : values::f) {
        EXPECT_NEAR(numerics::f_cdf(row.x, row.above, row.below) / row.lesser, 1, near)
            << row.x << " " << row.above << " " << row.below;
        // P(F > x) is the share below 1 / x with the degrees of freedom changed over.
        EXPECT_NEAR(numerics::f_cdf(1 / row.x, row.below, row.above) / row.greater, 1, 2e-12)
            << row.x << " " << row.above << " " << row.below;
        expect_quantile(numerics::f_quantile(row.lesser, row.above, row.below), row,
                        numerics::f_density(row.x, row.above, row.below));
    }
}
