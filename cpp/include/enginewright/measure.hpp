#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "enginewright/measure/quantity.hpp"
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

/// Verdict of one value against its limits.
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
/// value                 the value, in the unit of the limits
/// standard_uncertainty  k = 1; 0 = judged at face value, limits inclusive
/// degrees_of_freedom    effective; infinity = normal
/// lower, upper          limits; absent = none on that side
/// rule, level           decision rule and the probability it asks for
///
/// Throws std::invalid_argument: lower above upper, level not in (0.5, 1), a figure not finite.
Verdict judge(double value, double standard_uncertainty, double degrees_of_freedom,
              std::optional<double> lower, std::optional<double> upper, Rule rule = Rule::guarded,
              double level = 0.95);

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

/// Verdict of a quantity: `judge` at its value, standard uncertainty and degrees of freedom.
Verdict check(const Quantity& quantity, std::optional<double> lower, std::optional<double> upper,
              Rule rule = Rule::guarded, double level = 0.95,
              const Sources& sources = Sources::shared());

/// The worst of some verdicts: outside, unproven, within, unlimited, in that order.
Standing worst(std::initializer_list<Standing> verdicts);

/// The record card of a gauge. Lengths mm.
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

/// Refuses a gauge's card that cannot be: negative figures, figures that are not finite.
void require_gauge(const Gauge& gauge);

/// The named sources of one gauge, looked up once for many readings.
struct GaugeSources {
    std::uint64_t certificate = 0;        ///< "<name>: certificate"
    std::uint64_t permissible_error = 0;  ///< "<name>: permissible error", same place only
    std::uint64_t zero = 0;               ///< "<name>: zero <setting>", with a setting only
    bool has_zero = false;
};

/// Looks up, or makes, the named sources of a gauge.
///
/// setting  label of the zeroing; empty: each reading has a zero of its own
GaugeSources gauge_sources(const Gauge& gauge, std::string_view setting = {},
                           Sources& sources = Sources::shared());

/// The circumstances of a reading. Temperatures °C, lengths mm, expansions 1/K.
struct ReadingOptions {
    Quantity temperature = 20.0;                   ///< of the part
    std::optional<Quantity> expansion{};           ///< of the part
    std::optional<Quantity> gauge_temperature{};   ///< absent: the part's
    std::optional<Quantity> master{};              ///< size at 20 °C of the ring or block
    std::optional<Quantity> master_temperature{};  ///< absent: the part's
    std::optional<Quantity> master_expansion{};    ///< absent: the gauge's
    std::span<const double> zero{};                ///< indications on the master; empty: 0
    std::string_view setting{};                    ///< label of the zeroing; empty: a new one
    const GaugeSources* gauge_sources = nullptr;   ///< when looked up before
};

/// A measured size with what was seen on the way.
struct Reading {
    Quantity size{};                             ///< at 20 °C, mm
    std::size_t count = 0;                       ///< how many indications
    double mean_indication = 0;                  ///< before any correction, mm
    std::optional<double> standard_deviation{};  ///< of the indications; absent for one
    std::vector<std::string> notes{};            ///< what a person should know
};

/// The size at 20 °C of one feature from repeated readings at the same place.
///
/// readings  at least 1, mm
/// gauge     its card; null: no gauge stated, no doubt but the scatter
/// options   temperatures, master, zero
///
/// Throws std::invalid_argument.
Reading reading(std::span<const double> readings, const Gauge* gauge = nullptr,
                const ReadingOptions& options = {}, Sources& sources = Sources::shared());

/// Size of a length at another temperature, mm.
///
///     size = length * (1 + expansion * (to - 20)) / (1 + expansion * (from - 20))
double size_at(double length, double expansion, double from_temperature,
               double to_temperature = 20.0);

}  // namespace enginewright::measure
