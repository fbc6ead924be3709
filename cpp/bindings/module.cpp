#include <pybind11/pybind11.h>

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
}
