#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "units_refusal.hpp"

namespace enginewright::units {
namespace {

struct Written {
    const char* text;
    double value;
    const char* unit;
};

void expect_reads(const Written& each)
{
    const auto amount = parse(each.text);
    EXPECT_NEAR(amount.value, each.value, 1e-13 * std::max(1.0, std::abs(each.value))) << each.text;
    EXPECT_EQ(amount.unit, each.unit) << each.text;
    EXPECT_EQ(amount.text, each.text);
}

// The grammar is this library's own; factors: NIST SP 811 (2008), appendix B, exact definitions.
TEST(Parse, ReadsDecimals)
{
    for (const Written& each :
         {Written{"2.5 thou", 0.0635, "mm"}, Written{"-0.02 mm", -0.02, "mm"},
          Written{"\u22120.02 mm", -0.02, "mm"}, Written{"+3 mm", 3, "mm"},
          Written{".5 mm", 0.5, "mm"}, Written{",5 mm", 0.5, "mm"}, Written{"5. mm", 5, "mm"},
          Written{"1e-3 m", 1, "mm"}, Written{"1.5E+2 mm", 150, "mm"},
          Written{"12.5thou", 0.3175, "mm"}, Written{"0,250 mm", 0.25, "mm"},
          Written{"41,2 cc", 41.2, "cc"}, Written{"\t 82.5\u00A0 mm \n", 82.5, "mm"},
          Written{"0.00000000000000000000000000000000000001 mm", 1e-38, "mm"}}) {
        expect_reads(each);
    }
}

TEST(Parse, ReadsGroupedDigits)
{
    for (const Written& each :
         {Written{"82 005 mm", 82005, "mm"}, Written{"82\u00A0005 mm", 82005, "mm"},
          Written{"82\u202F005 mm", 82005, "mm"}, Written{"82'005 mm", 82005, "mm"},
          Written{"82\u2019005 mm", 82005, "mm"}, Written{"1 234 567 mm", 1234567, "mm"},
          Written{"1.234.567 mm", 1234567, "mm"}, Written{"1,234,567 mm", 1234567, "mm"},
          Written{"1.234,5 mm", 1234.5, "mm"}, Written{"1,234.5 mm", 1234.5, "mm"},
          Written{"1.234.567,5 mm", 1234567.5, "mm"}, Written{"1 234,567 mm", 1234.567, "mm"},
          Written{"1 234.567 mm", 1234.567, "mm"}, Written{"1234,567 mm", 1234.567, "mm"}}) {
        expect_reads(each);
    }
}

TEST(Parse, ReadsFractions)
{
    for (const Written& each :
         {Written{"1/8 in", 3.175, "mm"}, Written{"1 1/4 in", 31.75, "mm"},
          Written{"3-1/2\"", 88.9, "mm"}, Written{"3\u22121/2 in", 88.9, "mm"},
          Written{"1½ in", 38.1, "mm"}, Written{"1 ½ in", 38.1, "mm"}, Written{"⅛ in", 3.175, "mm"},
          Written{"-1/8 in", -3.175, "mm"}, Written{"-3 1/2 in", -88.9, "mm"},
          Written{"1\u20448 in", 3.175, "mm"}, Written{"1/4 turn", 90, "°"},
          Written{"2 1/2 ft", 762, "mm"}, Written{"1/3 rev", 120, "°"}}) {
        expect_reads(each);
        EXPECT_FALSE(parse(each.text).resolution.has_value()) << each.text;
    }
    // One rounding: 2 2/3 is the double next to 8/3.
    EXPECT_EQ(parse("2 2/3 in").number, 8.0 / 3.0);
}

TEST(Parse, ReadsAngles)
{
    for (const Written& each :
         {Written{"12°30'", 12.5, "°"}, Written{"12\u00BA30\u2032", 12.5, "°"},
          Written{"12°30'15\"", 12.504166666666666, "°"},
          Written{"12° 30' 15''", 12.504166666666666, "°"}, Written{"-0°30'", -0.5, "°"},
          Written{"12°30.5'", 12.508333333333333, "°"},
          Written{"12°30'7,5\"", 12.502083333333333, "°"}, Written{"108°", 108, "°"},
          Written{"12.5 deg", 12.5, "°"}}) {
        expect_reads(each);
    }
    EXPECT_DOUBLE_EQ(*parse("12°30'").resolution, 1.0 / 60);
    EXPECT_DOUBLE_EQ(*parse("12°30'15\"").resolution, 1.0 / 3600);
    EXPECT_DOUBLE_EQ(*parse("12°30'15.5\"").resolution, 0.1 / 3600);
    for (const char* text : {"12°60'", "12°30'60\"", "12°30'5", "12°30' 5 mm", "12°30.5'15\""}) {
        EXPECT_NE(refusal_of(text), "") << text;
    }
}

TEST(Parse, ReadsUnitsAsAShopWritesThem)
{
    for (const Written& each : {Written{"30 ft lb", 40.67453844994201, "N·m"},
                                Written{"30 lb-ft", 40.67453844994201, "N·m"},
                                Written{"30 ft-lbs", 40.67453844994201, "N·m"},
                                Written{"30 ft. lbs.", 40.67453844994201, "N·m"},
                                Written{"30 lbf·ft", 40.67453844994201, "N·m"},
                                Written{"3 mkg", 29.41995, "N·m"},
                                Written{"3 kgm", 29.41995, "N·m"},
                                Written{"3 g.mm", 3, "g·mm"},
                                Written{"3 g mm", 3, "g·mm"},
                                Written{"3 g*mm", 3, "g·mm"},
                                Written{"3 g-mm", 3, "g·mm"},
                                Written{"3 gmm", 3, "g·mm"},
                                Written{"20 degC", 20, "°C"},
                                Written{"20 C", 20, "°C"},
                                Written{"20 ℃", 20, "°C"},
                                Written{"273.15 K", 0, "°C"},
                                Written{"3000 1/min", 3000, "rpm"},
                                Written{"40 cm3", 40, "cc"},
                                Written{"40 cm^3", 40, "cc"},
                                Written{"40 c.c.", 40, "cc"},
                                Written{"1 cu in", 16.387064, "cc"},
                                Written{"1 sq. in.", 645.16, "mm²"},
                                Written{"12 um", 0.012, "mm"},
                                Written{"12 \u03BCm", 0.012, "mm"},
                                Written{"2 in.", 50.8, "mm"},
                                Written{"5 MM", 5, "mm"},
                                Written{"5 KG", 5000, "g"},
                                Written{"90 NM", 90, "N·m"},
                                Written{"1 US fl oz", 29.5735295625, "cc"},
                                Written{"1 imp fl oz", 28.4130625, "cc"},
                                Written{"1 N / mm", 1, "N/mm"},
                                Written{"11.5 µm/(m·K)", 11.5e-6, "1/K"},
                                Written{"11.5 um/(m K)", 11.5e-6, "1/K"},
                                Written{"50 %", 0.5, "1"}}) {
        expect_reads(each);
    }
}

TEST(Parse, KeepsThePlaceOfTheLastDigit)
{
    EXPECT_DOUBLE_EQ(*parse("2.50 thou").resolution, 0.000254);
    EXPECT_DOUBLE_EQ(*parse("82 mm").resolution, 1);
    EXPECT_DOUBLE_EQ(*parse("1 234,5 mm").resolution, 0.1);
    EXPECT_DOUBLE_EQ(*parse("1.5e-3 m").resolution, 0.1);
    EXPECT_DOUBLE_EQ(*parse("68.0 °F").resolution, 0.1 * 5 / 9);
    // No double is so small: nothing is said rather than something wrong.
    EXPECT_FALSE(parse("0e-99999 mm").resolution.has_value());
}

TEST(Parse, RefusesWhatIsNoNumberWithAUnit)
{
    for (const char* text : {"5",
                             "mm",
                             "",
                             " ",
                             "-",
                             ".",
                             "5 -",
                             "1/0 in",
                             "1..2 mm",
                             "1,23,456 mm",
                             "12.3.4 mm",
                             "1,2.3,4 mm",
                             "1.234,567,890 mm",
                             "5, mm",
                             "- 5 mm",
                             "-300 °C",
                             "-1 K",
                             "5 furlong",
                             "14/16 thou",
                             "1/8 mm",
                             "1/2 %",
                             "0x10 mm",
                             "1e999 mm",
                             "1e-999 mm",
                             "nan mm",
                             "inf mm",
                             "<0.05 mm",
                             "5 mm*",
                             "5 ^mm",
                             "5 mm^",
                             "5 m m",
                             "5 m(m)",
                             "5 (mm)",
                             "12-30 mm",
                             "5 ± 0.1 mm",
                             "5 1"}) {
        EXPECT_NE(refusal_of(text), "") << text;
    }
}

TEST(Parse, NeverTakesTwoReadingsForOne)
{
    for (const char* text : {"1 2 mm", "82.01 82.02 mm", "82005 123 mm", "0 250 mm", "82 0051 mm",
                             "82\n005 mm", "82\t005 mm", "0.125 250 mm", "1 234'567 mm",
                             "1 234 1/2 in", "12-30 mm", "1/8/4 in", "1.5/2 in"}) {
        EXPECT_TRUE(holds(refusal_of(text), "more than one number")) << refusal_of(text);
    }
}

TEST(Parse, RefusesWhatCanBeReadInTwoWays)
{
    EXPECT_EQ(refusal_of("82,005 mm"),
              "'82,005 mm' can be 82.005 or 82 005; pass decimal=\",\" or decimal=\".\"");
    EXPECT_TRUE(holds(refusal_of("5 hundredths"), "of a millimetre or of an inch"));
    EXPECT_TRUE(holds(refusal_of("5 hundredths", "length"), "of a millimetre or of an inch"));
    EXPECT_TRUE(holds(refusal_of("2 fl oz"), "'US fl oz' or 'imp fl oz'"));
    EXPECT_TRUE(holds(refusal_of("2 gr"), "grams or grains"));
    EXPECT_TRUE(holds(refusal_of("5 minutes"), "angle or of time"));
    EXPECT_DOUBLE_EQ(parse("30 minutes", "angle").value, 0.5);
    EXPECT_DOUBLE_EQ(parse("5 minutes", "time").value, 300);
    EXPECT_NE(refusal_of("5'"), "");
    EXPECT_DOUBLE_EQ(parse("5'", "length").value, 1524);
    EXPECT_DOUBLE_EQ(parse("30'", "angle").value, 0.5);
    EXPECT_DOUBLE_EQ(parse("3\"").value, 76.2);
    EXPECT_DOUBLE_EQ(parse("36\"", "angle").value, 0.01);
}

TEST(Parse, TakesTheDecimalMarkThatItIsTold)
{
    EXPECT_EQ(parse("82,005 mm", {}, Decimal::comma).value, 82.005);
    EXPECT_EQ(parse("82,005 mm", {}, Decimal::point).value, 82005);
    EXPECT_EQ(parse("82.005 mm", {}, Decimal::comma).value, 82005);
    EXPECT_EQ(parse("1.234,5 mm", {}, Decimal::comma).value, 1234.5);
    EXPECT_EQ(parse("1 234,5 mm", {}, Decimal::comma).value, 1234.5);
    // The other mark may only group in threes, and no group starts with 0.
    for (const char* text : {"41,2 mm", "0,250 mm", "1,234,5 mm", "1.5,000 mm"}) {
        EXPECT_NE(refusal_of(text, {}, Decimal::point), "") << text;
    }
    EXPECT_NE(refusal_of("41.2 mm", {}, Decimal::comma), "");
    EXPECT_NE(refusal_of("1,2,3 mm", {}, Decimal::comma), "");
}

TEST(Parse, NamesBothDimensionsWhenTheWrongOneIsGiven)
{
    EXPECT_EQ(refusal_of("5 mm", "mass"), "'5 mm': 'mm' is a unit of length, mass is wanted");
    EXPECT_TRUE(holds(refusal_of("5 mm", "maas"), "dimension must be one of length, area"));
}

TEST(Parse, SaysThatAUnitIsMissing)
{
    EXPECT_EQ(refusal_of("5"), "'5' has no unit; write for example '5 mm'");
    EXPECT_EQ(refusal_of("5", "torque"), "'5' has no unit; write for example '5 N·m'");
    EXPECT_EQ(parse("5", "number").value, 5);
    EXPECT_EQ(parse("5", "number").given_unit, "1");
    EXPECT_EQ(parse("9.3 1", "number").value, 9.3);
    EXPECT_EQ(parse("12.5 %", "number").value, 0.125);
}

TEST(Parse, TakesPoundsForForceOnASpringTester)
{
    EXPECT_DOUBLE_EQ(parse("90 lb").value, 90 * 453.59237);
    EXPECT_EQ(parse("90 lb").dimension, "mass");
    // common practice: spring testers and scales marked lb show pounds-force
    const auto force = parse("90 lb", "force");
    EXPECT_DOUBLE_EQ(force.value, 400.339945373445);
    EXPECT_EQ(force.given_unit, "lbf");
    EXPECT_EQ(parse("10 kg", "force").given_unit, "kgf");
}

TEST(Parse, KnowsAbsoluteZero)
{
    EXPECT_NEAR(parse("-459.67 °F").value, -273.15, 1e-9);
    EXPECT_EQ(parse("0 K").value, -273.15);
    EXPECT_TRUE(holds(refusal_of("-300 °C"), "below absolute zero"));
    EXPECT_EQ(parse("-300 K", "temperature difference").value, -300);
}

TEST(Parse, QuotesHostileTextsShortAndHarmless)
{
    const std::string endless = refusal_of("5 " + std::string(1'000'000, 'x'));
    EXPECT_LT(endless.size(), 250U);
    EXPECT_LT(refusal_of(std::string(1'000'000, '9') + " x").size(), 250U);
    using namespace std::string_view_literals;
    EXPECT_TRUE(holds(refusal_of("5\0mm"sv), "'5\\x00mm': unknown unit '\\x00mm'"));
    EXPECT_TRUE(holds(refusal_of("5 \xFF\xC2"), "\\xff\\xc2"));
    EXPECT_TRUE(holds(refusal_of("5 \u202Emm"), "\\xe2\\x80\\xae"));
    EXPECT_EQ(parse("5\u200B mm\uFEFF").value, 5);
}

}  // namespace
}  // namespace enginewright::units
