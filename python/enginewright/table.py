"""Tables: readings in, findings out, limits and gauges beside them.

One row of `Readings` is one thing written down at the bench; `Limits` says what is allowed and
holds the engine cards; `Gauges` are the record cards of what was measured with; `Findings` are what
`inspect` made of them. All are made once and never changed, keep the order of their rows, and pass
to and from NumPy, pandas, polars, pyarrow and duckdb without losing a row or a missing cell.

What goes wrong here: a number without its unit, a NaN taken for a measurement, a frame of another
program whose columns are nearly the right ones. Each is refused by name, with the row.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from typing import Any, Self

import numpy as np
import numpy.typing as npt

from enginewright import _core
from enginewright._arrangements import Grid, History, Series, Vectors
from enginewright._cards import Gauges, Limits
from enginewright._column import Column
from enginewright._crossed import Crossed
from enginewright._engine_card import EngineCard
from enginewright._table import Row, Table, core_table_from, made_table

__all__ = [
    "Column",
    "EngineCard",
    "Findings",
    "Gauges",
    "Grid",
    "History",
    "Limits",
    "Readings",
    "Row",
    "Series",
    "Vectors",
    "card_keys",
    "columns",
    "vocabulary",
]

_core_table: Any = _core.table

vocabulary = _core.table.vocabulary
columns = _core.table.columns
card_keys = _core.table.card_keys


class Readings(Table):
    """Readings: one row is one thing written down at the bench.

    Parameters
    ----------
    **columns
        Columns by name: arrays, lists, series of any data frame; a single value fills every row.
        `job`, `stage`, `feature`, `quantity` are needed, and a `value` with its `unit` or an
        `observation` in every row. NaN and None in a number or count mean missing. Names that the
        schema does not know are carried along.

    Raises
    ------
    ValueError
        A row that cannot be: infinity, no value and no observation, a unit that is not known or
        does not suit the quantity, two readings of one thing with the same `repeat`.
    TypeError
        A column of the wrong type.

    Notes
    -----
    A second reading of the same thing without `repeat` is numbered on in order; `numbered` says
    which rows were.

    Examples
    --------
    >>> readings = ew.Readings(job="J1", stage="as received", feature="bore", quantity="diameter",
    ...                        number=[1, 2], value=[86.04, 86.11], unit="mm")
    >>> len(readings)
    2
    >>> readings[readings["value"] > 86.1][0].number
    2
    """

    _spec = "readings"

    def __init__(self, **columns: Any) -> None:
        self._take(made_table("readings", columns))

    def _take(self, core: Any, numbered: npt.NDArray[np.int64] | None = None) -> None:
        if numbered is None:
            core, numbered = _core_table.number_repeats(_core_table.check_readings(core))
        self._core = core
        self._numbered = numbered
        self._cached: dict[str, Column] = {}

    @classmethod
    def _made(cls, core: Any, numbered: npt.NDArray[np.int64] | None = None) -> Self:
        made = cls.__new__(cls)
        made._take(core, numbered)
        return made

    @classmethod
    def from_frame(cls, obj: Any) -> Self:
        """Make readings from a data frame of any library, an Arrow stream or a mapping of arrays.

        Parameters
        ----------
        obj
            In this order: a table of this library; anything with `__arrow_c_stream__` (pandas with
            pyarrow, polars, pyarrow, duckdb); a mapping of arrays; a pandas frame without pyarrow.

        Examples
        --------
        >>> ew.Readings.from_frame({"job": ["J1"], "stage": ["finished"], "feature": ["bore"],
        ...     "quantity": ["diameter"], "value": [86.01], "unit": ["mm"]})["unit"].words
        ('mm',)
        """
        return cls._made(core_table_from("readings", obj))

    @classmethod
    def empty(cls) -> Self:
        """Return readings without a row, with every column."""
        words: dict[str, Any] = dict.fromkeys(("job", "stage", "feature", "quantity"), [])
        return cls(**words)

    @classmethod
    def read_parquet(cls, path: str | os.PathLike[str]) -> Self:
        """Read readings from a parquet file; needs pyarrow."""
        from enginewright._frames import read_parquet

        return cls.from_frame(read_parquet(path))

    def write_parquet(self, path: str | os.PathLike[str]) -> None:
        """Write the readings to a parquet file, whole or not at all; needs pyarrow."""
        from enginewright._frames import write_parquet

        write_parquet(self, path)

    @property
    def _table(self) -> Any:
        return self._core

    def _of_rows(self, rows: slice | Any) -> Self:
        return self._made(_part(self._core, rows), np.zeros(0, dtype=np.int64))

    @property
    def numbered(self) -> npt.NDArray[np.int64]:
        """Rows that took a `repeat` because their thing was read before, from 0."""
        return self._numbered

    def canonical(self) -> Self:
        """Return the readings in canonical units (mm, g, °C), `unit` saying so."""
        return self._made(_core_table.in_canonical_units(self._core), self._numbered)

    def cells(self) -> list[str]:
        """Return where each reading was written: "Block!C14", or its row when it has no cell."""
        found: list[str] = _core_table.cells(self._core)
        return found

    def where(self, **words: Any) -> Self:
        """Return the rows whose columns hold these values.

        Parameters
        ----------
        **words
            Columns with the value wanted; a tuple or list stands for any of its values, None for
            rows in which the column is missing.

        Examples
        --------
        >>> readings = ew.Readings(job="J1", stage="finished", feature="bore", quantity="diameter",
        ...                        number=[1, 2, 3], value=[86.01, 86.02, 86.01], unit="mm")
        >>> readings.where(number=(1, 3))["value"].values
        array([86.01, 86.01])
        """
        chosen = np.ones(len(self), dtype=bool)
        for name, wanted in words.items():
            column = self[name]
            if isinstance(wanted, (tuple, list, set, frozenset)):
                chosen &= column.isin(wanted)
            else:
                chosen &= column.missing if wanted is None else column == wanted
        return self if chosen.all() else self._of_rows(np.flatnonzero(chosen))

    def series(self, **words: Any) -> Series:
        """Return one thing's readings along their positions, sorted, in canonical units.

        Parameters
        ----------
        **words
            Select the readings, as `where` does; they must be of one thing.

        Raises
        ------
        ValueError
            No reading, readings of several things, a reading without a position.

        Examples
        --------
        >>> lift = ew.Readings(job="J1", stage="finished", feature="cam", quantity="lift", number=1,
        ...     position=[20, 0, 10], position_unit="deg", value=[9.1, 10.2, 9.9], unit="mm")
        >>> lift.series(number=1).values
        array([10.2,  9.9,  9.1])
        """
        from enginewright._arrangements import series

        return series(self, words)

    def history(self, **words: Any) -> History:
        """Return one thing through many jobs, oldest first, in canonical units.

        Parameters
        ----------
        **words
            Select the readings, as `where` does; in all but the job they must be of one thing.

        Raises
        ------
        ValueError
            No reading, readings of several things, a reading without a date.

        Examples
        --------
        >>> cranks = ew.Readings(job=["J1", "J2", "J3"], stage="finished", feature="main journal",
        ...     quantity="diameter", number=1, value=[59.988, 59.990, 59.992], unit="mm",
        ...     date=["2025-02-01", "2025-03-03", "2025-04-02"])
        >>> grinder = cranks.history(number=1)
        >>> line = ew.stats.trend(grinder.days, grinder.values, upper=60.000)
        >>> print(line.status, grinder.date_of(line.due))
        drifting 2025-07-31
        """
        from enginewright._arrangements import history

        return history(self, words)

    def grid(self, rows: str = "number", columns: str = "station", **words: Any) -> Grid:
        """Return readings over two columns: values, where there is one, and labels.

        Repeats of one place come as their mean. Canonical units.

        Parameters
        ----------
        rows, columns
            Columns whose values become the rows and columns of the grid.
        **words
            Select the readings, as `where` does; in every other key they must agree.

        Raises
        ------
        ValueError
            No reading, or readings that differ in another key: it is named.

        Examples
        --------
        >>> bores = ew.Readings(job="J1", stage="finished", feature="bore", quantity="diameter",
        ...     number=[1, 1, 2], station=["top", "middle", "top"], value=[86.03, 86.02, 86.04],
        ...     unit="mm")
        >>> bores.grid().present
        array([[ True,  True],
               [ True, False]])
        """
        from enginewright._arrangements import grid

        return grid(self, rows, columns, words)

    def crossed(self, **words: Any) -> Crossed:
        """Return the parts that everybody measured, for `measure.gauge_study`.

        A part is one place of one part of one job; people are the words of `by`. Parts that not
        everybody measured, and repeats that not all have, are left out and counted.

        Parameters
        ----------
        **words
            Select the readings, as `where` does; they must be of one gauge and one quantity.

        Raises
        ------
        ValueError
            Fewer than two people, parts or repeats; readings of several gauges.

        Examples
        --------
        >>> readings = ew.Readings(job="study", stage="finished", feature="main journal",
        ...     quantity="diameter", unit="mm", gauge="micrometer 2",
        ...     number=[1, 1, 2, 2, 1, 1, 2, 2], by=["Ann"] * 4 + ["Bob"] * 4,
        ...     value=[59.981, 59.982, 59.969, 59.970, 59.982, 59.982, 59.970, 59.971])
        >>> study = readings.crossed(gauge="micrometer 2")
        >>> study.parts, study.people
        (('main journal 1', 'main journal 2'), ('Ann', 'Bob'))
        >>> ew.measure.gauge_study(study, tolerance=0.02).status
        'marginal'
        """
        from enginewright._crossed import crossed

        return crossed(self, words)

    def vectors(self, **words: Any) -> Vectors:
        """Return amounts (or amplitudes) with their phases as complex numbers.

        A pair is an amount and a phase with the same key. Half a pair is left out and stands in
        `problems` with its cell.

        Parameters
        ----------
        **words
            Select the readings, as `where` does.

        Examples
        --------
        >>> spin = ew.Readings(job="J1", stage="bare crank", feature="rotor", station="left plane",
        ...     quantity=["amount", "phase"], value=[20, 90], unit=["g mm", "deg"])
        >>> spin.vectors().values.round(6)
        array([0.+20.j])
        """
        from enginewright._arrangements import vectors

        return vectors(self, words)

    def __reduce__(self) -> tuple[Any, ...]:
        return (Readings._made, (self._core, self._numbered))


class Findings(Table):
    """Findings: one row is one judgement, with what to do next.

    Made by `ew.inspect`; `readings_of` says which readings a finding rests on, `not_checked`
    what no check could look at, `problems` which checks of the shop's own failed.
    """

    _spec = "findings"

    def __init__(self, found: Any, readings: Readings | None, problems: Iterable[str] = ()) -> None:
        self._core = found
        self._readings = readings
        self._problems = tuple(problems)
        self._cached: dict[str, Column] = {}
        self._basis: Any = None

    @classmethod
    def _made(cls, found: Any, readings: Readings | None) -> Self:
        return cls(found, readings)

    @classmethod
    def empty(cls) -> Self:
        """Return findings without a row, with every column."""
        return cls(_core_table.empty_findings(), None)

    @classmethod
    def from_frame(
        cls,
        obj: Any,
        *,
        readings: Readings | None = None,
        readings_of: Sequence[Sequence[int]] | None = None,
        not_checked: Iterable[Any] = (),
    ) -> Self:
        """Make findings again from a frame that they were turned into.

        Parameters
        ----------
        obj
            As `Readings.from_frame` takes it.
        readings
            The readings that they rest on.
        readings_of
            Rows of `readings` for each finding.
        not_checked
            What was not checked, as records.
        """
        core = core_table_from("findings", obj)
        rows = [list(each) for each in readings_of] if readings_of is not None else [[]] * len(core)
        offsets = np.cumsum([0, *map(len, rows)])
        flat = [int(row) for each in rows for row in each]
        found = _core_table.Found(core, offsets, flat, list(not_checked))
        return cls(found, readings)

    @property
    def _table(self) -> Any:
        return self._core.table

    def _whole(self) -> Any:
        if self._basis is None:
            self._basis = self._table.with_column("basis", self._core_column("basis"))
        return self._basis

    def _core_column(self, name: str) -> Any:
        column = self._table.column(name)
        if name == "basis" and column.is_absent and self._readings is not None:
            return self._core.basis(self._readings._core)
        return column

    def _of_rows(self, rows: slice | Any) -> Self:
        at = np.arange(len(self), dtype=np.int64)[rows]
        first = self._core.offsets[at]
        lengths = self._core.offsets[at + 1] - first
        offsets = np.concatenate([[0], np.cumsum(lengths)])
        # Each finding's readings in turn: counted on from its first.
        places = np.arange(offsets[-1]) + np.repeat(first - offsets[:-1], lengths)
        used = self._core.rows[places]
        found = _core_table.Found(_part(self._table, rows), offsets, used, self.not_checked)
        return type(self)(found, self._readings, self._problems)

    @property
    def readings(self) -> Readings | None:
        """Readings that the findings rest on."""
        return self._readings

    def readings_of(self, finding: int) -> npt.NDArray[np.int64]:
        """Return the rows of the readings that one finding rests on, from 0."""
        at = range(len(self))[finding]
        offsets = self._core.offsets
        rows: npt.NDArray[np.int64] = self._core.rows[offsets[at] : offsets[at + 1]]
        return rows

    @property
    def not_checked(self) -> tuple[Any, ...]:
        """What no check could look at: records with job, check and what is missing."""
        found: tuple[Any, ...] = self._core.not_checked
        return found

    @property
    def problems(self) -> tuple[str, ...]:
        """Checks of the shop's own that failed, one sentence each."""
        return self._problems

    def with_problems(self, problems: Iterable[str]) -> Self:
        """Return the same findings with these problems."""
        return type(self)(self._core, self._readings, problems)

    def _same(self, other: Self) -> bool:
        links = np.array_equal(self._core.offsets, other._core.offsets) and np.array_equal(
            self._core.rows, other._core.rows
        )
        rest = self.not_checked == other.not_checked and self._problems == other._problems
        return links and rest and super()._same(other)

    def __reduce__(self) -> tuple[Any, ...]:
        found = self._core
        state = (found.table, found.offsets, found.rows, found.not_checked)
        return (_found_again, (state, self._readings, self._problems))


def _found_again(state: tuple[Any, ...], readings: Readings | None, problems: Any) -> Findings:
    return Findings(_core_table.Found(*state), readings, problems)


def _part(core: Any, rows: slice | Any) -> Any:
    if isinstance(rows, slice):
        return core.slice(rows.start, rows.stop - rows.start)
    return core.take(np.ascontiguousarray(rows, dtype=np.int64))
