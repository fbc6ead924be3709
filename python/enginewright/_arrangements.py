"""Readings arranged for a calculation: a series, a history, a grid, a set of vectors."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from enginewright._column import Column
    from enginewright.table import Readings

__all__ = ["Grid", "History", "Series", "Vectors", "grid", "history", "series", "vectors"]

Floats = npt.NDArray[np.float64]

# What makes two readings readings of the same thing, apart from position and repeat.
THING = ("job", "stage", "feature", "number", "part", "station", "axis", "quantity")
# A length and an angle that belong together, as balancing machines and vibration meters show.
LENGTHS = ("amount", "amplitude")


@dataclass(frozen=True, eq=False)
class Series:
    """Readings along a position: a lift curve, a vacuum test, a bore from top to bottom."""

    name: str
    """What was read: "cam 1 inlet lift"."""
    position: Floats
    """Rising, in `position_unit`."""
    values: Floats
    """In `unit`."""
    position_unit: str
    unit: str

    def __len__(self) -> int:
        return len(self.values)

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> npt.NDArray[Any]:
        array = self.values if dtype is None else self.values.astype(dtype, copy=False)
        return array.copy() if copy else array

    def to_pandas(self) -> Any:
        """Return a pandas series with the position as its index."""
        import pandas

        index = pandas.Index(self.position, name=self.position_unit or "position")
        return pandas.Series(self.values.copy(), index=index, name=self.name)


@dataclass(frozen=True, eq=False)
class History:
    """One thing through many jobs, oldest first: the first journal of a year of cranks."""

    name: str
    """What was read: "main journal 1 diameter"."""
    jobs: tuple[str, ...]
    """One a value."""
    dates: npt.NDArray[np.datetime64]
    """Days on which they were read, rising."""
    days: Floats
    """The same as days since the first: the times of `stats.trend`."""
    values: Floats
    """In `unit`; repeats of one job and day come as their mean."""
    unit: str

    def __len__(self) -> int:
        return len(self.values)

    def date_of(self, day: float) -> np.datetime64:
        """Return the date of a day counted from the first: that of `stats.trend(...).due`."""
        first: np.datetime64 = self.dates[0]
        # A hair before midnight is the next day: the line is not known to a microsecond.
        return first + np.timedelta64(int(np.floor(day + 1e-6)), "D")

    def to_pandas(self) -> Any:
        """Return a pandas data frame with the dates as its index."""
        import pandas

        index = pandas.DatetimeIndex(self.dates, name="date")
        return pandas.DataFrame(
            {"job": list(self.jobs), "day": self.days.copy(), "value": self.values.copy()},
            index=index,
        )


@dataclass(frozen=True, eq=False)
class Grid:
    """Readings over two columns: cylinders by stations, journals by directions."""

    values: Floats
    """One row for each of `rows`; NaN where `present` is false."""
    present: npt.NDArray[np.bool_]
    """Where a reading is."""
    rows: tuple[Any, ...]
    """Labels of the rows: numbers rising, words in the order in which they were first written."""
    columns: tuple[Any, ...]
    """Labels of the columns."""
    unit: str

    def to_pandas(self) -> Any:
        """Return a pandas data frame with the labels."""
        import pandas

        return pandas.DataFrame(
            self.values.copy(), index=list(self.rows), columns=list(self.columns)
        )


@dataclass(frozen=True, eq=False)
class Vectors:
    """Amounts with their phases as complex numbers: amount * exp(i * phase)."""

    values: npt.NDArray[np.complex128]
    """In `unit`."""
    readings: Readings
    """The rows of the amounts: stage, station and repeat of each vector."""
    unit: str
    problems: tuple[str, ...]
    """Amounts without a phase and phases without an amount, with their cells."""

    def __len__(self) -> int:
        return len(self.values)

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> npt.NDArray[Any]:
        array = self.values if dtype is None else self.values.astype(dtype, copy=False)
        return array.copy() if copy else array


def _one_of(column: Column, purpose: str) -> str:
    """Return the single word of a column, "" when it has none; refuse several."""
    words = sorted({word for word in column.tolist() if word is not None})
    if len(words) > 1:
        raise ValueError(
            f"{purpose} must be of one {column.name}, got {', '.join(map(str, words))}; "
            f"give {column.name}=..."
        )
    return str(words[0]) if words else ""


def _read_only(array: Any) -> Any:
    array.setflags(write=False)
    return array


def _with_values(readings: Readings, where: dict[str, Any], purpose: str) -> Readings:
    chosen: Readings = readings.where(**where)
    chosen = chosen[~chosen["value"].missing].canonical()
    if not len(chosen):
        raise ValueError(f"{purpose} needs at least one reading, there is none{_said(where)}")
    return chosen


def _said(where: dict[str, Any]) -> str:
    return " with " + ", ".join(f"{k}={v!r}" for k, v in where.items()) if where else ""


def series(readings: Readings, where: dict[str, Any]) -> Series:
    """Return one thing's readings along their positions."""
    chosen = _with_values(readings, where, "a series")
    names = []
    for name in THING:
        column = chosen[name]
        value = _one_of(column, "a series")
        if name not in ("job", "stage") and value:
            names.append(value)
    if chosen["position"].missing.any():
        row = int(np.flatnonzero(chosen["position"].missing)[0])
        raise ValueError(f"position must be given in a series, missing in {chosen.cells()[row]}")
    unit = _one_of(chosen["unit"], "a series")
    position_unit = _one_of(chosen["position_unit"], "a series")
    position = chosen["position"].values
    order = np.argsort(position, kind="stable")
    return Series(
        " ".join(names),
        _read_only(position[order]),
        _read_only(chosen["value"].values[order]),
        position_unit,
        unit,
    )


def history(readings: Readings, where: dict[str, Any]) -> History:
    """Return one thing's readings through many jobs, oldest first."""
    chosen = _with_values(readings, where, "a history")
    names = []
    for name in THING:
        if name != "job":
            value = _one_of(chosen[name], "a history")
            if name != "stage" and value:
                names.append(value)
    dates = chosen["date"]
    if dates.missing.any():
        row = int(np.flatnonzero(dates.missing)[0])
        raise ValueError(f"date must be given in a history, missing in {chosen.cells()[row]}")
    unit = _one_of(chosen["unit"], "a history")
    jobs = chosen["job"].tolist()
    written = np.asarray(dates.values).astype("datetime64[D]")
    groups: dict[tuple[np.datetime64, str], list[float]] = {}
    for at in np.argsort(written, kind="stable"):
        groups.setdefault((written[at], jobs[at]), []).append(float(chosen["value"].values[at]))
    days = np.array([day for day, _ in groups])
    return History(
        " ".join(names),
        tuple(job for _, job in groups),
        _read_only(days),
        _read_only((days - days[0]).astype(np.float64)),
        _read_only(np.array([float(np.mean(values)) for values in groups.values()])),
        unit,
    )


def grid(readings: Readings, rows: str, columns: str, where: dict[str, Any]) -> Grid:
    """Return readings over two columns, repeats of one place as their mean."""
    chosen = _with_values(readings, where, "a grid")
    for name in (*THING, "position"):
        if name not in (rows, columns):
            _one_of(chosen[name], "a grid")
    unit = _one_of(chosen["unit"], "a grid")
    row_labels, row_at = _labels(chosen[rows])
    column_labels, column_at = _labels(chosen[columns])
    shape = (len(row_labels), len(column_labels))
    sums, counts = np.zeros(shape), np.zeros(shape, dtype=np.int64)
    np.add.at(sums, (row_at, column_at), chosen["value"].values)
    np.add.at(counts, (row_at, column_at), 1)
    present = counts > 0
    values = np.full(shape, np.nan)
    np.divide(sums, counts, out=values, where=present)
    return Grid(_read_only(values), _read_only(present), row_labels, column_labels, unit)


def _labels(column: Column) -> tuple[tuple[Any, ...], npt.NDArray[np.int64]]:
    """Return the labels of a column and the place of each row among them."""
    listed = column.tolist()
    labels = list(dict.fromkeys(listed))
    if column.kind != "word":
        labels.sort(key=lambda label: (label is None, label or 0))
    places = {label: place for place, label in enumerate(labels)}
    return tuple(labels), np.array([places[label] for label in listed], dtype=np.int64)


def vectors(readings: Readings, where: dict[str, Any]) -> Vectors:
    """Return amounts and phases as vectors; a half of a pair is a problem."""
    chosen: Readings = readings.where(**where)
    chosen = chosen[~chosen["value"].missing].canonical()
    words = chosen["quantity"].tolist()
    lengths = sorted({word for word in words if word in LENGTHS})
    if len(lengths) > 1:
        raise ValueError("vectors must be of one quantity, got amount and amplitude; give unit=...")
    keys = [tuple(row[name] for name in (*THING[:-1], "position", "repeat")) for row in chosen]
    phases = {key: i for i, key in enumerate(keys) if words[i] == "phase"}
    found = {key: i for i, key in enumerate(keys) if words[i] in LENGTHS}
    pairs = [(at, phases[key]) for key, at in found.items() if key in phases]
    cells = chosen.cells()
    problems = [
        f"{cells[at]}: {words[at]} without a phase"
        for key, at in found.items()
        if key not in phases
    ]
    problems += [
        f"{cells[at]}: phase without an amount" for key, at in phases.items() if key not in found
    ]
    of_amounts = chosen[[at for at, _ in pairs]]
    values = chosen["value"].values
    amount = values[[at for at, _ in pairs]] if pairs else np.zeros(0)
    phase = np.deg2rad(values[[at for _, at in pairs]]) if pairs else np.zeros(0)
    return Vectors(
        _read_only(amount * np.exp(1j * phase)),
        of_amounts,
        _one_of(of_amounts["unit"], "vectors"),
        tuple(problems),
    )
