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

When a verdict is unproven, `settle` says whether more readings will do or a better gauge is needed.
`outliers` points at the reading that does not belong to the others, `gauge_study` shows what a
gauge and the people add to the readings, and `risk` what a guard band costs over many parts.
Formulas of your own carry their doubt through `propagate`, or through `simulate` where they are too
bent for straight lines.

    settle = ew.measure.settle(bore, upper=82.02)
    print(settle.status, settle.reason)
    height = ew.measure.propagate(lambda a, b: a - b / 2, deck, bore)

Caution: "unproven" is not "good". Do not release the part on it; measure again, take a better
gauge, or agree the decision rule with the customer in writing. Measure clean, burr-free parts that
have stood in the room, and write the temperature down. A verdict is only as good as the last
calibration of the gauge.
"""

from collections.abc import Callable
from typing import Any

from enginewright import _core

Budget = _core.measure.Budget
BudgetRow = _core.measure.BudgetRow
Gauge = _core.measure.Gauge
GaugeStudy = _core.measure.GaugeStudy
Outliers = _core.measure.Outliers
Quantity = _core.measure.Quantity
Reading = _core.measure.Reading
Risk = _core.measure.Risk
Settle = _core.measure.Settle
Simulation = _core.measure.Simulation
StudyRow = _core.measure.StudyRow
Verdict = _core.measure.Verdict
check = _core.measure.check
gauge = _core.measure.gauge
gauge_study = _core.measure.gauge_study
outliers = _core.measure.outliers
reading = _core.measure.reading
risk = _core.measure.risk
settle = _core.measure.settle
size_at = _core.measure.size_at
stack = _core.measure.stack


def propagate(function: Callable[..., Any], *quantities: Any, order: int = 1) -> Any:
    """Carry doubt through a formula; the header's text is put in place of this line."""
    return _core.measure.propagate(function, quantities, order=order)


def simulate(
    function: Callable[..., Any],
    *quantities: Any,
    draws: int = 200_000,
    seed: Any = 0,
    level: float = 0.95,
) -> Any:
    """Carry doubt through a formula by drawing lots; the header's text is put in place of this."""
    return _core.measure.simulate(function, quantities, draws=draws, seed=seed, level=level)


# The text of both is that of the headers.
propagate.__doc__ = _core.measure.propagate.__doc__
simulate.__doc__ = _core.measure.simulate.__doc__

__all__ = [
    "Budget",
    "BudgetRow",
    "Gauge",
    "GaugeStudy",
    "Outliers",
    "Quantity",
    "Reading",
    "Risk",
    "Settle",
    "Simulation",
    "StudyRow",
    "Verdict",
    "check",
    "gauge",
    "gauge_study",
    "outliers",
    "propagate",
    "reading",
    "risk",
    "settle",
    "simulate",
    "size_at",
    "stack",
]
