"""Cylinder bores: size, shape, the oversize that cleans a block, and the sizes to finish to.

What goes wrong here: bores are read below the ridge only; a rebore is ordered for the mean while
one cylinder never cleans; bores are finished to a nominal size and not to the pistons in the box;
distortion by the head bolts is called ovality.

`form` looks at one bore, `oversize_plan` finds the one step for a block and what a smaller one
would cost in sleeves, `finish_bores` gives each bore its size from the piston as it measures.

    block = [[[86.062, 86.041], [86.020, 86.014]], [[86.055, 86.043], [86.019, 86.013]]]
    plan = ew.cylinders.oversize_plan(block, piston_standard=85.96, oversizes=[0.25, 0.50],
                                      clearance=0.04, hone_allowance=0.06)
    plan.oversize, plan.next

Caution: boring, milling and honing want guards, eye protection, no gloves and no loose cloth at the
spindle, and the block clamped as in service; oil mist harms the lungs. The wall that is left is
measured, by ultrasonic gauge at several places, never assumed. Cracked or porous castings go to
qualified hands; local codes and licensed practice come first. After honing scrub with hot soapy
water until a white cloth stays white.
"""

from enginewright import _core

BoreForm = _core.cylinders.BoreForm
FinishBores = _core.cylinders.FinishBores
OversizePlan = _core.cylinders.OversizePlan
SleeveOption = _core.cylinders.SleeveOption
finish_bores = _core.cylinders.finish_bores
form = _core.cylinders.form
oversize_plan = _core.cylinders.oversize_plan

__all__ = [
    "BoreForm",
    "FinishBores",
    "OversizePlan",
    "SleeveOption",
    "finish_bores",
    "form",
    "oversize_plan",
]
