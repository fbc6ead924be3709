"""Keys: the words, counts, dates and numbers that say what a reading is of.

A key stands in the reading's row, in one cell for all, or in the map. A column is read by its
different values, not by its cells: a year of readings holds a few dozen words.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from enginewright import UnitError
from enginewright.sheets import vocabulary
from enginewright.sheets.grid import ErrorCell, Uncalculated, is_blank, is_date, shown
from enginewright.sheets.mapping import COUNTS, WORDS, WordList, fold
from enginewright.sheets.refusals import Refusal, refusal_of_cell

__all__ = ["OPTIONAL", "KeyData", "Pool", "constant_key", "days", "read_key"]

OPTIONAL = ("date", "gauge", "by")
"""Keys that cost only themselves when they cannot be read."""

Array: TypeAlias = npt.NDArray[Any]
Flags: TypeAlias = npt.NDArray[np.bool_]


class Pool:
    """The words of one column of the readings, numbered as they come."""

    def __init__(self) -> None:
        self.words: list[str] = []
        self._codes: dict[str, int] = {}

    def code(self, word: str) -> int:
        """Return the number of a word, new or known."""
        code = self._codes.get(word)
        if code is None:
            code = self._codes[word] = len(self.words)
            self.words.append(word)
        return code


@dataclass
class KeyData:
    """One key of some rows: codes of words, or numbers; what is blank, skipped, refused."""

    data: Array
    blank: Flags
    column: int | None = None
    skipped: Flags | None = None
    refused: dict[int, Refusal] = field(default_factory=dict)
    units: Array | None = None
    """Codes of the units that positions bring with them."""

    def refused_rows(self) -> Flags:
        """Tell which rows hold a key that could not be read."""
        rows = np.zeros(len(self.blank), np.bool_)
        rows[list(self.refused)] = True
        return rows


@dataclass(frozen=True)
class _How:
    """How the cells of a key are understood."""

    translation: WordList
    words: Mapping[str, tuple[str, str]]
    dates: str


def constant_key(key: str, value: Any, pool: Pool, count: int) -> KeyData:
    """Return a key that is the same in all rows."""
    if key in WORDS:
        word = _spelled(key, str(value))
        data: Array = np.full(count, pool.code(word), np.int32)
    elif key == "date":
        data = np.full(count, days(value))
    else:
        data = np.full(count, float(value))
    return KeyData(data, np.zeros(count, np.bool_))


def _spelled(key: str, word: str) -> str:
    """Return a word of the map as the core spells it."""
    if key == "feature":
        return vocabulary.feature(word) or word
    if key == "quantity":
        found = vocabulary.quantity(word)
        return found.word if found else word
    return " ".join(word.split())


def days(value: Any) -> float:
    """Return a date as days since 1970."""
    if isinstance(value, str):
        value = dt.date.fromisoformat(value)
    if isinstance(value, dt.datetime):
        value = value.date()
    return float((value - dt.date(1970, 1, 1)).days)


def read_key(
    key: str,
    cells: Sequence[Any],
    pool: Pool,
    *,
    column: int | None,
    translation: WordList,
    words: Mapping[str, tuple[str, str]],
    dates: str,
) -> KeyData:
    """Read the cells of a key's column.

    Parameters
    ----------
    key : str
        A word, a count or the date; positions, temperatures and doubts are figures.
    cells : sequence
        One a row.
    pool : Pool
        Takes the words.
    column : int
        Where they stand.
    translation : WordList
        What the shop's words mean.
    words : mapping
        Folded words for what was not measured: they leave a key blank.
    dates : str
        Order of day, month and year in texts.
    """
    how = _How(translation, words, dates)
    convert = _converter(key)
    numeric = key not in WORDS
    values: dict[Any, float] = {}
    refusals: dict[Any, Refusal] = {}
    if bool in set(map(type, cells)):
        cells = [ErrorCell(shown(cell)) if isinstance(cell, bool) else cell for cell in cells]
    for cell in dict.fromkeys(cells):
        found: Any = _SKIP if _skips(cell, how) else convert(cell, how)
        if isinstance(found, Refusal):
            refusals[cell] = found
            values[cell] = _REFUSED
        elif found is None or found is _SKIP:
            values[cell] = _BLANK if found is None else _SKIPPED
        else:
            values[cell] = found if numeric else pool.code(found)
    if len(values) == 1:
        codes = np.full(len(cells), next(iter(values.values())))
    else:
        codes = np.fromiter(map(values.__getitem__, cells), np.float64, len(cells))
    refused = {row: refusals[cells[row]] for row in np.flatnonzero(codes == _REFUSED).tolist()}
    skipped = codes == _SKIPPED
    blank = codes <= _BLANK if not numeric else np.isin(codes, (_BLANK, _SKIPPED, _REFUSED))
    data = (
        np.where(blank, np.nan, codes) if numeric else np.where(blank, -1, codes).astype(np.int32)
    )
    return KeyData(data, blank, column, skipped if skipped.any() else None, refused)


# Far outside what a count or a day can be.
_BLANK, _SKIPPED, _REFUSED = -1e300, -2e300, -3e300
_SKIP = object()


def _skips(cell: Any, how: _How) -> bool:
    if not how.words or not isinstance(cell, str):
        return False
    return how.words.get(fold(cell), ("", ""))[1] == "not measured"


def _converter(key: str) -> Callable[[Any, _How], Any]:
    if key == "feature":
        return _feature
    if key == "quantity":
        return _quantity
    if key in ("unit", "position_unit"):
        return _unit
    if key in COUNTS:
        return _count
    return _date if key == "date" else _word


def _plain(cell: Any) -> str | Refusal | None:
    """Return a key cell as text."""
    if is_blank(cell):
        return None
    if isinstance(cell, str):
        text = " ".join(cell.split())
        if text.startswith("#") and re.fullmatch(r"#[A-Z/0!?]+[!?AE0]", text):
            return refusal_of_cell(ErrorCell(text))
        return text
    if isinstance(cell, ErrorCell | Uncalculated):
        return refusal_of_cell(cell)
    if is_date(cell):
        return Refusal(
            "date for a word",
            f"this cell holds the date {shown(cell)}; spreadsheets turn 1-2 into a date",
            "format the column as text and type it again",
        )
    return shown(cell)


def _translated(cell: Any, how: _How) -> Any:
    text = _plain(cell)
    if text is None or isinstance(text, Refusal):
        return text
    return how.translation.get(text, text) if how.translation else text


def _word(cell: Any, how: _How) -> Any:
    found = _translated(cell, how)
    return found if found is None or isinstance(found, Refusal) else str(found)


def _feature(cell: Any, how: _How) -> Any:
    found = _translated(cell, how)
    if found is None or isinstance(found, Refusal):
        return found
    return vocabulary.feature(str(found)) or _unknown(
        "feature", cell, [*how.translation.entries, *vocabulary.features().values()]
    )


def _quantity(cell: Any, how: _How) -> Any:
    found = _translated(cell, how)
    if found is None or isinstance(found, Refusal):
        return found
    known = vocabulary.quantity(str(found))
    if known is not None:
        return known.word
    every = [entry.word for entry in vocabulary.quantities().values()]
    return _unknown("quantity", cell, [*how.translation.entries, *every])


def _unknown(kind: str, cell: Any, known: Sequence[str]) -> Refusal:
    hits = vocabulary.near(shown(cell), known)
    hint = f"did you mean {' or '.join(map(repr, hits))}? " if hits else ""
    return Refusal(
        f"unknown {kind}",
        f"{shown(cell)!r} is no known {kind}",
        f"{hint}correct it, or name it under [table.values.{kind}] of the map",
    )


def _unit(cell: Any, how: _How) -> Any:
    found = _translated(cell, how)
    if found is None or isinstance(found, Refusal):
        return found
    try:
        vocabulary.unit(str(found))
    except UnitError as error:
        return Refusal("unknown unit", f"{shown(cell)!r}: {error}", "correct the unit")
    return str(found)


def _count(cell: Any, how: _How) -> Any:
    found = cell
    if isinstance(cell, str):
        found = _translated(cell, how)
        if found is None or isinstance(found, Refusal):
            return found
        if isinstance(found, str) and re.fullmatch(r"\d{1,9}(\.0*)?", found):
            found = float(found)
    elif cell is None:
        return None
    elif not isinstance(cell, int | float):
        return _plain(cell)
    if isinstance(found, int | float) and 1 <= found <= 2_000_000_000 and found == int(found):
        return float(found)
    return Refusal(
        "unreadable count",
        f"{shown(cell)!r} is no whole number of at least 1",
        "if this row is no reading, name its first words under ignore_rows",
    )


def _date(cell: Any, how: _How) -> Any:
    if is_blank(cell):
        return None
    if isinstance(cell, dt.date):
        return days(cell)
    text = _plain(cell)
    if isinstance(text, str):
        found = _date_of(text, how.dates)
        if found is not None:
            return days(found)
        return Refusal(
            "unreadable date",
            f"{shown(cell)!r} is no date written {how.dates}",
            "write the date so, or set dates under [file] of the map",
        )
    return text


def _date_of(text: str, order: str) -> dt.date | None:
    """Read a date in the order of the map; year first is understood in any case."""
    found = re.fullmatch(r"(\d{1,4})([-./ ])(\d{1,2})\2(\d{1,4})(?:[T ]\d{1,2}:\d{2}.*)?", text)
    if found is None:
        return None
    parts = [found[1], found[3], found[4]]
    names = order.split("-")
    if len(parts[0]) == 4:
        names = ["year", "month", "day"]
    by_name = dict(zip(names, parts, strict=True))
    year = int(by_name["year"])
    if len(by_name["year"]) == 2:
        # Two digits: the fifty years up to 2049, as no shop keeps readings older than that.
        year += 2000 if year < 50 else 1900
    elif len(by_name["year"]) != 4:
        return None
    try:
        return dt.date(year, int(by_name["month"]), int(by_name["day"]))
    except ValueError:
        return None
