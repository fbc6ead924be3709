"""One column of a table: its values as NumPy has them, its words, what is missing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from enginewright import _core

__all__ = ["Column", "core_column", "is_single", "rows_of", "stream_of"]

_core_table: Any = _core.table

Array = npt.NDArray[Any]
Truths = npt.NDArray[np.bool_]


class Column:
    """One column of a table: immutable, read-only arrays, what is missing beside them.

    Comparing a column gives an array of truth values, in which a missing row equals nothing, so
    `findings[findings["check"] == "ovality"]` is a choice of rows.

    Examples
    --------
    >>> readings = ew.Readings(job="J1", stage="finished", feature="bore", quantity="diameter",
    ...                        number=[1, 2], value=[86.012, 86.015], unit="mm")
    >>> readings["value"].values
    array([86.012, 86.015])
    >>> readings["number"] == 2
    array([False,  True])
    """

    __slots__ = ("_core", "_name", "_values")
    __hash__ = None  # type: ignore[assignment]

    def __init__(self, name: str, core: Any) -> None:
        self._name = name
        self._core = core
        self._values: Array | None = None

    @property
    def name(self) -> str:
        """Name in its table."""
        return self._name

    @property
    def kind(self) -> str:
        """What it holds: word, number, count, date, text, whole, truth or moment."""
        return str(self._core.kind)

    @property
    def values(self) -> Array:
        """Values as a read-only array, without a copy where they already lie so.

        A missing row holds NaN, 0 in a count, NaT in a date, None among words and texts; `missing`
        tells which.
        """
        if self._values is None:
            self._values = self._core.values()
        return self._values

    @property
    def missing(self) -> Truths:
        """Which rows are missing."""
        found: Truths = self._core.missing()
        return found

    @property
    def masked(self) -> Any:
        """Values as a masked array."""
        return np.ma.array(self.values, mask=self.missing)

    @property
    def codes(self) -> npt.NDArray[np.int32]:
        """Codes of the words, -1 where there is none: read-only, of a column of words."""
        self._require_words("codes")
        found: npt.NDArray[np.int32] = self._core.codes()
        return found

    @property
    def words(self) -> tuple[str, ...]:
        """Words that the codes stand for, each once."""
        self._require_words("words")
        found: tuple[str, ...] = self._core.words()
        return found

    def _require_words(self, what: str) -> None:
        if self.kind != "word":
            raise TypeError(f"{what} belong to a column of words, {self._name} holds {self.kind}s")

    def __len__(self) -> int:
        return len(self._core)

    def __getitem__(self, index: Any) -> Any:
        if isinstance(index, (int, np.integer)):
            value = self.values[index]
            at = range(len(self))[index]
            if self._core.slice(at, 1).missing_count:
                return None
            return value.item() if isinstance(value, np.generic) else value
        if isinstance(index, slice) and index.step in (None, 1):
            first, past, _ = index.indices(len(self))
            return Column(self._name, self._core.slice(first, max(past - first, 0)))
        return Column(self._name, self._core.take(rows_of(index, len(self))))

    def __iter__(self) -> Iterator[Any]:
        return iter(self.tolist())

    def tolist(self) -> list[Any]:
        """Values as a list, None where there is none."""
        if self.kind in ("word", "text") or not self._core.missing_count:
            return list(self.values.tolist())
        pairs = zip(self.values.tolist(), self.missing.tolist(), strict=True)
        return [None if missing else value for value, missing in pairs]

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> Array:
        values = self.values
        if self.kind in ("count", "whole") and self._core.missing_count:
            # NumPy has no missing whole number: as floats they are NaN, never 0.
            values = np.where(self.missing, np.nan, values)
        array = values if dtype is None else values.astype(dtype, copy=False)
        return array.copy() if copy else array

    def isin(self, values: Any) -> Truths:
        """Which rows hold one of these values."""
        found = np.zeros(len(self), dtype=bool)
        for value in values:
            found |= self == value
        return found

    def _compared(self, other: Any, operation: str) -> Truths:
        if self.kind == "word" and isinstance(other, str) and operation == "__eq__":
            words = self.words
            code = words.index(other) if other in words else -2
            return np.asarray(self.codes == code)
        if isinstance(other, Column):
            absent = self.missing | other.missing
            other = other.values
        else:
            absent = self.missing
        if other is None:
            return np.zeros(len(self), dtype=bool)
        if isinstance(other, (dt.date, dt.datetime)):
            other = np.datetime64(other)
        values = self.values
        if values.dtype == object:
            # None has no order; an absent row is decided below, whatever stands here.
            values = np.where(absent, "", values)
            if isinstance(other, np.ndarray) and other.dtype == object:
                other = np.where(absent, "", other)
        answer = getattr(values, operation)(other)
        if answer is NotImplemented:
            raise TypeError(
                f"{self._name} holds {self.kind}s, it cannot be compared with {other!r}"
            )
        return np.asarray(answer, dtype=bool) & ~absent

    def __eq__(self, other: Any) -> Truths:  # type: ignore[override]
        return self._compared(other, "__eq__")

    def __ne__(self, other: Any) -> Truths:  # type: ignore[override]
        return ~self._compared(other, "__eq__")

    def __lt__(self, other: Any) -> Truths:
        return self._compared(other, "__lt__")

    def __le__(self, other: Any) -> Truths:
        return self._compared(other, "__le__")

    def __gt__(self, other: Any) -> Truths:
        return self._compared(other, "__gt__")

    def __ge__(self, other: Any) -> Truths:
        return self._compared(other, "__ge__")

    def equals(self, other: Column) -> bool:
        """Whether another column has the same kind, missing rows and values."""
        return bool(self._core.same(other._core))

    def __reduce__(self) -> tuple[Any, ...]:
        return (Column, (self._name, self._core))

    def __copy__(self) -> Column:
        return self

    def __deepcopy__(self, memo: dict[int, Any]) -> Column:
        return self

    def __repr__(self) -> str:
        shown = [repr(value) for value in self[:6].tolist()]
        if len(self) > len(shown):
            shown.append("...")
        return f"Column({self._name!r}, {self.kind}, {len(self)} rows: [{', '.join(shown)}])"


def rows_of(index: Any, rows: int) -> npt.NDArray[np.int64]:
    """Turn an index into row numbers: truth values, row numbers, a slice with a step."""
    if isinstance(index, slice):
        return np.arange(rows, dtype=np.int64)[index]
    chosen = np.asarray(index)
    if chosen.dtype == bool:
        if chosen.shape != (rows,):
            raise ValueError(
                f"a choice of rows must have one truth value for each of {rows} rows, "
                f"got shape {chosen.shape}"
            )
        return np.flatnonzero(chosen)
    if chosen.size == 0:
        return np.zeros(0, dtype=np.int64)
    if chosen.dtype.kind not in "iu" or chosen.ndim != 1:
        raise TypeError(
            "a table is indexed by a column's name, a row, a slice, row numbers or truth values"
        )
    numbers = chosen.astype(np.int64)
    return np.where(numbers < 0, numbers + rows, numbers)


def core_column(name: str, kind: str | None, given: Any, rows: int | None) -> Any:
    """Make a column of the core from whatever holds values; a single value fills `rows` rows."""
    if isinstance(given, Column):
        return given._core
    if isinstance(given, _core_table.Column):
        return given
    if is_single(given):
        return _filled(name, kind, given, 1 if rows is None else rows)
    streamed = _streamed(name, kind, given)
    if streamed is not None:
        return streamed
    if hasattr(given, "dtype") and hasattr(given, "to_numpy"):
        return _from_series(name, kind, given)
    if not isinstance(given, (np.ndarray, list, tuple)) and hasattr(given, "__array__"):
        given = np.asarray(given)
    if not isinstance(given, (np.ndarray, list, tuple)) and hasattr(given, "__iter__"):
        given = list(given)
    return _core_table.column_from_values(name, kind, given)


def is_single(given: Any) -> bool:
    """Whether a value stands for every row."""
    return given is None or isinstance(given, (str, bytes, int, float, np.generic, dt.date))


def _filled(name: str, kind: str | None, given: Any, rows: int) -> Any:
    return _core_table.column_from_codes(name, kind, np.zeros(rows, dtype=np.int8), [given])


def _streamed(name: str, kind: str | None, given: Any) -> Any:
    """Read a series that speaks the Arrow interface; None when it does not, or cannot now."""
    if hasattr(given, "__arrow_c_array__"):
        schema, array = given.__arrow_c_array__()
        return _core_table.column_from_arrow(name, kind, schema, array)
    stream = stream_of(given)
    return None if stream is None else _core_table.column_from_stream(name, kind, stream)


def stream_of(given: Any) -> Any:
    """Ask for a stream of the Arrow interface; None when there is none to be had."""
    if not hasattr(given, "__arrow_c_stream__"):
        return None
    try:
        return given.__arrow_c_stream__()
    except ImportError:
        # The way out of pandas needs pyarrow, which need not be here.
        return None
    except (TypeError, ValueError):
        # pandas cannot stream mixed objects; taken one by one they are read or refused by name.
        if hasattr(given, "iloc"):
            return None
        raise


def _from_series(name: str, kind: str | None, series: Any) -> Any:
    """Read the series of a data frame without pyarrow."""
    categories = getattr(series.dtype, "categories", None)
    if categories is not None:
        codes = series.cat.codes if hasattr(series, "cat") else series.codes
        return _core_table.column_from_codes(name, kind, np.asarray(codes), list(categories))
    if getattr(series.dtype, "tz", None) is not None:
        series = series.dt.tz_convert("UTC").dt.tz_localize(None)
    plain = isinstance(series.dtype, np.dtype)
    values = series.to_numpy() if plain else series.to_numpy(dtype=object)
    return _core_table.column_from_values(name, kind, values)
