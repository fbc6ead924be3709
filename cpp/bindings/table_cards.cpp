#include "doc/table.hpp"
#include "table_parts.hpp"
#include "tables.hpp"

/// Findings, limits and gauges: their classes, and the way in and out of Python's own.
namespace enginewright::bind {

using table::Table;

namespace {

py::object links_array(const std::vector<std::int64_t>& values)
{
    return read_only(
        py::array_t<std::int64_t>(static_cast<py::ssize_t>(values.size()), values.data()));
}

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
    return {made, {copied(offsets), copied(rows)}, table::NotCheckedList(not_checked)};
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
            "not_checked", [](const Found& self) { return give(self.not_checked.lines()); },
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
}

void bind_gauges(py::module_& module)
{
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

template <class Inside>
const Inside& inside_of(py::handle given, std::string_view name, const char* wanted)
{
    if (!py::hasattr(given, "_core") || !py::isinstance<Inside>(given.attr("_core"))) {
        refuse_type(name, wanted, given);
    }
    return given.attr("_core").template cast<const Inside&>();
}

}  // namespace

void bind_cards(py::module_& module)
{
    bind_findings(module);
    bind_limits(module);
    bind_gauges(module);
}

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
    return table::table_findings(found.table, found.links, found.not_checked.lines());
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

}  // namespace enginewright::bind
