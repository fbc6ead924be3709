#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/measure.hpp"

/// Tables: columns of readings, limits, gauges and findings, as sheets, frames and `inspect` share
/// them.
///
/// Three kinds of column carry the work. A *word* column holds int32 codes into a list of words
/// (-1 = none); a *number* column float64 with a missing mask; a *count* column int32 with a
/// missing mask. Dates are days since 1970 (int32). Views point into columns that somebody else
/// keeps alive: a NumPy array, an Arrow buffer, a vector. Nothing here copies a column.
namespace enginewright::table {

/// A word column, by reference: codes into `words`, -1 where there is none.
///
/// An empty span of codes is a column that is not there: every row reads -1.
/// Codes are range-checked once, where the column enters the library.
struct WordView {
    std::span<const std::int32_t> codes;
    std::span<const std::string_view> words;

    std::int32_t code(std::size_t row) const { return codes.empty() ? -1 : codes[row]; }
    std::string_view text(std::size_t row) const
    {
        const auto c = code(row);
        return c < 0 ? std::string_view{} : words[static_cast<std::size_t>(c)];
    }
};

/// A missing mask as Arrow keeps it: bit i (least significant first) is 1 where row i is present.
/// A null pointer: every row is present. `offset` counts bits before the first row.
struct Validity {
    const std::uint8_t* bits = nullptr;
    std::int64_t offset = 0;

    bool present(std::size_t row) const
    {
        const auto at = static_cast<std::size_t>(offset) + row;
        return bits == nullptr || ((bits[at >> 3U] >> (at & 7U)) & 1U) != 0;
    }
};

/// A number column, by reference. An empty span is a column that is not there.
struct NumberView {
    std::span<const double> values;
    Validity valid{};

    bool present(std::size_t row) const { return !values.empty() && valid.present(row); }
};

/// A count or date column, by reference. An empty span is a column that is not there.
struct CountView {
    std::span<const std::int32_t> values;
    Validity valid{};

    bool present(std::size_t row) const { return !values.empty() && valid.present(row); }
};

/// Readings by reference: what `job::inspect` works on. One row is one thing written down.
///
/// `note` stays outside the core. Values are as written, in `unit`.
struct ReadingsView {
    std::size_t rows = 0;
    WordView job, engine, stage, feature, part, station, axis, position_unit, quantity, unit,
        observation, gauge, by, file, sheet;
    CountView number, repeat, date, row, column;
    NumberView position, value, uncertainty, temperature;
};

/// One row of the limits: which readings it is for (empty = any) and its figures, canonical units.
struct Limit {
    std::string engine{}, stage{}, feature{}, part{}, station{}, axis{}, quantity{};
    std::optional<int> number{};
    std::optional<double> lower{}, upper{}, target{};
    std::string unit{};        ///< canonical unit of the figures, "mm"
    std::string given_unit{};  ///< unit they were written in, "thou"
    std::string kind{};        ///< "new", "wear", "machining", "repair size", or empty
    std::string source{};      ///< where the figure is from
    std::string provenance{};  ///< "published", "common practice", "from memory", "measured here"
    std::string place{};       ///< where the row stands, for messages: "limits.toml, limit 3"
    bool operator==(const Limit&) const = default;
};

/// What no reading gives: the engine's card. Lengths mm; empty or absent = not stated.
struct EngineCard {
    std::string name{}, layout{}, ring_duty{}, wear_side{}, source{};
    std::optional<int> cylinders{}, valves_per_cylinder{}, most_shims{};
    std::vector<int> firing_order{};
    std::optional<double> bore{}, stroke{}, rod_length{};
    std::map<std::string, std::vector<double>> undersizes{};  ///< by feature, rising
    std::vector<double> oversizes{};
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
    std::optional<int> due{};           ///< days since 1970: past it, every finding says so
    std::string setting{};              ///< what it is zeroed on, "86 mm ring"; empty: nothing
    double setting_uncertainty = 0;     ///< standard uncertainty of that, mm
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
/// The text has the shape of the limits file: {"limit": [{...}], "engine": [{...}]}. Lengths and
/// other figures are texts with their unit ("86.10 mm"); `units::parse` reads them. An unknown key
/// is refused with the nearest known one; all faults are listed in one refusal.
///
/// text   JSON
/// place  what the text is called in messages: "limits.toml"
///
/// Throws std::invalid_argument.
Limits limits_from_json(std::string_view text, std::string_view place = "limits");

/// Limits as JSON text that `limits_from_json` reads back to the same figures, bit for bit.
std::string limits_to_json(const Limits& limits);

/// Reads gauges from JSON text {"gauge": [{...}]}: the arguments of `measure.gauge`, lengths with
/// their unit, and `due`, `setting`, `setting_uncertainty`, `temperature`.
///
/// Throws std::invalid_argument, as `limits_from_json`.
Gauges gauges_from_json(std::string_view text, std::string_view place = "gauges");

/// Gauges as JSON text that `gauges_from_json` reads back.
std::string gauges_to_json(const Gauges& gauges);

/// One word of the shop's language and what it measures: "bore" is a feature, "diameter" a
/// quantity of dimension "length".
struct VocabularyWord {
    std::string_view kind;       ///< "feature", "quantity", "derived quantity"
    std::string_view word;
    std::string_view dimension;  ///< of a quantity, as `units` names it; empty for a feature
    std::string_view unit;       ///< canonical unit; empty for a feature
};

/// All words that the library knows, in the order of the list.
std::span<const VocabularyWord> vocabulary();

/// Text column in Arrow's layout: row i is bytes[offsets[i]] .. bytes[offsets[i + 1]].
struct TextColumn {
    std::vector<std::int64_t> offsets{0};
    std::vector<char> bytes{};

    void append(std::string_view text)
    {
        bytes.insert(bytes.end(), text.begin(), text.end());
        offsets.push_back(static_cast<std::int64_t>(bytes.size()));
    }
    std::string_view operator[](std::size_t row) const
    {
        const auto first = static_cast<std::size_t>(offsets[row]);
        return {bytes.data() + first, static_cast<std::size_t>(offsets[row + 1]) - first};
    }
};

/// Word column that owns its codes and words.
struct WordColumn {
    std::vector<std::int32_t> codes{};
    std::vector<std::string> words{};
};

/// Number column that owns its values; `missing[i]` is 1 where row i has none (its value is NaN).
struct NumberColumn {
    std::vector<double> values{};
    std::vector<std::uint8_t> missing{};
};

/// Count column that owns its values; `missing[i]` is 1 where row i has none (its value is 0).
struct CountColumn {
    std::vector<std::int32_t> values{};
    std::vector<std::uint8_t> missing{};
};

/// What a check could not look at, and what it would have needed.
struct NotChecked {
    std::string job{};
    std::string check{};
    std::string missing{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"job", "", &NotChecked::job, "the shop's job number"},
            Field{"check", "", &NotChecked::check, "the check that did not run"},
            Field{"missing", "", &NotChecked::missing, "what the job does not hold"},
        };
    }
    bool operator==(const NotChecked&) const = default;
};
static_assert(lists_every_member<NotChecked>);

/// Findings: what `job::inspect` gives, in columns, in the fixed order of the checks.
struct Findings {
    std::size_t rows = 0;
    std::vector<std::int64_t> finding{};  ///< numbered from 0 within its job
    WordColumn job{}, stage{}, feature{}, part{}, station{}, axis{}, quantity{}, check{}, unit{},
        kind{}, verdict{}, amount_unit{}, limit_source{}, file{}, sheet{};
    CountColumn number{}, repeat{}, row{}, column{};
    NumberColumn position{}, value{}, uncertainty{}, lower{}, upper{}, target{}, margin{},
        probability{}, amount{};
    TextColumn next{}, reason{};
    /// Readings of finding i: reading_rows[reading_offsets[i]] .. reading_rows[reading_offsets[i+1]]
    std::vector<std::int64_t> reading_offsets{0};
    std::vector<std::int64_t> reading_rows{};
    std::vector<NotChecked> not_checked{};
};

}  // namespace enginewright::table
