#include "doc/table.hpp"
#include "table_parts.hpp"
#include "tables.hpp"

/// The class of columns, and the ways to make one.
namespace enginewright::bind {

using table::Column;

namespace {

void bind_column_class(py::module_& module)
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
            "take", [](const Column& self, const Rows64& rows) { return self.take(rows_of(rows)); },
            doc::table::Column_take)
        .def(
            "same", [](const Column& self, const Column& other) { return self == other; },
            "Whether kind, missing rows and values are the same.")
        .def(py::pickle(&state_of_column, &column_from_state));
}

void bind_column_makers(py::module_& module)
{
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

}  // namespace

void bind_columns(py::module_& module)
{
    bind_column_class(module);
    bind_column_makers(module);
}

}  // namespace enginewright::bind
