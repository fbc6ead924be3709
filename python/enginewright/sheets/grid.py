"""One sheet as every reader hands it on: rows of cells, and what the cells were dressed in.

A cell holds `None` or an empty text (blank), a text, a number, a truth value, a date, or one of the
two things that look like a value and are none: `ErrorCell` and `Uncalculated`. Mapping and reading
know only this.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, overload

__all__ = [
    "Area",
    "ErrorCell",
    "Grid",
    "Turned",
    "Uncalculated",
    "cell_name",
    "column_letters",
    "column_number",
    "is_blank",
    "is_date",
    "shown",
]


@dataclass(frozen=True)
class ErrorCell:
    """A cell whose formula failed: "#DIV/0!"."""

    text: str


@dataclass(frozen=True)
class Uncalculated:
    """A formula that was saved without its value."""

    text: str


@dataclass(frozen=True)
class Area:
    """Cells merged into one, 1-based and inclusive."""

    top: int
    left: int
    bottom: int
    right: int


class Turned(Sequence[Sequence[Any]]):
    """Rows that are kept by their columns, all of one length."""

    def __init__(self, columns: Sequence[Sequence[Any]]) -> None:
        self.columns = columns

    def __len__(self) -> int:
        return len(self.columns[0])

    @overload
    def __getitem__(self, index: int) -> Sequence[Any]: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Sequence[Any]]: ...
    def __getitem__(self, index: int | slice) -> Sequence[Any]:
        if isinstance(index, slice):
            return Turned([column[index] for column in self.columns])
        return [column[index] for column in self.columns]


@dataclass
class Grid:
    """One sheet.

    `numbers[i]` is the row number that a person sees for `rows[i]`. Rows may be shorter than
    others: what is not there is blank. `formats` holds the number format of number cells that have
    one of their own, by column and row number, both 1-based.
    """

    name: str
    rows: Sequence[Sequence[Any]]
    numbers: Sequence[int]
    spreads_headings: bool = False
    """Whether a blank in an upper heading row takes the text on its left (a CSV has no merges)."""
    merged: list[Area] = field(default_factory=list)
    hidden_rows: list[int] = field(default_factory=list)
    hidden_columns: list[int] = field(default_factory=list)
    hidden: bool = False
    formats: dict[int, dict[int, str]] = field(default_factory=dict)
    first_line: int = 1
    """First row that can belong to a table: 2 after a line that names the separator."""
    lost_from: int | None = None
    """Row number from which a quote that is never closed swallowed the rest."""

    @cached_property
    def width(self) -> int:
        """Columns up to the last one in use."""
        if isinstance(self.rows, Turned):
            return len(self.rows.columns)
        return max(map(len, self.rows), default=0)

    def index_of(self, number: int) -> int | None:
        """Return the place in `rows` of a row number, or None."""
        numbers = self.numbers
        if isinstance(numbers, range):
            return number - 1 if 0 < number <= len(numbers) else None
        try:
            return numbers.index(number)
        except ValueError:
            return None

    def at(self, number: int, column: int) -> Any:
        """Return the cell of a row number and a column number, both 1-based."""
        index = self.index_of(number)
        if index is None or column > len(self.rows[index]):
            return None
        return self.rows[index][column - 1]


def is_blank(value: Any) -> bool:
    """Tell whether a cell looks empty."""
    return value is None or (isinstance(value, str) and not value.strip())


def is_date(value: Any) -> bool:
    """Tell whether a cell holds a date, a time or a length of time."""
    return isinstance(value, dt.date | dt.time | dt.timedelta)


def shown(value: Any) -> str:
    """Return a cell as a person sees it, on one line and not longer than he wants to read."""
    if value is None:
        return ""
    if isinstance(value, ErrorCell | Uncalculated):
        text = value.text
    elif isinstance(value, bool):
        text = "TRUE" if value else "FALSE"
    elif isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        text = str(int(value))
    elif isinstance(value, dt.date):
        text = f"{value.day} {value:%b %Y}"
    else:
        text = str(value)
    text = " ".join(text.split())
    return text if len(text) <= 60 else text[:57] + "..."


def column_letters(column: int) -> str:
    """Return the letters of a 1-based column number.

    Examples
    --------
    >>> column_letters(1), column_letters(27), column_letters(16384)
    ('A', 'AA', 'XFD')
    """
    letters = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def column_number(letters: str) -> int:
    """Return the 1-based number of a column's letters; 0 when they are none.

    Examples
    --------
    >>> column_number("C"), column_number("xfd"), column_number("7")
    (3, 16384, 0)
    """
    number = 0
    for letter in letters.strip().upper():
        if not "A" <= letter <= "Z":
            return 0
        number = number * 26 + ord(letter) - ord("A") + 1
    return number if number <= 16_384 else 0


def cell_name(sheet: str, row: int | None, column: int) -> str:
    """Return a cell as it is shown everywhere: "Block!C14"."""
    place = column_letters(column) + ("" if row is None else str(row))
    return f"{sheet}!{place}" if row is not None else f"{sheet}, column {place}"
