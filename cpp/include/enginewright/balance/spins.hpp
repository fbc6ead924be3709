#pragma once

#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "enginewright/balance/vectors.hpp"
#include "enginewright/record.hpp"

/// Spins: what a machine reads, how sure it is, and what one can do without a calibrated machine.
namespace enginewright::balance {

/// Unbalance in two planes from the forces in two hard bearings.
struct PlaneReading {
    std::vector<Vector> unbalance{};
    std::vector<std::vector<double>> transfer{};
    double condition = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"unbalance", "g mm", &PlaneReading::unbalance, "left plane, right plane"},
            Field{"transfer", "", &PlaneReading::transfer,
                  "share of each support (column) in each plane"},
            Field{"condition", "", &PlaneReading::condition,
                  "how much worse the planes are known than the supports, at worst"},
        };
    }
    bool operator==(const PlaneReading&) const = default;
};
static_assert(lists_every_member<PlaneReading>);

/// Unbalance in the measuring planes of a hard-bearing machine.
///
/// The left support stands at 0, the left plane at a, the right plane at a + b, the right support
/// at a + b + c; a or c is negative for a plane outside its support.
///
///     U_support = 1e6 F / omega²,  then by the lever rule into the planes
///
/// force_left   N, complex, in phase with the mark
/// force_right  N, complex
/// a, b, c      distances along the machine, mm; b above 0, a + b + c above 0
/// speed        rpm, above 0
///
/// Throws std::invalid_argument.
///
/// Source: force of a rotating mass; lever rule.
///
/// >>> reading = ew.balance.hard_bearing_reading(0.6, 0.2j, a=60, b=350, c=70, speed=500)
/// >>> round(reading.condition, 3)
/// 1.373
PlaneReading hard_bearing_reading(Vector force_left, Vector force_right, double a, double b,
                                  double c, double speed);

/// Least speed at which an amount can be told from a machine's noise, rpm.
///
///     omega = sqrt(ratio * force_noise / (1e-6 * amount))
///
/// amount       to be seen, g mm, above 0
/// force_noise  of the machine, N, above 0
/// ratio        how many times the noise it must pull, above 0
///
/// Source: force of a rotating mass.
///
/// >>> round(ew.balance.minimum_speed(40, 0.015), 1)
/// 413.5
double minimum_speed(double amount, double force_noise, double ratio = 5.0);

/// Unbalance of a trial mass that the machine will notice and the bearings will bear, g mm.
///
/// Its force is a fraction of the rotor's weight:
///
///     trial = fraction * rotor_mass * 9806.65 / omega²
///
/// rotor_mass  g, above 0
/// speed       of the trial run, rpm, above 0
/// fraction    above 0, at most 1
///
/// Source: common practice, a tenth of the weight; standard acceleration of free fall.
///
/// >>> round(ew.balance.trial_unbalance(12000, 800))
/// 1677
double trial_unbalance(double rotor_mass, double speed, double fraction = 0.1);

/// Force of an unbalance at speed, N.
///
///     force = 1e-6 * amount * omega²
///
/// amount  g mm, at least 0
/// speed   rpm, above 0
///
/// >>> round(ew.balance.unbalance_force(720.08, 1000), 2)
/// 7.9
double unbalance_force(double amount, double speed);

/// Whether repeated spins may be used as they are.
enum class RunsStatus { steady, single_run, unsteady, too_slow };

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<4> words<balance::RunsStatus>{
    "status", {"steady", "single run", "unsteady", "too slow"}};
}  // namespace enginewright

namespace enginewright::balance {

/// Mean of repeated spins and how well it is known.
struct Runs {
    Vector vector{};
    double amount = 0;
    double angle = 0;
    int count = 0;
    std::vector<std::vector<double>> covariance{};
    double scatter = 0;
    double uncertainty = 0;
    double amount_uncertainty = 0;
    double angle_uncertainty = 0;
    RunsStatus status = RunsStatus::steady;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"vector", "g mm", &Runs::vector, "mean of the spins"},
            Field{"amount", "g mm", &Runs::amount, "its length"},
            Field{"angle", "deg", &Runs::angle, "its heavy side"},
            Field{"count", "", &Runs::count, "spins"},
            Field{"covariance", "g² mm²", &Runs::covariance, "of one spin, along 0 and 90 degrees"},
            Field{"scatter", "g mm", &Runs::scatter, "of one spin, per axis"},
            Field{"uncertainty", "g mm", &Runs::uncertainty, "standard, of the mean, per axis"},
            Field{"amount_uncertainty", "g mm", &Runs::amount_uncertainty,
                  "standard, along the vector"},
            Field{"angle_uncertainty", "deg", &Runs::angle_uncertainty,
                  "standard, across the vector"},
            Field{"status", "", &Runs::status, "whether the spins may be used"},
            Field{"reason", "", &Runs::reason, "why not"},
            Field{"next", "", &Runs::next, "what to do next"},
        };
    }
    bool operator==(const Runs&) const = default;
};
static_assert(lists_every_member<Runs>);

/// Mean vector of repeated spins, with its uncertainty.
///
/// The covariance of the mean is that of a spin over their number, plus the machine's own doubt,
/// which no repetition takes away:
///
///     C = covariance / n + machine_uncertainty² * I,  uncertainty = sqrt(trace(C) / 2)
///
/// `amount_uncertainty` is taken along the vector, `angle_uncertainty` across it and never above
/// 180 degrees. Turning all readings by an angle changes no uncertainty. Status, the first that
/// applies: "too slow" (a speed below `minimum_speed`), "unsteady" (speeds differ by more than
/// `speed_band` of their mean), "single run", "steady".
///
/// readings             vectors of the same state of the rotor, at least one, g mm
/// machine_uncertainty  standard, per axis, g mm, at least 0
/// speeds               rpm, one for each reading; None: not noted
/// minimum_speed        rpm, above 0; None: no limit
/// speed_band           share of the mean speed, at least 0
///
/// Throws std::invalid_argument: no readings, speeds of another number.
///
/// Source: JCGM 100:2008, 4.2 and 5.1, for each axis.
///
/// >>> ew.balance.repeat_runs([100 + 1j, 102, 101 - 1j]).amount
/// 101.0
Runs repeat_runs(std::span<const Vector> readings, double machine_uncertainty = 0.0,
                 const std::optional<std::vector<double>>& speeds = std::nullopt,
                 std::optional<double> minimum_speed = std::nullopt, double speed_band = 0.02);

/// The unbalance of a rotor told apart from that of the arbor it was spun on.
struct Indexed {
    Vector rotor{};
    Vector tooling{};
    std::optional<double> rotor_uncertainty{};
    std::optional<double> tooling_uncertainty{};
    std::optional<double> scatter{};
    int count = 0;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"rotor", "g mm", &Indexed::rotor, "turns with the rotor"},
            Field{"tooling", "g mm", &Indexed::tooling, "stays with the arbor"},
            Field{"rotor_uncertainty", "g mm", &Indexed::rotor_uncertainty,
                  "standard, per axis; none for two spins"},
            Field{"tooling_uncertainty", "g mm", &Indexed::tooling_uncertainty,
                  "standard, per axis; none for two spins"},
            Field{"scatter", "g mm", &Indexed::scatter, "of clamping again, per axis"},
            Field{"count", "", &Indexed::count, "spins"},
        };
    }
    bool operator==(const Indexed&) const = default;
};
static_assert(lists_every_member<Indexed>);

/// Tells the rotor's unbalance from that of its tooling by turning one on the other.
///
///     reading_j = tooling + rotor * exp(i * index_angle_j)
///
/// in the frame of the tooling, solved by least squares. Two positions 180 degrees apart give half
/// the sum and half the difference; from three on the scatter shows how well the rotor clamps.
///
/// readings      vectors in the frame of the tooling, g mm; in Python with one column a plane
/// index_angles  how far the rotor was turned on the tooling, degrees, no two the same
///
/// Throws std::invalid_argument: fewer than two, angles that coincide by a whole turn.
///
/// Source: ISO 21940-14, index balancing.
///
/// >>> turned = ew.balance.index_balance([130 + 0j, -70 + 0j], [0, 180])
/// >>> turned.rotor, turned.tooling
/// ((100+0j), (30+0j))
Indexed index_balance(std::span<const Vector> readings, std::span<const double> index_angles);

/// Whether a traverse with a test mass could be solved.
enum class TraverseStatus { solved, inconsistent };

}  // namespace enginewright::balance

namespace enginewright {
template <>
inline constexpr Words<2> words<balance::TraverseStatus>{"status", {"solved", "inconsistent"}};
}  // namespace enginewright

namespace enginewright::balance {

/// A residual found from amounts alone.
struct Traverse {
    Vector unbalance{};
    double amount = 0;
    double angle = 0;
    double sensitivity = 0;
    double fit = 0;
    TraverseStatus status = TraverseStatus::solved;
    std::string reason{};
    std::string next{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"unbalance", "g mm", &Traverse::unbalance, "residual of the rotor"},
            Field{"amount", "g mm", &Traverse::amount, "its length"},
            Field{"angle", "deg", &Traverse::angle, "its heavy side"},
            Field{"sensitivity", "", &Traverse::sensitivity, "reading for 1 g mm"},
            Field{"fit", "", &Traverse::fit, "scatter about the curve, share of the reading"},
            Field{"status", "", &Traverse::status, "whether the readings make sense"},
            Field{"reason", "", &Traverse::reason, "why not"},
            Field{"next", "", &Traverse::next, "what to do next"},
        };
    }
    bool operator==(const Traverse&) const = default;
};
static_assert(lists_every_member<Traverse>);

/// Residual unbalance from amounts alone: no phase, no calibration.
///
/// A test mass is carried round the rotor and the amplitude read at each angle. By the cosine rule
///
///     reading² = a + b cos(angle) + c sin(angle),  B = hypot(b, c),  rho = max(a / B, 1)
///     |u| / test_amount = s = rho - sqrt(rho² - 1), towards (b + ic)
///
/// for a test mass larger than the residual; the reciprocal is the other root, taken when the
/// reading without the test mass, `initial`, lies nearer to it. Eight or twelve holes, or three
/// and `initial`: the four-run method. "inconsistent" when no pair of lengths makes such readings.
///
/// readings     amplitudes with the test mass in place, any unit, at least 0
/// angles       of the test mass, degrees, at least three different ones
/// test_amount  of the test mass, g mm, above 0
/// initial      reading without it; None: it is larger than the residual
///
/// Throws std::invalid_argument.
///
/// Source: ISO 21940-21, residual by a test mass carried round; cosine rule.
///
/// >>> ew.balance.traverse([1.5, 1.0, 0.5, 1.0], [0, 120, 180, 240], 100, initial=0.5).status
/// 'solved'
Traverse traverse(std::span<const double> readings, std::span<const double> angles,
                  double test_amount, std::optional<double> initial = std::nullopt);

/// Unbalance reduction ratio of a correction.
///
///     ratio = 1 - |after| / |before|
///
/// 1 takes all away; below 0 the correction made it worse. An old hand looks for 0.9 and above.
///
/// before  g mm, complex, not 0
/// after   g mm, complex
///
/// Source: ISO 21940-21, unbalance reduction ratio, from memory.
///
/// >>> round(ew.balance.reduction_ratio(250, 20j), 2)
/// 0.92
double reduction_ratio(Vector before, Vector after);

}  // namespace enginewright::balance
