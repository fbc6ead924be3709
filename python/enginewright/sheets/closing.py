"""The account closed: every row and cell of every sheet, counted twice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from enginewright.sheets.account import Account, Tally, require_balance
from enginewright.sheets.binding import Bound
from enginewright.sheets.context import Context
from enginewright.sheets.grid import Grid, column_letters, is_blank
from enginewright.sheets.mapping import Cell, TableRule, fold
from enginewright.sheets.problems import Problem
from enginewright.sheets.region import IGNORED, KEY, READING, Region
from enginewright.sheets.source import Source

__all__ = ["Group", "close_account"]


@dataclass
class Group:
    """The tables of the map that share one heading on one sheet."""

    grid: Grid
    region: Region
    rules: list[TableRule]
    bounds: list[Bound] = field(default_factory=list)


def close_account(
    source: Source, groups: Sequence[Group], counts: Mapping[int, int], context: Context
) -> Account:
    """Close the account of every sheet, and name what became of sheets without a table."""
    tallies: dict[str, Tally] = {}
    for grid in source.grids:
        here = [group for group in groups if group.grid is grid]
        tally, cells = Tally(), 0
        for group in here:
            held, used = group.region.settle(tally)
            cells += held
            _note_empty(group.region, used, context)
        cells += _outside_tables(grid, here, tally, bool(groups))
        readings = counts.get(id(grid), 0)
        require_balance(grid.name, tally, len(grid.rows), cells, readings)
        tallies[grid.name] = tally
        _remark_sheet(grid, here, readings, context, bool(groups))
    account = Account.of(tallies)
    total = sum(counts.values())
    require_balance(
        source.name,
        account.total,
        sum(len(grid.rows) for grid in source.grids),
        sum(sum(tally.cells.values()) for tally in tallies.values()),
        total,
    )
    return account


def _outside_tables(grid: Grid, groups: Sequence[Group], tally: Tally, known: bool) -> int:
    """Count the rows of a sheet that belong to no table; return the cells counted with them."""
    outside = set(range(len(grid.rows)))
    heading: set[int] = set()
    for group in groups:
        region = group.region
        outside.difference_update(range(region.first, region.end))
        if region.header_rows:
            heading.update(range(region.header_rows[0], region.header_rows[-1] + 1))
    cells = 0
    for index in sorted(outside):
        row = grid.rows[index]
        held = sum(1 for cell in row if not is_blank(cell))
        number = grid.numbers[index]
        if grid.lost_from is not None and number >= grid.lost_from:
            tally.rows["rejected"] += 1
            tally.cells["rejected"] += held
            cells += held
        elif number in heading:
            tally.rows["heading"] += 1
        elif not held:
            tally.rows["blank"] += 1
        elif groups:
            tally.rows["above the table"] += 1
        else:
            word = "ignored" if known else "rejected"
            tally.rows[word] += 1
            tally.cells[word] += held
            cells += held
    return cells


def _note_empty(region: Region, used: npt.NDArray[np.bool_], context: Context) -> None:
    """Note the rows that hold keys and no reading."""
    roles = region.roles
    empty = used & ~(roles == READING).any(axis=1) & (roles == KEY).any(axis=1)
    empty &= ~(roles == IGNORED).any(axis=1)
    rows = region.numbers[empty].tolist()
    if rows:
        listed = ", ".join(map(str, rows[:10])) + (", ..." if len(rows) > 10 else "")
        count = "1 row holds" if len(rows) == 1 else f"{len(rows)} rows hold"
        context.problems.append(
            Problem(
                severity="note",
                code="row without reading",
                message=f"{count} keys and no reading: row {listed}",
                file=context.file,
                sheet=region.grid.name,
                row=rows[0],
            )
        )


def _remark_sheet(
    grid: Grid, groups: Sequence[Group], readings: int, context: Context, known: bool
) -> None:
    """Say what a person should know about a sheet as a whole."""
    told = []
    named = any(
        isinstance(binding, Cell) and fold(binding.sheet or "") == fold(grid.name)
        for binding in context.sheet_map.defaults.values()
    )
    if not groups and grid.rows and known and not named:
        told.append(
            ("note", "sheet not named", "no table of the map is on this sheet; it was ignored")
        )
    if groups and not readings:
        told.append(("error", "no reading", "not one reading was found on this sheet"))
    if groups:
        if grid.hidden:
            told.append(("warning", "hidden", "this sheet is hidden; it was read like any other"))
        if grid.hidden_rows:
            listed = ", ".join(map(str, grid.hidden_rows[:10]))
            told.append(("warning", "hidden", f"hidden rows were read like any other: {listed}"))
        hidden = [c for c in grid.hidden_columns if c <= grid.width]
        if hidden:
            listed = ", ".join(map(column_letters, hidden[:10]))
            told.append(("warning", "hidden", f"hidden columns were read like any other: {listed}"))
    for severity, code, message in told:
        context.problems.append(
            Problem(severity, code, message, file=context.file, sheet=grid.name)
        )
