#pragma once

#include <pybind11/complex.h>
#include <pybind11/eigen.h>
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <algorithm>
#include <array>
#include <complex>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "arguments.hpp"
#include "rows.hpp"

/// Values of C++ in Python: one way out a type, and the way back that pickles take.
///
/// Every field of every record, and every answer of a function, goes through `give`. What the
/// benches use again and again is compiled once, in fields.cpp.
namespace enginewright::bind {

inline py::object read_only(py::array array)
{
    array.attr("setflags")(py::arg("write") = false);
    return array;
}

/// Objects as a read-only array of a shape.
py::object array_of_objects(const std::vector<py::object>& objects,
                            const std::vector<py::ssize_t>& shape);

template <class T>
py::object give(const T& value);

/// Numbers that become an array of NumPy's own.
template <class T>
inline constexpr bool is_number_of_array =
    std::is_same_v<T, double> || std::is_same_v<T, std::complex<double>>;

template <class T>
inline constexpr bool is_number_list =
    std::is_same_v<T, std::vector<double>> || std::is_same_v<T, std::vector<std::complex<double>>>;

template <class T>
inline constexpr bool is_optional_number = false;
template <class T>
inline constexpr bool is_optional_number<std::optional<T>> = std::is_arithmetic_v<T>;

template <class T>
inline constexpr bool is_array = false;
template <class T, std::size_t n>
inline constexpr bool is_array<std::array<T, n>> = true;

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
    if constexpr (is_number_list<std::vector<T>>) {
        return read_only(py::array_t<T>(static_cast<py::ssize_t>(list.size()), list.data()));
    } else if constexpr (is_number_list<T>) {
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
        return wrapped(std::make_unique<Rows<T>>(value));
    } else if constexpr (Worded<T>) {
        return py::str(word(value).data(), word(value).size());
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

/// The inverse of `give` for a field of a record.
template <class T>
T take_back(py::handle given, std::string_view name)
{
    if constexpr (is_optional<T>) {
        using Inside = typename T::value_type;
        return given.is_none() ? T{} : T{take_back<Inside>(given, name)};
    } else if constexpr (is_map<T>) {
        T map;
        for (const auto [key, each] : py::reinterpret_borrow<py::dict>(given)) {
            map.emplace(take_text(key, name), take_back<typename T::mapped_type>(each, name));
        }
        return map;
    } else if constexpr (is_array<T>) {
        T array{};
        std::size_t at = 0;
        for (const auto each : py::reinterpret_borrow<py::object>(given)) {
            array.at(at++) = take_back<typename T::value_type>(each, name);
        }
        return array;
    } else if constexpr (is_vector<T> && !is_number_list<T>) {
        T list;
        for (const auto each : py::reinterpret_borrow<py::object>(given)) {
            list.push_back(take_back<typename T::value_type>(each, name));
        }
        return list;
    } else {
        return T(Argument<T>(given, name).get());
    }
}

/// Numbers of many rows as a column of their shape.
template <class Number, class Pick>
py::object number_column(const Cells& cells, Pick pick)
{
    py::array_t<Number> array(cells.shape);
    auto* at = array.mutable_data();
    for (std::size_t row = 0; row < cells.count; ++row) {
        *at++ = pick(cells.at(row));
    }
    return read_only(std::move(array));
}

/// Numbers of which some are missing: a masked array.
py::object masked(const py::object& values, const py::object& mask);

/// Values that are no numbers: an array of objects.
py::object object_column(const Cells& cells, py::object (*give)(const std::byte*));

/// What a type can do as the type of a field.
template <class T>
struct FieldOf {
    static const T& value_at(const std::byte* value) { return *reinterpret_cast<const T*>(value); }

    static py::object give(const std::byte* value) { return bind::give(value_at(value)); }

    static void take(std::byte* value, py::handle given, std::string_view name)
    {
        *reinterpret_cast<T*>(value) = take_back<T>(given, name);
    }

    static py::object column(const Cells& cells)
    {
        if constexpr (std::is_arithmetic_v<T> || std::is_same_v<T, std::complex<double>>) {
            return number_column<T>(cells, [](const std::byte* at) { return value_at(at); });
        } else if constexpr (is_optional_number<T>) {
            using Number = typename T::value_type;
            return masked(
                number_column<Number>(
                    cells, [](const std::byte* at) { return value_at(at).value_or(Number{}); }),
                number_column<bool>(cells,
                                    [](const std::byte* at) { return !value_at(at).has_value(); }));
        } else if constexpr (Record<T>) {
            Rows<T> inner;
            inner.shape = cells.shape;
            for (std::size_t row = 0; row < cells.count; ++row) {
                inner.append(cells.at(row));
            }
            return give_rows(std::move(inner));
        } else {
            return object_column(cells, &FieldOf::give);
        }
    }

    static constexpr FieldType type{
        &FieldOf::give, &FieldOf::column, &FieldOf::take,
        std::is_same_v<T, double> || std::is_same_v<T, std::optional<double>>};
};

using ComplexList = std::vector<std::complex<double>>;

extern template struct FieldOf<bool>;
extern template struct FieldOf<int>;
extern template struct FieldOf<double>;
extern template struct FieldOf<std::complex<double>>;
extern template struct FieldOf<std::string>;
extern template struct FieldOf<std::optional<int>>;
extern template struct FieldOf<std::optional<double>>;
extern template struct FieldOf<std::optional<std::string>>;
extern template struct FieldOf<std::optional<std::array<double, 2>>>;
extern template struct FieldOf<std::vector<int>>;
extern template struct FieldOf<std::vector<double>>;
extern template struct FieldOf<std::vector<std::optional<double>>>;
extern template struct FieldOf<std::vector<std::string>>;
extern template struct FieldOf<ComplexList>;
extern template struct FieldOf<std::vector<std::vector<double>>>;
extern template struct FieldOf<std::vector<ComplexList>>;
extern template struct FieldOf<std::optional<std::vector<double>>>;
extern template struct FieldOf<std::optional<ComplexList>>;
extern template struct FieldOf<std::map<std::string, double>>;

extern template py::object give(const std::string&);
extern template py::object give(const std::optional<double>&);
extern template py::object give(const std::vector<int>&);
extern template py::object give(const std::vector<double>&);
extern template py::object give(const std::vector<std::string>&);
extern template py::object give(const ComplexList&);
extern template py::object give(const std::vector<std::vector<double>>&);
extern template py::object give(const std::vector<ComplexList>&);

}  // namespace enginewright::bind
