"""Where a sheet's table probably stands, and what its columns hold: for starting maps only."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from enginewright.sheets.decimals import evidence
from enginewright.sheets.grid import Grid, is_blank, is_date
from enginewright.sheets.headings import ColumnHead, column_heads

__all__ = ["TableGuess", "columns_of", "decimal_of", "find_table", "looks_numeric"]

_LOOK = 200
_NUMERIC = re.compile(r"[+\-\u2212]?[\d.,'\u2019 \u00a0\u202f]*\d[\d.,]*(\s*[^\d\s].{0,8})?")


def looks_numeric(cell: Any) -> bool:
    """Tell whether a cell holds a number, or a text that begins like one."""
    if isinstance(cell, bool) or is_blank(cell):
        return False
    if isinstance(cell, int | float):
        return True
    return isinstance(cell, str) and _NUMERIC.fullmatch(cell.strip()) is not None


@dataclass
class TableGuess:
    """A table on a sheet: heading rows, the columns under them, the rows below."""

    grid: Grid
    header_rows: tuple[int, ...]
    heads: list[ColumnHead]
    rows: Sequence[Sequence[Any]] = field(default_factory=list)

    def cells(self, column: int) -> list[Any]:
        """Return the cells of a column that hold something."""
        found = [row[column - 1] for row in self.rows if len(row) >= column]
        return [cell for cell in found if not is_blank(cell)]


def _is_heading(row: Sequence[Any]) -> bool:
    """Tell whether a row could be a heading: two texts at least, and nothing but texts."""
    cells = [cell for cell in row if not is_blank(cell)]
    return len(cells) >= 2 and all(
        isinstance(cell, str) and not looks_numeric(cell) for cell in cells
    )


def _is_data(row: Sequence[Any]) -> bool:
    cells = [cell for cell in row if not is_blank(cell)]
    return len(cells) >= 2 and any(looks_numeric(cell) or is_date(cell) for cell in cells)


def _held(row: Sequence[Any]) -> int:
    return sum(not is_blank(cell) for cell in row)


def find_table(grid: Grid) -> TableGuess | None:
    """Return the table of a sheet that holds most, or None when nothing looks like one."""
    rows = grid.rows[:_LOOK]
    best: tuple[int, int] | None = None
    for index, row in enumerate(rows[:-1]):
        if not _is_heading(row) or not _is_data(rows[index + 1]):
            continue
        below = 0
        while index + 1 + below < len(rows) and _is_data(rows[index + 1 + below]):
            below += 1
        score = _held(row) * below
        if best is None or score > best[0]:
            best = (score, index)
    if best is None:
        return None
    last = first = best[1]
    # An upper heading row spans most of the lower one; a label and its word above it do not.
    enough = 0.35 * _held(rows[last])
    while first > 0 and last - first < 2 and _is_heading(rows[first - 1]):
        if _held(rows[first - 1]) < enough:
            break
        first -= 1
    header_rows = tuple(grid.numbers[index] for index in range(first, last + 1))
    return TableGuess(grid, header_rows, column_heads(grid, header_rows), grid.rows[last + 1 :])


def columns_of(table: TableGuess) -> tuple[list[ColumnHead], list[ColumnHead]]:
    """Split the columns of a table into those that mostly hold numbers and the others."""
    numeric: list[ColumnHead] = []
    others: list[ColumnHead] = []
    for head in table.heads:
        cells = table.cells(head.column)
        if not head.text and not cells:
            continue
        numbers = sum(looks_numeric(cell) for cell in cells)
        (numeric if cells and 2 * numbers > len(cells) else others).append(head)
    return numeric, others


def decimal_of(tables: Sequence[TableGuess], separator_is_comma: bool) -> tuple[str, bool]:
    """Return what a map should say about the decimal mark, and whether that is a guess."""
    found: set[str] = set()
    for table in tables:
        for head in table.heads:
            for cell in table.cells(head.column):
                if isinstance(cell, str) and looks_numeric(cell):
                    found.add(evidence(cell))
    if "," in found and "." not in found:
        return "comma", False
    if "." in found and "," not in found:
        return ("point", False) if "?" in found else ("auto", False)
    if "?" in found and not found & {".", ","}:
        return ("auto", False) if separator_is_comma else ("comma", True)
    return "auto", False
