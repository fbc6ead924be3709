#include "enginewright/fasteners/threads.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include "fasteners/require.hpp"

namespace enginewright::fasteners {

using std::numbers::pi;

Thread thread(double diameter, double pitch, Series series)
{
    require_thread(diameter, pitch);
    const double height = std::numbers::sqrt3 / 2 * pitch;
    // ISO 898-1: mean of pitch diameter and root, d - 13/12 H; ASME B1.1: d - 9/8 H.
    const double loaded = diameter - (series == Series::metric ? 13.0 / 12 : 9.0 / 8) * height;
    const double pitch_diameter = diameter - 0.75 * height;
    return {.diameter = diameter,
            .pitch = pitch,
            .series = series,
            .pitch_diameter = pitch_diameter,
            .minor_diameter = diameter - 1.25 * height,
            .stress_area = pi / 4 * loaded * loaded,
            .lead_angle = std::atan(pitch / (pi * pitch_diameter)) * 180 / pi,
            .threads_per_inch = 25.4 / pitch};
}

namespace {

struct Strengths {
    ClassName name;
    double tensile;
    double yield;
    double proof;
};

// ISO 898-1:1999, table 3: least tensile strength, least yield stress, proof stress, MPa. The row
// of 8.8 is that up to 16 mm.
constexpr std::array<Strengths, 9> classes{{
    {ClassName::class_4_6, 400, 240, 225},
    {ClassName::class_4_8, 420, 340, 310},
    {ClassName::class_5_6, 500, 300, 280},
    {ClassName::class_5_8, 520, 420, 380},
    {ClassName::class_6_8, 600, 480, 440},
    {ClassName::class_8_8, 800, 640, 580},
    {ClassName::class_9_8, 900, 720, 650},
    {ClassName::class_10_9, 1040, 940, 830},
    {ClassName::class_12_9, 1220, 1100, 970},
}};
constexpr Strengths thick_8_8{ClassName::class_8_8, 830, 660, 600};
constexpr double thick_above = 16.0;

}  // namespace

PropertyClass property_class(ClassName name, double diameter)
{
    require_between("diameter", diameter, 1.6, 39.0, "mm");
    if (name == ClassName::class_9_8 && diameter > thick_above) {
        refuse("diameter", "at most 16 mm in class 9.8", diameter);
    }
    const bool thick = name == ClassName::class_8_8 && diameter > thick_above;
    const Strengths& row = thick ? thick_8_8 : classes[static_cast<std::size_t>(name)];
    return {.name = name,
            .diameter = diameter,
            .tensile_strength = row.tensile,
            .yield_strength = row.yield,
            .proof_strength = row.proof};
}

double proof_load(double diameter, double pitch, ClassName property_class, Series series)
{
    const double strength = fasteners::property_class(property_class, diameter).proof_strength;
    return thread(diameter, pitch, series).stress_area * strength;
}

}  // namespace enginewright::fasteners
