#include "enginewright/cylinders.hpp"

#include "bind.hpp"
#include "doc/cylinders.hpp"

namespace enginewright::bind {

void bind_cylinders(py::module_ module)
{
    namespace text = doc::cylinders;
    const py::kw_only keyword_only;
    const py::none none;

    bind_record<cylinders::BoreForm>(module, "BoreForm", text::BoreForm);
    bind_record<cylinders::SleeveOption>(module, "SleeveOption", text::SleeveOption);
    bind_record<cylinders::OversizePlan>(module, "OversizePlan", text::OversizePlan);
    bind_record<cylinders::FinishBores>(module, "FinishBores", text::FinishBores);

    define(module, "form", plain(cylinders::form), text::form, "readings"_a, keyword_only,
           "lower"_a = none, "upper"_a = none, "original"_a = none, "unworn_top"_a = none,
           "ovality_limit"_a = none, "taper_limit"_a = none, "ridge_limit"_a = none,
           "uncertainty"_a = 0.0);
    define(module, "oversize_plan", without_gil(cylinders::oversize_plan), text::oversize_plan,
           "readings"_a, keyword_only, "piston_standard"_a, "oversizes"_a, "clearance"_a,
           "hone_allowance"_a = 0.0, "clean_up"_a = 0.0, "damage_depth"_a = none,
           "wear_side"_a = "even", "current_oversize"_a = 0.0, "largest_bore"_a = none,
           "uncertainty"_a = 0.0);
    define(module, "finish_bores", plain(cylinders::finish_bores), text::finish_bores, "pistons"_a,
           "clearance"_a, keyword_only, "bores"_a = none, "hone_allowance"_a = 0.0);
}

}  // namespace enginewright::bind
