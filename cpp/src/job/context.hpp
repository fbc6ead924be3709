#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/job.hpp"
#include "enginewright/table.hpp"
#include "job/rotor_card.hpp"

/// What `inspect` works out once for all jobs: words as roles, units as factors, gauges as doubt,
/// limits as codes. Read-only afterwards, so threads share it.
namespace enginewright::job {

/// What a feature is to the derived checks.
enum class Role : std::uint8_t {
    other,
    bore,
    liner,
    main_journal,
    big_end_journal,
    main_bearing,
    big_end_bearing,
    piston,
    ring,
    pin,
    rod,
    bolt,
    crankshaft,
    thrust_washer,
    block_deck,
    rotor
};

/// What a quantity is to the derived checks.
enum class Measured : std::uint8_t {
    other,
    diameter,
    thickness,
    gap,
    mass,
    length,
    end_float,
    depth,
    protrusion,
    amount
};

/// What a part is to the derived checks.
enum class PartRole : std::uint8_t {
    whole,
    housing,
    shell,
    top_ring,
    second_ring,
    oil_rail,
    big_end,
    small_end,
    other
};

/// Which way metal lies: a hole grows when it is cut, a shaft shrinks.
enum class Shape : std::uint8_t { none, hole, shaft };

/// The checks in the order in which their findings stand.
enum class Check : std::uint8_t {
    limits,
    ovality,
    taper,
    wear,
    regrind,
    rebore,
    bearing_clearance,
    shell_choice,
    piston_clearance,
    ring_gap,
    second_ring,
    liner_standing,
    end_float,
    deck_clearance,
    mass_match,
    bolt_reuse,
    balance
};
inline constexpr std::size_t check_count = 17;

/// The derived quantities: words of the findings beyond those of the readings.
enum class Derived : std::uint8_t {
    ovality,
    taper,
    wear,
    undersize,
    oversize,
    clearance,
    gap,
    gap_difference,
    spread,
    stretch,
    protrusion,
    tilt,
    step,
    end_float,
    depth,
    shim_deviation,
    shell_deviation,
    residual,
    contribution,
    planned_residual
};
inline constexpr std::size_t derived_count = 20;

/// How a quantity in a unit becomes canonical: (written + offset) * factor.
struct Conversion {
    double factor = 1;
    double offset = 0;
    std::int32_t unit = -1;  ///< code in `Context::units`
    bool known = false;
    bool length = false;
    bool imperial = false;  ///< the shop writes inches: sentences show both
    std::string dimension{};
};

/// One source of doubt of a single reading with a gauge.
struct GaugeDoubt {
    std::string name{};  ///< empty: a new source for each reading
    double amount = 0;
    double freedom = std::numeric_limits<double>::infinity();
    measure::Kind kind = measure::Kind::b;
};

/// A gauge as a reading meets it.
struct GaugeInfo {
    const table::GaugeCard* card = nullptr;  ///< null: the list does not hold it
    double correction = 0;
    double uncertainty = 0;  ///< standard, of one reading
    double freedom = std::numeric_limits<double>::infinity();
    double coverage = 2;  ///< for the expanded uncertainty at the level asked for
    std::vector<GaugeDoubt> doubts{};
    std::string past_due{};  ///< what a finding says when its certificate had run out
};

/// Whether a reading was taken after the day on which its gauge's certificate ran out.
inline bool taken_past_due(const table::GaugeCard& card, const table::ReadingsView& readings,
                           std::size_t row)
{
    return card.due && readings.date.present(row) && readings.date.values[row] > *card.due;
}

/// What a finding says about it; the card has a day.
std::string past_due_text(const table::GaugeCard& card);

/// What a limit asks of a reading, as codes of the readings' words.
struct LimitCodes {
    static constexpr std::int32_t any = -2;
    static constexpr std::int32_t never = -3;
    std::int32_t engine = any, stage = any, feature = any, part = any, station = any, axis = any,
                 quantity = any, number = any;
    int specific = 0;  ///< how many of them are named
};

/// What a limit is looked up by.
struct LimitKey {
    std::int32_t engine = -1, stage = -1, feature = -1, part = -1, station = -1, axis = -1,
                 quantity = -1, number = -1;
    std::int32_t kind = -1;  ///< code in `Context::kinds`
    bool operator==(const LimitKey&) const = default;
};

class Context {
  public:
    Context(const table::ReadingsView& readings, const table::Limits& limits,
            const table::Gauges& gauges, const InspectOptions& options);

    const table::ReadingsView& readings;
    const table::Limits& limits;
    const InspectOptions& options;

    std::vector<Role> role;                      ///< by feature code
    std::vector<Shape> shape;                    ///< by feature code
    std::vector<double> expansion;               ///< by engine code + 1 and feature code, 1/K
    std::vector<Measured> measured;              ///< by quantity code
    std::vector<PartRole> part_role;             ///< by part code
    std::vector<GaugeInfo> gauge;                ///< by gauge code
    std::vector<const table::EngineCard*> card;  ///< by engine code + 1; null: none
    std::vector<RotorCard> rotor;                ///< by engine code + 1; empty: no rotor is read
    std::vector<std::int32_t> stage_kind;        ///< by stage code + 1: code of the kind wanted
    std::vector<bool> finished;                  ///< by stage code + 1
    std::vector<bool> as_received;               ///< by stage code + 1

    // Word lists of the findings; the key columns use the readings' own.
    std::vector<std::string> quantities, units, kinds, sources;
    std::vector<LimitCodes> limit_codes;
    bool stations_named = false, axes_named = false, numbers_named = false;  ///< by some limit
    std::vector<std::int32_t> limit_kind, limit_source, limit_unit;          ///< by limit row
    std::int32_t millimetre = -1;
    std::int32_t gram_millimetre = -1;  ///< -1: no rotor is read
    std::int32_t card_source = -1;      ///< source of what the engine card itself allows
    double normal_coverage = 2;

    /// Code of a derived quantity's word among `quantities`.
    std::int32_t derived(Derived which) const { return derived_[static_cast<std::size_t>(which)]; }

    /// How the row's quantity and unit convert; the row's own word list codes.
    const Conversion& conversion(std::int32_t quantity, std::int32_t unit) const
    {
        return conversions_[static_cast<std::size_t>(quantity) * unit_count_ +
                            static_cast<std::size_t>(unit)];
    }

    /// Place of a code in the alphabet of its column, 0 for none: an order that does not depend
    /// on which word came first.
    std::int32_t part_rank(std::int32_t code) const { return part_rank_[index(code)]; }
    std::int32_t station_rank(std::int32_t code) const { return station_rank_[index(code)]; }
    std::int32_t feature_rank(std::int32_t code) const { return feature_rank_[index(code)]; }
    std::int32_t stage_rank(std::int32_t code) const { return stage_rank_[index(code)]; }

    /// Row of the limits that fits best, or -1. Kind first (the one wanted, then one without a
    /// kind, then "new"), then the greatest number of named keys.
    ///
    /// Throws std::invalid_argument when two rows fit equally well with different figures.
    std::int32_t find_limit(const LimitKey& key) const;

    /// Row of the limits of exactly this kind, or -1.
    std::int32_t find_limit_of_kind(LimitKey key, std::string_view kind) const;

    /// Row of the limits that a part going in is made to, or -1: those of the kind "machining",
    /// else "new", else without a kind. A wear limit says when a part is done for.
    std::int32_t find_limit_for_fitting(const LimitKey& key) const;

    /// Code of a kind's word among `kinds`, or -1.
    std::int32_t kind_code(std::string_view kind) const;

    /// Code of a source's word among `sources`; the list is complete after construction.
    std::int32_t rule_source = -1;

    static std::size_t index(std::int32_t code) { return static_cast<std::size_t>(code + 1); }

  private:
    std::vector<Conversion> conversions_;
    std::size_t unit_count_ = 0;
    std::vector<std::int32_t> derived_;
    std::vector<std::int32_t> part_rank_, station_rank_, feature_rank_, stage_rank_;

    void know_words();
    void know_units();
    void know_gauges(const table::Gauges& gauges);
    void know_limits();
    void know_cards();
    std::int32_t best_limit(const LimitKey& key, std::int32_t kind) const;
};

}  // namespace enginewright::job
