"""Measurement: values with their doubt, gauges, readings at 20 °C, verdicts.

What goes wrong here: a bore gauge and a micrometer set from the same ring are treated as unrelated
(or as perfect); a part straight from the wash is measured warm; a reading 2 µm inside the limit is
called good with a 6 µm gauge.

A `Quantity` is a value with the sources of its doubt, each known by its name. `gauge` writes a
gauge's record card, `reading` turns repeated indications into a size at 20 °C, and `check` says
whether the limits are kept: within, outside, or unproven when the gauge cannot decide.

    ring = ew.Quantity(82.0, 0.0008, source="82 mm ring")
    card = ew.measure.gauge("bore gauge", resolution=0.001)
    bore = ew.measure.reading([0.012, 0.013, 0.012], card, master=ring)
    piston = ew.measure.reading([-0.031, -0.032], card, master=ring)
    ew.measure.check(bore - piston, lower=0.03, upper=0.06).verdict

Caution: "unproven" is not "good". Do not release the part on it; measure again, take a better
gauge, or agree the decision rule with the customer in writing. Measure clean, burr-free parts that
have stood in the room, and write the temperature down. A verdict is only as good as the last
calibration of the gauge.
"""

from enginewright import _core

Budget = _core.measure.Budget
BudgetRow = _core.measure.BudgetRow
Gauge = _core.measure.Gauge
Quantity = _core.measure.Quantity
Reading = _core.measure.Reading
Verdict = _core.measure.Verdict
check = _core.measure.check
gauge = _core.measure.gauge
reading = _core.measure.reading
size_at = _core.measure.size_at
stack = _core.measure.stack

__all__ = [
    "Budget",
    "BudgetRow",
    "Gauge",
    "Quantity",
    "Reading",
    "Verdict",
    "check",
    "gauge",
    "reading",
    "size_at",
    "stack",
]
