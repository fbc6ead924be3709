"""What to take off each part of a set of weights, as a table to work down at the balance."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from enginewright import _numbers as numbers
from enginewright._lines import Line
from enginewright._rows import FindingRow
from enginewright.report.blocks import Cell, Column, Table
from enginewright.report.desk import NOTHING, Desk
from enginewright.report.part_orders import to_fill_in
from enginewright.report.remarks import remarks_of_part
from enginewright.report.weights import ENDS, mass_plan, numbers_of, rod_plan

__all__ = ["weight_tasks"]

#: What rounds to no gram on paper is not taken off, g.
LEAST = 0.05


def weight_tasks(desk: Desk, found: Sequence[Line]) -> Iterator[Table]:
    """Give a table for each set among the lines that can be brought to one weight."""
    rows = [line.worst for line in found if line.worst.check == "mass match"]
    if any(row.part in ENDS for row in rows):
        # An end that is within on its own has its share of what comes off the other.
        sets = [r for line in desk.now for r in line.findings if r.check == "mass match"]
        rods = rod_plan(desk, sets)
        if rods is not None and rods[0].status == "matched":
            ends = next(row for row in sets if row.part in ENDS)
            yield _rods(desk, ends, *rods)
    for row in rows:
        parts = None if row.part in ENDS else mass_plan(desk, row)
        if parts is not None and parts[0].status == "matched":
            inch = desk.inch.get(row.index, False)
            yield _parts(desk, row, *parts, inch=inch)


def _columns(desk: Desk, names: Sequence[tuple[str, float]]) -> tuple[Column, ...]:
    shares = (*names, ("done", 0.8), ("weight_made", 1.7), ("initials", 1.1))
    return tuple(Column(desk.say(f"columns.{name}"), share) for name, share in shares)


def _named(desk: Desk, row: FindingRow, names: Sequence[str]) -> dict[str, Cell]:
    """Give each part its cell: its name, and what was written beside it."""
    return {
        name: Cell(name, remarks_of_part(desk, row, number), strong=True)
        for name, number in zip(names, numbers_of(desk, row), strict=True)
    }


def _rods(desk: Desk, row: FindingRow, plan: Any, names: Sequence[str]) -> Table:
    columns = _columns(desk, (("part", 2.6), ("off_big", 3.0), ("off_small", 3.0)))
    pairs = zip(names, plan.remove_big, plan.remove_small, strict=True)
    cells = _named(desk, row, names)
    rows = tuple(
        (cells[name], _off(float(big)), _off(float(small)), *to_fill_in())
        for name, big, small in pairs
        if max(big, small) >= LEAST
    )
    return Table(columns, rows, desk.say("tasks.rods"), "tasks")


def _parts(desk: Desk, row: FindingRow, plan: Any, names: Sequence[str], *, inch: bool) -> Table:
    columns = _columns(desk, (("part", 2.6), ("read", 2.3), ("bring_to", 2.3), ("off", 2.0)))
    cells = _named(desk, row, names)
    rows = tuple(
        (
            cells[name], _mass(float(after + off), inch), _mass(float(after), inch),
            _off(float(off), inch), *to_fill_in(),
        )
        for name, after, off in zip(names, plan.after, plan.removal, strict=True)
        if off >= LEAST
    )  # fmt: skip
    return Table(columns, rows, desk.say("tasks.weights"), "tasks")


def _mass(value: float, inch: bool = False) -> Cell:
    shown = numbers.figure(value, "g", inch=inch)
    return Cell(shown.first, shown.second)


def _off(value: float, inch: bool = False) -> Cell:
    if value < LEAST:
        return Cell(NOTHING)
    shown = numbers.figure(value, "g", inch=inch)
    return Cell(shown.first, shown.second, strong=True)
