"""The account: where every row and every cell of a file went.

    rows  = above the table + heading + blank + used + ignored + rejected
    cells = readings + keys + notes + ignored + rejected

Both sums are counted twice, once from the file and once from what was done with it, and a reading
whose sums differ is refused as a fault of this program. Ignored means ignored by a rule of the map.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

__all__ = ["CELL_WORDS", "ROW_WORDS", "Account", "Counts", "Tally", "require_balance"]

ROW_WORDS = ("above the table", "heading", "blank", "used", "ignored", "rejected")
CELL_WORDS = ("readings", "keys", "notes", "ignored", "rejected")
_ALSO = {"above": "above the table", "ignored (by rule)": "ignored"}


class Counts(dict[str, int]):
    """Counts by word; the longer and shorter forms of a word are understood as well."""

    def __missing__(self, word: str) -> int:
        if word in _ALSO:
            return self[_ALSO[word]]
        raise KeyError(word)


def _row_counts() -> Counts:
    return Counts(dict.fromkeys(ROW_WORDS, 0))


def _cell_counts() -> Counts:
    return Counts(dict.fromkeys(CELL_WORDS, 0))


@dataclass
class Tally:
    """Rows and cells of one sheet, or of all."""

    rows: Counts = field(default_factory=_row_counts)
    cells: Counts = field(default_factory=_cell_counts)
    used_in_part: int = 0
    """Rows counted as used that hold a rejected cell."""

    def add(self, other: Tally) -> None:
        """Add another sheet's counts."""
        for word, count in other.rows.items():
            self.rows[word] += count
        for word, count in other.cells.items():
            self.cells[word] += count
        self.used_in_part += other.used_in_part

    def as_dict(self) -> dict[str, Any]:
        """Return plain dictionaries, for JSON."""
        return {
            "rows": dict(self.rows),
            "cells": dict(self.cells),
            "used in part": self.used_in_part,
        }

    def __str__(self) -> str:
        """Return both sums as two lines."""
        lines = []
        for name, counts in (("rows", self.rows), ("cells", self.cells)):
            parts = " + ".join(f"{count} {word}" for word, count in counts.items() if count)
            lines.append(f"{name} {sum(counts.values())} = {parts or 'none'}")
        if self.used_in_part:
            lines[0] += f" ({self.used_in_part} used in part)"
        return "\n".join(lines)


@dataclass
class Account:
    """The account of a file: `total`, and `sheets` by name."""

    total: Tally = field(default_factory=Tally)
    sheets: dict[str, Tally] = field(default_factory=dict)

    @classmethod
    def of(cls, sheets: Mapping[str, Tally]) -> Account:
        """Sum the sheets."""
        account = cls(sheets=dict(sheets))
        for tally in sheets.values():
            account.total.add(tally)
        return account

    @classmethod
    def together(cls, accounts: Iterable[Account]) -> Account:
        """Sum several files; sheets of one name are told apart by a number."""
        sheets: dict[str, Tally] = {}
        for account in accounts:
            for name, tally in account.sheets.items():
                fresh, count = name, 2
                while fresh in sheets:
                    fresh, count = f"{name} ({count})", count + 1
                sheets[fresh] = tally
        return cls.of(sheets)

    @property
    def rejected(self) -> bool:
        """Whether any row or cell was not understood."""
        return bool(self.total.rows["rejected"] or self.total.cells["rejected"])

    def as_dict(self) -> dict[str, Any]:
        """Return plain dictionaries, for JSON."""
        return {
            "total": self.total.as_dict(),
            "sheets": {name: tally.as_dict() for name, tally in self.sheets.items()},
        }

    def __str__(self) -> str:
        """Return the total as two lines."""
        return str(self.total)


def require_balance(sheet: str, tally: Tally, rows: int, cells: int, readings: int) -> None:
    """Refuse an account whose sums are not those of the sheet.

    Parameters
    ----------
    sheet : str
        For the message.
    tally : Tally
        What was done with the rows and cells.
    rows, cells : int
        Rows of the sheet, and non-empty cells of its table rows, counted from the sheet itself.
    readings : int
        Readings that came out.

    Raises
    ------
    RuntimeError
        A row or cell was lost or counted twice: a fault of the program, not of the sheet.
    """
    faults = []
    if sum(tally.rows.values()) != rows:
        faults.append(f"rows {sum(tally.rows.values())} of {rows}")
    if sum(tally.cells.values()) != cells:
        faults.append(f"cells {sum(tally.cells.values())} of {cells}")
    if tally.cells["readings"] != readings:
        faults.append(f"readings {readings} of {tally.cells['readings']}")
    if faults:
        raise RuntimeError(f"the account of sheet {sheet} does not balance: {', '.join(faults)}")
