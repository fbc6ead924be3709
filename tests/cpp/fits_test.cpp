#include "enginewright/fits.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "refusal.hpp"

namespace enginewright::fits {
namespace {

TEST(Grade, IsAsPrinted)
{
    // published: ISO 286-1:2010, table 1
    EXPECT_EQ(grade(40.0, "IT7"), 0.025);
    EXPECT_EQ(grade(40.0, 7), 0.025);
    EXPECT_EQ(grade(500.0, "01"), 0.004);
    EXPECT_EQ(refusal([] { grade(40.0, 19); }),
              "grade must be one of IT01, IT0, IT1 to IT18; got '19'");
}

TEST(Limits, OfHoleAndShaftOfOneLetterMirrorEachOther)
{
    for (const double size : {2.0, 8.0, 40.0, 130.0, 480.0}) {
        for (const char* letter : {"c", "d", "e", "f", "g", "h"}) {
            std::string capital(letter);
            capital[0] = static_cast<char>(capital[0] - 'a' + 'A');
            const auto shaft = limits(letter + std::string("8"), size);
            const auto hole = limits(capital + "8", size);
            EXPECT_EQ(hole.lower_deviation, -shaft.upper_deviation) << capital << size;
            EXPECT_EQ(hole.upper_deviation, -shaft.lower_deviation) << capital << size;
        }
    }
}

TEST(Limits, GiveTheSameFitEitherWayRound)
{
    // published: ISO 286-1:2010, 4.3.2.5 as a rule: H7/p6 fits as P7/h6 does, over 3 mm
    for (const double size : {4.0, 25.0, 60.0, 120.0, 400.0}) {
        for (const char* letter : {"k", "m", "n", "p", "r", "s", "u", "x"}) {
            std::string capital(letter);
            capital[0] = static_cast<char>(capital[0] - 'a' + 'A');
            const auto shaft = limits(letter + std::string("6"), size);
            const auto hole = limits(capital + "7", size);
            EXPECT_NEAR(hole.lower_deviation, -shaft.upper_deviation, 1e-12) << capital << size;
            EXPECT_NEAR(hole.upper_deviation + grade(size, 6),
                        grade(size, 7) - shaft.lower_deviation, 1e-12)
                << capital << size;
        }
    }
}

TEST(Limits, RefuseWhatTheStandardDoesNotHave)
{
    EXPECT_EQ(refusal([] { limits("60 cd8"); }),
              "designation must name a class that ISO 286 has at 60.0 mm: cd ends at 50 mm, got "
              "'cd8'");
    EXPECT_EQ(refusal([] { limits("H7"); }),
              "size must be given, or stand in the designation as in '40 H7', got 'H7'");
}

TEST(FitOf, TellsItsKind)
{
    EXPECT_EQ(fit("40 H7/g6").kind, FitKind::clearance);
    EXPECT_EQ(fit("40 H7/h6").minimum_clearance, 0.0);
    EXPECT_FALSE(std::signbit(fit("40 H7/h6").minimum_clearance));
    EXPECT_EQ(fit("40 H7/h6").kind, FitKind::clearance);
    EXPECT_EQ(fit("40 H7/k6").kind, FitKind::transition);
    EXPECT_EQ(fit("40 H7/p6").kind, FitKind::interference);
}

TEST(Classes, PutTheWidestFirst)
{
    const auto found = classes(25, 0.007, 0.045);
    ASSERT_FALSE(found.empty());
    for (std::size_t i = 1; i < found.size(); ++i) {
        const auto spread = [](const Fit& f) { return f.maximum_clearance - f.minimum_clearance; };
        EXPECT_LE(spread(found[i]), spread(found[i - 1]) + 1e-12);
    }
    EXPECT_TRUE(classes(25, 0.0, 0.001).empty());
}

TEST(PressFit, OfOneMaterialIsTheTextbooksFormula)
{
    const auto& steel = material("steel");
    const double d = 50;
    const double big = 100;
    const auto found = press_fit(d, 0.05, 60, big, 0, steel, steel);
    // published: Shigley, 9th ed., equation 7-40 with a solid shaft: p = E delta (D² - d²)/(2 d D²)
    EXPECT_NEAR(found.pressure, steel.modulus * 0.05 * (big * big - d * d) / (2 * d * big * big),
                1e-10);
    EXPECT_EQ(found.hoop_inner_bore, -found.pressure);
    EXPECT_NEAR(found.press_force, std::numbers::pi * d * 60 * 0.12 * found.pressure, 1e-6);
}

TEST(PressFit, SaysWhichMaterialIsWrong)
{
    Material soft = material("steel");
    soft.modulus = 0;
    EXPECT_EQ(refusal([&] { press_fit(50, 0.05, 60, 100, 0, soft, material("steel")); }),
              "inner.modulus must be between 1 and 1e+07 MPa, got 0.0");
    EXPECT_NE(refusal([] { material("glass"); }).find("material must be one of steel"),
              std::string::npos);
}

TEST(Temperatures, OfAssemblyAndLooseningAgree)
{
    // Heated to where nothing is left, a housing lets its part drop in with no clearance at all,
    // when the part stays at 20 °C.
    const auto heat = assembly_temperature(90, 0.08, 0.0, 21.5e-6, 10.5e-6);
    const auto loose = loosening_temperature(90, 0.08, 10.5e-6, 21.5e-6, 0.0);
    EXPECT_NEAR(*heat.outer_temperature, *loose.temperature, 1e-9);
}

}  // namespace
}  // namespace enginewright::fits
