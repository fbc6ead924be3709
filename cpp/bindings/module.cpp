#include <pybind11/pybind11.h>

#include <cstddef>

#include "enginewright/version.hpp"

namespace enginewright::bind {

namespace py = pybind11;

// What all records have in common comes first.
void bind_records(py::module_& core);

// One line a bench: each is defined in the file of its name.
void bind_units(py::module_ module);
void bind_measure(py::module_ module);
void bind_fits(py::module_ module);
void bind_stats(py::module_ module);
void bind_crank_train(py::module_ module);
void bind_rings(py::module_ module);
void bind_journals(py::module_ module);
void bind_cylinders(py::module_ module);
void bind_matching(py::module_ module);
void bind_fasteners(py::module_ module);
void bind_balance(py::module_ module);
void bind_reciprocating(py::module_ module);
void bind_table(py::module_ module);
void bind_job(py::module_ module);

namespace {

[[noreturn]] void* refuse_unmade(std::size_t)
{
    throw py::type_error("the object was never made: its class was called by __new__ alone");
}

/// An object that `__new__` made, with no constructor after it, holds nothing. pybind11 would give
/// it memory that nobody has filled as soon as a method asks for it; here the method refuses.
void refuse_unmade_objects(const py::module_& module)
{
    for (const auto [name, each] : py::reinterpret_borrow<py::dict>(module.attr("__dict__"))) {
        if (py::isinstance<py::module_>(each)) {
            refuse_unmade_objects(py::reinterpret_borrow<py::module_>(each));
        } else if (PyType_Check(each.ptr()) != 0) {
            auto* const python = reinterpret_cast<PyTypeObject*>(each.ptr());
            if (auto* const bound = py::detail::get_type_info(python); bound != nullptr) {
                bound->operator_new = &refuse_unmade;
            }
        }
    }
}

}  // namespace

}  // namespace enginewright::bind

PYBIND11_MODULE(_core, core)
{
    using namespace enginewright::bind;
    core.doc() = "The calculation core of enginewright: one submodule a bench.";
    core.attr("__version__") = enginewright::version;

    bind_records(core);
    bind_units(core.def_submodule("units"));
    bind_measure(core.def_submodule("measure"));
    bind_fits(core.def_submodule("fits"));
    bind_stats(core.def_submodule("stats"));
    bind_crank_train(core.def_submodule("crank_train"));
    bind_rings(core.def_submodule("rings"));
    bind_journals(core.def_submodule("journals"));
    bind_cylinders(core.def_submodule("cylinders"));
    bind_matching(core.def_submodule("matching"));
    bind_fasteners(core.def_submodule("fasteners"));
    bind_balance(core.def_submodule("balance"));
    bind_reciprocating(core.def_submodule("reciprocating"));
    bind_table(core.def_submodule("table"));
    bind_job(core.def_submodule("job"));
    refuse_unmade_objects(core);
}
