#pragma once

#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>

#include <Eigen/Core>
#include <complex>
#include <concepts>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "enginewright/check.hpp"
#include "enginewright/record.hpp"

/// Arguments: what comes from Python becomes a C++ value, or is refused by its name.
///
/// A wrong *type* is a `TypeError`, an impossible *value* a `ValueError`; both name the parameter:
/// "bore must be a number or an array of numbers, got str". One specialisation of `Argument` a C++
/// type; each keeps alive what its value points into.
namespace enginewright::bind {

namespace py = pybind11;

/// Stations by axes, one row a station: the readings of one bore or journal.
using Grid = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

[[noreturn]] inline void refuse_type(std::string_view name, std::string_view wanted,
                                     py::handle given)
{
    throw py::type_error(std::string(name)
                             .append(" must be ")
                             .append(wanted)
                             .append(", got ")
                             .append(Py_TYPE(given.ptr())->tp_name));
}

/// Whether it is a masked array: nothing else has both. Importing numpy.ma for a type check would
/// cost every caller who has none.
inline bool is_masked_array(py::handle given)
{
    return py::hasattr(given, "mask") && py::hasattr(given, "filled");
}

/// The commonest case, without a single branch into NumPy: an exact float or a whole number.
inline bool take_plain_number(PyObject* given, double& value)
{
    if (PyFloat_CheckExact(given)) {
        value = PyFloat_AS_DOUBLE(given);
        return true;
    }
    if (PyLong_CheckExact(given)) {
        value = PyLong_AsDouble(given);
        if (value == -1.0 && PyErr_Occurred() != nullptr) {
            PyErr_Clear();
            return false;
        }
        return true;
    }
    return false;
}

/// One number from anything that is one: float, int, NumPy scalar, an array of no dimensions, an
/// object with `__float__`. Not a text, a truth value, a complex number or an array.
double take_number(py::handle given, std::string_view name);

/// A contiguous float64 array of any shape from numbers, lists, Series, arrays of real numbers.
///
/// Masked elements, objects, texts, truth values and complex numbers are refused by name.
py::array_t<double, py::array::c_style> take_array(py::handle given, std::string_view name);

/// A vector as Python writes it: a complex number, or a real one along the zero mark.
inline bool take_plain_complex(PyObject* given, std::complex<double>& value)
{
    if (PyComplex_CheckExact(given)) {
        const Py_complex parts = PyComplex_AsCComplex(given);
        value = {parts.real, parts.imag};
        return true;
    }
    double number = 0;
    if (!take_plain_number(given, number)) {
        return false;
    }
    value = number;
    return true;
}

/// One complex number from anything that is one, or that is a number.
std::complex<double> take_complex(py::handle given, std::string_view name);

/// A contiguous complex128 array of any shape; refuses what `take_array` refuses.
py::array_t<std::complex<double>, py::array::c_style> take_complex_array(py::handle given,
                                                                         std::string_view name);

/// A text, refused by name when it is none.
std::string take_text(py::handle given, std::string_view name);

/// A whole number, refused by name when it is none.
long long take_whole(py::handle given, std::string_view name);

template <class T>
struct Argument;

template <>
struct Argument<double> {
    double value;
    Argument(py::handle given, std::string_view name)
    {
        if (!take_plain_number(given.ptr(), value)) {
            value = take_number(given, name);
        }
    }
    double get() const { return value; }
};

template <>
struct Argument<std::complex<double>> {
    std::complex<double> value;
    Argument(py::handle given, std::string_view name)
    {
        if (!take_plain_complex(given.ptr(), value)) {
            value = take_complex(given, name);
        }
    }
    std::complex<double> get() const { return value; }
};

template <std::integral T>
    requires(!std::same_as<T, bool>)
struct Argument<T> {
    T value;
    Argument(py::handle given, std::string_view name)
    {
        const long long whole = take_whole(given, name);
        if (!std::in_range<T>(whole)) {
            refuse_all(name, "be a whole number of a sensible size, got " + std::to_string(whole));
        }
        value = static_cast<T>(whole);
    }
    T get() const { return value; }
};

template <>
struct Argument<bool> {
    bool value;
    Argument(py::handle given, std::string_view name) : value(given.ptr() == Py_True)
    {
        if (!PyBool_Check(given.ptr())) {
            refuse_type(name, "True or False", given);
        }
    }
    bool get() const { return value; }
};

template <>
struct Argument<std::string> {
    std::string value;
    Argument(py::handle given, std::string_view name) : value(take_text(given, name)) {}
    const std::string& get() const { return value; }
};

template <>
struct Argument<std::string_view> {
    std::string value;
    Argument(py::handle given, std::string_view name) : value(take_text(given, name)) {}
    std::string_view get() const { return value; }
};

template <Worded E>
struct Argument<E> {
    E value;
    Argument(py::handle given, std::string_view name)
        : value(from_word<E>(name, take_text(given, name)))
    {
    }
    E get() const { return value; }
};

/// A set of readings: list, tuple, Series or array with one dimension.
template <>
struct Argument<std::span<const double>> {
    py::array_t<double, py::array::c_style> held;
    Argument(py::handle given, std::string_view name) : held(take_array(given, name))
    {
        if (held.ndim() != 1) {
            refuse_all(name, "have one dimension, got " + std::to_string(held.ndim()));
        }
    }
    std::span<const double> get() const
    {
        return {held.data(), static_cast<std::size_t>(held.size())};
    }
};

template <>
struct Argument<std::vector<double>> {
    Argument<std::span<const double>> held;
    Argument(py::handle given, std::string_view name) : held(given, name) {}
    std::vector<double> get() const
    {
        const auto view = held.get();
        return {view.begin(), view.end()};
    }
};

/// Vectors in a row: a single one, or an array with one dimension.
template <>
struct Argument<std::span<const std::complex<double>>> {
    py::array_t<std::complex<double>, py::array::c_style> held;
    Argument(py::handle given, std::string_view name) : held(take_complex_array(given, name))
    {
        if (held.ndim() > 1) {
            refuse_all(name, "have one dimension, got " + std::to_string(held.ndim()));
        }
    }
    std::span<const std::complex<double>> get() const
    {
        return {held.data(), static_cast<std::size_t>(held.size())};
    }
};

template <>
struct Argument<std::vector<std::complex<double>>> {
    Argument<std::span<const std::complex<double>>> held;
    Argument(py::handle given, std::string_view name) : held(given, name) {}
    std::vector<std::complex<double>> get() const
    {
        const auto view = held.get();
        return {view.begin(), view.end()};
    }
};

/// Vectors in rows and columns; one dimension is a single column, a single one a table of one.
template <>
struct Argument<Eigen::MatrixXcd> {
    Eigen::MatrixXcd value;
    Argument(py::handle given, std::string_view name)
    {
        using Rowwise =
            Eigen::Matrix<std::complex<double>, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
        const auto array = take_complex_array(given, name);
        if (array.ndim() > 2) {
            refuse_all(name, "have one or two dimensions, got " + std::to_string(array.ndim()));
        }
        const py::ssize_t rows = array.ndim() == 0 ? 1 : array.shape(0);
        value =
            Eigen::Map<const Rowwise>(array.data(), rows, array.ndim() == 2 ? array.shape(1) : 1);
    }
    const Eigen::MatrixXcd& get() const { return value; }
};

/// One number, or one for each part.
template <>
struct Argument<std::variant<double, std::vector<double>>> {
    std::variant<double, std::vector<double>> value;
    Argument(py::handle given, std::string_view name)
    {
        double number = 0;
        if (take_plain_number(given.ptr(), number)) {
            value = number;
            return;
        }
        const auto array = take_array(given, name);
        if (array.ndim() == 0) {
            value = *array.data();
        } else if (array.ndim() == 1) {
            value = std::vector<double>(array.data(), array.data() + array.size());
        } else {
            refuse_all(name,
                       "be a number or have one dimension, got " + std::to_string(array.ndim()));
        }
    }
    const std::variant<double, std::vector<double>>& get() const { return value; }
};

/// The readings of one bore or journal: two dimensions, stations by axes.
template <>
struct Argument<Grid> {
    Grid value;
    Argument(py::handle given, std::string_view name)
    {
        const auto array = take_array(given, name);
        if (array.ndim() != 2) {
            refuse_all(
                name, "have two dimensions, stations by axes, got " + std::to_string(array.ndim()));
        }
        value = Eigen::Map<const Grid>(array.data(), array.shape(0), array.shape(1));
    }
    const Grid& get() const { return value; }
};

/// A sequence of anything that is an argument itself; its elements are named `bores[2]`.
template <class T>
    requires(!std::same_as<T, double>)
struct Argument<std::vector<T>> {
    std::vector<T> value;
    Argument(py::handle given, std::string_view name)
    {
        if (PyUnicode_Check(given.ptr()) || PyBytes_Check(given.ptr())) {
            refuse_type(name, "a sequence", given);
        }
        const auto walk = py::reinterpret_steal<py::iterator>(PyObject_GetIter(given.ptr()));
        if (!walk) {
            PyErr_Clear();
            refuse_type(name, "a sequence", given);
        }
        std::size_t index = 0;
        for (const auto each : walk) {
            value.emplace_back(Argument<T>(each, element_name(name, index++)).get());
        }
    }
    const std::vector<T>& get() const { return value; }
};

/// The same for functions that look at a sequence without owning it.
template <class T>
    requires(!std::same_as<T, double>)
struct Argument<std::span<const T>> {
    Argument<std::vector<T>> held;
    Argument(py::handle given, std::string_view name) : held(given, name) {}
    std::span<const T> get() const { return held.get(); }
};

/// One reading a part, or parts by places: told apart by the dimensions.
template <>
struct Argument<std::variant<std::vector<double>, Grid>> {
    std::variant<std::vector<double>, Grid> value;
    Argument(py::handle given, std::string_view name)
    {
        const auto array = take_array(given, name);
        if (array.ndim() == 1) {
            value = std::vector<double>(array.data(), array.data() + array.size());
        } else if (array.ndim() == 2) {
            value = Grid(Eigen::Map<const Grid>(array.data(), array.shape(0), array.shape(1)));
        } else {
            refuse_all(name, "have one or two dimensions, got " + std::to_string(array.ndim()));
        }
    }
    const std::variant<std::vector<double>, Grid>& get() const { return value; }
};

/// A dict from names to values; its elements are named `grades['red']`.
template <class T>
struct Argument<std::map<std::string, T>> {
    std::map<std::string, T> value;
    Argument(py::handle given, std::string_view name)
    {
        if (!py::isinstance<py::dict>(given)) {
            refuse_type(name, "a dict", given);
        }
        for (const auto& [key, each] : py::reinterpret_borrow<py::dict>(given)) {
            const std::string text = take_text(key, std::string(name) + " key");
            value.emplace(text, Argument<T>(each, std::string(name) + "['" + text + "']").get());
        }
    }
    const std::map<std::string, T>& get() const { return value; }
};

/// Two values that belong together, in a tuple or list of two.
template <class T>
struct Argument<std::pair<T, T>> {
    std::pair<T, T> value;
    Argument(py::handle given, std::string_view name)
    {
        const auto both = Argument<std::vector<T>>(given, name).get();
        if (both.size() != 2) {
            refuse_all(name, "hold 2 values, got " + std::to_string(both.size()));
        }
        value = {both[0], both[1]};
    }
    const std::pair<T, T>& get() const { return value; }
};

template <class T>
struct Argument<std::optional<T>> {
    std::optional<Argument<T>> held;
    Argument(py::handle given, std::string_view name)
    {
        if (!given.is_none()) {
            held.emplace(given, name);
        }
    }
    std::optional<T> get() const { return held ? std::optional<T>(held->get()) : std::nullopt; }
};

}  // namespace enginewright::bind
