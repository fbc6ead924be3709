#pragma once

#include <string>
#include <tuple>

#include "enginewright/record.hpp"

/// Screw threads and the strength of standard bolts.
namespace enginewright::fasteners {

/// The family of a 60° thread: how its stress area is reckoned.
enum class Series { metric, unified };

/// The property classes of steel bolts, as stamped on the head.
enum class ClassName {
    class_4_6,
    class_4_8,
    class_5_6,
    class_5_8,
    class_6_8,
    class_8_8,
    class_9_8,
    class_10_9,
    class_12_9,
};

}  // namespace enginewright::fasteners

namespace enginewright {
template <>
inline constexpr Words<2> words<fasteners::Series>{"series", {"metric", "unified"}};
template <>
inline constexpr Words<9> words<fasteners::ClassName>{
    "property_class", {"4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9"}};
}  // namespace enginewright

namespace enginewright::fasteners {

/// A thread's basic sizes.
struct Thread {
    double diameter = 0;
    double pitch = 0;
    Series series = Series::metric;
    double pitch_diameter = 0;
    double minor_diameter = 0;
    double stress_area = 0;
    double lead_angle = 0;
    double threads_per_inch = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"diameter", "mm", &Thread::diameter, "nominal (major) diameter"},
            Field{"pitch", "mm", &Thread::pitch, "advance of one turn"},
            Field{"series", "", &Thread::series, "family of the thread"},
            Field{"pitch_diameter", "mm", &Thread::pitch_diameter,
                  "where thread and groove are equal"},
            Field{"minor_diameter", "mm", &Thread::minor_diameter, "basic, of the nut"},
            Field{"stress_area", "mm²", &Thread::stress_area, "section that carries the load"},
            Field{"lead_angle", "°", &Thread::lead_angle,
                  "slope of the thread at its pitch diameter"},
            Field{"threads_per_inch", "", &Thread::threads_per_inch, "25.4 over the pitch"},
        };
    }
    bool operator==(const Thread&) const = default;
};
static_assert(lists_every_member<Thread>);

/// Basic sizes of a 60° thread and the section that carries its load.
///
/// With H = root 3 / 2 * pitch:
///
///     pitch_diameter = diameter - 3/4 H
///     minor_diameter = diameter - 5/4 H
///     stress_area    = pi/4 * (diameter - 13/12 H)²      metric, d - 0.938194 P
///     stress_area    = pi/4 * (diameter - 9/8 H)²        unified, d - 0.974279 P
///     lead_angle     = atan(pitch / (pi * pitch_diameter))
///
/// The standards print the area rounded; here nothing is.
///
/// diameter  nominal, mm, 0.01 or more
/// pitch     mm, 0.001 or more, at most a third of the diameter; inch threads: 25.4 over the
///           threads in an inch
/// series    "metric" or "unified"
///
/// Source: ISO 68-1, ISO 724, ISO 898-1; ASME B1.1 in millimetres.
///
/// >>> round(ew.fasteners.thread(10, 1.5).stress_area, 2)
/// 57.99
Thread thread(double diameter, double pitch, Series series = Series::metric);

/// Least strengths of a bolt by the figures on its head.
struct PropertyClass {
    ClassName name = ClassName::class_8_8;
    double diameter = 0;
    double tensile_strength = 0;
    double yield_strength = 0;
    double proof_strength = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"name", "", &PropertyClass::name, "as stamped on the head"},
            Field{"diameter", "mm", &PropertyClass::diameter, "nominal diameter of the thread"},
            Field{"tensile_strength", "MPa", &PropertyClass::tensile_strength, "least"},
            Field{"yield_strength", "MPa", &PropertyClass::yield_strength,
                  "least; up to 6.8 the lower yield stress, above it at 0.2 %"},
            Field{"proof_strength", "MPa", &PropertyClass::proof_strength,
                  "stress without lasting stretch"},
        };
    }
    bool operator==(const PropertyClass&) const = default;
};
static_assert(lists_every_member<PropertyClass>);

/// Strengths of a property class, the least that the standard allows.
///
/// Class 8.8 has a step above 16 mm; class 9.8 ends there. Inch grades and engine makers' bolts
/// have strengths of their own: use those.
///
/// name      "4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9" or "12.9"
/// diameter  mm, 1.6 to 39; class 9.8 to 16
///
/// Source: ISO 898-1:1999, table 3 (later editions the same, from memory).
///
/// >>> ew.fasteners.property_class("8.8", [16, 18]).proof_strength.tolist()
/// [580.0, 600.0]
PropertyClass property_class(ClassName name, double diameter);

/// Load that a bolt of a property class bears without lasting stretch, N.
///
///     proof_load = stress_area * proof_strength
///
/// Within 0.7 % of the printed tables, which round areas and loads to three figures.
///
/// diameter        nominal, mm, 1.6 to 39
/// pitch           mm, at most a third of the diameter
/// property_class  as stamped on the head
/// series          "metric" or "unified"
///
/// Source: ISO 898-1.
///
/// >>> round(ew.fasteners.proof_load(10, 1.5, "10.9") / 1000, 1)
/// 48.1
double proof_load(double diameter, double pitch, ClassName property_class,
                  Series series = Series::metric);

}  // namespace enginewright::fasteners
