"""Crankshaft journals: size, shape, the undersize that cleans them all, and bearing clearance.

What goes wrong here: a journal is called good from one clock position; six pins are ground to six
sizes; the scored pin is still black after the step that was chosen for the mean; one shell wall is
measured and its doubt counted once though both halves carry it; an undersize goes through the
hardened case.

`form` looks at one journal, `regrind_plan` finds the one step for a set, `judge_clearance` says
whether a bearing's clearance is proven.

    set = [[[47.952, 47.949], [47.950, 47.946]], [[47.958, 47.957], [47.957, 47.955]]]
    plan = ew.journals.regrind_plan(set, standard_lower=47.965, standard_upper=47.985,
                                    undersizes=ew.journals.undersizes(), grinding_allowance=0.05)
    plan.undersize, plan.next

Caution: test a crank for cracks before and after grinding, straightening, welding or spraying;
never straighten one that is cracked or nitrided. Vehicles, boats and aircraft can need certified
work: local codes and licensed practice come first. The wheel is ring-tested and guarded, nobody
stands in its plane, and the crank is balanced in the chucks. Watch for burn; bring the fillets back
to their radius, chamfer the oil holes, flush every passage.
"""

from enginewright import _core

ClearanceFinding = _core.journals.ClearanceFinding
ClearanceRule = _core.journals.ClearanceRule
JournalForm = _core.journals.JournalForm
RegrindPlan = _core.journals.RegrindPlan
bearing_clearance = _core.journals.bearing_clearance
clearance_by_rule = _core.journals.clearance_by_rule
form = _core.journals.form
judge_clearance = _core.journals.judge_clearance
regrind_plan = _core.journals.regrind_plan
undersizes = _core.journals.undersizes

__all__ = [
    "ClearanceFinding",
    "ClearanceRule",
    "JournalForm",
    "RegrindPlan",
    "bearing_clearance",
    "clearance_by_rule",
    "form",
    "judge_clearance",
    "regrind_plan",
    "undersizes",
]
