"""One line for the rings that a rebore asks for, instead of one a ring."""

from __future__ import annotations

from enginewright import _numbers as numbers
from enginewright._lines import Line
from enginewright._orders import rings_by_part
from enginewright.report.blocks import Cell
from enginewright.report.desk import NOTHING, Desk
from enginewright.report.tasks import Work

__all__ = ["ring_order", "to_fill_in"]


def to_fill_in() -> tuple[Cell, Cell, Cell]:
    """Give the cells that the bench fills in: done, size made, initials."""
    return Cell("☐", form="tick"), Cell(form="blank"), Cell(form="blank")


def ring_order(desk: Desk, todo: Work) -> tuple[Cell, ...]:
    """Say for which bores rings are ordered, how many of which, and what is wrong with the old."""
    rings = todo.orders
    size = _finish_size(desk, todo)
    title = desk.say("tasks.order", size=size) if size else desk.say("tasks.order_any")
    told = rings_by_part([line.worst for line in rings], desk.say)
    key = "piece" if len(rings) == 1 else "pieces"
    return (
        Cell(title, desk.say("tasks.rings_at_hand", list=told), strong=True), _gaps(desk, rings),
        _limits(desk, rings), Cell(desk.say(f"tasks.{key}", count=len(rings))), *to_fill_in(),
    )  # fmt: skip


def _finish_size(desk: Desk, todo: Work) -> str:
    """Give the size that the bores are brought to, as the shop writes its bores."""
    plans = (line.worst for lines in todo.plans.values() for line in lines)
    for row in plans:
        if row.check == "rebore" and row.target is not None:
            return desk.length(row.target, row).text
    return ""


def _gaps(desk: Desk, rings: tuple[Line, ...]) -> Cell:
    row = rings[0].worst
    least = min(line.least for line in rings if line.least is not None)
    greatest = max(line.greatest for line in rings if line.greatest is not None)
    shown = numbers.spread(least, greatest, row.unit, inch=desk.inch.get(row.index, False))
    return Cell(shown.first, shown.second)


def _limits(desk: Desk, rings: tuple[Line, ...]) -> Cell:
    """Show the limits where all the rings have the same."""
    asked = {(line.worst.lower, line.worst.upper, line.worst.limit_source) for line in rings}
    return desk.limits(rings[0].worst) if len(asked) == 1 else Cell(NOTHING)
