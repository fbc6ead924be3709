#pragma once

#include <string>
#include <vector>

#include "arguments.hpp"
#include "enginewright/table.hpp"

/// Tables at the seam: what Python's Readings, Limits, Gauges and Findings hold.
///
/// The Python classes keep their C++ part under `_core`; these functions take it out and put it in,
/// so that a bench which works on tables never touches a column in Python.
namespace enginewright::bind {

/// Findings as Python keeps them: the table, the readings of each, and what was not checked.
struct Found {
    table::Table table{};
    table::Links links{};
    table::NotCheckedList not_checked{};
};

/// The table of a `Readings`; a TypeError by name when it is none. Lives as long as the object.
const table::Table& take_readings(py::handle given, std::string_view name = "readings");

/// The limits of a `Limits`.
const table::Limits& take_limits(py::handle given, std::string_view name = "limits");

/// The gauges of a `Gauges`.
const table::Gauges& take_gauges(py::handle given, std::string_view name = "gauges");

/// The findings of a `Findings`, copied.
table::Findings take_findings(py::handle given, std::string_view name = "findings");

/// Python's `Findings`; the columns are moved in.
///
/// readings  the `Readings` that they were made from; kept for `basis` and `readings_of`
py::object give_findings(table::Findings&& findings, py::handle readings);

/// A column from whatever NumPy or Python holds it in: an array, a masked array, a sequence.
///
/// kind  wanted; absent: whatever the values are
table::Column column_from_values(std::string_view name, std::optional<table::Kind> kind,
                                 py::handle values);

/// A column from codes into categories, as a data frame keeps them.
table::Column column_from_codes(std::string_view name, std::optional<table::Kind> kind,
                                const py::array& codes, py::handle categories);

/// The values of a column as a read-only NumPy array, without a copy where they already lie so.
///
/// Where a row is missing stands NaN, 0 for a count, NaT for a date, None for a word or text.
py::object values_of_column(const table::Column& column);

/// Codes of a column of words as a read-only array; -1 where there is none.
py::object codes_of_column(const table::Column& column);

/// Which rows are missing, as a read-only array of truth values.
py::object missing_of_column(const table::Column& column);

/// What `pickle` keeps of a column, and the column back.
py::tuple state_of_column(const table::Column& column);
table::Column column_from_state(const py::tuple& state);

}  // namespace enginewright::bind
