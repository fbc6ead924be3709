#pragma once

#include <optional>
#include <string>
#include <tuple>

#include "enginewright/record.hpp"

/// Temperatures of a pressed joint: where it lets go, and how hot the housing must be.
namespace enginewright::fits {

/// Which way a joint lets go.
enum class Loosens { when_heated, when_cooled, never, loose };

/// What it takes to drop a part in.
enum class Heating { none_needed, heat, heat_and_chill, cannot };

}  // namespace enginewright::fits

namespace enginewright {
template <>
inline constexpr Words<4> words<fits::Loosens>{
    "status", {"loosens when heated", "loosens when cooled", "never", "loose"}};
template <>
inline constexpr Words<4> words<fits::Heating>{
    "status", {"no heat needed", "heat", "heat and chill", "cannot"}};
}  // namespace enginewright

namespace enginewright::fits {

/// The temperature of the housing at which no interference is left.
struct Loosening {
    Loosens status = Loosens::never;
    std::optional<double> temperature{};
    std::string reason{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"status", "", &Loosening::status, "whether and which way it lets go"},
            Field{"temperature", "°C", &Loosening::temperature, "of the outer part"},
            Field{"reason", "", &Loosening::reason, "why, in one sentence"},
        };
    }
    bool operator==(const Loosening&) const = default;
};
static_assert(lists_every_member<Loosening>);

/// At which temperature a pressed joint lets go, °C.
///
/// Both parts warm from 20 °C; the inner one by `inner_share` of the housing's rise (a liner in the
/// fire runs hotter than its block: above 1).
///
///     temperature = 20 + interference / (diameter (a_outer - inner_share a_inner))
///
/// Above 20 °C the joint loosens when heated, below when cooled, as a steel bush in a housing that
/// grows less. A joint that has no interference at 20 °C is "loose" already.
///
/// diameter         at the joint, mm, above 0
/// interference     on diameter at 20 °C, mm
/// inner_expansion  of the inner part, 0 to 0.001 1/K
/// outer_expansion  of the housing, 0 to 0.001 1/K
/// inner_share      rise of the inner part over that of the housing, 0 to 100
///
/// Throws std::invalid_argument: figures out of range.
///
/// Source: linear expansion.
///
/// >>> liner = ew.fits.loosening_temperature(90, 0.080, inner_expansion=10.5e-6,
/// ...                                       outer_expansion=21.5e-6)
/// >>> liner.status, round(liner.temperature)
/// ('loosens when heated', 101)
Loosening loosening_temperature(double diameter, double interference, double inner_expansion,
                                double outer_expansion, double inner_share = 1.0);

/// What it takes to drop a part into its housing without force.
struct Assembly {
    Heating status = Heating::none_needed;
    std::optional<double> outer_temperature{};
    std::optional<double> inner_temperature{};
    std::optional<double> gap{};
    std::string reason{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"status", "", &Assembly::status, "what to heat or chill"},
            Field{"outer_temperature", "°C", &Assembly::outer_temperature, "of the housing"},
            Field{"inner_temperature", "°C", &Assembly::inner_temperature, "of the part"},
            Field{"gap", "mm", &Assembly::gap, "on diameter at these temperatures"},
            Field{"reason", "", &Assembly::reason, "why, in one sentence"},
        };
    }
    bool operator==(const Assembly&) const = default;
};
static_assert(lists_every_member<Assembly>);

/// How hot a housing must be, and how cold the part, for it to drop in with a clearance, °C.
///
///     outer = 20 + (interference + clearance + d a_inner (T_inner - 20)) / (d a_outer)
///
/// Where that would pass `outer_limit` (the alloy's temper, a seal, a glue) the housing stays at
/// the limit and the part is chilled for the rest. Below -196 °C, liquid nitrogen, nothing goes.
///
/// Caution: no flame on aluminium or near fuel and cleaning solvent; check the alloy's temper
/// limit; gloves and eye protection. Dry ice and liquid nitrogen burn and suffocate: ventilate,
/// never in a closed vessel. Local codes and licensed practice come first.
///
/// diameter           at the joint, mm, above 0
/// interference       on diameter at 20 °C, mm
/// clearance          wanted for dropping in, on diameter, mm, at least 0
/// outer_expansion    of the housing, above 0 to 0.001 1/K
/// inner_expansion    of the part, 0 to 0.001 1/K
/// room               temperature of the room, °C, above -273.15
/// inner_temperature  of the part, °C; None: that of the room
/// outer_limit        hottest that the housing may become, °C, at least `room`; None: no limit
///
/// Throws std::invalid_argument: figures out of range.
///
/// Source: linear expansion.
///
/// >>> liner = ew.fits.assembly_temperature(90, 0.080, 0.050, outer_expansion=21.5e-6,
/// ...                                      inner_expansion=10.5e-6)
/// >>> liner.status, round(liner.outer_temperature)
/// ('heat', 87)
Assembly assembly_temperature(double diameter, double interference, double clearance,
                              double outer_expansion, double inner_expansion, double room = 20.0,
                              std::optional<double> inner_temperature = std::nullopt,
                              std::optional<double> outer_limit = std::nullopt);

}  // namespace enginewright::fits
