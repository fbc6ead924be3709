#include "numerics/random.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "numerics/distributions.hpp"
#include "numerics/normal_quantile.hpp"

namespace numerics = enginewright::numerics;

TEST(Philox, AnswersAsTheAuthorsPrintThem)
{
    // from memory: the known answers that accompany the paper of Salmon and others, 2011
    using Four = std::array<std::uint32_t, 4>;
    EXPECT_EQ(numerics::philox({0, 0, 0, 0}, {0, 0}),
              (Four{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}));
    EXPECT_EQ(numerics::philox({~0U, ~0U, ~0U, ~0U}, {~0U, ~0U}),
              (Four{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}));
    // The digits of pi.
    EXPECT_EQ(numerics::philox({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344},
                               {0xa4093822, 0x299f31d0}),
              (Four{0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}));
}

TEST(Uniforms, StayBetweenTheEndsAndDifferByEveryArgument)
{
    const auto first = numerics::uniforms(1, 2, 3);
    EXPECT_EQ(first, numerics::uniforms(1, 2, 3));
    EXPECT_NE(first[0], first[1]);
    EXPECT_NE(first, numerics::uniforms(2, 2, 3));
    EXPECT_NE(first, numerics::uniforms(1, 3, 3));
    EXPECT_NE(first, numerics::uniforms(1, 2, 4));
    EXPECT_NE(first, numerics::uniforms(1, 2, 3 + (std::uint64_t{1} << 40U)));
    double sum = 0;
    for (std::uint64_t draw = 0; draw < 10'000; ++draw) {
        for (const double each : numerics::uniforms(7, 0, draw)) {
            EXPECT_GT(each, 0);
            EXPECT_LT(each, 1);
            sum += each;
        }
    }
    // derived: mean of 20 000 uniform numbers, five standard errors
    EXPECT_NEAR(sum / 20'000, 0.5, 5 / std::sqrt(12.0 * 20'000));
}

TEST(NormalDraw, QuickQuantileIsThatOfTheDistribution)
{
    // derived: the library's own quantile, which is checked against mpmath
    for (double p = 1e-15; p < 0.5; p *= 1.7) {
        const double exact = numerics::normal_quantile(p);
        EXPECT_NEAR(numerics::quick_normal_quantile(p) / exact, 1, 2e-15) << p;
        if (p > 1e-6) {
            EXPECT_NEAR(numerics::quick_normal_quantile(1 - p) / -exact, 1, 1e-9) << p;
        }
    }
    EXPECT_EQ(numerics::quick_normal_quantile(0.5), 0);
}

TEST(NormalDraw, ManyAtOnceAreThoseDrawnOneByOne)
{
    for (const std::uint64_t first : {0U, 1U, 4095U}) {
        for (const std::size_t count : {1U, 2U, 511U, 512U, 513U, 3000U}) {
            std::vector<double> many(count);
            numerics::fill_normal(3, 5, first, many);
            for (std::size_t i = 0; i < count; ++i) {
                ASSERT_EQ(many[i], numerics::normal_draw(3, 5, first + i)) << first << " " << i;
            }
        }
    }
}

TEST(NormalDraw, TwoThatShareBitsAreNotAlike)
{
    // derived: correlation of 20 000 pairs, five standard errors
    double product = 0;
    for (std::uint64_t draw = 0; draw < 40'000; draw += 2) {
        product += numerics::normal_draw(1, 0, draw) * numerics::normal_draw(1, 0, draw + 1);
    }
    EXPECT_NEAR(product / 20'000, 0, 5 / std::sqrt(20'000.0));
}

TEST(TDraw, HasTheTailsOfItsDistribution)
{
    // derived: share beyond x by the library's own cdf, five standard errors of 40 000 draws
    for (const double freedom : {0.7, 2.0, 5.5, 300.0}) {
        int beyond = 0;
        const int draws = 40'000;
        for (std::uint64_t draw = 0; draw < draws; ++draw) {
            beyond += std::abs(numerics::t_draw(freedom, 11, 1, draw)) > 2 ? 1 : 0;
        }
        const double share = 2 * numerics::t_cdf(-2, freedom);
        const double near = 5 * std::sqrt(share * (1 - share) / draws);
        EXPECT_NEAR(static_cast<double>(beyond) / draws, share, near) << freedom;
    }
}

TEST(TDraw, HardlyAnyFreedomStaysFinite)
{
    for (std::uint64_t draw = 0; draw < 20'000; ++draw) {
        EXPECT_TRUE(std::isfinite(numerics::t_draw(0.1, 5, 0, draw)));
    }
}
