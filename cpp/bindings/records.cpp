#include "records.hpp"

namespace enginewright::bind {

namespace {

std::string escaped(const std::string& text)
{
    std::string out;
    for (const char c : text) {
        switch (c) {
            case '&':
                out += "&amp;";
                break;
            case '<':
                out += "&lt;";
                break;
            case '>':
                out += "&gt;";
                break;
            case '"':
                out += "&quot;";
                break;
            default:
                out += c;
        }
    }
    return out;
}

}  // namespace

std::string shown(py::handle value)
{
    if (PyFloat_CheckExact(value.ptr())) {
        return py::str(py::module_::import("builtins").attr("format")(value, ".10g"));
    }
    if (py::hasattr(value, "filled")) {
        return py::str(py::str(value));
    }
    if (py::isinstance<py::array>(value)) {
        return py::str(py::module_::import("numpy").attr("array2string")(
            value, py::arg("threshold") = 8, py::arg("separator") = ", "));
    }
    return py::str(py::repr(value));
}

std::string record_html(const std::string& name,
                        const std::vector<std::array<std::string, 4>>& rows)
{
    std::string html = "<table><caption>" + escaped(name) + "</caption>";
    for (const auto& [field, value, unit, meaning] : rows) {
        html += "<tr><th style=\"text-align:left\">" + escaped(field) + "</th><td>" +
                escaped(value) + "</td><td>" + escaped(unit) +
                "</td><td style=\"text-align:left\">" + escaped(meaning) + "</td></tr>";
    }
    return html + "</table>";
}

}  // namespace enginewright::bind
