#pragma once

#include <pybind11/pybind11.h>

/// Quantities at the seam: any broadcasting function takes values that carry their doubt.
namespace enginewright::bind {

namespace py = pybind11;

class Signature;

/// The Python class of quantities; set when `measure` is bound.
inline PyTypeObject* quantity_type = nullptr;

/// Whether an argument is a `Quantity` (or a `Reading`).
inline bool holds_quantity(PyObject* given)
{
    return quantity_type != nullptr && PyObject_TypeCheck(given, quantity_type) != 0;
}

/// The answer of a broadcast call in which at least one argument is a quantity.
///
/// `way.call(signature, given)` may be called again with numbers or arrays in place of quantities.
template <class Way>
py::object through_quantities(const Way&, const Signature&, PyObject* const*)
{
    throw py::type_error("quantities are not taken here");
}

}  // namespace enginewright::bind
