#include "enginewright/journals.hpp"

#include "bind.hpp"
#include "doc/journals.hpp"

namespace enginewright::bind {

void bind_journals(py::module_ module)
{
    namespace text = doc::journals;
    const py::kw_only keyword_only;
    const py::none none;

    bind_record<journals::JournalForm>(module, "JournalForm", text::JournalForm);
    bind_record<journals::RegrindPlan>(module, "RegrindPlan", text::RegrindPlan);
    bind_record<journals::ClearanceFinding>(module, "ClearanceFinding", text::ClearanceFinding);
    bind_record<journals::ClearanceRule>(module, "ClearanceRule", text::ClearanceRule);

    define(module, "form", plain(journals::form), text::form, "readings"_a, keyword_only,
           "lower"_a = none, "upper"_a = none, "ovality_limit"_a = none, "taper_limit"_a = none,
           "current_size"_a = none, "uncertainty"_a = 0.0);
    define(module, "undersizes", plain(journals::undersizes), text::undersizes,
           "system"_a = "metric");
    define(module, "regrind_plan", without_gil(journals::regrind_plan), text::regrind_plan,
           "readings"_a, keyword_only, "standard_lower"_a, "standard_upper"_a, "undersizes"_a,
           "grinding_allowance"_a = 0.0, "aim"_a = 0.5, "damage_depth"_a = none,
           "wear_side"_a = "even", "current_undersize"_a = 0.0, "case_depth"_a = none,
           "uncertainty"_a = 0.0);
    define(module, "bearing_clearance", broadcast(journals::bearing_clearance),
           text::bearing_clearance, "housing_bore"_a, "wall"_a, "journal"_a,
           "second_wall"_a = none);
    define(module, "judge_clearance", broadcast(journals::judge_clearance), text::judge_clearance,
           "housing_bore"_a, "wall"_a, "journal"_a, "second_wall"_a = none, keyword_only,
           "uncertainty_housing"_a = 0.0, "uncertainty_wall"_a = 0.0,
           "uncertainty_second_wall"_a = none, "uncertainty_journal"_a = 0.0, "lower"_a = none,
           "upper"_a = none);
    define(module, "clearance_by_rule", broadcast(journals::clearance_by_rule),
           text::clearance_by_rule, "journal_diameter"_a, "least_share"_a = 0.00075,
           "greatest_share"_a = 0.0010);
}

}  // namespace enginewright::bind
