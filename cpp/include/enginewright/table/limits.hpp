#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/measure.hpp"
#include "enginewright/table/column.hpp"

/// Limits, engine cards and gauges: what the shop knows before anything is measured.
///
/// All three are read from one kind of file: TOML, a workbook, a data frame or JSON come down to
/// the same keys, and are checked here, once, with every fault in one refusal. Figures are texts
/// with their unit ("86.10 mm"), or numbers beside a key `unit`; inside they are canonical.
namespace enginewright::table {

/// One row of the limits: which readings it is for (empty = any) and its figures, canonical units.
struct Limit {
    std::string engine{};
    std::string stage{};
    std::string feature{};
    std::optional<int> number{};
    std::string part{};
    std::string station{};
    std::string axis{};
    std::string quantity{};
    std::optional<double> lower{};
    std::optional<double> upper{};
    std::optional<double> target{};
    std::string unit{};
    std::string given_unit{};
    std::string kind{};
    std::string source{};
    std::string provenance{};
    std::string place{};
    std::string tolerance_class{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"engine", "", &Limit::engine, "engine type; empty: any"},
            Field{"stage", "", &Limit::stage, "stage of the work; empty: any"},
            Field{"feature", "", &Limit::feature, "what is measured; empty: any"},
            Field{"number", "", &Limit::number, "which one, counted from 1; absent: any"},
            Field{"part", "", &Limit::part, "subdivision; empty: any"},
            Field{"station", "", &Limit::station, "where along it; empty: any"},
            Field{"axis", "", &Limit::axis, "direction; empty: any"},
            Field{"quantity", "", &Limit::quantity, "measured or derived quantity; empty: any"},
            Field{"lower", "", &Limit::lower, "least that is allowed, in `unit`"},
            Field{"upper", "", &Limit::upper, "greatest that is allowed, in `unit`"},
            Field{"target", "", &Limit::target, "what to aim for, in `unit`"},
            Field{"unit", "", &Limit::unit, "canonical unit of the figures, \"mm\""},
            Field{"given_unit", "", &Limit::given_unit, "unit they were written in, \"thou\""},
            Field{"kind", "", &Limit::kind,
                  "\"new\", \"wear\", \"machining\", \"repair size\", or empty"},
            Field{"source", "", &Limit::source, "where the figure is from"},
            Field{"provenance", "", &Limit::provenance,
                  "\"published\", \"common practice\", \"from memory\", \"measured here\""},
            Field{"place", "", &Limit::place, "where the row stands: \"limits.toml, limit 3\""},
            Field{"tolerance_class", "", &Limit::tolerance_class,
                  "class of ISO 286 that gave the figures, \"60 h6\"; empty: written as figures"},
        };
    }
    bool operator==(const Limit&) const = default;
};
static_assert(lists_every_member<Limit>);

/// What no reading gives: the engine's card. Lengths mm; empty or absent = not stated.
///
/// The members are what the checks ask for. `written` holds the card as it was given, with every
/// key: parameters of the linked engine, adjuster, rotor, sites, the shelf.
struct EngineCard {
    std::string name{}, layout{}, ring_duty{}, wear_side{}, source{};
    std::optional<int> cylinders{}, valves_per_cylinder{}, most_shims{};
    std::vector<int> firing_order{};
    std::optional<double> bore{}, stroke{}, rod_length{};
    std::map<std::string, std::vector<double>> undersizes{};  ///< by feature, rising
    std::vector<double> oversizes{};
    std::vector<double> rod_pads{};  ///< big-end and small-end pad, from the big-end centre
    std::map<std::string, std::string> materials{};  ///< by feature; others are steel
    std::map<std::string, int> journals{};           ///< how many of each
    std::optional<double> grinding_allowance{}, hone_allowance{}, clean_up{}, aim{}, case_depth{},
        largest_bore{};
    std::string written{};  ///< the whole card as JSON text, every key kept
    bool operator==(const EngineCard&) const = default;
};

/// The limits of a job: rows and engine cards.
struct Limits {
    std::vector<Limit> rows{};
    std::map<std::string, EngineCard> cards{};
    bool operator==(const Limits&) const = default;
};

/// One gauge of the shop: its measuring card and what the list adds to it.
struct GaugeCard {
    measure::Gauge gauge{};
    std::optional<int> due{};             ///< days since 1970: past it, every finding says so
    std::string setting{};                ///< what it is zeroed on, "86 mm ring"; empty: nothing
    double setting_uncertainty = 0;       ///< standard uncertainty of that, mm
    std::optional<double> temperature{};  ///< of the gauge itself, °C; absent: 20
    bool operator==(const GaugeCard&) const = default;
};

/// The gauges of the shop, in the order of the list.
struct Gauges {
    std::vector<GaugeCard> rows{};
    bool operator==(const Gauges&) const = default;
};

/// Reads limits with their engine cards from JSON text.
///
/// The text has the shape of the limits file: {"limit": [{...}], "engine": [{...}]}; a list of
/// gauges may stand beside them and is left alone. A row of the limits has the keys of `Limit`
/// (empty or absent = any), and at least one of `lower`, `upper`, `target`: a text with its unit,
/// or a number beside the key `unit`. Instead of `lower` and `upper` a row may name a class of
/// ISO 286 as `tolerance_class`: "60 h6" for a size, "40 H7/p6" for a clearance. Refused are
///
/// - an unknown key, with the nearest known one;
/// - figures without a unit, or with one that does not suit the quantity;
/// - `lower` above `upper`, a `target` outside them;
/// - a class that the standard has not, one beside figures, one for another quantity than a length;
/// - a row without `source`;
/// - two rows with the same keys and kind, and different figures: both are named;
/// - on a card: a figure of the wrong dimension, steps that do not rise, a name given twice.
///
/// All faults are listed in one refusal.
///
/// text   JSON
/// place  what the text is called in messages: "limits.toml"
///
/// Throws std::invalid_argument: every fault, one a line.
Limits limits_from_json(std::string_view text, std::string_view place = "limits");

/// Limits as JSON text that `limits_from_json` reads back to the same figures, bit for bit.
std::string limits_to_json(const Limits& limits);

/// Reads gauges from JSON text {"gauge": [{...}]}: the arguments of `measure.gauge`, lengths with
/// their unit, and `due`, `setting`, `setting_uncertainty`, `temperature`.
///
/// `setting_uncertainty` is expanded with the gauge's `coverage_factor`, as
/// `calibration_uncertainty` is. Limits and engine cards may stand beside the list and are left
/// alone.
///
/// Throws std::invalid_argument, as `limits_from_json`.
Gauges gauges_from_json(std::string_view text, std::string_view place = "gauges");

/// Gauges as JSON text that `gauges_from_json` reads back.
std::string gauges_to_json(const Gauges& gauges);

/// A card's figures as JSON text: every key that was written, figures as numbers in canonical
/// units.
///
/// {"bore": 86.0, "undersizes": {"main journal": [0.25, 0.5]}, "gasket_thickness": 1.2, ...}
std::string card_figures(const EngineCard& card);

/// One key of the engine card: what may be written there.
struct CardKey {
    std::string key{};
    std::string holds{};
    std::string unit{};
    std::string meaning{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"key", "", &CardKey::key, "as written in the file"},
            Field{"holds", "", &CardKey::holds, "\"length\", \"list of lengths\", \"text\", ..."},
            Field{"unit", "", &CardKey::unit, "canonical unit of its figures; empty: none"},
            Field{"meaning", "", &CardKey::meaning, "what it says"},
        };
    }
    bool operator==(const CardKey&) const = default;
};
static_assert(lists_every_member<CardKey>);

/// Every key that an engine card may have, in the order of the list.
std::span<const CardKey> card_keys();

}  // namespace enginewright::table
