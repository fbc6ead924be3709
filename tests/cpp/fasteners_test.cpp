#include "enginewright/fasteners.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "refusal.hpp"

namespace enginewright::fasteners {
namespace {

using std::numbers::pi;

struct Printed {
    double diameter;
    double pitch;
    double area;
};

TEST(Thread, HasThePrintedAreaOfCoarseThreads)
{
    // published: ISO 898-1, nominal stress areas of coarse threads, three figures (from memory)
    constexpr std::array<Printed, 17> coarse{{
        {3, 0.5, 5.03},
        {4, 0.7, 8.78},
        {5, 0.8, 14.2},
        {6, 1, 20.1},
        {7, 1, 28.9},
        {8, 1.25, 36.6},
        {10, 1.5, 58.0},
        {12, 1.75, 84.3},
        {14, 2, 115},
        {16, 2, 157},
        {18, 2.5, 192},
        {20, 2.5, 245},
        {22, 2.5, 303},
        {24, 3, 353},
        {27, 3, 459},
        {30, 3.5, 561},
        {36, 4, 817},
    }};
    for (const auto& [diameter, pitch, area] : coarse) {
        // Half a unit of the third figure.
        const double unit = area < 10 ? 0.01 : area < 100 ? 0.1 : 1;
        EXPECT_NEAR(thread(diameter, pitch).stress_area, area, 0.51 * unit) << diameter;
    }
}

TEST(Thread, HasThePrintedAreaOfInchThreads)
{
    // published: ASME B1.1, tensile stress areas, square inches (from memory)
    struct Inch {
        double diameter;
        double threads;
        double area;
    };
    constexpr std::array<Inch, 8> printed{{
        {0.25, 20, 0.0318},
        {0.25, 28, 0.0364},
        {0.3125, 18, 0.0524},
        {0.375, 16, 0.0775},
        {0.375, 24, 0.0878},
        {0.4375, 14, 0.1063},
        {0.5, 13, 0.1419},
        {0.5, 20, 0.1599},
    }};
    for (const auto& [diameter, threads, area] : printed) {
        const auto made = thread(diameter * 25.4, 25.4 / threads, Series::unified);
        EXPECT_NEAR(made.stress_area / (25.4 * 25.4), area, 0.00006) << diameter;
        EXPECT_NEAR(made.threads_per_inch, threads, 1e-9);
    }
}

TEST(Thread, HasThePrintedDiameters)
{
    // published: ISO 724, M10: 9.026 and 8.376
    const auto m10 = thread(10, 1.5);
    EXPECT_NEAR(m10.pitch_diameter, 9.026, 0.0005);
    EXPECT_NEAR(m10.minor_diameter, 8.376, 0.0005);
    // d - 0.938194 P is the mean of pitch and root diameter.
    EXPECT_NEAR(m10.stress_area, pi / 4 * std::pow(10 - 0.938194 * 1.5, 2), 1e-4);
    EXPECT_NEAR(std::tan(m10.lead_angle * pi / 180) * pi * m10.pitch_diameter, 1.5, 1e-12);
}

TEST(Thread, RefusesAPitchThatCannotBe)
{
    EXPECT_EQ(refusal([] { thread(6, 2.5); }),
              "pitch must be at most a third of the diameter, 2.0 mm, got 2.5");
    EXPECT_EQ(refusal([] { thread(-6, 1); }), "diameter must be above 0 mm, got -6.0");
}

TEST(PropertyClass, StepsAtSixteenMillimetresInEightEight)
{
    // published: ISO 898-1, class 8.8 up to and above 16 mm
    EXPECT_EQ(property_class(ClassName::class_8_8, 16).proof_strength, 580);
    EXPECT_EQ(property_class(ClassName::class_8_8, 16.01).proof_strength, 600);
    EXPECT_EQ(property_class(ClassName::class_10_9, 39).tensile_strength, 1040);
}

TEST(PropertyClass, HoldsTheRuleOfItsName)
{
    // The stamp: tensile strength over 100, and yield over tensile in tenths; minima lie at or
    // above the product, and proof stays below yield.
    for (std::size_t i = 0; i < words<ClassName>.list.size(); ++i) {
        const auto name = static_cast<ClassName>(i);
        const double stamp = std::stod(std::string(words<ClassName>.list[i]));
        const auto found = property_class(name, 10);
        EXPECT_GE(found.tensile_strength, 100 * std::floor(stamp));
        EXPECT_GE(found.yield_strength / found.tensile_strength, stamp - std::floor(stamp) - 0.02);
        EXPECT_LT(found.proof_strength, found.yield_strength);
    }
}

TEST(PropertyClass, RefusesWhatTheStandardDoesNotHold)
{
    EXPECT_EQ(refusal([] { property_class(ClassName::class_9_8, 18); }),
              "diameter must be at most 16 mm in class 9.8, got 18.0");
    EXPECT_EQ(refusal([] { property_class(ClassName::class_8_8, 40); }),
              "diameter must be between 1.6 and 39 mm, got 40.0");
}

TEST(ProofLoad, IsThatOfThePrintedTable)
{
    struct Row {
        double diameter;
        double pitch;
        ClassName name;
        double load;
    };
    // published: ISO 898-1, proof loads of coarse threads, N (from memory)
    constexpr std::array<Row, 8> printed{{
        {6, 1, ClassName::class_8_8, 11600},
        {8, 1.25, ClassName::class_8_8, 21200},
        {16, 2, ClassName::class_8_8, 91000},
        {20, 2.5, ClassName::class_8_8, 147000},
        {24, 3, ClassName::class_8_8, 212000},
        {6, 1, ClassName::class_10_9, 16700},
        {16, 2, ClassName::class_10_9, 130000},
        {16, 2, ClassName::class_12_9, 152000},
    }};
    for (const auto& [diameter, pitch, name, load] : printed) {
        // Areas and loads are printed to three figures, loads rounded down: M6 is 0.6 % above.
        EXPECT_NEAR(proof_load(diameter, pitch, name), load, 0.007 * load) << diameter;
    }
}

TEST(NutFactor, IsNearAFifthForOrdinaryFriction)
{
    // common practice: 0.15 in thread and under the head give K near 0.20
    for (const auto& [diameter, pitch] : {std::pair(8.0, 1.25), {10.0, 1.5}, {12.0, 1.75}}) {
        EXPECT_NEAR(nut_factor(diameter, pitch, 0.15, 0.15), 0.20, 0.01);
    }
}

TEST(NutFactor, OfAFrictionlessScrewDoesOnlyTheWorkOfItsPitch)
{
    // One turn of torque does preload * pitch of work.
    EXPECT_NEAR(2 * pi * nut_factor(10, 1.5, 0, 0) * 10, 1.5, 1e-12);
}

TEST(Torque, AndPreloadUndoEachOtherBothWays)
{
    for (const double preload : {1000.0, 30000.0, 250000.0}) {
        const double by_factor = torque_for_preload(preload, 10, 0.15);
        EXPECT_NEAR(preload_from_torque(by_factor, 10, 0.15), preload, 1e-9 * preload);
        const double by_friction = torque_for_preload(preload, 10, {}, 1.5, 0.12, 0.14, 13.0);
        EXPECT_NEAR(preload_from_torque(by_friction, 10, {}, 1.5, 0.12, 0.14, 13.0), preload,
                    1e-9 * preload);
        EXPECT_NEAR(by_friction, nut_factor(10, 1.5, 0.12, 0.14, 13.0) * preload * 10 / 1000, 1e-9);
    }
}

TEST(Torque, RefusesTwoWaysOrNone)
{
    EXPECT_EQ(refusal([] { torque_for_preload(1000, 10); }),
              "nut_factor must be given, or pitch, thread_friction and bearing_friction; missing: "
              "pitch, thread_friction, bearing_friction");
    EXPECT_EQ(refusal([] { torque_for_preload(1000, 10, {}, 1.5, 0.12); }),
              "nut_factor must be given, or pitch, thread_friction and bearing_friction; missing: "
              "bearing_friction");
    EXPECT_EQ(refusal([] { preload_from_torque(60, 10, 0.2, 1.5); }),
              "nut_factor must stand alone or be left out, got 0.2 beside pitch");
    EXPECT_EQ(refusal([] { preload_from_torque(60, 10, 0.2, {}, {}, {}, 13.0); }),
              "nut_factor must stand alone or be left out, got 0.2 beside bearing_diameter");
    EXPECT_EQ(refusal([] { preload_from_torque(60, 10, 0.0); }),
              "nut_factor must be above 0, got 0.0");
}

TEST(PreloadRange, StandsInEachStatus)
{
    const auto judged = [](std::optional<double> proof) {
        return preload_range(60, 10, 0.15, {}, {}, {}, {}, 0.25, proof);
    };
    EXPECT_EQ(judged(50000).status, PreloadStatus::within);
    EXPECT_EQ(judged(50000).reason, "");
    const auto may = judged(48100);
    EXPECT_EQ(may.status, PreloadStatus::may_pass);
    EXPECT_EQ(may.reason, "at most 50.0 kN against a proof load of 48.1 kN");
    EXPECT_EQ(may.next, "set at most 57.7 N·m, or tighten by angle or stretch");
    EXPECT_NEAR(*may.share, 40000 / 48100.0, 1e-12);
    const auto passes = judged(29000);
    EXPECT_EQ(passes.status, PreloadStatus::passes);
    EXPECT_EQ(passes.reason, "at least 30.0 kN against a proof load of 29.0 kN");
    EXPECT_EQ(judged({}).status, PreloadStatus::no_proof_load);
    EXPECT_EQ(judged({}).torque_limit, std::nullopt);
}

TEST(PreloadRange, ReachesJustTheProofLoadAtItsTorqueLimit)
{
    for (const double proof : {29000.0, 33333.0, 48100.0}) {
        const auto band = preload_range(60, 10, 0.15, {}, {}, {}, {}, 0.25, proof);
        const auto set = preload_range(*band.torque_limit, 10, 0.15, {}, {}, {}, {}, 0.25, proof);
        EXPECT_NEAR(set.greatest, proof, 1e-8);
        EXPECT_EQ(set.status, PreloadStatus::within);
    }
}

/// Stiffness of the cones by adding up thin slices from head to nut.
double added_up(std::span<const double> thicknesses, std::span<const double> moduli,
                double diameter, double face)
{
    double total = 0;
    for (const double each : thicknesses) {
        total += each;
    }
    constexpr int slices = 100000;
    double give = 0;
    double top = 0;
    for (std::size_t i = 0; i < thicknesses.size(); ++i) {
        const double step = thicknesses[i] / slices;
        for (int k = 0; k < slices; ++k) {
            const double z = top + (k + 0.5) * step;
            const double cone = face + 2 * std::min(z, total - z) * std::tan(pi / 6);
            give += step / (moduli[i] * pi / 4 * (cone * cone - diameter * diameter));
        }
        top += thicknesses[i];
    }
    return 1 / give;
}

TEST(MemberStiffness, IsTheSumOfItsSlices)
{
    const std::vector thicknesses{3.0, 12.0, 40.0};
    const std::vector moduli{207000.0, 71000.0, 100000.0};
    const double expected = added_up(thicknesses, moduli, 10, 16);
    EXPECT_NEAR(member_stiffness(thicknesses, moduli, 10, 16), expected, 1e-6 * expected);
}

TEST(MemberStiffness, DoesNotMindHowLayersAreCutOrCounted)
{
    const double whole = member_stiffness(std::vector{20.0, 30.0}, std::vector{207e3, 1e5}, 10, 16);
    const double cut =
        member_stiffness(std::vector{20.0, 11.0, 19.0}, std::vector{207e3, 1e5, 1e5}, 10, 16);
    const double turned =
        member_stiffness(std::vector{30.0, 20.0}, std::vector{1e5, 207e3}, 10, 16);
    EXPECT_NEAR(cut, whole, 1e-9 * whole);
    EXPECT_NEAR(turned, whole, 1e-9 * whole);
    EXPECT_EQ(refusal([] { member_stiffness(std::vector{20.0}, std::vector{207e3}, 10, 10); }),
              "face_diameter must be above the diameter, 10.0 mm, got 10.0");
}

TEST(Joint, KeepsLoadsInBalanceOnBothSidesOfSeparation)
{
    const double opens = joint(30000, 0, 3e5, 9e5).separation_load;
    EXPECT_NEAR(opens, 40000, 1e-9);
    for (const double load : {0.0, 10000.0, opens - 1e-6, opens, opens + 1e-6, 60000.0}) {
        const auto found = joint(30000, load, 3e5, 9e5);
        EXPECT_NEAR(found.bolt_load - found.clamp_load, load, 1e-6);
        EXPECT_EQ(found.status == JointStatus::clamped, load < opens);
    }
    EXPECT_EQ(joint(30000, opens, 3e5, 9e5).next, "raise the preload or add bolts");
    EXPECT_EQ(joint(30000, 0, 3e5, 9e5).separation_factor, std::nullopt);
}

TEST(Joint, FeelsOnlyTheRatioOfTheStiffnesses)
{
    const auto one = joint(30000, 12000, 3e5, 9e5, 58.0, 830.0);
    const auto other = joint(30000, 12000, 3, 9, 58.0, 830.0);
    EXPECT_NEAR(one.bolt_load, other.bolt_load, 1e-9);
    EXPECT_NEAR(*one.load_factor, *other.load_factor, 1e-12);
    // The load factor is how many times the load brings the bolt to its proof load.
    const auto loaded = joint(30000, 12000 * *one.load_factor, 3e5, 9e12);
    EXPECT_GT(loaded.bolt_load, 0);
    EXPECT_NEAR(30000 + 0.25 * 12000 * *one.load_factor, 58.0 * 830.0, 1e-6);
    EXPECT_EQ(refusal([] { joint(30000, 12000, 3e5, 9e5, 58.0); }),
              "proof_strength must be given with stress_area, got None");
}

TEST(Angle, ClosesItsPitchByStretchAndSqueeze)
{
    for (const double preload : {9000.0, 20000.0, 45000.0}) {
        const double angle = angle_for_preload(preload, 1.5, 3e5, 9e5, 9000);
        EXPECT_NEAR(preload_from_angle(angle, 1.5, 3e5, 9e5, 9000), preload, 1e-9 * preload);
        const double closed = stretch_from_preload(preload - 9000, 3e5) + (preload - 9000) / 9e5;
        EXPECT_NEAR(angle / 360 * 1.5, closed, 1e-12);
    }
    EXPECT_EQ(refusal([] { angle_for_preload(100, 1.5, 3e5, 9e5, 200); }),
              "snug must be at most 100 N, got 200.0");
}

TEST(ThermalPreload, IsUnmovedByEqualGrowth)
{
    EXPECT_EQ(thermal_preload(40000, 90, 80, 80, 12e-6, 12e-6, 2.5e5, 7.5e5).change, 0);
    const auto loose = thermal_preload(10000, 90, 150, 20, 12e-6, 12e-6, 2.5e5, 7.5e5);
    EXPECT_EQ(loose.status, HotStatus::loose);
    EXPECT_EQ(loose.preload, 0);
    EXPECT_EQ(loose.reason, "the change of temperature takes 26.3 kN, the joint has 10.0 kN");
}

TEST(Reuse, StandsInEachStatus)
{
    EXPECT_EQ(reuse(60.02, 60.0, 0.025).status, ReuseStatus::reuse);
    EXPECT_EQ(reuse(60.02, 60.0, 0.025).next, "");
    const auto stretched = reuse(60.04, 60.0, 0.025);
    EXPECT_EQ(stretched.status, ReuseStatus::replace);
    EXPECT_EQ(stretched.reason, "0.040 mm longer than new, 0.025 mm allowed");
    const auto doubtful = reuse(60.02, 60.0, 0.025, 0.005);
    EXPECT_EQ(doubtful.stretch_verdict, Standing::unproven);
    EXPECT_EQ(doubtful.reason,
              "0.020 mm longer than new, 0.025 mm allowed, not proven by the gauge");
    EXPECT_EQ(doubtful.next, "replace the bolt, or prove it with a better gauge");
    const auto shrunk = reuse(59.95, 60.0, 0.025, 0, 7.5, 7.9);
    EXPECT_EQ(shrunk.status, ReuseStatus::measure_again);
}

TEST(Reuse, JudgesTheThinnestPlaceOfTheShank)
{
    const auto necked = reuse(60.0, 60.0, 0.025, 0, std::vector{7.95, 7.85, 7.93}, 7.90);
    EXPECT_EQ(necked.shank_least, 7.85);
    EXPECT_EQ(necked.status, ReuseStatus::replace);
    EXPECT_EQ(necked.reason, "shank 7.850 mm, 7.900 mm at least");
    EXPECT_EQ(reuse(60.0, 60.0, 0.025, 0, 7.901, 7.90, 0.002).shank_verdict, Standing::unproven);
    EXPECT_EQ(reuse(60.0, 60.0, 0.025, 0, 7.8).shank_verdict, Standing::unlimited);
    EXPECT_EQ(refusal([] { reuse(60.0, 60.0, 0.025, 0, std::nullopt, 7.9); }),
              "shank_diameter must be given with shank_limit, got None");
}

TEST(Fasteners, RefuseWhatWouldOverflow)
{
    const double tiny = std::numeric_limits<double>::denorm_min();
    EXPECT_NE(refusal([&] { stretch_from_preload(1000, tiny); }), "not refused");
    EXPECT_NE(refusal([&] { preload_from_torque(1, tiny, 0.2); }), "not refused");
    EXPECT_NE(refusal([&] { bolt_stiffness(std::vector{tiny}, std::vector{1.0}); }), "not refused");
    EXPECT_NE(refusal([&] { thread(1e308, 1); }), "not refused");
    EXPECT_NE(refusal([&] { preload_range(tiny, 10, 0.2, {}, {}, {}, {}, 0.25, 4e4); }),
              "not refused");
    EXPECT_NE(refusal([&] { preload_range(50, 10, 0.2, {}, {}, {}, {}, 0.25, tiny); }),
              "not refused");
    EXPECT_NE(refusal([&] { joint(tiny, 0, 1, 1, 58.0, 830.0); }), "not refused");
    EXPECT_EQ(joint(1000, tiny, 1, 1).separation_factor, std::nullopt);
}

}  // namespace
}  // namespace enginewright::fasteners
