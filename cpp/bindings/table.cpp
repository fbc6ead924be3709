#include "enginewright/table.hpp"

#include "doc/table.hpp"
#include "table_parts.hpp"
#include "tables.hpp"

/// Tables: their class, reading and checking them.
namespace enginewright::bind {

using table::Column;
using table::Table;

namespace {

const table::TableSpec& spec_of(const std::string& name)
{
    for (const auto* spec : {&table::readings_spec(), &table::findings_spec(),
                             &table::limits_spec(), &table::gauges_spec()}) {
        if (spec->name == name) {
            return *spec;
        }
    }
    refuse_word("table", "readings, findings, limits, gauges", name);
}

Table arranged(const std::string& name, std::size_t rows, const py::dict& columns)
{
    std::vector<table::NamedColumn> named;
    for (const auto& [key, column] : columns) {
        named.push_back({key.cast<std::string>(), column.cast<const Column&>()});
    }
    return Table::arranged(spec_of(name), rows, std::move(named));
}

Table read_stream(const std::string& name, const py::object& capsule)
{
    return table::read_stream(inside<arrow::ArrowArrayStream>(capsule, stream_name), spec_of(name));
}

py::object stream_of(const Table& self)
{
    auto stream = std::make_unique<arrow::ArrowArrayStream>();
    table::write_stream(self, *stream);
    return capsule_of(std::move(stream), stream_name);
}

py::object schema_of(const Table& self)
{
    auto schema = std::make_unique<arrow::ArrowSchema>();
    table::write_schema(self, *schema);
    return capsule_of(std::move(schema), schema_name);
}

std::vector<std::string> names_of(const Table& self)
{
    std::vector<std::string> names;
    for (const auto& each : self.columns()) {
        names.push_back(each.name);
    }
    return names;
}

py::tuple state_of_table(const Table& self)
{
    py::dict columns;
    for (const auto& each : self.columns()) {
        columns[py::str(each.name)] = state_of_column(each.column);
    }
    return py::make_tuple(self.schema(), self.rows(), self.is_checked(), columns);
}

Table table_from_state(const py::tuple& state)
{
    const auto schema = state[0].cast<std::string>();
    const auto first = schema.find('.') + 1;
    const auto& spec = spec_of(schema.substr(first, schema.rfind('/') - first));
    table::require_schema(spec, schema);
    std::vector<table::NamedColumn> named;
    for (const auto& [key, column] : state[3].cast<py::dict>()) {
        named.push_back({key.cast<std::string>(),
                         column_from_state(py::reinterpret_borrow<py::tuple>(column))});
    }
    auto made = Table::arranged(spec, state[1].cast<std::size_t>(), std::move(named));
    return state[2].cast<bool>() ? made.checked() : made;
}

void bind_tables(py::module_& module)
{
    py::class_<Table>(module, "Table", doc::table::Table)
        .def("__len__", &Table::rows)
        .def_property_readonly("schema", &Table::schema, "\"enginewright.readings/1\"")
        .def_property_readonly("names", &names_of, "Names of the columns, in their order.")
        .def_property_readonly("is_checked", &Table::is_checked, doc::table::Table_is_checked)
        .def(
            "column", [](const Table& self, const std::string& name) { return self.column(name); },
            doc::table::Table_column)
        .def("slice", &Table::slice, doc::table::Table_slice)
        .def(
            "take", [](const Table& self, const Rows64& rows) { return self.take(rows_of(rows)); },
            doc::table::Table_take)
        .def(
            "with_column",
            [](const Table& self, std::string name, const Column& column) {
                return self.with(std::move(name), column);
            },
            doc::table::Table_with)
        .def(
            "same", [](const Table& self, const Table& other) { return self == other; },
            "Whether schema, columns and values are the same.")
        .def(
            "__arrow_c_stream__",
            [](const Table& self, const py::object&) { return stream_of(self); },
            "requested_schema"_a = py::none(), doc::table::write_stream)
        .def("__arrow_c_schema__", &schema_of, doc::table::write_schema)
        .def(py::pickle(&state_of_table, &table_from_state));
}

void bind_table_makers(py::module_& module)
{
    bind_record<table::ColumnSpec>(module, "ColumnSpec", doc::table::ColumnSpec);
    module.def(
        "columns", [](const std::string& name) { return give(spec_of(name).columns); }, "table"_a,
        "The columns that a schema names.");
    module.def("arranged", &arranged, "table"_a, "rows"_a, "columns"_a, doc::table::Table_arranged);
    module.def("read_stream", &read_stream, "table"_a, "stream"_a, doc::table::read_stream);
    module.def(
        "check_readings",
        [](const Table& readings) {
            table::check_readings(readings);
            return readings.checked();
        },
        "readings"_a, doc::table::check_readings);
    module.def(
        "number_repeats",
        [](const Table& readings) {
            auto found = table::number_repeats(readings);
            const auto numbered = read_only(py::array_t<std::int64_t>(
                static_cast<py::ssize_t>(found.numbered.size()), found.numbered.data()));
            return py::make_tuple(readings.with("repeat", found.repeat).checked(), numbered);
        },
        "readings"_a, doc::table::number_repeats);
    module.def(
        "cells",
        [](const Table& readings) {
            const auto view = table::view(readings);
            std::vector<std::string> cells;
            for (std::size_t i = 0; i < view.rows; ++i) {
                cells.push_back(table::cell_of(view, i));
            }
            return cells;
        },
        "readings"_a, doc::table::cell_of);
    module.def("in_canonical_units", &table::in_canonical_units, "readings"_a,
               doc::table::in_canonical_units);
}

void translate_refusals(std::exception_ptr failed)
{
    try {
        if (failed) {
            std::rethrow_exception(failed);
        }
    } catch (const table::TypeRefused& refused) {
        PyErr_SetString(PyExc_TypeError, refused.what());
    }
}

}  // namespace

void bind_table(py::module_ module)
{
    py::register_local_exception_translator(&translate_refusals);
    bind_columns(module);
    bind_tables(module);
    bind_table_makers(module);
    bind_cards(module);
    bind_record<table::VocabularyWord>(module, "VocabularyWord", doc::table::VocabularyWord);
    module.def(
        "vocabulary",
        [] {
            const auto words = table::vocabulary();
            return give(std::vector<table::VocabularyWord>(words.begin(), words.end()));
        },
        doc::table::vocabulary);
}

}  // namespace enginewright::bind
