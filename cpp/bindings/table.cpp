#include "enginewright/table.hpp"

#include "bind.hpp"
#include "doc/table.hpp"
#include "tables.hpp"

namespace enginewright::bind {

using table::Column;
using table::Kind;
using table::Table;

namespace {

constexpr const char* stream_name = "arrow_array_stream";
constexpr const char* schema_name = "arrow_schema";
constexpr const char* array_name = "arrow_array";

/// A struct of the Arrow interface in a capsule that releases it when nobody has taken it.
template <class Struct>
py::object capsule_of(std::unique_ptr<Struct> held, const char* name)
{
    const auto destroy = [](PyObject* capsule) {
        auto* const inside =
            static_cast<Struct*>(PyCapsule_GetPointer(capsule, PyCapsule_GetName(capsule)));
        if (inside->release != nullptr) {
            inside->release(inside);
        }
        delete inside;
    };
    auto* const capsule = PyCapsule_New(held.get(), name, destroy);
    if (capsule == nullptr) {
        throw py::error_already_set();
    }
    (void)held.release();
    return py::reinterpret_steal<py::object>(capsule);
}

template <class Struct>
Struct& inside(const py::object& capsule, const char* name)
{
    auto* const pointer = PyCapsule_GetPointer(capsule.ptr(), name);
    if (pointer == nullptr) {
        throw py::error_already_set();
    }
    return *static_cast<Struct*>(pointer);
}

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

std::optional<Kind> kind_of(const py::object& kind)
{
    return kind.is_none() ? std::nullopt
                          : std::optional(from_word<Kind>("kind", kind.cast<std::string>()));
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

std::span<const std::int64_t> rows_of(const py::array_t<std::int64_t, py::array::c_style>& rows)
{
    return {rows.data(), static_cast<std::size_t>(rows.size())};
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

void bind_columns(py::module_& module)
{
    py::class_<Column>(module, "Column", doc::table::Column)
        .def("__len__", &Column::rows)
        .def_property_readonly(
            "kind", [](const Column& self) { return std::string(word(self.kind())); },
            "What the column holds: \"word\", \"number\".")
        .def_property_readonly("is_absent", &Column::is_absent, doc::table::Column_is_absent)
        .def_property_readonly("missing_count", &Column::missing_count,
                               doc::table::Column_missing_count)
        .def("values", &values_of_column, "The values as a read-only array.")
        .def("codes", &codes_of_column, "Codes of the words as a read-only array, -1 = none.")
        .def(
            "words",
            [](const Column& self) {
                py::list words;
                for (const auto each : self.words().words) {
                    words.append(py::str(each.data(), each.size()));
                }
                return py::tuple(words);
            },
            "The words, each once.")
        .def("missing", &missing_of_column, "Which rows are missing.")
        .def("slice", &Column::slice, doc::table::Column_slice)
        .def(
            "take",
            [](const Column& self, const py::array_t<std::int64_t, py::array::c_style>& rows) {
                return self.take(rows_of(rows));
            },
            doc::table::Column_take)
        .def(
            "same", [](const Column& self, const Column& other) { return self == other; },
            "Whether kind, missing rows and values are the same.")
        .def(py::pickle(&state_of_column, &column_from_state));
    module.def(
        "column_from_values",
        [](const std::string& name, const py::object& kind, const py::object& values) {
            return column_from_values(name, kind_of(kind), values);
        },
        "name"_a, "kind"_a, "values"_a, "A column from an array or a sequence.");
    module.def(
        "column_from_codes",
        [](const std::string& name, const py::object& kind, const py::array& codes,
           const py::object& categories) {
            return column_from_codes(name, kind_of(kind), codes, categories);
        },
        "name"_a, "kind"_a, "codes"_a, "categories"_a, "A column from codes into categories.");
    module.def(
        "column_from_arrow",
        [](const std::string& name, const py::object& kind, const py::object& schema,
           const py::object& array) {
            return table::read_array(name, inside<arrow::ArrowSchema>(schema, schema_name),
                                     inside<arrow::ArrowArray>(array, array_name), kind_of(kind));
        },
        "name"_a, "kind"_a, "schema"_a, "array"_a, doc::table::read_array);
    module.def(
        "column_from_stream",
        [](const std::string& name, const py::object& kind, const py::object& capsule) {
            return table::read_array_stream(
                name, inside<arrow::ArrowArrayStream>(capsule, stream_name), kind_of(kind));
        },
        "name"_a, "kind"_a, "stream"_a, doc::table::read_array_stream);
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
            "take",
            [](const Table& self, const py::array_t<std::int64_t, py::array::c_style>& rows) {
                return self.take(rows_of(rows));
            },
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

py::object links_array(const std::vector<std::int64_t>& values)
{
    return read_only(
        py::array_t<std::int64_t>(static_cast<py::ssize_t>(values.size()), values.data()));
}

using Rows64 = py::array_t<std::int64_t, py::array::c_style | py::array::forcecast>;

std::vector<std::int64_t> copied(const Rows64& rows)
{
    return {rows.data(), rows.data() + rows.size()};
}

Found found_from(const Table& made, const Rows64& offsets, const Rows64& rows,
                 const std::vector<table::NotChecked>& not_checked)
{
    const auto* const at = offsets.data();
    bool fits = static_cast<std::size_t>(offsets.size()) == made.rows() + 1 && at[0] == 0 &&
                at[offsets.size() - 1] == rows.size();
    for (py::ssize_t i = 1; fits && i < offsets.size(); ++i) {
        fits = at[i] >= at[i - 1];
    }
    if (!fits) {
        throw std::invalid_argument("offsets must run from 0 to the number of rows and never fall");
    }
    return {made, {copied(offsets), copied(rows)}, not_checked};
}

void bind_findings(py::module_& module)
{
    bind_record<table::NotChecked>(module, "NotChecked", doc::table::NotChecked);
    py::class_<Found>(module, "Found", doc::table::Findings)
        .def(py::init(&found_from), "table"_a, "offsets"_a, "rows"_a, "not_checked"_a)
        .def_property_readonly(
            "table", [](const Found& self) { return self.table; }, "The findings as a table.")
        .def_property_readonly(
            "offsets", [](const Found& self) { return links_array(self.links.offsets); },
            "Where the readings of each finding begin in `rows`.")
        .def_property_readonly(
            "rows", [](const Found& self) { return links_array(self.links.rows); },
            "Readings of all findings, one after the other.")
        .def_property_readonly(
            "not_checked", [](const Found& self) { return give(self.not_checked); },
            "What no check could look at.")
        .def(
            "basis",
            [](const Found& self, const Table& readings) {
                return table::basis(self.links, readings);
            },
            "readings"_a, doc::table::basis);
    module.def(
        "empty_findings",
        [] {
            Found found;
            found.table = table::findings_table({}, found.links);
            return found;
        },
        "Findings of nothing.");
}

void bind_limits(py::module_& module)
{
    bind_record<table::Limit>(module, "Limit", doc::table::Limit);
    bind_record<table::CardKey>(module, "CardKey", doc::table::CardKey);
    py::class_<table::Limits>(module, "Limits", doc::table::Limits)
        .def_property_readonly(
            "rows", [](const table::Limits& self) { return give(self.rows); },
            "The rows as records.")
        .def(
            "card_figures",
            [](const table::Limits& self) {
                py::dict cards;
                for (const auto& [name, card] : self.cards) {
                    cards[py::str(name)] = table::card_figures(card);
                }
                return cards;
            },
            doc::table::card_figures)
        .def(
            "card_written",
            [](const table::Limits& self) {
                py::dict cards;
                for (const auto& [name, card] : self.cards) {
                    cards[py::str(name)] = card.written;
                }
                return cards;
            },
            "Each card as it was written, JSON.")
        .def("to_json", &table::limits_to_json, doc::table::limits_to_json)
        .def("to_table", &table::limits_table, doc::table::limits_table)
        .def(
            "same",
            [](const table::Limits& self, const table::Limits& other) { return self == other; },
            "Whether rows and cards are the same.");
    py::class_<table::Gauges>(module, "Gauges", doc::table::Gauges)
        .def_property_readonly(
            "rows",
            [](const table::Gauges& self) {
                py::list rows;
                for (const auto& each : self.rows) {
                    rows.append(give(each.gauge));
                }
                return py::tuple(rows);
            },
            "The gauges as `measure` takes them.")
        .def("to_json", &table::gauges_to_json, doc::table::gauges_to_json)
        .def("to_table", &table::gauges_table, doc::table::gauges_table)
        .def(
            "same",
            [](const table::Gauges& self, const table::Gauges& other) { return self == other; },
            "Whether the gauges are the same.");
    module.def("limits_from_json", &table::limits_from_json, "text"_a, "place"_a = "limits",
               doc::table::limits_from_json);
    module.def("gauges_from_json", &table::gauges_from_json, "text"_a, "place"_a = "gauges",
               doc::table::gauges_from_json);
    module.def(
        "card_keys",
        [] {
            const auto keys = table::card_keys();
            return give(std::vector<table::CardKey>(keys.begin(), keys.end()));
        },
        doc::table::card_keys);
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

template <class Inside>
const Inside& inside_of(py::handle given, std::string_view name, const char* wanted)
{
    if (!py::hasattr(given, "_core") || !py::isinstance<Inside>(given.attr("_core"))) {
        refuse_type(name, wanted, given);
    }
    return given.attr("_core").template cast<const Inside&>();
}

}  // namespace

const Table& take_readings(py::handle given, std::string_view name)
{
    const auto& held = inside_of<Table>(given, name, "Readings");
    table::require_schema(table::readings_spec(), held.schema());
    return held;
}

const table::Limits& take_limits(py::handle given, std::string_view name)
{
    return inside_of<table::Limits>(given, name, "Limits");
}

const table::Gauges& take_gauges(py::handle given, std::string_view name)
{
    return inside_of<table::Gauges>(given, name, "Gauges");
}

table::Findings take_findings(py::handle given, std::string_view name)
{
    const auto& found = inside_of<Found>(given, name, "Findings");
    return table::table_findings(found.table, found.links, found.not_checked);
}

py::object give_findings(table::Findings&& findings, py::handle readings)
{
    Found found;
    found.not_checked = std::move(findings.not_checked);
    found.table = table::findings_table(std::move(findings), found.links);
    return py::module_::import("enginewright.table")
        .attr("Findings")
        .attr("_made")(std::move(found), readings);
}

void bind_table(py::module_ module)
{
    py::register_local_exception_translator(&translate_refusals);
    bind_columns(module);
    bind_tables(module);
    bind_findings(module);
    bind_limits(module);
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
