"""Parts to send for: what the plans ask for, a line each, beside the rings for the new size."""

from __future__ import annotations

from collections.abc import Iterator

from enginewright import _numbers as numbers
from enginewright._lines import Line
from enginewright._orders import part_order, rings_by_part
from enginewright._rows import FindingRow
from enginewright.report.blocks import Cell
from enginewright.report.desk import NOTHING, Desk
from enginewright.report.filing import filing_band
from enginewright.report.tasks import Work

__all__ = ["part_orders", "to_fill_in"]


def to_fill_in() -> tuple[Cell, Cell, Cell]:
    """Give the cells that the bench fills in: done, size made, initials."""
    return Cell("☐", form="tick"), Cell(form="blank"), Cell(form="blank")


def part_orders(desk: Desk, todo: Work) -> Iterator[tuple[Cell, ...]]:
    """Give a row for the pistons, for each set of shells, and for the rings of the new size."""
    for line in todo.new_parts:
        yield _fitted(desk, line.worst)
    if todo.orders:
        yield _rings(desk, todo)


def _fitted(desk: Desk, row: FindingRow) -> tuple[Cell, ...]:
    """Order what is fitted to the new size of a plan."""
    rings = any(line.worst.check == "ring gap" for line in desk.now)
    title, size = part_order(row, desk.say, rings=not rings)
    parts = {desk.reading_rows[i].number for i in row.readings if i < len(desk.reading_rows)}
    many = "pistons" if row.check == "rebore" else "shells"
    count = desk.say(f"tasks.{many}", count=len(parts))
    under = desk.say("tasks.settle_first", size=size)
    blank = Cell(NOTHING)
    return (Cell(title, under, strong=True), blank, blank, Cell(count), *to_fill_in())


def _rings(desk: Desk, todo: Work) -> tuple[Cell, ...]:
    """Say for which bores rings are ordered, how many of which, and what is wrong with the old."""
    rings = todo.orders
    size = _finish_size(desk, todo)
    title = desk.say("tasks.order", size=size) if size else desk.say("tasks.order_any")
    told = rings_by_part([line.worst for line in rings], desk.say)
    key = "piece" if len(rings) == 1 else "pieces"
    return (
        Cell(title, desk.say("tasks.rings_at_hand", list=told), strong=True), _gaps(desk, rings),
        _bands(desk, rings), Cell(desk.say(f"tasks.{key}", count=len(rings))), *to_fill_in(),
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


def _bands(desk: Desk, rings: tuple[Line, ...]) -> Cell:
    """Show the gaps that new rings are filed to, ring by ring where they differ."""
    bands: dict[str, Cell] = {}
    for line in rings:
        name = desk.say.say("part", line.worst.part) or desk.say.say("feature", line.worst.feature)
        bands.setdefault(name, filing_band(desk, line.worst))
    if len({cell.text for cell in bands.values()}) == 1:
        return next(iter(bands.values()))
    told = (desk.say("tasks.ring_band", part=name, band=cell.text) for name, cell in bands.items())
    return Cell(desk.say("outcome.join").join(told))
