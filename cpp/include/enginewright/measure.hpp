#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/measure/quantity.hpp"
#include "enginewright/measure/repeats.hpp"
#include "enginewright/record.hpp"

/// Measurement: values with their doubt, gauges, readings and verdicts.
namespace enginewright {

/// Where a value stands against its limits.
///
/// "unproven" means that the gauge cannot decide: it is not "good".
enum class Standing { within, outside, unproven, unlimited };
template <>
inline constexpr Words<4> words<Standing>{"verdict",
                                          {"within", "outside", "unproven", "unlimited"}};

}  // namespace enginewright

namespace enginewright::measure {

/// How a verdict is reached when the gauge has doubt.
///
/// - "guarded": within when the value lies within its limits with at least the probability asked
///   for, outside when it lies outside with that probability, else unproven. The customer bears no
///   more than the rest, whatever the gauge.
/// - "expanded": the limits move inwards by the expanded uncertainty, the older way.
/// - "simple": the value is taken at its word; both sides share the risk.
///
/// Source: ISO 14253-1:2017 for the 95 % of "guarded", quoted from memory; JCGM 106:2012, clause 8.
enum class Rule { guarded, expanded, simple };

/// The limit that is nearer to the value.
enum class Side { lower, upper };

}  // namespace enginewright::measure

namespace enginewright {
template <>
inline constexpr Words<3> words<measure::Rule>{"rule", {"guarded", "expanded", "simple"}};
template <>
inline constexpr Words<2> words<measure::Side>{"side", {"lower", "upper"}};
}  // namespace enginewright

namespace enginewright::measure {

/// Verdict of one value against its limits, all figures in the unit of the value.
///
/// - `margin` is the distance to the nearer limit (`side`), positive inside. A margin of less than
///   1e-12 of the value or limit counts as exactly 0: 2.5 thou must not fail a limit of 0.0635 mm
///   by one bit.
/// - `accept_lower` to `accept_upper` is the acceptance zone: any value in it is "within". `guard`
///   is its distance from the limits. None for a limit that is not there, and all None when the
///   gauge is too coarse for any value to be proven.
/// - `probability` is that of conformity: the value lies within its limits.
/// - `capability` is tolerance / (4 * standard uncertainty); None for one limit or no uncertainty.
///
/// Without any limit everything but value and expanded is None and the verdict "unlimited".
///
/// Source: JCGM 106:2012, clauses 7 and 8.
struct Verdict {
    Standing verdict = Standing::unlimited;
    std::optional<Side> side{};
    double value = 0;
    double expanded = 0;
    std::optional<double> lower{};
    std::optional<double> upper{};
    std::optional<double> accept_lower{};
    std::optional<double> accept_upper{};
    std::optional<double> margin{};
    std::optional<double> guard{};
    std::optional<double> probability{};
    std::optional<double> capability{};
    Rule rule = Rule::guarded;
    double level = 0.95;
    std::string reason{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"verdict", "", &Verdict::verdict, "where the value stands"},
            Field{"side", "", &Verdict::side, "the nearer limit"},
            Field{"value", "", &Verdict::value, "the value judged"},
            Field{"expanded", "", &Verdict::expanded, "expanded uncertainty at the level"},
            Field{"lower", "", &Verdict::lower, "lower limit"},
            Field{"upper", "", &Verdict::upper, "upper limit"},
            Field{"accept_lower", "", &Verdict::accept_lower, "lower end of the acceptance zone"},
            Field{"accept_upper", "", &Verdict::accept_upper, "upper end of the acceptance zone"},
            Field{"margin", "", &Verdict::margin, "distance to the nearer limit, + inside"},
            Field{"guard", "", &Verdict::guard, "width of the guard band"},
            Field{"probability", "", &Verdict::probability, "probability of conformity"},
            Field{"capability", "", &Verdict::capability, "tolerance over four uncertainties"},
            Field{"rule", "", &Verdict::rule, "decision rule"},
            Field{"level", "", &Verdict::level, "probability asked for"},
            Field{"reason", "", &Verdict::reason, "why, in one sentence"},
        };
    }
    bool operator==(const Verdict&) const = default;
};
static_assert(lists_every_member<Verdict>);

/// Verdict of a value whose standard uncertainty and degrees of freedom are known.
///
/// This is the one decision of the whole library; `check` on a Quantity comes down to it.
///
///     probability = F((upper - value) / u) - F((lower - value) / u)
///
/// F = cdf of t with the effective degrees of freedom, normal when these are infinite. Guarded with
/// one limit this is a guard band of t_level * u, that is 1.645 u at 95 %; with two the zone in
/// which the probability reaches the level, found by Brent's rule.
///
/// value                 the value, in the unit of the limits
/// standard_uncertainty  k = 1; 0 = judged at face value, limits inclusive
/// degrees_of_freedom    effective; infinity = normal
/// lower, upper          limits; absent = none on that side
/// rule, level           decision rule and the probability it asks for, above 0.5 and below 1
/// unit                  for the sentence in `reason`; below 1 mm it speaks of micrometres
///
/// Throws std::invalid_argument: lower above upper, level not in (0.5, 1), a figure not finite.
Verdict judge(double value, double standard_uncertainty, double degrees_of_freedom,
              std::optional<double> lower, std::optional<double> upper, Rule rule = Rule::guarded,
              double level = 0.95, std::string_view unit = "mm");

/// A verdict without its words: what is needed when millions are made.
///
/// Without any limit `verdict` is "unlimited" and the other members say nothing.
struct Decision {
    Standing verdict = Standing::unlimited;
    Side side = Side::upper;
    double margin = 0;
    double probability = 0;
    bool operator==(const Decision&) const = default;
};

/// The decision behind `judge`, with the same arguments and refusals, without text or zone.
Decision decide(double value, double standard_uncertainty, double degrees_of_freedom,
                std::optional<double> lower, std::optional<double> upper, Rule rule = Rule::guarded,
                double level = 0.95);

/// Verdict of a quantity against its limits, from its value, uncertainty and degrees of freedom.
///
/// "unproven" means that the gauge cannot decide: do not release the part on it. Measure again,
/// take a better gauge, or agree the decision rule with the customer in writing.
///
///     probability = F((upper - value) / u) - F((lower - value) / u)
///
/// F = cdf of t with the effective degrees of freedom. Guarded: within when the probability reaches
/// the level, outside when that of the opposite does.
///
/// quantity      value with its doubt; a plain number is judged at face value
/// lower, upper  limits, inclusive; None: none on that side
/// rule          "guarded", "expanded" or "simple"
/// level         probability asked for, above 0.5 and below 1
/// unit          of the value, for the sentence in `reason`; below 1 mm it speaks of micrometres
///
/// Throws std::invalid_argument: lower above upper, level not in (0.5, 1), a figure not finite.
///
/// Source: JCGM 106:2012, clauses 7 and 8; 95 % of ISO 14253-1:2017 quoted from memory.
///
/// >>> bore = ew.Quantity(82.046, 0.002)
/// >>> ew.measure.check(bore, upper=82.050).verdict
/// 'within'
/// >>> ew.measure.check(bore + 0.002, upper=82.050).reason
/// '2.0 µm below the upper limit, the gauge needs 3.3 µm'
Verdict check(const Quantity& quantity, std::optional<double> lower, std::optional<double> upper,
              Rule rule = Rule::guarded, double level = 0.95, std::string_view unit = "mm",
              const Sources& sources = Sources::shared());

/// The doubt of one field of a record, for a bench that judges its record again.
///
/// A bench whose record holds verdicts gives it a function
/// `void judge_again(R& record, std::span<const measure::FieldDoubt> doubts)` in its namespace:
/// when its function is called with quantities, verdicts then use each figure's combined
/// uncertainty.
struct FieldDoubt {
    std::string_view field{};
    double standard_uncertainty = 0;
    double degrees_of_freedom = infinite_freedom;
};

/// The doubt of a field by its name; none when it has no entry.
FieldDoubt doubt_of(std::span<const FieldDoubt> doubts, std::string_view field);

/// How far from the value slopes are taken, in standard uncertainties.
inline constexpr double slope_step = 0.125;

/// The slope of a function from two central differences, the second over half the way.
///
/// Richardson's step removes the error of second order: formulas of this library have their slopes
/// right to 1e-10, where one plain difference gives 1e-5.
///
/// far, far_step    f(x + h) - f(x - h), and the 2 h that lie between
/// near, near_step  f(x + h/2) - f(x - h/2), and the h that lies between
double central_slope(double far, double far_step, double near, double near_step);

/// The same to one side, where a function does not reach the other: second order.
///
/// far, far_step    f(x + h) - f(x), and h with its sign
/// near, near_step  f(x + h/2) - f(x), and h/2 with its sign
double one_sided_slope(double far, double far_step, double near, double near_step);

/// A function's figures a step below, half a step below, at, and above a value, and the steps as
/// rounding leaves them.
struct Around {
    double below = 0, near_below = 0, at = 0, near_above = 0, above = 0;
    double far_down = 0, near_down = 0, near_up = 0, far_up = 0;  ///< with their signs
};

/// The slope of a function from its figures on both sides: `central_slope`.
///
/// Where one of the four gaps holds a jump (an angle that begins again at 0, the next row of a
/// table), the slope is that of the side without it: the doubt of 0.1 degrees is not 360. A figure
/// that is not finite is a jump too. 0 when both sides hold one.
double slope_through(const Around& figures);

/// Whether a function that is known to one side only falls away from its edge as a root does: its
/// slope there is infinite, and no uncertainty can be told from it.
///
/// far, near  as for `one_sided_slope`
/// at         figure at the edge, whose rounding is no steepness
bool is_steep_edge(double far, double near, double at);

/// The worst of some verdicts: outside, unproven, within, unlimited, in that order.
Standing worst(std::initializer_list<Standing> verdicts);

/// The record card of a gauge, all lengths mm.
///
/// `calibration_uncertainty` is the expanded uncertainty of the certificate, `coverage_factor` its
/// k. `correction` is added to the indication; without one the greatest permissible error counts as
/// a source of doubt. `repeatability` is the standard deviation of one reading from an earlier
/// study. The gauge's `name` is its identity: readings with gauges of one name share the error of
/// one certificate.
struct Gauge {
    std::string name{};
    double resolution = 0;
    std::optional<double> maximum_permissible_error{};
    std::optional<double> calibration_uncertainty{};
    double coverage_factor = 2;
    double calibration_freedom = std::numeric_limits<double>::infinity();
    std::optional<double> correction{};
    std::optional<double> repeatability{};
    double repeatability_freedom = std::numeric_limits<double>::infinity();
    double expansion = 11.5e-6;
    bool same_place = false;

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"name", "", &Gauge::name, "the gauge's name: its identity"},
            Field{"resolution", "mm", &Gauge::resolution, "smallest step it shows"},
            Field{"maximum_permissible_error", "mm", &Gauge::maximum_permissible_error,
                  "greatest error its maker or standard allows"},
            Field{"calibration_uncertainty", "mm", &Gauge::calibration_uncertainty,
                  "expanded uncertainty of the certificate"},
            Field{"coverage_factor", "", &Gauge::coverage_factor, "k of the certificate"},
            Field{"calibration_freedom", "", &Gauge::calibration_freedom,
                  "degrees of freedom of the certificate"},
            Field{"correction", "mm", &Gauge::correction, "added to the indication"},
            Field{"repeatability", "mm", &Gauge::repeatability,
                  "standard deviation of one reading, from a study"},
            Field{"repeatability_freedom", "", &Gauge::repeatability_freedom,
                  "degrees of freedom of that study"},
            Field{"expansion", "1/K", &Gauge::expansion, "expansion coefficient of the gauge"},
            Field{"same_place", "", &Gauge::same_place,
                  "whether it is always used at one place of its range"},
        };
    }
    bool operator==(const Gauge&) const = default;
};
static_assert(lists_every_member<Gauge>);

/// A gauge's record card, checked. All lengths mm.
///
/// What goes wrong: a bore gauge and a micrometer set from the same ring are treated as unrelated,
/// or as perfect. Give both the same master in `reading` and they share its error.
///
/// name                       the gauge's identity
/// resolution                 smallest step it shows, mm
/// maximum_permissible_error  greatest error its maker or standard allows, mm
/// calibration_uncertainty    expanded uncertainty of the certificate, mm
/// coverage_factor            k of the certificate
/// calibration_freedom        degrees of freedom of the certificate
/// correction                 added to the indication, mm
/// repeatability              standard deviation of one reading, from a study, mm
/// repeatability_freedom      degrees of freedom of that study
/// expansion                  of the gauge, 1/K
/// same_place                 whether it is always used at one place of its range
///
/// Throws std::invalid_argument: figures below 0 or not finite.
///
/// >>> card = ew.measure.gauge("micrometer 50-75", resolution=0.001, calibration_uncertainty=0.002)
/// >>> card.coverage_factor
/// 2.0
Gauge gauge(const std::string& name, double resolution = 0.0,
            std::optional<double> maximum_permissible_error = {},
            std::optional<double> calibration_uncertainty = {}, double coverage_factor = 2.0,
            double calibration_freedom = infinite_freedom, std::optional<double> correction = {},
            std::optional<double> repeatability = {},
            double repeatability_freedom = infinite_freedom, double expansion = 11.5e-6,
            bool same_place = false);

/// Refuses a gauge's card that cannot be: no name, figures below 0 or not finite.
void require_gauge(const Gauge& gauge);

/// The named sources of one gauge, looked up once for many readings.
struct GaugeSources {
    std::uint64_t certificate = 0;        ///< "<name>: certificate"
    std::uint64_t permissible_error = 0;  ///< "<name>: permissible error", same place only
    std::uint64_t zero = 0;               ///< "<name>: zero <setting>", with a setting only
};

/// Looks up, or makes, the named sources of a gauge.
///
/// setting  label of the zeroing; empty: each reading has a zero of its own
GaugeSources gauge_sources(const Gauge& gauge, std::string_view setting = {},
                           Sources& sources = Sources::shared());

/// The circumstances of a reading. Temperatures °C, lengths mm, expansions 1/K.
///
/// `gauge_temperature` is for direct gauges, the `master_...` and zero are for comparators.
struct ReadingOptions {
    Quantity temperature = 20.0;                   ///< of the part
    std::optional<Quantity> expansion{};           ///< of the part; absent only at exactly 20
    std::optional<Quantity> gauge_temperature{};   ///< absent: the part's
    std::optional<Quantity> master{};              ///< size at 20 °C of the ring or block
    std::optional<Quantity> master_temperature{};  ///< absent: the part's
    std::optional<Quantity> master_expansion{};    ///< absent: the gauge's
    std::span<const double> zero{};                ///< indications on the master; empty: 0
    std::optional<Quantity> known_zero{};          ///< instead of `zero`, with its own doubt
    std::string_view setting{};                    ///< label of the zeroing; empty: a new one
    const GaugeSources* known_sources = nullptr;   ///< when looked up before
};

/// A measured size with what was seen on the way.
struct Reading {
    Quantity size{};                             ///< at 20 °C, mm
    std::size_t count = 0;                       ///< how many indications
    double mean_indication = 0;                  ///< before any correction, mm
    std::optional<double> standard_deviation{};  ///< of the indications; absent for one
    std::vector<std::string> notes{};            ///< what a person should know
    Repeats repeats{};                           ///< what more readings would change
};

/// The size at 20 °C of one feature from repeated readings at the same place, mm.
///
/// Out-of-round and taper are not repeatability: readings around a journal are not repeats.
///
///     direct gauge   size = x * (1 + a_g * (T_g - 20)) / (1 + a_p * (T_p - 20))
///     comparator     size = (M * (1 + a_m * (T_m - 20)) + x - zero) / (1 + a_p * (T_p - 20))
///
/// x = mean of the readings + correction; a, T expansion and temperature of gauge, part, master; M
/// the master's size at 20 °C. Its sources of doubt:
///
/// - scatter s / sqrt(n) with n - 1 degrees of freedom, or the gauge's recorded repeatability /
///   sqrt(n) with its own, whichever has more (on a tie the record). When s stands out of the
///   record by the F test at 99 %, s is used and noted.
/// - resolution / sqrt(12), instead of the scatter when larger: scatter contains rounding already.
/// - certificate U / k, named "<gauge>: certificate", shared by all readings with the gauge.
/// - greatest permissible error / sqrt(3), only without a correction; named "<gauge>: permissible
///   error" and shared when the gauge is always used at the same place of its range.
/// - zero sqrt(resolution^2 + range^2) / sqrt(12), named "<gauge>: zero <setting>".
///
/// A gauge at the part's temperature shares its source, so that a room's doubt nearly cancels.
///
/// readings  at least 1, mm
/// gauge     its card; null: no gauge stated, no doubt but the scatter
/// options   temperatures, master, zero
///
/// Throws std::invalid_argument: a zero without a master; no expansion off 20 °C.
///
/// Source: ISO 1 (20 °C); JCGM 100:2008, 4.2, 4.3, F.2.2.1; ISO 14253-2 (resolution or scatter).
///
/// >>> card = ew.measure.gauge("bore gauge 86", resolution=0.001, calibration_uncertainty=0.002)
/// >>> ring = ew.Quantity(86.0, 0.0008, source="86 mm setting ring")
/// >>> bore = ew.measure.reading([0.012, 0.013, 0.012], card, master=ring)
/// >>> print(bore, bore.count)
/// 86.0123 ± 0.0027 (95 %, k = 1.96) 3
/// >>> bore.budget().rows[0].source
/// 'bore gauge 86: certificate'
Reading reading(std::span<const double> readings, const Gauge* gauge = nullptr,
                const ReadingOptions& options = {}, Sources& sources = Sources::shared());

/// Size of a length at another temperature, mm.
///
///     size = length * (1 + expansion * (to - 20)) / (1 + expansion * (from - 20))
///
/// length            as measured at `from_temperature`, mm
/// expansion         of the material, 0 to 0.001 1/K
/// from_temperature  where the length was measured, °C
/// to_temperature    where it is wanted, °C
///
/// Source: ISO 1: lengths are stated at 20 °C; linear expansion.
///
/// >>> round(ew.measure.size_at(100.0, 11.5e-6, from_temperature=20.0, to_temperature=30.0), 4)
/// 100.0115
double size_at(double length, double expansion, double from_temperature,
               double to_temperature = 20.0);

}  // namespace enginewright::measure
