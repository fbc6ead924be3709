#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <set>

#include "units_refusal.hpp"

namespace enginewright::units {
namespace {

TEST(Convert, GivesTheSameUnitBackBitForBit)
{
    for (const auto& each : table()) {
        for (const double value : {0.1, 2.5, 1.0 / 3, -7e-9, 1e300}) {
            EXPECT_EQ(convert(value, each.symbol, each.symbol, each.dimension), value)
                << each.symbol;
        }
        EXPECT_TRUE(std::signbit(convert(-0.0, each.symbol, each.symbol, each.dimension)));
    }
    EXPECT_TRUE(std::signbit(convert(-0.0, "mm")));
}

TEST(Convert, GoesThereAndBack)
{
    for (const auto& each : table()) {
        for (const double value : {0.1, 2.5, 1.0 / 3, -7e-9}) {
            const double there = convert(value, each.symbol, {}, each.dimension);
            const double back =
                convert(there, canonical(each.dimension), each.symbol, each.dimension);
            EXPECT_NEAR(back, value, 1e-12 * std::max(1.0, std::abs(each.offset))) << each.symbol;
        }
    }
}

TEST(Convert, KeepsTheFixedPointsOfTheScales)
{
    // published: NIST SP 811 (2008), appendix B: t/°C = (t/°F - 32)/1.8
    EXPECT_EQ(convert(212, "°F", "°C"), 100);
    EXPECT_EQ(convert(32, "°F", "°C"), 0);
    EXPECT_EQ(convert(-40, "°F", "°C"), -40);
    EXPECT_EQ(convert(0, "°C", "K"), 273.15);
    EXPECT_DOUBLE_EQ(convert(9, "°F", "K", "temperature difference"), 5);
}

TEST(Convert, LetsTheWantedUnitSettleTheDimensionButNotTheTrade)
{
    EXPECT_DOUBLE_EQ(convert(10, "K", "Δ°F"), 18);
    EXPECT_DOUBLE_EQ(convert(1, "bar", "kPa"), 100);
    EXPECT_EQ(convert(1, "psi", {}, "gas pressure"), unit("psi", "gas pressure").factor);
    EXPECT_EQ(refusal([] { convert(90, "lb", "N"); }),
              "'lb' is a unit of mass, 'N' of force; pass dimension=\"force\" if that is meant");
    EXPECT_DOUBLE_EQ(convert(90, "lb", "N", "force"), 400.339945373445);
    EXPECT_NE(refusal([] { convert(1, "mm", "g"); }), "");
    EXPECT_NE(refusal([] { convert(1, "mm", "cm", "mass"); }), "");
    EXPECT_NE(refusal([] { convert(1, ""); }), "");
}

TEST(Convert, RefusesWhatIsNotFiniteOrBecomesSo)
{
    EXPECT_THROW(convert(std::nan(""), "mm", "mm"), std::invalid_argument);
    EXPECT_THROW(convert(std::numeric_limits<double>::infinity(), "in"), std::invalid_argument);
    EXPECT_THROW(convert(1e308, "m"), std::invalid_argument);
}

TEST(Convert, IsLookedUpOnceForManyNumbers)
{
    const auto mm = conversion("thou", "mm");
    EXPECT_EQ(mm(2.5), convert(2.5, "thou", "mm"));
    EXPECT_EQ(mm.from->symbol, "thou");
    EXPECT_EQ(mm.to->symbol, "mm");
}

TEST(Table, HasTheFactorsOfTheStandard)
{
    struct Factor {
        const char* symbol;
        const char* dimension;
        double factor;
    };
    // published: NIST SP 811 (2008), appendix B.8; exact values as printed there in bold or in its
    // footnotes. inH2O: 25.4 mm of water of 1000 kg/m³ under 9.80665 m/s², printed 2.490 889 E+02
    // Pa.
    for (const Factor& each : {Factor{"in", "length", 25.4},
                               Factor{"ft", "length", 304.8},
                               Factor{"thou", "length", 0.0254},
                               Factor{"µin", "length", 2.54e-5},
                               Factor{"in²", "area", 645.16},
                               Factor{"in³", "volume", 16.387064},
                               Factor{"oz", "mass", 28.349523125},
                               Factor{"lb", "mass", 453.59237},
                               Factor{"grain", "mass", 0.06479891},
                               Factor{"lbf", "force", 4.4482216152605},
                               Factor{"kgf", "force", 9.80665},
                               Factor{"bar", "stress", 0.1},
                               Factor{"atm", "gas pressure", 101.325},
                               Factor{"kgf/cm²", "gas pressure", 98.0665},
                               Factor{"inH2O", "gas pressure", 0.24908891},
                               Factor{"mmH2O", "gas pressure", 0.00980665},
                               Factor{"inHg", "gas pressure", 3.386389},
                               Factor{"mmHg", "gas pressure", 0.1333224},
                               Factor{"cfm", "flow", 28.316846592},
                               Factor{"US fl oz", "volume", 29.5735295625},
                               Factor{"imp fl oz", "volume", 28.4130625},
                               Factor{"1/°F", "expansion", 1.8}}) {
        EXPECT_EQ(unit(each.symbol, each.dimension).factor, each.factor) << each.symbol;
    }
    // derived: from the same exact definitions, by 40-digit decimal arithmetic.
    EXPECT_DOUBLE_EQ(unit("psi", "gas pressure").factor, 6.894757293168361);
    EXPECT_DOUBLE_EQ(unit("lbf·ft").factor, 1.3558179483314004);
    EXPECT_DOUBLE_EQ(unit("lbf/in").factor, 0.17512683524647636);
    EXPECT_DOUBLE_EQ(unit("oz·in").factor, 720.077887375);
}

TEST(Table, StandsByDimensionWithTheCanonicalUnitFirst)
{
    std::set<std::string> seen;
    std::string last;
    for (const auto& each : table()) {
        if (each.dimension != last) {
            EXPECT_TRUE(seen.insert(each.dimension).second) << each.dimension << " stands twice";
            EXPECT_EQ(canonical(each.dimension), each.symbol);
            EXPECT_EQ(each.factor, 1);
            EXPECT_EQ(each.offset, 0);
            last = each.dimension;
        }
        EXPECT_GT(each.factor, 0) << each.symbol;
        EXPECT_FALSE(each.source.empty()) << each.symbol;
    }
    EXPECT_EQ(seen.size(), 19U);
    EXPECT_EQ(table().front().symbol, "mm");
}

TEST(Table, FindsEachUnitByEachOfItsSpellings)
{
    for (const auto& each : table()) {
        EXPECT_EQ(&unit(each.symbol, each.dimension), &each) << each.symbol;
        for (const auto& alias : each.aliases) {
            EXPECT_EQ(&unit(alias, each.dimension), &each) << alias;
            EXPECT_EQ(&unit(" " + alias + " ", each.dimension), &each) << alias;
        }
    }
}

TEST(Unit, IgnoresCaseButForTheMilliAndTheMega)
{
    for (const char* symbol :
         {"MM",   "mM",   "THOU", "Thou", "MPA", "Mpa", "NM",  "KG",  "Kg",  "BAR",
          "MBAR", "N/MM", "MM²",  "MMHG", "Um",  "µM",  "RPM", "cFm", "MIN", "Mil"}) {
        EXPECT_EQ(refusal([&] { unit(symbol); }), "") << symbol;
    }
    for (const char* symbol :
         {"mPa", "mpa", "Mm", "Mm²", "Mg", "Ml", "Mbar", "N/Mm", "g·Mm", "MmHg"}) {
        EXPECT_NE(refusal([&] { unit(symbol); }), "") << symbol;
    }
    EXPECT_TRUE(holds(refusal([] { unit("mPa"); }), "did you mean MPa"));
}

TEST(Unit, TakesNanometresForTorqueWhereTorqueIsWantedAlone)
{
    EXPECT_NE(refusal_of("5 nm"), "");
    EXPECT_NE(refusal_of("5 nm", "length"), "");
    EXPECT_EQ(parse("5 nm", "torque").value, 5);
    EXPECT_EQ(parse("5 Nm").unit, "N·m");
    EXPECT_EQ(parse("5 n·m").unit, "N·m");
}

TEST(Unit, DefaultsToTheDimensionThatStandsFirst)
{
    EXPECT_EQ(unit("psi").dimension, "stress");
    EXPECT_EQ(unit("°C").dimension, "temperature");
    EXPECT_EQ(unit("K").dimension, "temperature");
    EXPECT_EQ(unit("kg").dimension, "mass");
    EXPECT_EQ(unit("°C", "temperature difference").symbol, "Δ°C");
    EXPECT_EQ(unit("bar", "gas pressure").factor, 100);
}

TEST(Unit, NamesUpToThreeNearSpellings)
{
    EXPECT_EQ(refusal([] { unit("thuo"); }), "unknown unit 'thuo'; did you mean thou?");
    EXPECT_EQ(refusal([] { unit("thoo"); }), "unknown unit 'thoo'; did you mean thou?");
    EXPECT_EQ(refusal([] { unit("furlong"); }), "unknown unit 'furlong'");
    EXPECT_TRUE(holds(refusal([] { unit("ft/lbs"); }), "lbf·ft"));
    EXPECT_TRUE(holds(refusal([] { unit("milimetre"); }), "did you mean mm"));
    EXPECT_TRUE(holds(refusal([] { unit(" "); }), "symbol"));
}

TEST(Header, FindsTheUnitWhereverItStands)
{
    struct Case {
        const char* text;
        const char* name;
        const char* unit;
    };
    for (const Case& each :
         {Case{"Gap (thou)", "Gap", "thou"}, Case{"Bore 1 [mm]", "Bore 1", "mm"},
          Case{"Weight, g", "Weight", "g"}, Case{"Weight (g)", "Weight", "g"},
          Case{"Gap / thou", "Gap", "thou"}, Case{"Torque Nm", "Torque", "N·m"},
          Case{"Torque lbf ft", "Torque", "lbf·ft"}, Case{"Torque (ft lbs)", "Torque", "lbf·ft"},
          Case{"Spring rate N/mm", "Spring rate", "N/mm"},
          Case{"Sump US fl oz", "Sump", "US fl oz"}, Case{"Bore\n(mm)", "Bore", "mm"},
          Case{"Expansion µm/(m·K)", "Expansion", "µm/(m·K)"},
          Case{"Expansion (µm/(m·K))", "Expansion", "µm/(m·K)"},
          Case{"Bore (front) [mm]", "Bore (front)", "mm"},
          Case{"Top ring / Gap, thou", "Top ring / Gap", "thou"}, Case{"Leak (%)", "Leak", "%"},
          Case{"Wear, 1/100, mm", "Wear, 1/100", "mm"}}) {
        const auto found = header(each.text);
        EXPECT_EQ(found.unit, each.unit) << each.text;
        EXPECT_EQ(found.name, each.name) << each.text;
        EXPECT_FALSE(found.note.has_value()) << each.text;
        EXPECT_EQ(found.text, each.text);
    }
}

TEST(Header, NeverGuesses)
{
    for (const char* text : {"Bore 1", "Plug A", "Plug C", "Bore min", "Gap second", "Drawing rev",
                             "Cylinder, 1", "Gap, front", "Torque nm", "Front / rear", "mm",
                             "Notes", "", " ", "Bore mPa", "Gap hundredths"}) {
        const auto found = header(text);
        EXPECT_FALSE(found.unit.has_value()) << text;
        EXPECT_FALSE(found.note.has_value()) << text;
    }
    EXPECT_EQ(header("  Bore \t 1 ").name, "Bore 1");
}

TEST(Header, KeepsABracketThatIsNoUnitAsANote)
{
    for (const char* note :
         {"front", "1", "F", "C", "L", "min", "rev", "hundredths", "nm", "2nd"}) {
        const auto found = header("Bore (" + std::string(note) + ")");
        EXPECT_FALSE(found.unit.has_value()) << note;
        EXPECT_EQ(found.name, "Bore");
        EXPECT_EQ(found.note, note);
    }
    const auto both = header("Bore [mm] (front)");
    EXPECT_EQ(both.unit, "mm");
    EXPECT_EQ(both.note, "front");
    EXPECT_EQ(both.name, "Bore");
    EXPECT_EQ(header("Bore [mm] (front) (cold)").note, "front; cold");
    EXPECT_EQ(header("Bore ()").name, "Bore");
    EXPECT_FALSE(header("Bore ()").note.has_value());
    EXPECT_EQ(header("Bore front)").name, "Bore front)");
}

TEST(Header, TakesTheDimensionThatItIsTold)
{
    EXPECT_EQ(header("Run (min)", "time").unit, "min");
    EXPECT_EQ(header("Oil (F)", "temperature").unit, "°F");
    EXPECT_EQ(header("Torque nm", "torque").unit, "N·m");
    EXPECT_EQ(header("Sump (L)", "volume").unit, "L");
    EXPECT_EQ(header("Bore (L)", "length").note, "L");
    EXPECT_EQ(header("Ratio (1)", "number").note, "1");
    EXPECT_EQ(header("Load (lb)", "force").unit, "lbf");
    EXPECT_EQ(header("Plenum (bar)", "gas pressure").dimension, "gas pressure");
    EXPECT_NE(refusal([] { header("Mass (mm)", "mass"); }), "");
    EXPECT_NE(refusal([] { header("Mass", "maas"); }), "");
    EXPECT_EQ(header("Bore (min)", "length").note, "min");
}

TEST(Show, RoundsHalfToEvenAndNeverPrintsMinusZero)
{
    EXPECT_EQ(show(-1e-9, "length"), "0.000 mm (0.0 thou)");
    EXPECT_EQ(show(-0.0, "angle"), "0.00°");
    EXPECT_EQ(show(0.5, "speed"), "0 rpm");
    EXPECT_EQ(show(1.5, "speed"), "2 rpm");
    EXPECT_EQ(show(2.5, "speed"), "2 rpm");
    // 1.005 is a little less in binary, 0.0625 is exact.
    EXPECT_EQ(show(1.005, "volume", System::metric), "1.00 cc");
    EXPECT_EQ(show(0.0625, "length", System::metric), "0.062 mm");
}

TEST(Show, HasTheDecimalsOfEachDimension)
{
    struct Case {
        double value;
        const char* dimension;
        const char* text;
    };
    // Factors: NIST SP 811 (2008), appendix B; the decimals are this library's own.
    for (const Case& each : {Case{82.015, "length", "82.015 mm (3.2289 in)"},
                             Case{0.0635, "length", "0.064 mm (2.5 thou)"},
                             Case{-0.0635, "length", "-0.064 mm (-2.5 thou)"},
                             Case{1, "length", "1.000 mm (0.0394 in)"},
                             Case{645.16, "area", "645.2 mm² (1.0000 in²)"},
                             Case{41.2, "volume", "41.20 cc (2.514 in³)"},
                             Case{453.59237, "mass", "453.6 g (16.00 oz)"},
                             Case{720.077887375, "unbalance", "720 g·mm (1.000 oz·in)"},
                             Case{400.339945373445, "force", "400 N (90.0 lbf)"},
                             Case{30, "stiffness", "30.0 N/mm (171.3 lbf/in)"},
                             Case{100, "stress", "100.0 MPa (14504 psi)"},
                             Case{6.97448948, "gas pressure", "6.97 kPa (28.0 inH2O)"},
                             Case{100, "temperature", "100.0 °C (212 °F)"},
                             Case{50, "temperature difference", "50.0 K (90 Δ°F)"},
                             Case{40.67453844994201, "torque", "40.7 N·m (30.0 lbf·ft)"},
                             Case{28.316846592, "flow", "28.3 L/min (1.00 cfm)"},
                             Case{107.5, "angle", "107.50°"},
                             Case{5500, "speed", "5500 rpm"},
                             Case{90, "time", "90.0 s"},
                             Case{11.5e-6, "expansion", "0.0000115 1/K"},
                             Case{7.85, "density", "7.850 g/cm³"},
                             Case{0.12, "number", "0.120"}}) {
        EXPECT_EQ(show(each.value, each.dimension), each.text);
    }
}

TEST(Show, ShowsOneSystemWhenItIsTold)
{
    EXPECT_EQ(show(82.015, "length", System::inch), "3.2289 in");
    EXPECT_EQ(show(82.015, "length", System::metric), "82.015 mm");
    EXPECT_EQ(show(107.5, "angle", System::inch), "107.50°");
    EXPECT_EQ(show(82.015, "length", System::metric, 2), "82.02 mm");
    EXPECT_EQ(show(82.015, "length", System::both, 0), "82 mm (3.2289 in)");
}

TEST(Show, RefusesWhatCannotBeShown)
{
    EXPECT_THROW(show(std::nan(""), "length"), std::invalid_argument);
    EXPECT_THROW(show(1, "length", System::both, -1), std::invalid_argument);
    EXPECT_THROW(show(1, "length", System::both, 18), std::invalid_argument);
    EXPECT_THROW(show(1.7e308, "stress"), std::invalid_argument);
    EXPECT_THROW(show(1, "colour"), UnitError);
    EXPECT_THROW(canonical("colour"), UnitError);
}

}  // namespace
}  // namespace enginewright::units
