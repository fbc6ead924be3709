#pragma once

#include <string>
#include <tuple>
#include <vector>

#include "enginewright/record.hpp"

/// The crank train: where the piston is, how fast it moves, and how its motion is made up.
///
/// Look at the crank from the side from which it turns clockwise, cylinder up. `stroke` is twice
/// the throw, what the crank grinder measures; the piston travels a little further when the pin is
/// offset. `pin_offset` is the distance of the wrist pin's path from the crank's axis, the offsets
/// of pin and cylinder added, **positive on the side to which the crankpin swings after top dead
/// centre**. `angle` counts degrees after the piston's true top dead centre, negative before it, as
/// the degree wheel reads once it is set. With r = stroke/2, l = rod_length, e = pin_offset:
///
///     tdc_crank_angle = asin(e / (l + r))          crank and rod in line, stretched
///     theta = angle + tdc_crank_angle              the crank's angle from the cylinder axis
///     h = r sin(theta) - e,   q = sqrt(l² - h²)    the rod's lean to the side and its height
///
/// Allowed are stroke above 0 (from 1e-6 mm), rod_length above stroke/2 + |pin_offset|, angles
/// within ±1e9 degrees, speeds from 0 to 1e6 rpm. Lengths mm, angles degrees.
///
/// Source: the triangle of crank and rod; J. B. Heywood, Internal Combustion Engine Fundamentals,
/// chapter 2, for e = 0; R. L. Norton, Design of Machinery, for the offset slider-crank.
namespace enginewright::crank_train {

/// Depth of the piston below top dead centre, mm.
///
///     depth = sqrt((l + r)² - e²) - r cos(theta) - q
///
/// Computed in a form that keeps all its digits near top dead centre, where the printed one
/// subtracts two nearly equal lengths: a millionth of a degree still has its depth.
///
/// angle       degrees after true top dead centre
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm, positive towards the pin's swing after top dead centre
///
/// Source: the triangle of crank and rod.
///
/// >>> round(ew.crank_train.piston_depth(30, stroke=86, rod_length=145), 3)
/// 7.364
double piston_depth(double angle, double stroke, double rod_length, double pin_offset);

/// Speed of the piston, m/s, positive on its way down.
///
///     v = omega (r sin(theta) + r h cos(theta) / q) / 1000,   omega = 2 pi speed / 60
///
/// angle       degrees after true top dead centre
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm
/// speed       of the crank, rpm, 0 to 1e6
///
/// Source: depth differentiated once.
///
/// >>> round(ew.crank_train.piston_velocity(75, stroke=86, rod_length=145, speed=6500), 2)
/// 30.54
double piston_velocity(double angle, double stroke, double rod_length, double pin_offset,
                       double speed);

/// Acceleration of the piston, m/s², positive downwards: greatest at top dead centre.
///
///     a = omega² (r cos(theta) + (r² cos² - r h sin)(theta) / q + (r h cos(theta))² / q³) / 1000
///
/// The two-term series of the textbooks, r omega² (cos + r/l cos 2), is a percent off; this is not
/// a series.
///
/// angle       degrees after true top dead centre
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm
/// speed       of the crank, rpm, 0 to 1e6
///
/// Source: depth differentiated twice.
///
/// >>> round(ew.crank_train.piston_acceleration(0, stroke=86, rod_length=145, speed=6500))
/// 25831
double piston_acceleration(double angle, double stroke, double rod_length, double pin_offset,
                           double speed);

/// Angle of the rod to the cylinder axis, degrees.
///
///     beta = asin(h / l)
///
/// Positive when the big end is on the + side; under gas pressure on the way down the piston is
/// then pressed to the - side, which makes that the major thrust side.
///
/// angle       degrees after true top dead centre
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm
///
/// Source: the triangle of crank and rod.
///
/// >>> round(ew.crank_train.rod_angle(90, stroke=86, rod_length=145), 2)
/// 17.25
double rod_angle(double angle, double stroke, double rod_length, double pin_offset);

/// Speed at which the rod swings, rad/s.
///
///     omega r cos(theta) / q
///
/// angle       degrees after true top dead centre
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm
/// speed       of the crank, rpm, 0 to 1e6
///
/// Source: the rod's angle differentiated once.
///
/// >>> round(ew.crank_train.rod_velocity(0, stroke=86, rod_length=145, speed=6500), 1)
/// 201.9
double rod_velocity(double angle, double stroke, double rod_length, double pin_offset,
                    double speed);

/// Acceleration with which the rod swings, rad/s².
///
///     omega² (-r sin(theta) / q + h (r cos(theta))² / q³)
///
/// angle       degrees after true top dead centre
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm
/// speed       of the crank, rpm, 0 to 1e6
///
/// Source: the rod's angle differentiated twice.
///
/// >>> round(ew.crank_train.rod_acceleration(90, stroke=86, rod_length=145, speed=6500))
/// -143871
double rod_acceleration(double angle, double stroke, double rod_length, double pin_offset,
                        double speed);

/// Volume that the piston has uncovered since top dead centre, cm³.
///
///     pi/4 bore² depth / 1000
///
/// angle       degrees after true top dead centre
/// bore        diameter, mm, above 0
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm
///
/// Source: volume of a cylinder of the piston's depth.
///
/// >>> round(ew.crank_train.swept_volume(90, bore=100, stroke=100, rod_length=175), 2)
/// 449.99
double swept_volume(double angle, double bore, double stroke, double rod_length, double pin_offset);

/// On which side of top dead centre an angle is looked for.
enum class Side { after, before };

/// From where the phase of a harmonic counts: the piston's top dead centre or the cylinder axis.
enum class Reference { tdc, cylinder_axis };

}  // namespace enginewright::crank_train

namespace enginewright {
template <>
inline constexpr Words<2> words<crank_train::Side>{"side", {"after", "before"}};
template <>
inline constexpr Words<2> words<crank_train::Reference>{"reference", {"tdc", "cylinder axis"}};
}  // namespace enginewright

namespace enginewright::crank_train {

/// Angle at which the piston stands at a depth, degrees after top dead centre.
///
/// From 0 to bottom dead centre for side "after"; from a turn earlier, negative, for "before". A
/// closed form that keeps its digits at top dead centre, where the usual arccosine loses half of
/// them: depth to angle and back agrees to nine digits for a millionth of a micrometre.
///
/// depth       below top dead centre, mm, 0 to the travel
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm
/// side        "after" or "before" top dead centre
///
/// Source: half angle of a triangle from its sides.
///
/// >>> round(ew.crank_train.angle_at_depth(2.54, stroke=90, rod_length=150), 3)
/// 16.985
double angle_at_depth(double depth, double stroke, double rod_length, double pin_offset, Side side);

/// Stroke of a crank whose piston travels so far, mm.
///
/// With an offset pin the piston travels further than twice the throw; with T the travel:
///
///     stroke = T sqrt((4 (l² - e²) - T²) / (4 l² - T²))
///
/// travel      from top to bottom dead centre, mm, below 2 sqrt(l (l - |e|))
/// rod_length  between the centres of its eyes, mm, above |pin_offset|
/// pin_offset  of the wrist pin's path, mm
///
/// Source: the travel of the offset slider-crank, solved for the throw.
///
/// >>> round(ew.crank_train.stroke_from_travel(100.217258133, 160, 10), 6)
/// 100.0
double stroke_from_travel(double travel, double rod_length, double pin_offset);

/// What follows from the sizes of a crank train.
struct CrankTrainGeometry {
    double crank_radius = 0;
    double travel = 0;
    double rod_ratio = 0;
    double tdc_crank_angle = 0;
    double bdc_angle = 0;
    double largest_rod_angle = 0;
    double wrist_height_tdc = 0;
    double wrist_height_bdc = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"crank_radius", "mm", &CrankTrainGeometry::crank_radius, "half the stroke"},
            Field{"travel", "mm", &CrankTrainGeometry::travel,
                  "of the piston, dead centre to dead centre"},
            Field{"rod_ratio", "", &CrankTrainGeometry::rod_ratio, "rod length over stroke"},
            Field{"tdc_crank_angle", "deg", &CrankTrainGeometry::tdc_crank_angle,
                  "the crank's angle from the cylinder axis at top dead centre"},
            Field{"bdc_angle", "deg", &CrankTrainGeometry::bdc_angle,
                  "bottom dead centre, after top dead centre"},
            Field{"largest_rod_angle", "deg", &CrankTrainGeometry::largest_rod_angle,
                  "greatest lean of the rod, either side"},
            Field{"wrist_height_tdc", "mm", &CrankTrainGeometry::wrist_height_tdc,
                  "of the wrist pin above the crank's axis at top dead centre"},
            Field{"wrist_height_bdc", "mm", &CrankTrainGeometry::wrist_height_bdc,
                  "the same at bottom dead centre"},
        };
    }
    bool operator==(const CrankTrainGeometry&) const = default;
};
static_assert(lists_every_member<CrankTrainGeometry>);

/// Travel, dead centres, heights and ratios of a crank train.
///
///     travel = 4 l r / (sqrt((l + r)² - e²) + sqrt((l - r)² - e²))
///     bdc_angle = 180 + asin(e / (l - r)) - asin(e / (l + r))
///     largest_rod_angle = asin((r + |e|) / l)
///
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm
///
/// Source: crank and rod in line, stretched and folded.
///
/// >>> round(ew.crank_train.geometry(stroke=100, rod_length=160, pin_offset=10).travel, 3)
/// 100.217
CrankTrainGeometry geometry(double stroke, double rod_length, double pin_offset);

/// The arc for which the piston stays near top dead centre.
struct Dwell {
    double before = 0;
    double after = 0;
    double total = 0;
    double midpoint = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"before", "deg", &Dwell::before, "where it comes within the depth, negative"},
            Field{"after", "deg", &Dwell::after, "where it leaves the depth"},
            Field{"total", "deg", &Dwell::total, "the whole arc"},
            Field{"midpoint", "deg", &Dwell::midpoint,
                  "middle of the arc: the error of splitting equal dial readings"},
        };
    }
    bool operator==(const Dwell&) const = default;
};
static_assert(lists_every_member<Dwell>);

/// How long the piston stays within a depth of top dead centre, and where the middle of that is.
///
/// Splitting two equal dial readings finds the middle, and the middle is top dead centre only when
/// the pin has no offset; `midpoint` is what to take off.
///
/// depth       below top dead centre, mm, 0 to the travel
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm
///
/// Source: `angle_at_depth` on both sides.
///
/// >>> near = ew.crank_train.dwell(0.5, stroke=90, rod_length=150, pin_offset=1.5)
/// >>> round(near.before, 4), round(near.after, 4), round(near.midpoint, 4)
/// (-7.4986, 7.5008, 0.0011)
Dwell dwell(double depth, double stroke, double rod_length, double pin_offset);

/// How fast the piston goes, on average and at most.
struct PistonSpeed {
    double mean = 0;
    double peak_down = 0;
    double peak_down_angle = 0;
    double peak_up = 0;
    double peak_up_angle = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"mean", "m/s", &PistonSpeed::mean, "twice the travel a turn"},
            Field{"peak_down", "m/s", &PistonSpeed::peak_down, "greatest on the way down"},
            Field{"peak_down_angle", "deg", &PistonSpeed::peak_down_angle,
                  "where, after top dead centre"},
            Field{"peak_up", "m/s", &PistonSpeed::peak_up, "greatest on the way up, positive"},
            Field{"peak_up_angle", "deg", &PistonSpeed::peak_up_angle,
                  "where, negative: before top dead centre"},
        };
    }
    bool operator==(const PistonSpeed&) const = default;
};
static_assert(lists_every_member<PistonSpeed>);

/// Mean and greatest speed of the piston.
///
///     mean = 2 travel speed / 60000
///
/// The peaks are where the acceleration is 0, found to 1e-12 degrees.
///
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm
/// speed       of the crank, rpm, 0 to 1e6
///
/// Source: roots of `piston_acceleration`.
///
/// >>> fast = ew.crank_train.piston_speed(stroke=86, rod_length=145, speed=6500)
/// >>> round(fast.mean, 2), round(fast.peak_down, 2), round(fast.peak_down_angle, 2)
/// (18.63, 30.54, 74.67)
PistonSpeed piston_speed(double stroke, double rod_length, double pin_offset, double speed);

/// A motion taken apart into its harmonics.
struct Harmonics {
    std::vector<double> order{};
    std::vector<double> cosine{};
    std::vector<double> sine{};
    std::vector<double> amplitude{};
    std::vector<double> phase{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"order", "", &Harmonics::order, "times a turn: 1, 2, ..."},
            Field{"cosine", "", &Harmonics::cosine, "part along the cosine, multiple of r omega²"},
            Field{"sine", "", &Harmonics::sine, "part along the sine, multiple of r omega²"},
            Field{"amplitude", "", &Harmonics::amplitude, "of both together"},
            Field{"phase", "deg", &Harmonics::phase, "of the crest, -180 to 180"},
        };
    }
    bool operator==(const Harmonics&) const = default;
};
static_assert(lists_every_member<Harmonics>);

/// Harmonics of the piston's acceleration, in multiples of r omega².
///
///     a / (r omega²) = sum cosine_n cos(n t) + sine_n sin(n t)
///                    = sum amplitude_n cos(n t - phase_n)
///
/// t counts from the piston's top dead centre ("tdc"), or from the crank along the cylinder axis
/// ("cylinder axis"), as throws are drawn. Exact: equally spaced samples of the acceleration, twice
/// as many until no figure moves by 1e-14; what is below 1e-15 is given as 0. Without an offset
/// the first is 1, the sines and the odd orders above 1 vanish, and with L = r/l
///
///     cosine_2 = L + L³/4 + 15 L⁵/128 + ...,   cosine_4 = -(L³/4 + 3 L⁵/16 + ...)
///
/// Only a rod barely longer than the throw needs more samples than are taken; it is refused.
///
/// stroke      twice the throw, mm
/// rod_length  between the centres of its eyes, mm
/// pin_offset  of the wrist pin's path, mm
/// orders      how many, 1 to 64
/// reference   "tdc" or "cylinder axis"
///
/// Source: Fourier sums of an analytic periodic function converge faster than any power; series:
/// J. P. Den Hartog, Mechanical Vibrations, chapter 5.
///
/// >>> ew.crank_train.acceleration_harmonics(stroke=80, rod_length=140, orders=2).cosine.round(6)
/// array([1.     , 0.29178])
Harmonics acceleration_harmonics(double stroke, double rod_length, double pin_offset, int orders,
                                 Reference reference);

/// How near the rod comes to the lower edge of the bore.
struct RodClearance {
    double clearance = 0;
    double angle = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"clearance", "mm", &RodClearance::clearance, "least gap, negative: it hits"},
            Field{"angle", "deg", &RodClearance::angle, "where, after top dead centre"},
        };
    }
    bool operator==(const RodClearance&) const = default;
};
static_assert(lists_every_member<RodClearance>);

/// Least gap between the rod's shank and the lower edge of the bore, mm.
///
/// A longer stroke can put the shank into the liner's lower edge. At the height of the edge, where
/// the rod spans it, with u the share of the rod that is below the wrist pin there:
///
///     gap = bore/2 - |h u| - rod_width l / (2 q)
///
/// Negative: the rod hits; relieve the edge or use another rod. The shank is taken as two parallel
/// lines; bolts and cheeks of the big end are wider.
///
/// bore         diameter, mm, above 0
/// stroke       twice the throw, mm
/// rod_length   between the centres of its eyes, mm
/// pin_offset   of the wrist pin's path, mm
/// bore_bottom  height of the bore's lower edge above the crank's axis, mm; above -stroke/2, below
///              the wrist pin at top dead centre
/// rod_width    of the shank, across, mm, at least 0
///
/// Source: the rod as a band between its pins; least over a turn by a scan and golden section.
///
/// >>> near = ew.crank_train.rod_bore_clearance(bore=86, stroke=94, rod_length=145,
/// ...                                          bore_bottom=70, rod_width=24)
/// >>> round(near.clearance, 2), round(near.angle)
/// (3.26, 64)
RodClearance rod_bore_clearance(double bore, double stroke, double rod_length, double pin_offset,
                                double bore_bottom, double rod_width);

}  // namespace enginewright::crank_train
