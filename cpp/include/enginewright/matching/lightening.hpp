#pragma once

#include <span>
#include <tuple>

#include "enginewright/record.hpp"

/// Metal taken off a wheel that spins: its mass, its inertia, and what the disc then stands.
namespace enginewright::matching {

/// Metal that comes off: its mass and its inertia about the shaft.
struct Removal {
    double mass = 0;
    double inertia = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"mass", "g", &Removal::mass, "metal that comes off"},
            Field{"inertia", "kg·m²", &Removal::inertia, "of that metal, about the shaft"},
        };
    }
    bool operator==(const Removal&) const = default;
};
static_assert(lists_every_member<Removal>);

/// A band turned off a wheel.
///
///     mass    = 1e-3 * density * pi/4 * (outer² - inner²) * width
///     inertia = 1e-9 * mass * (outer² + inner²) / 8
///
/// outer    greater diameter of the band, mm
/// inner    lesser diameter, mm, at least 0 and below `outer`
/// width    along the shaft, mm, above 0
/// density  g/cm³, above 0; steel 7.85, grey iron 7.2
///
/// Source: hollow cylinder about its axis.
///
/// >>> band = ew.matching.turned_band(280, 230, 12, density=7.2)
/// >>> round(band.mass, 1), round(band.inertia, 5)
/// (1730.4, 0.0284)
Removal turned_band(double outer, double inner, double width, double density = 7.85);

/// Holes drilled into a wheel, all alike, parallel to the shaft.
///
/// The depth is counted to the shoulder; the drill's point goes deeper by
/// c = a / tan(point_angle / 2), a = diameter / 2, 0 for a flat bottom (180 degrees).
///
///     m1 = 1e-3 * density * pi * a² * depth,  mc = 1e-3 * density * pi * a² * c / 3
///     mass    = count * (m1 + mc)
///     inertia = 1e-9 * count * (m1 * (R² + a²/2) + mc * (R² + 0.3 a²)),  R = pitch_radius
///
/// diameter      of each hole, mm, above 0
/// depth         to the shoulder, mm, above 0
/// pitch_radius  of the hole centres from the shaft, mm, at least half the diameter
/// count         whole, at least 1; evenly spaced holes that meet are refused
/// density       g/cm³, above 0
/// point_angle   of the drill, degrees, 60 to 180
///
/// Source: parallel axes; cylinder a²/2, cone 3a²/10 about the hole's own axis.
///
/// >>> holes = ew.matching.drilled_holes(12, 20, 110, count=6)
/// >>> round(holes.mass, 1), round(holes.inertia, 6)
/// (106.5, 0.001291)
Removal drilled_holes(double diameter, double depth, double pitch_radius, double count = 1.0,
                      double density = 7.85, double point_angle = 180.0);

/// What is left of a wheel.
struct Lightened {
    double mass = 0;
    double inertia = 0;
    double removed_mass = 0;
    double removed_inertia = 0;
    double inertia_share = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"mass", "g", &Lightened::mass, "what is left"},
            Field{"inertia", "kg·m²", &Lightened::inertia, "of what is left, about the shaft"},
            Field{"removed_mass", "g", &Lightened::removed_mass, "what comes off"},
            Field{"removed_inertia", "kg·m²", &Lightened::removed_inertia, "of what comes off"},
            Field{"inertia_share", "", &Lightened::inertia_share, "of the inertia, taken off"},
        };
    }
    bool operator==(const Lightened&) const = default;
};
static_assert(lists_every_member<Lightened>);

/// A wheel after some metal has come off.
///
/// Metal near the rim carries the inertia: compare `inertia_share` with the share of the mass.
///
/// mass      of the wheel as it is, g, above 0
/// inertia   of the wheel as it is, about the shaft, kg·m², above 0
/// removals  results of `turned_band` and `drilled_holes`, one each; may be empty
///
/// Throws std::invalid_argument: more comes off than there is.
///
/// >>> band = ew.matching.turned_band(280, 230, 12, density=7.2)
/// >>> round(ew.matching.lightened(9500, 0.105, [band]).inertia_share, 3)
/// 0.27
Lightened lightened(double mass, double inertia, std::span<const Removal> removals);

/// Mass of the car that has the same effect as an inertia behind the engine, g.
///
///     mass = 1000 * inertia * (1000 * ratio / rolling_radius)²
///
/// inertia         at the crank, kg·m², at least 0
/// ratio           engine turns for one turn of the wheel in that gear, above 0
/// rolling_radius  of the wheel, mm, above 0
///
/// Source: equal energy at the same road speed.
///
/// >>> ew.matching.equivalent_mass(0.02, 12, 300)
/// 32000.0
double equivalent_mass(double inertia, double ratio, double rolling_radius);

/// Greatest hoop stress in a plain flat disc that spins, MPa: a floor, never a permission.
///
/// With w = speed * pi/30 in 1/s, rho in kg/m³, radii in m:
///
///     without a bore: (3 + poisson)/8 * rho w² r_o²                              at the centre
///     with a bore:    rho w²/4 * ((3 + poisson) r_o² + (1 - poisson) r_i²)       at the bore
///
/// A pinhole doubles the stress of the solid disc. Bolt holes and pockets raise it two to three
/// times more, cracks without limit.
///
/// outer    diameter, mm, above 0
/// inner    diameter of the bore, mm, at least 0 and below `outer`
/// speed    rpm, at least 0
/// density  g/cm³, above 0
/// poisson  Poisson's ratio, 0 to 0.5
///
/// Source: rotating disc of even thickness, Carvill, Mechanical Engineer's Data Handbook, 1.2.7.
///
/// >>> round(ew.matching.spin_stress(280, 0, 7000, density=7.2, poisson=0.25), 1)
/// 30.8
double spin_stress(double outer, double inner, double speed, double density = 7.85,
                   double poisson = 0.3);

}  // namespace enginewright::matching
