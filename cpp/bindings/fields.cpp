#include "fields.hpp"

namespace enginewright::bind {

py::object array_of_objects(const std::vector<py::object>& objects,
                            const std::vector<py::ssize_t>& shape)
{
    py::array array(py::dtype("O"), shape);
    auto* at = static_cast<PyObject**>(array.mutable_data());
    for (const auto& each : objects) {
        Py_XDECREF(*at);
        *at++ = each.inc_ref().ptr();
    }
    return read_only(array);
}

py::object masked(const py::object& values, const py::object& mask)
{
    return py::module_::import("numpy.ma").attr("array")(values, py::arg("mask") = mask);
}

py::object object_column(const Cells& cells, py::object (*give)(const std::byte*))
{
    std::vector<py::object> objects;
    objects.reserve(cells.count);
    for (std::size_t row = 0; row < cells.count; ++row) {
        objects.push_back(give(cells.at(row)));
    }
    return array_of_objects(objects, cells.shape);
}

template struct FieldOf<bool>;
template struct FieldOf<int>;
template struct FieldOf<double>;
template struct FieldOf<std::complex<double>>;
template struct FieldOf<std::string>;
template struct FieldOf<std::optional<int>>;
template struct FieldOf<std::optional<double>>;
template struct FieldOf<std::optional<std::string>>;
template struct FieldOf<std::optional<std::array<double, 2>>>;
template struct FieldOf<std::vector<int>>;
template struct FieldOf<std::vector<double>>;
template struct FieldOf<std::vector<std::optional<double>>>;
template struct FieldOf<std::vector<std::string>>;
template struct FieldOf<ComplexList>;
template struct FieldOf<std::vector<std::vector<double>>>;
template struct FieldOf<std::vector<ComplexList>>;
template struct FieldOf<std::optional<std::vector<double>>>;
template struct FieldOf<std::optional<ComplexList>>;
template struct FieldOf<std::map<std::string, double>>;

template py::object give(const std::string&);
template py::object give(const std::optional<double>&);
template py::object give(const std::vector<int>&);
template py::object give(const std::vector<double>&);
template py::object give(const std::vector<std::string>&);
template py::object give(const ComplexList&);
template py::object give(const std::vector<std::vector<double>>&);
template py::object give(const std::vector<ComplexList>&);

}  // namespace enginewright::bind
