#pragma once

#include <pybind11/pybind11.h>

#include <cstddef>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "enginewright/record.hpp"

/// What stands behind a record in Python: rows of one type, and a description of that type.
///
/// One Python object is one record or an array of them, so `finding.gap` is a float for one ring
/// and an array for a year of rings. All that Python can do with a record reads the description,
/// and is compiled once for every record there is.
namespace enginewright::bind {

namespace py = pybind11;

/// One field of many rows: where the first value lies and how far apart they are.
struct Cells {
    const std::byte* first;
    std::size_t stride;
    std::size_t count;
    const std::vector<py::ssize_t>& shape;

    const std::byte* at(std::size_t row) const { return first + row * stride; }
};

/// What the seam must know of the type of a field: one table a type, however many fields have it.
struct FieldType {
    py::object (*give)(const std::byte* value);  ///< one value in Python
    py::object (*column)(const Cells& cells);    ///< values of many rows in Python
    /// The inverse of `give`, for pickles.
    void (*take)(std::byte* value, py::handle given, std::string_view name);
    bool may_be_doubtful;  ///< a figure: a `Quantity` may stand before it
};

/// One field of a record, whatever the record.
struct FieldEntry {
    const char* name;
    const char* unit;
    const char* meaning;
    std::size_t offset;  ///< bytes from the beginning of the record
    const FieldType* type;
};

class AnyRows;

/// A record as the seam sees it.
struct RecordType {
    std::size_t size;  ///< bytes from one row to the next
    std::vector<FieldEntry> fields;
    std::unique_ptr<AnyRows> (*no_rows)();

    // Of the Python class, once the record is bound.
    std::string name{};
    std::vector<PyGetSetDef> attributes{};  ///< the interpreter points at them
};

/// One record, or an array of them: shape () is a single result.
class AnyRows {
  public:
    std::vector<py::ssize_t> shape{};
    /// Fields that carry their uncertainty: a `Quantity` stands before the plain figure.
    std::vector<std::pair<std::string, py::object>> doubtful{};

    AnyRows();
    AnyRows(const AnyRows&);
    AnyRows(AnyRows&&) noexcept;
    AnyRows& operator=(const AnyRows&);
    AnyRows& operator=(AnyRows&&) noexcept;
    virtual ~AnyRows();

    virtual const RecordType& type() const = 0;
    virtual std::size_t size() const = 0;
    virtual const std::byte* first() const = 0;
    /// Adds a copy of a row, or with null one of defaults, and says where it lies.
    virtual std::byte* append(const std::byte* row) = 0;
    /// Whether the rows are equal; the other must be of the same type.
    virtual bool equals(const AnyRows& other) const = 0;

    bool single() const { return shape.empty(); }
};

template <Record R>
RecordType& record_type();

/// The rows with their C++ type: what binding files fill and look at.
template <Record R>
class Rows final : public AnyRows {
  public:
    std::vector<R> rows{};

    Rows() = default;
    explicit Rows(R row) { rows.push_back(std::move(row)); }

    const RecordType& type() const override { return record_type<R>(); }
    std::size_t size() const override { return rows.size(); }
    const std::byte* first() const override
    {
        return reinterpret_cast<const std::byte*>(rows.data());
    }
    std::byte* append(const std::byte* row) override
    {
        rows.push_back(row == nullptr ? R{} : *reinterpret_cast<const R*>(row));
        return reinterpret_cast<std::byte*>(&rows.back());
    }
    bool equals(const AnyRows& other) const override
    {
        return rows == static_cast<const Rows&>(other).rows;
    }
};

/// Rows as a Python object of their class.
py::object wrapped(std::unique_ptr<AnyRows> rows);

/// The rows behind a Python object; null when it is no record.
AnyRows* any_rows(py::handle given);

/// The rows behind a Python object; null when it is no such record.
template <Record R>
Rows<R>* rows_of(py::handle given)
{
    AnyRows* const rows = any_rows(given);
    return rows != nullptr && &rows->type() == &record_type<R>() ? static_cast<Rows<R>*>(rows)
                                                                 : nullptr;
}

/// Rows in Python.
template <Record R>
py::object give_rows(Rows<R> rows)
{
    return wrapped(std::make_unique<Rows<R>>(std::move(rows)));
}

/// The one row of a record that a caller gave, refused by name when it is another thing.
const std::byte* take_single(py::handle given, std::string_view name, const RecordType& wanted);

/// Names of the fields that may carry doubt.
std::vector<std::string> doubtful_fields(const RecordType& type);

/// The fields and their values as a dict; records within become dicts too.
py::dict as_dict(const AnyRows& self);

/// One field: a quantity where it carries doubt, else a value or a column.
py::object attribute(const AnyRows& self, const FieldEntry& field);

/// Text of a record, values with units; and as a table for a notebook, with meanings, escaped.
std::string record_repr(const AnyRows& self);
std::string record_html(const AnyRows& self);

}  // namespace enginewright::bind
