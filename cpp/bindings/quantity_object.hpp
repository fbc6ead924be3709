#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <variant>
#include <vector>

#include "arguments.hpp"
#include "enginewright/measure/quantity.hpp"
#include "enginewright/measure/quantity_column.hpp"
#include "enginewright/measure/repeats.hpp"

/// What stands behind a `Quantity` in Python: one class, a single value or an array of them.
namespace enginewright::bind {

using measure::Quantity;
using measure::QuantityColumn;
using Lengths = QuantityColumn::Shape;

struct AnyQuantity {
    std::variant<Quantity, QuantityColumn> held{Quantity{}};

    bool single() const { return held.index() == 0; }
    const Quantity& one() const { return std::get<Quantity>(held); }
    const QuantityColumn& column() const { return std::get<QuantityColumn>(held); }

    /// () for a single value.
    Lengths shape() const { return single() ? Lengths{} : column().shape(); }

    /// As a column of a shape that its own can be stretched to.
    QuantityColumn stretched(const Lengths& shape) const
    {
        return single() ? QuantityColumn(one(), shape) : column().stretched(shape);
    }
};

/// A `Reading` in Python: a quantity with what was seen on the way.
struct AnyReading : AnyQuantity {
    std::size_t count = 0;
    double mean_indication = 0;
    std::optional<double> standard_deviation{};
    std::vector<std::string> notes{};
    measure::Repeats repeats{};
};

/// The Python class of quantities; set when `measure` is bound.
inline PyTypeObject* quantity_type = nullptr;

inline bool is_quantity(PyObject* given)
{
    return quantity_type != nullptr && PyObject_TypeCheck(given, quantity_type) != 0;
}

/// Whether an argument is a `Quantity` (or a `Reading`), or a list or tuple that holds one.
bool holds_quantity(PyObject* given);

/// A quantity from a `Quantity`, a list of them (nested: any shape), a number, an array of numbers.
///
/// Throws py::type_error naming the argument for anything else.
AnyQuantity take_quantity(py::handle given, std::string_view name);

/// The elements of `take_quantity`, row by row.
std::vector<Quantity> elements_of(const AnyQuantity& quantity);

/// A single quantity in Python.
inline py::object give_quantity(const Quantity& quantity)
{
    return py::cast(AnyQuantity{quantity});
}

/// An array of numbers in Python, read-only.
py::array give_array(const Eigen::ArrayXd& values, const Lengths& shape);

}  // namespace enginewright::bind
