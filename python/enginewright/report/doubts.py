"""Where the doubt comes from that keeps a finished job open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from enginewright._lines import Line
from enginewright._rows import FindingRow
from enginewright.report.blocks import Block
from enginewright.report.desk import Desk
from enginewright.report.measured import budget_block

__all__ = ["worst_doubt"]

#: Of a doubt, relative: a budget that does not come to the finding's own is not shown.
SAME = 1e-6


def worst_doubt(desk: Desk, left: Sequence[Line]) -> Iterator[Block]:
    """Give the budget of the reading that is furthest from proven; none where there is no such.

    A derived figure has the doubts of several readings in it; the budget is that of one.
    """
    read = [row for line in left for row in line.findings if _of_one_reading(row)]
    if not read:
        return
    row = min(read, key=_shortfall)
    quantity = _quantity(desk, row)
    if quantity is None or not _agrees(quantity, row, desk.facts.level):
        return
    yield from budget_block(
        quantity, title=desk.say("tasks.one", part=desk.named(row), asked=desk.asked(row)),
        level=desk.facts.level, unit=row.unit, inch=desk.inch.get(row.index, False),
        figures=desk.figures, heading=3, name=desk.figure_name("budget"), words=desk.say,
    )  # fmt: skip


def _of_one_reading(row: FindingRow) -> bool:
    judged = row.verdict == "unproven" and row.check == "limits" and row.value is not None
    return judged and len(row.readings) == 1 and bool(row.uncertainty)


def _shortfall(row: FindingRow) -> float:
    """Give the margin in parts of the doubt: the less, the further from proven."""
    return (row.margin or 0.0) / (row.uncertainty or 1.0)


def _quantity(desk: Desk, row: FindingRow) -> Any:
    """Give the reading with all its sources, as the finding was made from it."""
    from enginewright import _core
    from enginewright.table import Gauges, Limits, Readings

    facts = desk.facts
    gauges = facts.gauges if isinstance(facts.gauges, Gauges) else Gauges.empty()
    if not isinstance(desk.readings, Readings) or not isinstance(facts.limits, Limits):
        return None
    return _core.job.Sizes(desk.readings, facts.limits, gauges).at(row.readings[0])


def _agrees(quantity: Any, row: FindingRow, level: float) -> bool:
    if not quantity.standard_uncertainty > 0 or row.uncertainty is None:
        return False
    return abs(float(quantity.expanded(level)) - row.uncertainty) <= SAME * row.uncertainty
