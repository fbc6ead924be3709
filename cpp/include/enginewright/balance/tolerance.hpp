#pragma once

#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <variant>
#include <vector>

#include "enginewright/record.hpp"

/// How much unbalance a rotor may keep, and in which plane.
///
/// *Tolerance planes* are the bearing planes: the main journals that carry the rotor. *Measuring
/// planes* are what the machine reports. All are positions z along the crank, mm, from the front
/// towards the flywheel.
namespace enginewright::balance {

/// One figure for all planes, or one for each.
using OneOrEach = std::variant<double, std::vector<double>>;

/// One quality grade of the standard and what it is for.
struct Grade {
    double grade = 0;
    std::string examples{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"grade", "mm/s", &Grade::grade, "eccentricity times speed, G"},
            Field{"examples", "", &Grade::examples, "rotors that are balanced to it"},
        };
    }
    bool operator==(const Grade&) const = default;
};
static_assert(lists_every_member<Grade>);

/// The balance quality grades of the standard, finest first.
///
/// Guidance only: the engine maker's figure and the shop's own go before it.
///
/// Source: ISO 21940-11:2016, table 1; examples in other words.
///
/// >>> [grade.grade for grade in ew.balance.balance_grades()][2:5]
/// [2.5, 6.3, 16.0]
std::vector<Grade> balance_grades();

/// Permissible eccentricity of a rotor's mass axis, mm.
///
///     eccentricity = grade / omega,  omega = 2 pi speed / 60
///
/// speed  highest speed in service, rpm, above 0
/// grade  mm/s, above 0; any figure, not only those of the list
///
/// Source: ISO 21940-11:2016, definition of the grade.
///
/// >>> round(ew.balance.permissible_eccentricity(6000, 16), 5)
/// 0.02546
double permissible_eccentricity(double speed, double grade);

/// Permissible residual unbalance of the whole rotor, g mm.
///
///     residual = rotor_mass * grade / omega
///
/// rotor_mass  g, above 0
/// speed       highest speed in service, rpm, above 0
/// grade       mm/s, above 0
///
/// Source: ISO 21940-11:2016, definition of the grade.
///
/// >>> round(ew.balance.permissible_residual(21500, 6000, 16), 1)
/// 547.5
double permissible_residual(double rotor_mass, double speed, double grade);

/// Shift of the mass axis that an unbalance makes, mm.
///
///     eccentricity = amount / rotor_mass
///
/// amount      g mm, at least 0
/// rotor_mass  g, above 0
///
/// >>> ew.balance.eccentricity(60, 15000)
/// 0.004
double eccentricity(double amount, double rotor_mass);

/// Grade that a residual unbalance comes up to, mm/s.
///
///     grade = amount / rotor_mass * omega
///
/// amount      residual, g mm, at least 0
/// rotor_mass  g, above 0
/// speed       highest speed in service, rpm, above 0
///
/// >>> round(ew.balance.achieved_grade(60, 15000, 7000), 2)
/// 2.93
double achieved_grade(double amount, double rotor_mass, double speed);

/// Where the centre of mass lies between or beyond the bearings.
enum class Arrangement { between, overhung_a, overhung_b };

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<3> words<balance::Arrangement>{"arrangement",
                                                      {"between", "overhung a", "overhung b"}};
}  // namespace enginewright

namespace enginewright::balance {

/// A tolerance of the whole rotor shared out between its two bearings.
struct ToleranceSplit {
    double plane_a = 0;
    double plane_b = 0;
    double share_a = 0;
    double share_b = 0;
    double lever_share_a = 0;
    double lever_share_b = 0;
    Arrangement arrangement = Arrangement::between;
    bool limited = false;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"plane_a", "g mm", &ToleranceSplit::plane_a, "tolerance at bearing a"},
            Field{"plane_b", "g mm", &ToleranceSplit::plane_b, "tolerance at bearing b"},
            Field{"share_a", "", &ToleranceSplit::share_a, "of the whole, at bearing a"},
            Field{"share_b", "", &ToleranceSplit::share_b, "of the whole, at bearing b"},
            Field{"lever_share_a", "", &ToleranceSplit::lever_share_a,
                  "by the lever rule, before limits"},
            Field{"lever_share_b", "", &ToleranceSplit::lever_share_b,
                  "by the lever rule, before limits"},
            Field{"arrangement", "", &ToleranceSplit::arrangement, "where the centre of mass lies"},
            Field{"limited", "", &ToleranceSplit::limited, "whether a share met its limit"},
        };
    }
    bool operator==(const ToleranceSplit&) const = default;
};
static_assert(lists_every_member<ToleranceSplit>);

/// Shares a tolerance out between two bearings by where the centre of mass lies.
///
///     lever_share_a = |bearing_b - centre| / L,  lever_share_b = |centre - bearing_a| / L
///
/// The nearer bearing carries more and may keep more. Each share is held to 0.3 to 0.7 with the
/// centre between the bearings, to 0.3 to 1.3 with it beyond one: the two of an overhung rotor may
/// exceed the whole.
///
/// amount     permissible residual of the rotor, g mm, above 0
/// bearing_a  position, mm, before bearing b
/// bearing_b  position, mm
/// centre     of mass, mm
///
/// Source: ISO 21940-11:2016, 7.2; the limits of the shares from memory.
///
/// >>> split = ew.balance.allocate_tolerance(500, bearing_a=100, bearing_b=500, centre=440)
/// >>> round(split.plane_a, 6), split.limited
/// (150.0, True)
ToleranceSplit allocate_tolerance(double amount, double bearing_a, double bearing_b, double centre);

/// Targets for the two correction planes that keep both bearings within tolerance.
struct CorrectionPlaneTolerance {
    double plane_1 = 0;
    double plane_2 = 0;
    std::vector<std::vector<double>> transfer{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"plane_1", "g mm", &CorrectionPlaneTolerance::plane_1,
                  "to set for the first plane"},
            Field{"plane_2", "g mm", &CorrectionPlaneTolerance::plane_2,
                  "to set for the second plane"},
            Field{"transfer", "", &CorrectionPlaneTolerance::transfer,
                  "size of the share of each correction plane (column) in each tolerance plane"},
        };
    }
    bool operator==(const CorrectionPlaneTolerance&) const = default;
};
static_assert(lists_every_member<CorrectionPlaneTolerance>);

/// Figures to set on a machine whose planes are not the bearings.
///
/// Of all pairs of residuals that are safe at *any* two angles, so that
///
///     |share_p1| * plane_1 + |share_p2| * plane_2 <= tolerance_p  for both bearings p,
///
/// the pair with the greatest product. A target met here is met in the bearings. One missed here
/// may still be met there, so the verdict is given in the tolerance planes.
///
/// tolerance          one for both or one for each tolerance plane, g mm, above 0
/// tolerance_planes   two positions, mm
/// correction_planes  two positions, mm
///
/// Throws std::invalid_argument: a missing tolerance, planes in one place.
///
/// Source: first principles.
///
/// >>> both = ew.balance.correction_plane_tolerance([80, 80], [0, 400], [50, 350])
/// >>> round(both.plane_1, 6), round(both.plane_2, 6)
/// (80.0, 80.0)
CorrectionPlaneTolerance correction_plane_tolerance(const OneOrEach& tolerance,
                                                    std::span<const double> tolerance_planes,
                                                    std::span<const double> correction_planes);

/// Refuses a tolerance that is missing, not a number or not above zero.
///
/// "tolerance must be above 0 g mm, got 0.0 (plane 2); set the tolerance before the first spin". A
/// machine set up without tolerances passes everything; this library passes nothing.
///
/// given  what was given, as text: a number, "None"
/// plane  which one of several, from 0; none: there is only one
///
/// Throws std::invalid_argument, always.
[[noreturn]] void refuse_tolerance(std::string_view given, std::optional<std::size_t> plane = {});

/// Refuses a tolerance unless it is above 0 and at most 1e15 g mm.
///
/// Throws std::invalid_argument.
void require_tolerance(std::optional<double> tolerance, std::optional<std::size_t> plane = {});

}  // namespace enginewright::balance
