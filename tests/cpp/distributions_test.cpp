#include "numerics/distributions.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "numerics/roots.hpp"

// The private header is on the include path of the tests: these are algorithms without a bench.
namespace numerics = enginewright::numerics;

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

}  // namespace

TEST(Normal, QuantileOfTheTwoSidedFigures)
{
    // published: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1 (1.96 at 0.975)
    EXPECT_NEAR(numerics::normal_quantile(0.975), 1.96, 0.005);
    // derived: 30 digits by mpmath
    EXPECT_NEAR(numerics::normal_quantile(0.975), 1.959963984540054235, 4e-16);
    EXPECT_NEAR(numerics::normal_quantile(0.95), 1.644853626951472715, 4e-16);
}

TEST(Normal, QuantileUndoesTheCdf)
{
    for (double p = 1e-300; p < 0.5; p *= 3.7) {
        EXPECT_NEAR(numerics::normal_cdf(numerics::normal_quantile(p)) / p, 1, 1e-12) << p;
    }
}

TEST(StudentT, QuantilesAsPrintedInTheGuide)
{
    // published: JCGM 100:2008, H.1.6: t99(16) = 2.92
    EXPECT_NEAR(-numerics::t_quantile(0.005, 16), 2.92, 0.005);
    // from memory: JCGM 100:2008, table G.2: t95(10) = 2.23, t95(1) = 12.71
    EXPECT_NEAR(-numerics::t_quantile(0.025, 10), 2.23, 0.005);
    EXPECT_NEAR(-numerics::t_quantile(0.025, 1), 12.71, 0.005);
}

TEST(StudentT, OneFreedomIsTheCauchyDistribution)
{
    // derived: closed form 1/2 + atan(x) / pi
    for (double x = -1e6; x < -1e-3; x *= 0.37) {
        const double exact = std::atan2(1.0, -x) / M_PI;
        EXPECT_NEAR(numerics::t_cdf(x, 1) / exact, 1, 1e-13) << x;
    }
}

TEST(StudentT, TwoFreedomsHaveAClosedForm)
{
    // derived: 1/2 + x / (2 sqrt(2 + x^2)), for the tail without cancellation
    for (double x = 0.01; x < 1e5; x *= 2.3) {
        const double root = std::sqrt(2 + x * x);
        const double exact = 1 / (root * (root + x));
        EXPECT_NEAR(numerics::t_cdf(-x, 2) / exact, 1, 1e-13) << x;
    }
}

TEST(StudentT, BothMethodsAgreeWhereTheyMeet)
{
    // derived: the incomplete beta function against the expansion for many degrees of freedom
    for (const double freedom : {60.0, 61.5, 100.0, 1000.0}) {
        for (const double x : {0.1, 1.0, 3.0, 7.0}) {
            const double sum = freedom + x * x;
            const auto beta =
                numerics::incomplete_beta(freedom / 2, 0.5, freedom / sum, x * x / sum);
            EXPECT_NEAR(numerics::t_cdf(-x, freedom) / (beta.below / 2), 1, 1e-12);
        }
    }
}

TEST(StudentT, ManyFreedomsAreNormal)
{
    for (const double x : {-5.0, -1.0, 0.0, 2.0}) {
        EXPECT_DOUBLE_EQ(numerics::t_cdf(x, infinite), numerics::normal_cdf(x));
        // derived: the difference is of the order of x^4 / (4 nu)
        EXPECT_NEAR(numerics::t_cdf(x, 1e9) / numerics::normal_cdf(x), 1, 1e-6);
    }
}

TEST(ChiSquare, TwoFreedomsAreExponential)
{
    // derived: 1 - exp(-x / 2)
    for (double x = 1e-9; x < 60; x *= 1.9) {
        EXPECT_NEAR(numerics::chi_square_cdf(x, 2) / -std::expm1(-x / 2), 1, 1e-13) << x;
    }
}

TEST(ChiSquare, QuantileAsTabulated)
{
    // published: NIST/SEMATECH e-Handbook, 1.3.6.7.4: upper 0.05 point, 10 degrees: 18.307
    EXPECT_NEAR(numerics::chi_square_quantile(0.95, 10), 18.307, 0.0005);
}

TEST(F, QuantileAsTabulated)
{
    // published: NIST/SEMATECH e-Handbook, 1.3.6.7.3: upper 0.01 point of F(4, 10): 5.994
    EXPECT_NEAR(numerics::f_quantile(0.99, 4, 10), 5.994, 0.0005);
}

TEST(F, IsTheReciprocalWithTheFreedomsChanged)
{
    for (const double p : {1e-9, 0.01, 0.3, 0.7, 0.99}) {
        const double x = numerics::f_quantile(p, 3.5, 17);
        EXPECT_NEAR(numerics::f_quantile(1 - p, 17, 3.5) * x, 1, 1e-7);
        EXPECT_NEAR(numerics::f_cdf(x, 3.5, 17) / p, 1, 1e-12);
    }
}

TEST(F, EndlessFreedomBelowIsChiSquare)
{
    EXPECT_NEAR(numerics::f_quantile(0.99, 4, infinite) * 4, numerics::chi_square_quantile(0.99, 4),
                1e-13);
    EXPECT_NEAR(numerics::f_cdf(2.5, 4, infinite), numerics::chi_square_cdf(10, 4), 1e-15);
}

TEST(LogGamma, FactorialsAndHalves)
{
    // derived: Gamma(n) = (n - 1)!, Gamma(1/2) = sqrt(pi)
    EXPECT_NEAR(numerics::log_gamma(5), std::log(24.0), 1e-14);
    EXPECT_NEAR(numerics::log_gamma(1), 0, 1e-14);
    EXPECT_NEAR(numerics::log_gamma(0.5), std::log(M_PI) / 2, 1e-14);
    EXPECT_NEAR(numerics::log_gamma(1e9) / std::lgamma(1e9), 1, 1e-15);
}

TEST(BrentRoot, FindsRootsToTheLastBits)
{
    // derived: cube root of 2
    const double root = numerics::brent_root([](double x) { return x * x * x - 2; }, 0.0, 2.0);
    EXPECT_NEAR(root, std::cbrt(2.0), 4e-16);
    EXPECT_EQ(numerics::brent_root([](double x) { return x; }, 0.0, 1.0), 0.0);
}

TEST(BrentRoot, IsNotBeatenByAFlatFunction)
{
    int calls = 0;
    const double root = numerics::brent_root(
        [&](double x) {
            ++calls;
            return std::pow(x - 1.0 / 3, 9);
        },
        0.0, 1.0);
    EXPECT_NEAR(root, 1.0 / 3, 1e-10);
    EXPECT_LT(calls, 500);
}
