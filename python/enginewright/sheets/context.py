"""What the tables of a file share, and how a problem of one of their cells is told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from enginewright.sheets.gathering import Gathering
from enginewright.sheets.grid import Grid, shown
from enginewright.sheets.keys import Pool
from enginewright.sheets.mapping import SheetMap
from enginewright.sheets.problems import Problem
from enginewright.sheets.refusals import Refusal
from enginewright.sheets.region import Region

__all__ = ["Context", "Teller"]


@dataclass
class Context:
    """What all tables of a file share."""

    file: str
    grids: Sequence[Grid]
    sheet_map: SheetMap
    outside: Mapping[str, Any]
    """What the caller gives for what neither map nor sheet says."""
    gathering: Gathering
    problems: list[Problem] = field(default_factory=list)
    _spare: Pool = field(default_factory=Pool)

    def pool(self, key: str) -> Pool:
        """Return the words of a key; counts and dates have none."""
        return self.gathering.pools.get(key, self._spare)

    def grid(self, sheet: str | None, otherwise: Grid) -> Grid:
        """Return the sheet of a name; the table's own when no name is given."""
        if sheet is None or len(self.grids) == 1:
            return otherwise
        return next((grid for grid in self.grids if grid.name == sheet), otherwise)


class Teller:
    """Tells the problems of one table, each of them once."""

    def __init__(self, context: Context, region: Region) -> None:
        self.context = context
        self.region = region
        self._told: set[tuple[Any, ...]] = set()

    def cell(self, row: int | None, column: int | None, found: Any, refusal: Refusal) -> None:
        """Tell what is wrong with the cell of a live row, with a row, or with a column."""
        number = None if row is None else int(self.region.numbers[row])
        self.place(self.region.grid, number, column, found, refusal)

    def place(
        self, grid: Grid, number: int | None, column: int | None, found: Any, refusal: Refusal
    ) -> None:
        """Tell what is wrong at a row number of any sheet."""
        key = (grid.name, number, column, refusal.code, refusal.message)
        if refusal.code == "" or key in self._told:
            return
        self._told.add(key)
        problem = Problem(
            severity=refusal.severity,
            code=refusal.code,
            message=refusal.message,
            file=self.context.file,
            sheet=grid.name,
            row=number,
            column=column or None,
            found=shown(found),
            suggestion=refusal.suggestion,
        )
        # Two tables may take the same default from the same cell.
        if problem not in self.context.problems[-50:]:
            self.context.problems.append(problem)
