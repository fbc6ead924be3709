#pragma once

#include "bind.hpp"
#include "doc/measure.hpp"
#include "enginewright/measure.hpp"

/// The parts of the Python class `Quantity`, each in a room of its own.
namespace enginewright::bind {

using QuantityClass = py::class_<AnyQuantity>;

/// Value, uncertainty, coverage, budget, covariance.
void define_figures(QuantityClass& bound);

/// Arithmetic, NumPy functions, sums; no order, no truth value.
void define_operators(QuantityClass& bound);

/// Elements, text, dicts, pickles.
void define_storage(QuantityClass& bound);

/// The array behind a quantity; a single one is refused: "a single quantity has no length".
const QuantityColumn& column_of(const AnyQuantity& self, const char* what);

/// Quantities as text and dicts, and what a pickle needs beside them.
std::string repr_of(const AnyQuantity& self, const char* name);
py::object dict_of(const AnyQuantity& self);
py::tuple pickled(const AnyQuantity& self);
AnyQuantity from_pickle(const std::string& text, const py::dict& unnamed);

/// Tells the pickles that this process is a fork: its unnamed sources are its own from here on.
void begin_process();

}  // namespace enginewright::bind
