#include "records.hpp"

/// Records as text: one line for the interpreter, a table for a notebook.
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

/// Text of a value: floats to ten digits, so that noise in the last ones stays out.
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

}  // namespace

std::string record_repr(const AnyRows& self)
{
    std::string text = self.type().name + "(";
    const char* separator = "";
    if (!self.single()) {
        text += "array_shape=" + std::string(py::str(py::tuple(py::cast(self.shape))));
        separator = ", ";
    }
    for (const auto& field : self.type().fields) {
        const auto value = attribute(self, field);
        text.append(separator).append(field.name).append("=").append(shown(value));
        if (*field.unit != '\0' && !value.is_none()) {
            text.append(" ").append(field.unit);
        }
        separator = ", ";
    }
    return text + ")";
}

std::string record_html(const AnyRows& self)
{
    std::string html = "<table><caption>" + escaped(self.type().name) + "</caption>";
    for (const auto& field : self.type().fields) {
        html += "<tr><th style=\"text-align:left\">" + escaped(field.name) + "</th><td>" +
                escaped(shown(attribute(self, field))) + "</td><td>" + escaped(field.unit) +
                "</td><td style=\"text-align:left\">" + escaped(field.meaning) + "</td></tr>";
    }
    return html + "</table>";
}

}  // namespace enginewright::bind
