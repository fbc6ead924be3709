"""Sheets that need no map: their headings are the column names of the readings themselves."""

from __future__ import annotations

from collections.abc import Sequence

from enginewright.sheets.grid import Grid, is_blank, shown
from enginewright.sheets.mapping import (
    READING_COLUMNS,
    ColumnRule,
    Heading,
    SheetMap,
    TableRule,
    fold,
)

__all__ = ["tidy_map"]

_LOOK = 30
_ENOUGH = {"feature", "quantity"}
_NAMES = {fold(name.replace("_", " ")): name for name in READING_COLUMNS} | {
    fold(name): name for name in READING_COLUMNS
}


def tidy_map(grids: Sequence[Grid]) -> SheetMap | None:
    """Make a map for the sheets whose headings are column names; None when there is none.

    Parameters
    ----------
    grids : sequence of Grid
        The sheets of a file.
    """
    tables = []
    for grid in grids:
        found = _heading_row(grid)
        if found is None:
            continue
        row, columns = found
        fixed = {
            name: Heading(text=text)
            for name, text in columns.items()
            if name not in ("value", "note")
        }
        value = Heading(text=columns["value"]) if "value" in columns else Heading()
        notes = (Heading(text=columns["note"]),) if "note" in columns else ()
        tables.append(
            TableRule(
                sheet=grid.name,
                layout="long",
                header_rows=(row,),
                columns=(ColumnRule(value),),
                fixed=fixed,
                notes=notes,
            )
        )
    return SheetMap(tuple(tables), name="the column names") if tables else None


def _heading_row(grid: Grid) -> tuple[int, dict[str, str]] | None:
    """Return the first row that names enough columns, and how it writes each."""
    for number, row in zip(grid.numbers[:_LOOK], grid.rows[:_LOOK], strict=False):
        columns: dict[str, str] = {}
        for cell in row:
            if isinstance(cell, str) and not is_blank(cell):
                name = _NAMES.get(fold(cell))
                if name is not None:
                    columns.setdefault(name, shown(cell))
        if columns.keys() >= _ENOUGH and columns.keys() & {"value", "observation"}:
            return number, columns
    return None
