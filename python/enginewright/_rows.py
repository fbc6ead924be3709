"""Tables as plain rows: the one place where papers and figures touch the tables' columns.

Whatever has columns will do: the library's own `Findings` and `Readings`, or a data frame with the
same headings. Nothing is calculated here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

__all__ = [
    "AnyRow",
    "FindingRow",
    "NotCheckedRow",
    "ReadingRow",
    "column",
    "column_letters",
    "finding_rows",
    "has_column",
    "not_checked_rows",
    "reading_rows",
    "worst",
]

#: Columns by name, each a list.
Columns = dict[str, list[Any]]
#: From bad to good: a set is judged by its worst member.
WORST_FIRST = ("outside", "unproven", "within", "unlimited")


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One thing written down at the bench."""

    index: int
    job: str
    stage: str
    feature: str
    number: int | None
    part: str
    station: str
    axis: str
    position: float | None
    position_unit: str
    repeat: int | None
    quantity: str
    value: float | None
    unit: str
    observation: str
    uncertainty: float | None
    gauge: str
    temperature: float | None
    date: date | None
    note: str
    place: str


@dataclass(frozen=True, slots=True)
class FindingRow:
    """One judged figure, or one plan. `readings` are rows of the readings it stands on."""

    index: int
    job: str
    stage: str
    feature: str
    number: int | None
    part: str
    station: str
    axis: str
    position: float | None
    quantity: str
    check: str
    value: float | None
    uncertainty: float | None
    lower: float | None
    upper: float | None
    target: float | None
    unit: str
    kind: str
    margin: float | None
    verdict: str
    next: str
    amount: float | None
    amount_unit: str
    reason: str
    limit_source: str
    place: str
    readings: tuple[int, ...]


AnyRow = ReadingRow | FindingRow


@dataclass(frozen=True, slots=True)
class NotCheckedRow:
    """A check that did not run, and what the job would have needed for it."""

    job: str
    check: str
    missing: str


def has_column(table: Any, name: str) -> bool:
    """Say whether a table has a column of this name."""
    if _are_rows(table):
        return bool(table) and hasattr(table[0], name)
    try:
        table[name]
    except (KeyError, AttributeError, IndexError, TypeError, ValueError):
        return False
    return True


def column(table: Any, name: str) -> list[Any]:
    """Give one column as a list, None where there is nothing; all None when it is not there."""
    if not has_column(table, name):
        return [None] * len(table)
    found = table[name]
    values = _listed(getattr(found, "values", found))
    missing = getattr(found, "missing", None)
    gone = _listed(missing) if missing is not None else [False] * len(values)
    return [
        None if lacks or _nothing(value) else value
        for value, lacks in zip(values, gone, strict=True)
    ]


def reading_rows(readings: Any) -> tuple[ReadingRow, ...]:
    """Give the readings as rows, in their order; rows are given back as they are."""
    if _are_rows(readings):
        return tuple(readings)
    words: Columns = {name: _texts(readings, name) for name in _READING_WORDS}
    numbers: Columns = {name: _numbers(readings, name) for name in _READING_NUMBERS}
    counts: Columns = {name: _counts(readings, name) for name in ("number", "repeat")}
    dates = [_day(value) for value in column(readings, "date")]
    places = _places(readings)
    return tuple(
        ReadingRow(
            index=i,
            date=dates[i],
            place=places[i],
            **{name: words[name][i] for name in words},
            **{name: numbers[name][i] for name in numbers},
            **{name: counts[name][i] for name in counts},
        )
        for i in range(len(readings))
    )


def finding_rows(findings: Any) -> tuple[FindingRow, ...]:
    """Give the findings as rows, in their order; rows are given back as they are."""
    if _are_rows(findings):
        return tuple(findings)
    words: Columns = {name: _texts(findings, name) for name in _FINDING_WORDS}
    numbers: Columns = {name: _numbers(findings, name) for name in _FINDING_NUMBERS}
    count = _counts(findings, "number")
    places = _places(findings)
    readings_of = getattr(findings, "readings_of", None)
    return tuple(
        FindingRow(
            index=i,
            number=count[i],
            place=places[i],
            readings=tuple(int(row) for row in readings_of(i)) if readings_of else (),
            **{name: words[name][i] for name in words},
            **{name: numbers[name][i] for name in numbers},
        )
        for i in range(len(findings))
    )


def not_checked_rows(findings: Any) -> tuple[NotCheckedRow, ...]:
    """Give the checks that did not run."""
    records = getattr(findings, "not_checked", None)
    records = () if records is None else records
    rows = [NotCheckedRow(str(r.job), str(r.check), str(r.missing)) for r in records]
    # A custom check that failed is a check that did not run: "name, job, cell: what happened".
    for text in getattr(findings, "problems", None) or ():
        name, _, rest = str(text).partition(", ")
        rows.append(NotCheckedRow("", name, rest))
    return tuple(rows)


_READING_WORDS = (
    "job", "stage", "feature", "part", "station", "axis", "position_unit", "quantity", "unit",
    "observation", "gauge", "note",
)  # fmt: skip
_READING_NUMBERS = ("position", "value", "uncertainty", "temperature")
_FINDING_WORDS = (
    "job", "stage", "feature", "part", "station", "axis", "quantity", "check", "unit", "kind",
    "verdict", "next", "amount_unit", "reason", "limit_source",
)  # fmt: skip
_FINDING_NUMBERS = (
    "position", "value", "uncertainty", "lower", "upper", "target", "margin", "amount",
)  # fmt: skip


def _are_rows(table: Any) -> bool:
    return isinstance(table, tuple) and all(
        isinstance(row, (FindingRow, ReadingRow)) for row in table
    )


def _texts(table: Any, name: str) -> list[str]:
    return ["" if value is None else str(value) for value in column(table, name)]


def _numbers(table: Any, name: str) -> list[float | None]:
    return [None if value is None else float(value) for value in column(table, name)]


def _counts(table: Any, name: str) -> list[int | None]:
    return [None if value is None else int(value) for value in column(table, name)]


def _places(table: Any) -> list[str]:
    sheets, files = _texts(table, "sheet"), _texts(table, "file")
    rows, columns = _counts(table, "row"), _counts(table, "column")
    return [
        f"{sheet or file}!{column_letters(number)}{row}" if row and number else (sheet or file)
        for sheet, file, row, number in zip(sheets, files, rows, columns, strict=True)
    ]


def column_letters(number: int) -> str:
    """Give the letters of a sheet's column, counted from 1: 3 -> "C", 27 -> "AA"."""
    letters = ""
    while number > 0:
        number, left = divmod(number - 1, 26)
        letters = chr(ord("A") + left) + letters
    return letters


def _day(value: Any) -> date | None:
    if value is None:
        return None
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    if isinstance(value, (int, float)):
        return date(1970, 1, 1) + timedelta(days=int(value))
    return date.fromisoformat(str(value)[:10])


def _listed(values: Any) -> list[Any]:
    if getattr(getattr(values, "dtype", None), "kind", "") == "M":
        values = values.astype("datetime64[D]")
    to_list = getattr(values, "tolist", None)
    return list(to_list()) if to_list else list(values)


def _nothing(value: Any) -> bool:
    # NaN and its like are the only things that differ from themselves.
    return value is None or value == "" or bool(value != value)


def worst(verdicts: Iterable[str]) -> str:
    """Give the worst of several verdicts: outside, unproven, within, unlimited."""
    found: Sequence[str] = tuple(verdicts)
    return min(found, key=WORST_FIRST.index) if found else "unlimited"
