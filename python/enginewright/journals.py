"""Crankshaft journals: size, shape, straightness, the undersize for a set, shells, thrust.

What goes wrong here: a journal is called good from one clock position; six pins are ground to six
sizes; the scored pin is still black after the step that was chosen for the mean; a bend is blamed
on ovality; one wall is measured and its doubt counted once; an undersize goes through the hardened
case; a shell rides the new fillet.

`form` looks at one journal, `regrind_plan` finds the one step for a set, `judge_clearance` says
whether a bearing's clearance is proven.

    set = [[[47.952, 47.949], [47.950, 47.946]], [[47.958, 47.957], [47.957, 47.955]]]
    plan = ew.journals.regrind_plan(set, standard_lower=47.965, standard_upper=47.985,
                                    undersizes=ew.journals.undersizes(), grinding_allowance=0.05)
    plan.undersize, plan.next

`select_shells` deals out the halves on the shelf and proves that no other choice is better;
`shell_crush` and `shell_spread` say whether a shell is held, `thrust_plan` which washers give the
end float.

    fitted = ew.journals.select_shells(housings, journals, {"red": 1.490, "blue": 1.495},
                                       {"red": 6, "blue": 4}, lower=0.020, upper=0.045)
    fitted.next, fitted.to_order

On the V-blocks `runout` tells a bend from ovality, `throws` and `index_error` say where the pins
stand. At the grinder: `offset_grind` for another stroke, `surface_finish` for the roughness meter,
`fillet_clearance` before the shells go in.

Caution: test a crank for cracks before and after grinding, straightening, welding or spraying;
never straighten one that is cracked or nitrided. Vehicles, boats and aircraft can need certified
work: local codes and licensed practice come first. The wheel is ring-tested and guarded, nobody
stands in its plane, and the crank is balanced in the chucks. Watch for burn; bring the fillets back
to their radius, chamfer the oil holes, flush every passage.
"""

from enginewright import _core

ClearanceFinding = _core.journals.ClearanceFinding
ClearanceRule = _core.journals.ClearanceRule
FilletClearance = _core.journals.FilletClearance
JournalForm = _core.journals.JournalForm
OffsetGrind = _core.journals.OffsetGrind
RegrindPlan = _core.journals.RegrindPlan
Runout = _core.journals.Runout
ShellCrush = _core.journals.ShellCrush
ShellSelection = _core.journals.ShellSelection
ShellSpread = _core.journals.ShellSpread
SurfaceFinish = _core.journals.SurfaceFinish
Throws = _core.journals.Throws
ThrustPlan = _core.journals.ThrustPlan
bearing_clearance = _core.journals.bearing_clearance
clearance_by_rule = _core.journals.clearance_by_rule
fillet_clearance = _core.journals.fillet_clearance
form = _core.journals.form
index_error = _core.journals.index_error
judge_clearance = _core.journals.judge_clearance
offset_grind = _core.journals.offset_grind
regrind_plan = _core.journals.regrind_plan
runout = _core.journals.runout
select_shells = _core.journals.select_shells
shell_crush = _core.journals.shell_crush
shell_spread = _core.journals.shell_spread
surface_finish = _core.journals.surface_finish
throws = _core.journals.throws
thrust_plan = _core.journals.thrust_plan
undersizes = _core.journals.undersizes

__all__ = [
    "ClearanceFinding",
    "ClearanceRule",
    "FilletClearance",
    "JournalForm",
    "OffsetGrind",
    "RegrindPlan",
    "Runout",
    "ShellCrush",
    "ShellSelection",
    "ShellSpread",
    "SurfaceFinish",
    "Throws",
    "ThrustPlan",
    "bearing_clearance",
    "clearance_by_rule",
    "fillet_clearance",
    "form",
    "index_error",
    "judge_clearance",
    "offset_grind",
    "regrind_plan",
    "runout",
    "select_shells",
    "shell_crush",
    "shell_spread",
    "surface_finish",
    "throws",
    "thrust_plan",
    "undersizes",
]
