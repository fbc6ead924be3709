"""The rows of one table on its sheet, and what becomes of each row and cell."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import cached_property
from itertools import zip_longest
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from enginewright.sheets.account import Tally
from enginewright.sheets.grid import Grid, Turned, cell_name, is_blank, shown
from enginewright.sheets.headings import ColumnHead, column_heads
from enginewright.sheets.mapping import fold

__all__ = ["IGNORED", "KEY", "NONE", "NOTE", "READING", "REJECTED", "Region"]

NONE, IGNORED, REJECTED, NOTE, KEY, READING = range(6)
"""What a cell was: where two tables share a row, the greater counts."""

Flags: TypeAlias = npt.NDArray[np.bool_]


class Region:
    """The rows below one heading, down to the next table or the end of the sheet.

    `live` are the places in the grid's rows that can hold readings; `skipped` those that a rule of
    the map takes out; the rest are blank.
    """

    def __init__(
        self,
        grid: Grid,
        header_rows: tuple[int, ...],
        last_row: int | None,
        ignore_rows: Iterable[str],
    ) -> None:
        self.grid = grid
        self.header_rows = header_rows
        self.heads: list[ColumnHead] = column_heads(grid, header_rows)
        first = header_rows[-1] if header_rows else grid.first_line - 1
        numbers = grid.numbers
        self.first = _first_after(numbers, first)
        self.end = len(numbers) if last_row is None else _first_after(numbers, last_row)
        if grid.lost_from is not None:
            self.end = max(self.first, min(self.end, _first_after(numbers, grid.lost_from - 1)))
        self._sort_rows(tuple(ignore_rows))
        self.roles = np.zeros((len(self.live), grid.width), np.uint8)
        self._filled: dict[int, Flags] = {}

    def _sort_rows(self, ignore_rows: tuple[str, ...]) -> None:
        rows = self.grid.rows[self.first : self.end]
        firsts: Sequence[Any]
        if isinstance(rows, Turned) and all(rows.columns[0]):
            firsts = rows.columns[0]
        else:
            firsts = [(row[0] or _first_cell(row)) if row else None for row in rows]
        out = self._ruled_out(firsts, ignore_rows)
        if not out and None not in firsts:
            self.live = np.arange(self.first, self.end, dtype=np.int64)
        else:
            kept = [i for i, c in enumerate(firsts, self.first) if c is not None and i not in out]
            self.live = np.array(kept, dtype=np.int64)
        self.skipped = sorted(out)
        self.blank = len(rows) - len(self.live) - len(self.skipped)

    def _ruled_out(self, firsts: Sequence[Any], ignore_rows: tuple[str, ...]) -> set[int]:
        """Return the rows that a pattern takes out, and those that repeat a heading row."""
        globs = [_glob(pattern) for pattern in ignore_rows]
        heading_rows = [self._folded(number) for number in self.header_rows]
        starts = {next(iter(row.values()), None) for row in heading_rows}
        ruled: set[Any] = set()
        repeats: set[Any] = set()
        for cell in dict.fromkeys(firsts):
            text = "" if cell is None else fold(cell if isinstance(cell, str) else shown(cell))
            if cell is not None and any(glob.fullmatch(text) for glob in globs):
                ruled.add(cell)
            elif cell is not None and text in starts:
                repeats.add(cell)
        if not ruled and not repeats:
            return set()
        return {
            index
            for index, cell in enumerate(firsts, self.first)
            if cell in ruled
            or (cell in repeats and self._folded(self.grid.numbers[index]) in heading_rows)
        }

    def _folded(self, number: int) -> dict[int, str]:
        index = self.grid.index_of(number)
        cells = [] if index is None else self.grid.rows[index]
        return {c: fold(shown(cell)) for c, cell in enumerate(cells) if not is_blank(cell)}

    def __len__(self) -> int:
        return len(self.live)

    @cached_property
    def numbers(self) -> npt.NDArray[np.int64]:
        """Row numbers of the live rows."""
        return np.asarray(self.grid.numbers, dtype=np.int64)[self.live]

    @cached_property
    def _table(self) -> list[Sequence[Any]]:
        grid_rows = self.grid.rows
        if isinstance(grid_rows, Turned) and len(self.live) == self.end - self.first:
            return [column[self.first : self.end] for column in grid_rows.columns]
        rows = [grid_rows[index] for index in self.live.tolist()]
        widths = set(map(len, rows))
        columns = zip(*rows, strict=True) if len(widths) == 1 else zip_longest(*rows)
        return list(columns)

    def column(self, number: int) -> Sequence[Any]:
        """Return the cells of a column, one a live row."""
        if number <= len(self._table):
            return self._table[number - 1]
        return [None] * len(self)

    def spread_column(self, number: int) -> Sequence[Any]:
        """Return the cells of a column of keys: a cell merged over rows stands for all of them."""
        cells = self.column(number)
        areas = [a for a in self.grid.merged if a.left <= number <= a.right and a.bottom > a.top]
        if not areas:
            return cells
        filled = list(cells)
        for area in areas:
            value = self.grid.at(area.top, area.left)
            first, last = np.searchsorted(self.numbers, (area.top, area.bottom + 1))
            for row in range(first, last):
                if is_blank(filled[row]):
                    filled[row] = value
        return filled

    def formats(self, number: int) -> dict[int, str]:
        """Return the number formats of a column by live row."""
        forms = self.grid.formats.get(number)
        if not forms:
            return {}
        place = {int(row): index for index, row in enumerate(self.numbers)}
        return {place[row]: form for row, form in forms.items() if row in place}

    def filled(self, number: int) -> Flags:
        """Tell which cells of a column hold something."""
        if number not in self._filled:
            self._filled[number] = self._look(number)
        return self._filled[number]

    def _look(self, number: int) -> Flags:
        if number > len(self._table):
            return np.zeros(len(self), np.bool_)
        cells = self._table[number - 1]
        if all(cells):
            return np.ones(len(self), np.bool_)
        if set(map(type, cells)) == {str}:
            # The cells of a CSV: a text is there or it is empty.
            return np.array(list(map(bool, cells)), np.bool_)
        return np.fromiter((c is not None and c != "" for c in cells), np.bool_, len(self))

    def place(self, column: int) -> Callable[[int], str]:
        """Return what names the cell of a live row."""
        return lambda row: cell_name(self.grid.name, int(self.numbers[row]), column)

    def mark(self, column: int, rows: Flags, role: int) -> None:
        """Say what the cells of some rows were; the greater of two roles stands."""
        if 0 < column <= self.grid.width:
            chosen = rows & self.filled(column)
            self.roles[chosen, column - 1] = np.maximum(self.roles[chosen, column - 1], role)

    def settle(self, tally: Tally) -> tuple[int, Flags]:
        """Close the rows' account into a tally; return the non-empty cells and the rows used.

        A row without a reading that holds something unreadable is rejected, keys and notes too.
        """
        holds = np.zeros(self.roles.shape, np.bool_)
        for column in range(1, self.grid.width + 1):
            holds[:, column - 1] = self.filled(column)
        roles = np.where(holds & (self.roles == NONE), REJECTED, self.roles)
        roles[~holds] = NONE
        lost = (roles == REJECTED).any(axis=1)
        used = (roles == READING).any(axis=1) | ~lost
        rejected = ~used[:, None] & ((roles == KEY) | (roles == NOTE))
        roles[rejected] = REJECTED
        self.roles = roles
        counts = np.bincount(roles.ravel(), minlength=6)
        for word, role in _CELLS.items():
            tally.cells[word] += int(counts[role])
        tally.rows["used"] += int(used.sum())
        tally.rows["rejected"] += int((~used).sum())
        tally.used_in_part += int((used & lost).sum())
        tally.rows["blank"] += self.blank
        tally.rows["ignored"] += len(self.skipped)
        passed = sum(_held(self.grid.rows[index]) for index in self.skipped)
        tally.cells["ignored"] += passed
        return int(holds.sum()) + passed, used


_CELLS = {"readings": READING, "keys": KEY, "notes": NOTE, "ignored": IGNORED, "rejected": REJECTED}


def _first_cell(row: Sequence[Any]) -> Any:
    return next((cell for cell in row if cell is not None and cell != ""), None)


def _held(row: Sequence[Any]) -> int:
    return sum(1 for cell in row if cell is not None and cell != "")


def _glob(pattern: str) -> re.Pattern[str]:
    return re.compile(re.escape(fold(pattern)).replace(r"\*", ".*").replace(r"\?", "."), re.DOTALL)


def _first_after(numbers: Sequence[int], number: int) -> int:
    """Return the place of the first row below a row number."""
    if isinstance(numbers, range):
        return max(0, min(len(numbers), number - numbers.start + 1))
    return int(np.searchsorted(np.asarray(numbers), number, side="right"))
