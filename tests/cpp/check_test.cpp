#include "enginewright/check.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <random>
#include <string>

namespace enginewright {
namespace {

/// What the C library prints: an implementation that shares nothing with ours.
std::string printed(double value, int decimals)
{
    char text[512];
    std::snprintf(text, sizeof text, "%.*f", decimals, value);
    return text;
}

TEST(FixedText, IsWhatTheCLibraryPrints)
{
    std::mt19937_64 random(5);
    std::uniform_real_distribution<double> exponent(-6, 12);
    for (int i = 0; i < 200000; ++i) {
        const double value = std::pow(10.0, exponent(random)) * ((random() & 1U) != 0 ? 1 : -1);
        const int decimals = static_cast<int>(random() % 8);
        auto expected = printed(value, decimals);
        if (expected.find_first_not_of("-0.") == std::string::npos && expected[0] == '-') {
            expected.erase(0, 1);
        }
        ASSERT_EQ(fixed_text(value, decimals), expected) << value;
    }
}

TEST(FixedText, RoundsTiesAndTheirNeighboursAsTheCLibraryDoes)
{
    for (int n = 0; n < 4000; ++n) {
        const double tie = (n + 0.5) / 8;
        for (const double value :
             {tie, std::nextafter(tie, 0.0), std::nextafter(tie, 1e9), n / 1000.0 + 0.0005}) {
            for (const int decimals : {0, 1, 2, 3, 4}) {
                ASSERT_EQ(fixed_text(value, decimals), printed(value, decimals)) << value;
            }
        }
    }
}

TEST(FixedText, ShowsNoMinusBeforeNothing)
{
    EXPECT_EQ(fixed_text(-0.0001, 3), "0.000");
    EXPECT_EQ(fixed_text(-0.0, 0), "0");
    EXPECT_EQ(fixed_text(-0.0006, 3), "-0.001");
}

}  // namespace
}  // namespace enginewright
