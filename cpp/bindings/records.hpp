#pragma once

#include <functional>
#include <memory>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "fields.hpp"
#include "rows.hpp"

/// Records in Python: `bind_record` and the ways of a record in and out.
///
/// Here stands only what needs the C++ type of a record: its description, from one pass over
/// `fields()`, and its class. What the class can do is in records.cpp.
namespace enginewright::bind {

/// The description of a record, made once.
template <Record R>
RecordType& record_type()
{
    static RecordType type = [] {
        const R probe{};
        const auto entry = [&]<class Value>(const Field<R, Value>& field) {
            const auto* const begin = reinterpret_cast<const std::byte*>(&probe);
            const auto* const member = reinterpret_cast<const std::byte*>(&(probe.*field.member));
            return FieldEntry{field.name, field.unit, field.meaning,
                              static_cast<std::size_t>(member - begin), &FieldOf<Value>::type};
        };
        return RecordType{
            .size = sizeof(R),
            .fields = std::apply(
                [&](const auto&... field) { return std::vector<FieldEntry>{entry(field)...}; },
                R::fields()),
            .no_rows = []() -> std::unique_ptr<AnyRows> { return std::make_unique<Rows<R>>(); }};
    }();
    return type;
}

/// The Python class of a record. Its base, `Record`, has all that records have in common.
template <Record R>
using RecordClass = py::class_<Rows<R>, AnyRows>;

/// Makes the rows of a new Python object from what it was called with.
using MakeRows = std::function<std::unique_ptr<AnyRows>(const py::args&, const py::kwargs&)>;

/// Gives a class a method that fills a new object: its constructor, or the way out of a pickle.
void construct_by(py::handle bound, const char* method, MakeRows make);

/// Gives a class what its description says: attributes, units, the way out of a pickle.
void describe(py::handle bound, RecordType& type);

/// Binds a record: attributes, repr with units, `as_dict`, equality, hash, pickle, copy, columns.
template <Record R>
RecordClass<R> bind_record(py::module_& module, const char* name, const char* text)
{
    RecordClass<R> bound(module, name, text);
    auto& type = record_type<R>();
    type.name = name;
    describe(bound, type);
    return bound;
}

/// A single record that the user made, or got from another call.
template <Record R>
struct Argument<R> {
    R value;
    Argument(py::handle given, std::string_view name)
        : value(*reinterpret_cast<const R*>(take_single(given, name, record_type<R>())))
    {
    }
    const R& get() const { return value; }
};

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
        return enginewright::bind::give(source).release();
    }
};

/// A plain C++ record goes out as its class with one row, and comes in from such a one.
template <enginewright::Record R>
struct type_caster<R> {
    PYBIND11_TYPE_CASTER(R, const_name("record"));
    bool load(handle source, bool)
    {
        const auto* const rows = enginewright::bind::rows_of<R>(source);
        if (rows == nullptr || !rows->single()) {
            return false;
        }
        value = rows->rows.front();
        return true;
    }
    static handle cast(const R& source, return_value_policy, handle)
    {
        return enginewright::bind::give(source).release();
    }
};

}  // namespace pybind11::detail
