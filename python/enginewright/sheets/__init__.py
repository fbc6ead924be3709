"""Spreadsheets in, and back out with every reading judged.

What goes wrong here: a reading is lost between the bench and the record, or read as what it is
not. A spreadsheet turns 1-2 into a date, drops closing zeros, hides rows; an export mixes decimal
points and commas; somebody types an O for a nought. So every row and every cell is accounted for,
no number is guessed, and what could not be read is named by its cell with what to do about it.

A shop writes a *map* once: which cells are readings, and where the rest of each reading stands.
`starting_map` writes the first draft of one, and `blank` writes bench sheets that need none. From
then on `read` is one line a job, and `annotate` gives the same workbook back with verdicts,
margins, limits and next actions beside the rows.

Caution: a reading that is rejected is not judged. Look at `problems` before an engine is built.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

from enginewright.sheets.account import Account, Tally
from enginewright.sheets.guards import Guards
from enginewright.sheets.problems import Problem, Problems, SheetError
from enginewright.sheets.reading import SheetRead, Span, read

if TYPE_CHECKING:
    from enginewright.sheets.blank_sheets import blank
    from enginewright.sheets.first_map import starting_map
    from enginewright.sheets.going_back import annotate

__all__ = [
    "Account",
    "Guards",
    "Problem",
    "Problems",
    "SheetError",
    "SheetRead",
    "Span",
    "Tally",
    "annotate",
    "blank",
    "read",
    "starting_map",
]

# Whoever only reads waits for none of these.
_LATER = {"annotate": "going_back", "blank": "blank_sheets", "starting_map": "first_map"}


def __getattr__(name: str) -> Any:
    if name not in _LATER:
        raise AttributeError(f"module 'enginewright.sheets' has no attribute '{name}'")
    globals()[name] = getattr(importlib.import_module(f"{__name__}.{_LATER[name]}"), name)
    return globals()[name]


def __dir__() -> list[str]:
    return sorted(__all__)
