#pragma once

/// The seam between the core and Python: everything a bench's binding file includes.
///
/// `bind_record` binds a record with all it gives; `define` puts a function into a module, called
/// by `broadcast`, `plain` or `without_gil`; `construct` gives a record its constructor. A binding
/// file says three facts a function: how it is called, what its arguments are called, where its
/// text is. The text comes from the header's comment: a missing comment does not compile.

#include "functions.hpp"

namespace enginewright::bind {

using namespace pybind11::literals;

}  // namespace enginewright::bind
