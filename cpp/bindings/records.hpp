#pragma once

#include <pybind11/complex.h>
#include <pybind11/eigen.h>
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <algorithm>
#include <cstring>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "arguments.hpp"
#include "enginewright/record.hpp"

/// Records and words in Python.
///
/// One class a record, whatever the shape: behind it stands `Rows`, so `finding.gap` is a float for
/// one ring and an array for a year of rings. Everything here is one pass over `fields()`.
namespace enginewright::bind {

namespace py = pybind11;

/// One record, or an array of them: shape () is a single result.
template <Record R>
struct Rows {
    std::vector<R> rows{};
    std::vector<py::ssize_t> shape{};
    /// Fields that carry their uncertainty: a `Quantity` stands before the plain figure.
    std::vector<std::pair<std::string, py::object>> doubtful{};

    bool single() const { return shape.empty(); }
    py::object quantity(const char* name) const
    {
        for (const auto& [field, value] : doubtful) {
            if (field == name) {
                return value;
            }
        }
        return {};
    }
};

inline py::object read_only(py::array array)
{
    array.attr("setflags")(py::arg("write") = false);
    return array;
}

inline py::object array_of_objects(const std::vector<py::object>& objects,
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

template <class T>
py::object give(const T& value);

/// Numbers that become an array of NumPy's own.
template <class T>
inline constexpr bool is_number_of_array =
    std::is_same_v<T, double> || std::is_same_v<T, std::complex<double>>;

/// Rows of one length as a read-only array of two dimensions.
template <class T>
py::object give_matrix(const std::vector<std::vector<T>>& rows)
{
    const std::size_t columns = rows.empty() ? 0 : rows.front().size();
    py::array_t<T> array({rows.size(), columns});
    T* at = array.mutable_data();
    for (const auto& row : rows) {
        if (row.size() != columns) {
            throw std::logic_error("a matrix has rows of different lengths");
        }
        at = std::copy(row.begin(), row.end(), at);
    }
    return read_only(std::move(array));
}

/// A list in Python: numbers as a read-only array, anything else as a tuple.
template <class T>
py::object give_list(const std::vector<T>& list)
{
    if constexpr (is_number_of_array<T>) {
        return read_only(py::array_t<T>(static_cast<py::ssize_t>(list.size()), list.data()));
    } else if constexpr (std::is_same_v<T, std::vector<double>> ||
                         std::is_same_v<T, std::vector<std::complex<double>>>) {
        return give_matrix(list);
    } else {
        py::tuple tuple(list.size());
        for (std::size_t i = 0; i < list.size(); ++i) {
            tuple[i] = give<T>(list[i]);
        }
        return tuple;
    }
}

/// A C++ value in Python: words as `str`, an empty optional as None, series as read-only arrays.
template <class T>
py::object give(const T& value)
{
    if constexpr (Record<T>) {
        return py::cast(Rows<T>{.rows = {value}});
    } else if constexpr (Worded<T>) {
        return py::str(std::string(word(value)));
    } else if constexpr (is_optional<T>) {
        return value ? give(*value) : py::none();
    } else if constexpr (is_vector<T>) {
        return give_list(value);
    } else if constexpr (is_map<T>) {
        py::dict dict;
        for (const auto& [key, each] : value) {
            dict[py::str(key)] = give(each);
        }
        return dict;
    } else if constexpr (std::is_base_of_v<Eigen::DenseBase<T>, T>) {
        return read_only(py::cast(value));
    } else if constexpr (requires { std::tuple_size<T>::value; }) {
        return std::apply([](const auto&... each) { return py::make_tuple(give(each)...); }, value);
    } else {
        return py::cast(value);
    }
}

template <class T>
inline constexpr bool is_optional_number = false;
template <class T>
inline constexpr bool is_optional_number<std::optional<T>> = std::is_arithmetic_v<T>;

/// One field of many records as a column of their shape; missing figures are masked.
template <class R, class Value>
py::object column(const Rows<R>& self, Value R::* member)
{
    const auto plain = [&]<class T>(std::type_identity<T>, auto&& pick) {
        py::array_t<T> array(self.shape);
        auto* at = array.mutable_data();
        for (const auto& row : self.rows) {
            *at++ = pick(row.*member);
        }
        return py::object(read_only(std::move(array)));
    };
    if constexpr (std::is_arithmetic_v<Value> || std::is_same_v<Value, std::complex<double>>) {
        return plain(std::type_identity<Value>{}, [](const Value& v) { return v; });
    } else if constexpr (is_optional_number<Value>) {
        using T = typename Value::value_type;
        const auto values =
            plain(std::type_identity<T>{}, [](const Value& v) { return v.value_or(T{}); });
        const auto mask =
            plain(std::type_identity<bool>{}, [](const Value& v) { return !v.has_value(); });
        return py::module_::import("numpy.ma").attr("array")(values, py::arg("mask") = mask);
    } else if constexpr (Record<Value>) {
        Rows<Value> inner{.rows = {}, .shape = self.shape};
        for (const auto& row : self.rows) {
            inner.rows.push_back(row.*member);
        }
        return py::cast(std::move(inner));
    } else {
        std::vector<py::object> objects;
        objects.reserve(self.rows.size());
        for (const auto& row : self.rows) {
            objects.push_back(give(row.*member));
        }
        return array_of_objects(objects, self.shape);
    }
}

template <class R, class Value>
py::object attribute(const Rows<R>& self, const char* name, Value R::* member)
{
    if (auto quantity = self.quantity(name)) {
        return quantity;
    }
    return self.single() ? give(self.rows.front().*member) : column(self, member);
}

template <Record R>
py::dict as_dict(const Rows<R>& self)
{
    py::dict dict;
    std::apply(
        [&](const auto&... field) {
            const auto put = [&](const char* name, py::object value) {
                if (py::hasattr(value, "as_dict") && py::hasattr(value, "array_shape")) {
                    value = value.attr("as_dict")();
                }
                dict[name] = value;
            };
            (put(field.name, attribute(self, field.name, field.member)), ...);
        },
        R::fields());
    return dict;
}

/// Text of a value for `repr`: floats to ten digits, so that noise in the last ones stays out.
std::string shown(py::handle value);

/// Text of the whole record for a notebook: names, values with units, meanings; escaped.
std::string record_html(const std::string& name,
                        const std::vector<std::array<std::string, 4>>& rows);

template <Record R>
std::string record_repr(const Rows<R>& self, const std::string& name)
{
    std::string text = name + "(";
    const char* separator = "";
    if (!self.single()) {
        text += "array_shape=" + std::string(py::str(py::tuple(py::cast(self.shape))));
        separator = ", ";
    }
    std::apply(
        [&](const auto&... field) {
            const auto put = [&](const auto& each) {
                const auto value = attribute(self, each.name, each.member);
                text.append(separator).append(each.name).append("=").append(shown(value));
                if (*each.unit != '\0' && !value.is_none()) {
                    text.append(" ").append(each.unit);
                }
                separator = ", ";
            };
            (put(field), ...);
        },
        R::fields());
    return text + ")";
}

template <Record R>
std::string html_of(const Rows<R>& self, const std::string& name)
{
    std::vector<std::array<std::string, 4>> rows;
    std::apply(
        [&](const auto&... field) {
            (rows.push_back({field.name, shown(attribute(self, field.name, field.member)),
                             field.unit, field.meaning}),
             ...);
        },
        R::fields());
    return record_html(name, rows);
}

/// The rows that a NumPy index picks: a single record for a whole number, else a record of columns.
template <Record R>
Rows<R> pick(const Rows<R>& self, const py::object& index)
{
    if (self.single()) {
        throw py::type_error("a single record has no elements");
    }
    const auto numpy = py::module_::import("numpy");
    const auto order = numpy.attr("arange")(self.rows.size()).attr("reshape")(self.shape);
    const auto chosen = py::array_t<py::ssize_t, py::array::c_style | py::array::forcecast>(
        py::object(order[index]));
    Rows<R> picked;
    for (py::ssize_t i = 0; i < chosen.size(); ++i) {
        picked.rows.push_back(self.rows[static_cast<std::size_t>(chosen.data()[i])]);
    }
    picked.shape.assign(chosen.shape(), chosen.shape() + chosen.ndim());
    for (const auto& [name, value] : self.doubtful) {
        picked.doubtful.emplace_back(name, value[index]);
    }
    return picked;
}

template <Record R>
py::tuple state_of(const Rows<R>& self)
{
    py::list rows;
    for (const auto& row : self.rows) {
        py::list values;
        for_each_field(row, [&](const auto&, const auto& value) { values.append(give(value)); });
        rows.append(py::tuple(values));
    }
    py::dict doubtful;
    for (const auto& [name, value] : self.doubtful) {
        doubtful[py::str(name)] = value;
    }
    return py::make_tuple(py::tuple(py::cast(self.shape)), py::tuple(rows), doubtful);
}

template <Record R>
Rows<R> from_state(const py::tuple& state)
{
    Rows<R> self;
    self.shape = state[0].cast<std::vector<py::ssize_t>>();
    for (const auto each : state[1].cast<py::tuple>()) {
        const auto values = py::reinterpret_borrow<py::tuple>(each);
        R row;
        std::size_t at = 0;
        for_each_field(row, [&](const auto&, auto& value) {
            using Value = std::remove_reference_t<decltype(value)>;
            value = py::cast<Value>(py::object(values[at++]));
        });
        self.rows.push_back(std::move(row));
    }
    for (const auto [name, value] : state[2].cast<py::dict>()) {
        self.doubtful.emplace_back(py::cast<std::string>(name),
                                   py::reinterpret_borrow<py::object>(value));
    }
    return self;
}

/// A single record that the user made, or got from another call.
template <Record R>
struct Argument<R> {
    R value;
    Argument(py::handle given, std::string_view name)
    {
        if (!py::isinstance<Rows<R>>(given)) {
            const py::str wanted = py::type::of<Rows<R>>().attr("__name__");
            refuse_type(name, "a " + std::string(wanted), given);
        }
        const auto& rows = given.cast<const Rows<R>&>();
        if (!rows.single()) {
            refuse_all(name, "be a single record, got " + std::to_string(rows.rows.size()));
        }
        value = rows.rows.front();
    }
    const R& get() const { return value; }
};

/// Binds a record: attributes, repr with units, `as_dict`, equality, hash, pickle, copy, columns.
template <Record R>
py::class_<Rows<R>> bind_record(py::module_& module, const char* name, const char* text)
{
    py::class_<Rows<R>> bound(module, name, text);
    py::dict units;
    py::list names;
    std::apply(
        [&](const auto&... field) {
            const auto put = [&](const auto& each) {
                bound.def_property_readonly(
                    each.name,
                    [each](const Rows<R>& self) { return attribute(self, each.name, each.member); },
                    each.meaning);
                units[each.name] = each.unit;
                names.append(each.name);
            };
            (put(field), ...);
        },
        R::fields());
    bound.attr("units") = units;
    bound.attr("__match_args__") = py::tuple(names);
    const std::string shown_name = name;
    bound.def("as_dict", &as_dict<R>, "The fields and their values as a dict.")
        .def("__repr__",
             [shown_name](const Rows<R>& self) { return record_repr(self, shown_name); })
        .def("_repr_html_", [shown_name](const Rows<R>& self) { return html_of(self, shown_name); })
        .def_property_readonly(
            "array_shape", [](const Rows<R>& self) { return py::tuple(py::cast(self.shape)); },
            "Shape of the columns; () for a single record.")
        .def("__len__",
             [](const Rows<R>& self) {
                 if (self.single()) {
                     throw py::type_error("a single record has no length");
                 }
                 return self.shape.front();
             })
        .def("__getitem__", &pick<R>)
        .def("__iter__",
             [](const Rows<R>& self) -> py::iterator {
                 py::list all;
                 if (self.single()) {
                     throw py::type_error("a single record cannot be iterated");
                 }
                 for (py::ssize_t i = 0; i < self.shape.front(); ++i) {
                     all.append(py::cast(pick(self, py::int_(i))));
                 }
                 return py::iter(all);
             })
        .def("__eq__",
             [](const Rows<R>& self, const py::object& other) -> py::object {
                 if (!py::isinstance<Rows<R>>(other)) {
                     return py::reinterpret_borrow<py::object>(Py_NotImplemented);
                 }
                 const auto& with = other.cast<const Rows<R>&>();
                 bool same = self.shape == with.shape && self.rows == with.rows &&
                             self.doubtful.size() == with.doubtful.size();
                 for (std::size_t i = 0; same && i < self.doubtful.size(); ++i) {
                     same = self.doubtful[i].second.is(with.doubtful[i].second);
                 }
                 return py::bool_(same);
             })
        .def("__hash__",
             [shown_name](const Rows<R>& self) {
                 if (!self.single()) {
                     throw py::type_error("a record of columns is not hashable");
                 }
                 return py::hash(py::str(record_repr(self, shown_name)));
             })
        .def("__copy__", [](const py::object& self) { return self; })
        .def("__deepcopy__", [](const py::object& self, const py::dict&) { return self; })
        .def(py::pickle(&state_of<R>, &from_state<R>));
    return bound;
}

}  // namespace enginewright::bind

namespace pybind11::detail {

// pybind11 has a caster of its own for every enumeration; ours have words instead.
template <enginewright::Worded E>
struct type_caster_enum_type_enabled<E> : std::false_type {};

/// A word is a plain `str` in Python.
template <enginewright::Worded E>
struct type_caster<E> {
    PYBIND11_TYPE_CASTER(E, const_name("str"));
    bool load(handle source, bool)
    {
        if (!PyUnicode_Check(source.ptr())) {
            return false;
        }
        value = enginewright::from_word<E>(enginewright::words<E>.kind, source.cast<std::string>());
        return true;
    }
    static handle cast(E source, return_value_policy, handle)
    {
        return str(std::string(enginewright::word(source))).release();
    }
};

/// A plain C++ record goes out as its class with one row, and comes in from such a one.
template <enginewright::Record R>
struct type_caster<R> {
    PYBIND11_TYPE_CASTER(R, const_name("record"));
    bool load(handle source, bool)
    {
        if (!isinstance<enginewright::bind::Rows<R>>(source)) {
            return false;
        }
        const auto& rows = source.cast<const enginewright::bind::Rows<R>&>();
        if (!rows.single()) {
            return false;
        }
        value = rows.rows.front();
        return true;
    }
    static handle cast(const R& source, return_value_policy, handle)
    {
        return pybind11::cast(enginewright::bind::Rows<R>{.rows = {source}}).release();
    }
};

}  // namespace pybind11::detail
