#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "enginewright/arrow.hpp"
#include "enginewright/measure.hpp"
#include "enginewright/table/column.hpp"
#include "enginewright/table/findings.hpp"
#include "enginewright/table/foreign.hpp"
#include "enginewright/table/limits.hpp"

/// Tables: columns of readings, limits, gauges and findings, as sheets, frames and `inspect` share
/// them.
///
/// Three kinds of column carry the work. A *word* column holds int32 codes into a list of words
/// (-1 = none); a *number* column float64 with a missing mask; a *count* column int32 with a
/// missing mask. Dates are days since 1970 (int32). Views point into columns that somebody else
/// keeps alive: a NumPy array, an Arrow buffer, a vector. Nothing here copies a column.
///
/// A table is immutable, keeps the order of its rows, and carries its schema,
/// "enginewright.readings/1". It holds every column that its schema names, in that order; one that
/// was not given is there and has every row missing. Columns that the schema does not name follow
/// and are carried untouched.
///
/// Rows count from 0 in everything that a program reads, refusals included.
namespace enginewright::table {

/// A column and its name.
struct NamedColumn {
    std::string name{};
    Column column{};
    bool operator==(const NamedColumn&) const = default;
};

/// One column that a schema names.
struct ColumnSpec {
    std::string name{};
    Kind kind = Kind::word;
    bool required = false;
    std::string meaning{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"name", "", &ColumnSpec::name, "name of the column"},
            Field{"kind", "", &ColumnSpec::kind, "what it holds"},
            Field{"required", "", &ColumnSpec::required, "whether a table must have it"},
            Field{"meaning", "", &ColumnSpec::meaning, "what it says"},
        };
    }
    bool operator==(const ColumnSpec&) const = default;
};
static_assert(lists_every_member<ColumnSpec>);

/// A schema: the name of a kind of table, its version and its columns.
struct TableSpec {
    std::string name{};
    int version = 1;
    std::vector<ColumnSpec> columns{};

    /// "enginewright.readings/1"
    std::string schema() const;
};

/// Readings: one row is one thing written down at the bench.
const TableSpec& readings_spec();
/// Findings: one row is one judgement, with what to do next.
const TableSpec& findings_spec();
/// Limits, their figures in canonical units.
const TableSpec& limits_spec();
/// Gauges: one row a gauge, lengths mm.
const TableSpec& gauges_spec();

/// Refuses a table of another kind, or of a newer schema than this program knows.
///
/// Throws std::invalid_argument: "schema must be enginewright.readings/1, got ...".
void require_schema(const TableSpec& spec, std::string_view schema);

/// Columns of equal length under one schema. Immutable; copies share the memory.
class Table {
  public:
    Table() = default;

    /// Arranges columns as a schema has them: its own in its order, absent ones filled in, others
    /// after them as given.
    ///
    /// spec     the schema
    /// rows     how many rows there are
    /// columns  in any order
    ///
    /// Throws std::invalid_argument: a name given twice, a length that differs, a kind that is not
    /// the schema's, a required column that is not there.
    static Table arranged(const TableSpec& spec, std::size_t rows,
                          std::vector<NamedColumn> columns);

    const std::string& schema() const { return schema_; }
    std::size_t rows() const { return rows_; }
    std::span<const NamedColumn> columns() const { return columns_; }

    /// The column of a name; null when there is none.
    const Column* find(std::string_view name) const;

    /// The column of a name.
    ///
    /// Throws std::invalid_argument: there is none, with the nearest name.
    const Column& column(std::string_view name) const;

    /// Rows `first` .. `first + count`; shares the memory.
    Table slice(std::size_t first, std::size_t count) const;
    /// The named rows in the order given.
    Table take(std::span<const std::int64_t> rows) const;
    /// The same table with one column replaced or added.
    Table with(std::string name, Column column) const;

    /// Whether the rules of its schema were found to hold, for these rows or more.
    bool is_checked() const { return checked_; }
    Table checked() const;

    bool operator==(const Table& other) const;

  private:
    std::string schema_{};
    std::size_t rows_ = 0;
    std::vector<NamedColumn> columns_{};
    bool checked_ = false;
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

/// Readings by reference, after the rules of `check_readings` were found to hold.
///
/// The table must outlive the view. A table that was checked before is not checked again.
///
/// Throws std::invalid_argument, as `check_readings`.
ReadingsView view(const Table& readings);

/// Refuses readings that cannot be, with the row.
///
/// - `job`, `stage`, `feature`, `quantity` stand in every row, and a `value` or an `observation`;
/// - a `value` has a `unit`; the unit is known and suits the quantity (looked up once for each pair
///   of them). A quantity that the vocabulary does not hold may have any known unit;
/// - `number`, `repeat`, `row`, `column` count from 1; `uncertainty` is at least 0.
///
/// Words that the vocabulary does not hold are allowed: a shop may add its own.
///
/// Throws std::invalid_argument: "unit must suit gap, length, got 'g' (row 3)".
void check_readings(const Table& readings);

/// What numbering repeats found: the new column, and what it did.
struct Numbered {
    Column repeat{};
    std::vector<std::int64_t> numbered{};  ///< rows that took a number after the first of their key
};

/// Numbers the readings that were taken again without saying so.
///
/// The key of a row is job, stage, feature, number, part, station, axis, position and quantity. Of
/// several rows with one key, those without `repeat` are numbered on in their order: from 1, or
/// from the greatest number that stands before them. A row that is alone keeps its empty `repeat`.
///
/// Jobs are taken one at a time: 5 000 000 readings cost a few tenths of a second and, beside the
/// new column, one index a row.
///
/// Throws std::invalid_argument: two rows with one key and the same `repeat`, both named by cell
/// where they have one.
Numbered number_repeats(const Table& readings);

/// Where a reading was written: "Block!C14"; "row 7" when it has no cell.
std::string cell_of(const ReadingsView& readings, std::size_t row);

/// Readings with `value`, `uncertainty` and `position` in canonical units, `unit` saying so.
///
/// Canonical units are those of `units`: mm, g, °C. A reading that is so already is kept bit for
/// bit. Uncertainties are scaled and never shifted (°F).
///
/// Throws std::invalid_argument, as `check_readings`.
Table in_canonical_units(const Table& readings);

/// Findings as a table; the columns are moved, not copied. `basis` is missing in it.
///
/// links  filled with which readings each finding rests on
Table findings_table(Findings&& findings, Links& links);

/// Findings from a table and its links, copied: the other way round.
Findings table_findings(const Table& table, const Links& links,
                        std::vector<NotChecked> not_checked = {});

/// The column `basis`: every cell that a finding used, "Block!C6, Block!C8".
///
/// A reading without a cell is named by its place among the readings, counted from 1: "reading 12".
/// Where the readings of one finding come from several files, the file stands before the sheet.
///
/// links     of the findings
/// readings  the table that they were made from
Column basis(const Links& links, const Table& readings);

/// Limits as a table, figures in canonical units.
Table limits_table(const Limits& limits);

/// Gauges as a table, lengths mm.
Table gauges_table(const Gauges& gauges);

/// A table from a stream of the Arrow C interface.
///
/// One batch is taken as it lies, without a copy where its types are ours; several are put one
/// after the other, dictionaries merged by word. The stream is released in any case.
///
/// stream  taken over
/// spec    the schema that the table shall have
///
/// Throws TypeRefused: a type that is not taken, with column and type; std::invalid_argument: what
/// `Table::arranged` and `require_schema` refuse.
Table read_stream(arrow::ArrowArrayStream& stream, const TableSpec& spec);

/// One column from an array of the Arrow C interface; both structs are taken over.
///
/// name    of the column, for refusals
/// wanted  its kind; absent: whatever it is
///
/// Throws TypeRefused and std::invalid_argument, as `adopt`.
Column read_array(std::string_view name, arrow::ArrowSchema& schema, arrow::ArrowArray& array,
                  std::optional<Kind> wanted);

/// One column from a stream of arrays.
Column read_array_stream(std::string_view name, arrow::ArrowArrayStream& stream,
                         std::optional<Kind> wanted);

/// Writes a table as a stream of one batch, without copying any column.
///
/// Words go out as a dictionary of int32 codes, texts as large_utf8, dates as date32; the schema's
/// metadata say "schema": "enginewright.readings/1". The stream keeps the columns alive.
void write_stream(const Table& table, arrow::ArrowArrayStream& stream);

/// Writes the schema alone.
void write_schema(const Table& table, arrow::ArrowSchema& schema);

/// One word of the shop's language and what it measures: "bore" is a feature, "diameter" a
/// quantity of dimension "length".
struct VocabularyWord {
    std::string kind{};
    std::string word{};
    std::string dimension{};
    std::string unit{};

    static constexpr auto fields()
    {
        return std::tuple{
            Field{"kind", "", &VocabularyWord::kind,
                  "\"feature\", \"quantity\" or \"derived quantity\""},
            Field{"word", "", &VocabularyWord::word, "as it stands in the tables"},
            Field{"dimension", "", &VocabularyWord::dimension,
                  "of a quantity, as `units` names it; empty for a feature, or when any will do"},
            Field{"unit", "", &VocabularyWord::unit, "canonical unit; empty for a feature"},
        };
    }
    bool operator==(const VocabularyWord&) const = default;
};
static_assert(lists_every_member<VocabularyWord>);

/// All words that the library knows, in the order of the list.
///
/// A shop may use further words; a quantity of its own takes the dimension of the unit it is
/// written in.
///
/// >>> [w.unit for w in ew.table.vocabulary() if w.word == "gap"]
/// ['mm']
std::span<const VocabularyWord> vocabulary();

/// Dimension of a quantity; empty when the word is not known or any dimension will do.
std::string_view dimension_of(std::string_view quantity);

}  // namespace enginewright::table
