#include "arguments.hpp"

namespace enginewright::bind {

namespace {

constexpr std::string_view numbers_wanted = "a number or an array of numbers";
constexpr std::string_view complex_wanted = "a complex number or an array of them";

/// The message of the Python error that is set, which is cleared.
std::string taken_error()
{
    py::error_already_set error;
    return py::str(error.value());
}

/// Whether some element of a masked array is masked.
bool has_gaps(py::handle given)
{
    return is_masked_array(given) &&
           py::bool_(py::module_::import("numpy").attr("any")(given.attr("mask")));
}

}  // namespace

double take_number(py::handle given, std::string_view name)
{
    double value = 0;
    if (take_plain_number(given.ptr(), value)) {
        return value;
    }
    if (PyLong_CheckExact(given.ptr())) {
        refuse_all(name, "be a finite number, got a whole number beyond every double");
    }
    if (PyBool_Check(given.ptr()) || PyComplex_Check(given.ptr()) || PyUnicode_Check(given.ptr()) ||
        PyBytes_Check(given.ptr()) || given.is_none()) {
        refuse_type(name, "a number", given);
    }
    if (py::isinstance<py::array>(given) || PySequence_Check(given.ptr())) {
        const auto array = take_array(given, name);
        if (array.ndim() != 0) {
            refuse_all(name, "be one number, got an array");
        }
        return *array.data();
    }
    if (py::hasattr(given, "dtype")) {
        return *take_array(given, name).data();
    }
    if (Py_TYPE(given.ptr())->tp_as_number == nullptr ||
        Py_TYPE(given.ptr())->tp_as_number->nb_float == nullptr) {
        refuse_type(name, "a number", given);
    }
    value = PyFloat_AsDouble(given.ptr());
    if (value == -1.0 && PyErr_Occurred() != nullptr) {
        throw py::type_error(std::string(name) + " must be a number: " + taken_error());
    }
    return value;
}

namespace {

/// An array of numbers of T from anything that is one, `kinds` being NumPy's letters for them.
template <class T>
py::array_t<T, py::array::c_style> taken_array(py::handle given, std::string_view name,
                                               std::string_view wanted, std::string_view kinds)
{
    if (has_gaps(given)) {
        refuse_all(name, "hold no masked elements");
    }
    // Kept for the life of the process: looking it up would cost more than small arrays do.
    static PyObject* const as_array =
        py::object(py::module_::import("numpy").attr("asarray")).release().ptr();
    py::object array;
    try {
        array = py::handle(as_array)(given);
    } catch (py::error_already_set& error) {
        throw py::type_error(std::string(name) + " must be " + std::string(wanted) + ": " +
                             std::string(py::str(error.value())));
    }
    const auto as = py::reinterpret_borrow<py::array>(array);
    const char kind = as.dtype().kind();
    if (kinds.find(kind) != std::string_view::npos || (as.size() == 0 && kind == 'O')) {
        return py::array_t<T, py::array::c_style | py::array::forcecast>(as);
    }
    if (as.ndim() == 0) {
        refuse_type(name, wanted, given);
    }
    throw py::type_error(std::string(name) + " must be " + std::string(wanted) +
                         ", got an array of " + std::string(py::str(as.dtype())));
}

}  // namespace

py::array_t<double, py::array::c_style> take_array(py::handle given, std::string_view name)
{
    return taken_array<double>(given, name, numbers_wanted, "fiu");
}

py::array_t<std::complex<double>, py::array::c_style> take_complex_array(py::handle given,
                                                                         std::string_view name)
{
    return taken_array<std::complex<double>>(given, name, complex_wanted, "fiuc");
}

std::complex<double> take_complex(py::handle given, std::string_view name)
{
    std::complex<double> value = 0;
    if (take_plain_complex(given.ptr(), value)) {
        return value;
    }
    const auto array = take_complex_array(given, name);
    if (array.ndim() != 0) {
        refuse_all(name, "be one complex number, got an array");
    }
    return *array.data();
}

std::string take_text(py::handle given, std::string_view name)
{
    if (!PyUnicode_Check(given.ptr())) {
        refuse_type(name, "a text", given);
    }
    Py_ssize_t size = 0;
    const char* bytes = PyUnicode_AsUTF8AndSize(given.ptr(), &size);
    if (bytes == nullptr) {
        PyErr_Clear();
        refuse_all(name, "be a text of whole characters, got lone surrogates");
    }
    return {bytes, static_cast<std::size_t>(size)};
}

long long take_whole(py::handle given, std::string_view name)
{
    if (PyBool_Check(given.ptr()) || PyIndex_Check(given.ptr()) == 0 ||
        (py::isinstance<py::array>(given) && py::reinterpret_borrow<py::array>(given).ndim() > 0)) {
        refuse_type(name, "a whole number", given);
    }
    const auto index = py::reinterpret_steal<py::object>(PyNumber_Index(given.ptr()));
    if (!index) {
        throw py::type_error(std::string(name) + " must be a whole number: " + taken_error());
    }
    int overflow = 0;
    const long long value = PyLong_AsLongLongAndOverflow(index.ptr(), &overflow);
    if (overflow != 0) {
        refuse_all(name, "be a whole number of a sensible size");
    }
    return value;
}

}  // namespace enginewright::bind
