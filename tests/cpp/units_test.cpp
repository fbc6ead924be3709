#include "enginewright/units.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace enginewright::units {
namespace {

TEST(Parse, ReadsEachFormOfTheGrammar)
{
    struct Case {
        const char* text;
        double value;
        const char* unit;
    };
    // The grammar is this library's own; factors: NIST SP 811 (2008), appendix B, exact
    // definitions.
    for (const Case& each : {Case{"2.5 thou", 0.0635, "mm"},
                             Case{"-0.02 mm", -0.02, "mm"},
                             Case{"\u22120.02 mm", -0.02, "mm"},
                             Case{"+3 mm", 3, "mm"},
                             Case{".5 mm", 0.5, "mm"},
                             Case{"1e-3 m", 1, "mm"},
                             Case{"82 005 mm", 82005, "mm"},
                             Case{"82\u00A0005 mm", 82005, "mm"},
                             Case{"82'005 mm", 82005, "mm"},
                             Case{"1.234.567,5 mm", 1234567.5, "mm"},
                             Case{"1,234.5 mm", 1234.5, "mm"},
                             Case{"12.5thou", 0.3175, "mm"},
                             Case{"1 1/4 in", 31.75, "mm"},
                             Case{"3-1/2\"", 88.9, "mm"},
                             Case{"⅛ in", 3.175, "mm"},
                             Case{"1 ½ in", 38.1, "mm"},
                             Case{"-1/8 in", -3.175, "mm"},
                             Case{"1/4 turn", 90, "°"},
                             Case{"12°30'15\"", 12.504166666666666, "°"},
                             Case{"30 ft lb", 40.67453844994201, "N·m"},
                             Case{"30 lb-ft", 40.67453844994201, "N·m"},
                             Case{"3 mkg", 29.41995, "N·m"},
                             Case{"3 g.mm", 3, "g·mm"},
                             Case{"20 degC", 20, "°C"},
                             Case{"273.15 K", 0, "°C"},
                             Case{"3000 1/min", 3000, "rpm"},
                             Case{"40 cm3", 40, "cc"},
                             Case{"5 MM", 5, "mm"}}) {
        const auto amount = parse(each.text);
        EXPECT_NEAR(amount.value, each.value, 1e-13 * std::max(1.0, std::abs(each.value)))
            << each.text;
        EXPECT_EQ(amount.unit, each.unit) << each.text;
    }
}

TEST(Parse, KeepsThePlaceOfTheLastDigit)
{
    EXPECT_DOUBLE_EQ(*parse("2.50 thou").resolution, 0.000254);
    EXPECT_DOUBLE_EQ(*parse("82 mm").resolution, 1);
    EXPECT_DOUBLE_EQ(*parse("1.5e-3 m").resolution, 0.1);
    EXPECT_FALSE(parse("1/8 in").resolution.has_value());
}

TEST(Parse, RefusesWhatCanBeReadInTwoWaysOrInNone)
{
    for (const char* text :
         {"82,005 mm",    "5",           "mm",      "",          " ",          "1/0 in",
          "1..2 mm",      "1,23,456 mm", "-300 °C", "5 furlong", "14/16 thou", "12°60'",
          "5 hundredths", "2 fl oz",     "5 mPa",   "5 mpa",     "5 Mm",       "5 nm",
          "1,2.3,4 mm",   "1 2 mm",      "0x10 mm", "1e999 mm",  "nan mm",     "12.3.4 mm",
          "<0.05 mm",     "12°30'5"}) {
        EXPECT_THROW(parse(text), UnitError) << text;
    }
    EXPECT_DOUBLE_EQ(parse("5 nm", "torque").value, 5);
    EXPECT_DOUBLE_EQ(parse("82,005 mm", {}, Decimal::point).value, 82005);
    EXPECT_DOUBLE_EQ(parse("82,005 mm", {}, Decimal::comma).value, 82.005);
    EXPECT_DOUBLE_EQ(parse("5", "number").value, 5);
}

TEST(Parse, SaysHowToSettleAnAmbiguousMark)
{
    try {
        parse("82,005 mm");
        FAIL();
    } catch (const UnitError& refused) {
        EXPECT_STREQ(refused.what(),
                     "'82,005 mm' can be 82.005 or 82 005; pass decimal=\",\" or decimal=\".\"");
    }
}

TEST(Parse, TakesPoundsForForceOnASpringTester)
{
    EXPECT_DOUBLE_EQ(parse("90 lb").value, 90 * 453.59237);
    const auto force = parse("90 lb", "force");
    EXPECT_DOUBLE_EQ(force.value, 400.339945373445);
    EXPECT_EQ(force.given_unit, "lbf");
}

TEST(Convert, GivesTheSameUnitBackBitForBit)
{
    for (const auto& each : table()) {
        for (const double value : {0.1, 2.5, 1.0 / 3, -7e-9}) {
            EXPECT_EQ(convert(value, each.symbol, each.symbol, each.dimension), value)
                << each.symbol;
            const double there = convert(value, each.symbol, std::nullopt, each.dimension);
            const double back =
                convert(there, canonical(each.dimension), each.symbol, each.dimension);
            EXPECT_NEAR(back, value, 1e-12 * std::max(1.0, std::abs(each.offset))) << each.symbol;
        }
    }
    EXPECT_EQ(convert(212, "°F", "°C"), 100);
    EXPECT_THROW(convert(1, "mm", "g"), UnitError);
}

TEST(Table, FindsEachUnitByEachOfItsSpellings)
{
    for (const auto& each : table()) {
        EXPECT_EQ(unit(each.symbol, each.dimension).symbol, each.symbol);
        for (const auto& alias : each.aliases) {
            EXPECT_EQ(unit(alias, each.dimension).factor, each.factor) << alias;
        }
        EXPECT_FALSE(each.source.empty());
    }
}

TEST(Unit, NamesNearSpellings)
{
    try {
        unit("thuo");
        FAIL();
    } catch (const UnitError& refused) {
        EXPECT_NE(std::string(refused.what()).find("thou"), std::string::npos) << refused.what();
    }
}

TEST(Header, NeverGuesses)
{
    EXPECT_EQ(header("Gap / thou").unit, "thou");
    EXPECT_EQ(header("Torque lbf ft").unit, "lbf·ft");
    EXPECT_FALSE(header("Plug A").unit.has_value());
    EXPECT_FALSE(header("Bore min").unit.has_value());
    EXPECT_EQ(header("Expansion µm/(m·K)").unit, "µm/(m·K)");
    EXPECT_EQ(header("Bore\n(mm)").name, "Bore");
    EXPECT_THROW(header("Mass (mm)", "mass"), UnitError);
}

TEST(Show, RoundsHalfToEvenAndNeverPrintsMinusZero)
{
    EXPECT_EQ(show(-1e-9, "length"), "0.000 mm (0.0 thou)");
    EXPECT_EQ(show(0.5, "speed"), "0 rpm");
    EXPECT_EQ(show(1.5, "speed"), "2 rpm");
    EXPECT_EQ(show(453.59237, "mass"), "453.6 g (16.00 oz)");
    EXPECT_EQ(show(100, "temperature"), "100.0 °C (212 °F)");
    EXPECT_EQ(show(82.015, "length", System::inch), "3.2289 in");
    EXPECT_EQ(show(82.015, "length", System::metric, 2), "82.02 mm");
    EXPECT_THROW(show(std::nan(""), "length"), std::invalid_argument);
    EXPECT_THROW(show(1, "colour"), UnitError);
}

}  // namespace
}  // namespace enginewright::units
