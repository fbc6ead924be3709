"""What readings, findings, limits and gauges have in common: named columns of equal length."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, ClassVar, Self

import numpy as np

from enginewright import _core
from enginewright._column import Column, core_column, is_single, rows_of, stream_of

__all__ = ["Row", "Table", "core_table_from", "made_table"]

_core_table: Any = _core.table


@cache
def kinds(table: str) -> dict[str, str]:
    """Return the columns that a schema names and what they hold."""
    return {column.name: column.kind for column in _core_table.columns(table)}


class Row(Mapping[str, Any]):
    """One row of a table: a mapping whose entries are attributes too, None where missing.

    Examples
    --------
    >>> readings = ew.Readings(job="J1", stage="finished", feature="bore", quantity="diameter",
    ...                        value=[86.012], unit="mm")
    >>> readings[0].value
    86.012
    """

    __slots__ = ("_entries", "_table")

    def __init__(self, table: str, entries: dict[str, Any]) -> None:
        self._table = table
        self._entries = entries

    def __getitem__(self, name: str) -> Any:
        return self._entries[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._entries)

    def __len__(self) -> int:
        return len(self._entries)

    def __getattr__(self, name: str) -> Any:
        if name.startswith("_"):
            raise AttributeError(name)
        try:
            return self._entries[name]
        except KeyError:
            raise AttributeError(f"a row of {self._table} has no column {name!r}") from None

    def as_dict(self) -> dict[str, Any]:
        """Return the entries by column."""
        return dict(self._entries)

    def __getstate__(self) -> tuple[str, dict[str, Any]]:
        return self._table, self._entries

    def __setstate__(self, state: tuple[str, dict[str, Any]]) -> None:
        self._table, self._entries = state

    def __repr__(self) -> str:
        said = (f"{name}={value!r}" for name, value in self._entries.items() if value is not None)
        return f"Row({', '.join(said)})"


class Table:
    """Named columns of equal length: immutable, in the order in which they were written.

    `table["value"]` is a column, `table[3]` a row, `table[2:8]`, `table[[1, 5]]` and
    `table[table["feature"] == "bore"]` are tables. Columns that the schema does not name are
    carried along untouched.
    """

    _spec: ClassVar[str]
    __hash__ = None  # type: ignore[assignment]

    _cached: dict[str, Column]

    @property
    def _table(self) -> Any:
        """The table of the core."""
        raise NotImplementedError

    def _of_rows(self, rows: slice | Any) -> Self:
        """Return the same kind of table with some of the rows."""
        raise NotImplementedError

    @property
    def schema(self) -> str:
        """Name and version of the schema: "enginewright.readings/1"."""
        return str(self._table.schema)

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the columns, those of the schema first."""
        return tuple(self._table.names)

    def __len__(self) -> int:
        return len(self._table)

    def __contains__(self, name: object) -> bool:
        return name in self._table.names

    def __iter__(self) -> Iterator[Row]:
        columns = {name: self[name].tolist() for name in self.columns}
        for row in zip(*columns.values(), strict=True):
            yield Row(self._spec, dict(zip(columns, row, strict=True)))

    def __getitem__(self, index: Any) -> Any:
        if isinstance(index, str):
            return self._column(index)
        if isinstance(index, (int, np.integer)):
            at = range(len(self))[index]
            return next(iter(self._of_rows(slice(at, at + 1))))
        if isinstance(index, slice) and index.step in (None, 1):
            first, past, _ = index.indices(len(self))
            return self._of_rows(slice(first, max(past, first)))
        return self._of_rows(rows_of(index, len(self)))

    def _column(self, name: str) -> Column:
        found = self._cached.get(name)
        if found is None:
            try:
                found = Column(name, self._core_column(name))
            except ValueError as refused:
                raise KeyError(str(refused)) from None
            self._cached[name] = found
        return found

    def _core_column(self, name: str) -> Any:
        return self._table.column(name)

    def as_dict(self) -> dict[str, Any]:
        """Return the columns by name, as arrays; as masked arrays where a number is missing."""
        return {
            name: column.masked
            if column._core.missing_count and column.values.dtype != object
            else column.values
            for name, column in ((name, self[name]) for name in self.columns)
        }

    def __arrow_c_stream__(self, requested_schema: object = None) -> Any:
        """Give the table as a stream of the Arrow C interface; no column is copied."""
        return self._whole().__arrow_c_stream__(requested_schema)

    def __arrow_c_schema__(self) -> Any:
        """Give the schema as a capsule of the Arrow C interface."""
        return self._whole().__arrow_c_schema__()

    def _whole(self) -> Any:
        """Return the table of the core with every column made."""
        return self._table

    def to_pandas(self, categories: bool = True) -> Any:
        """Return a pandas data frame.

        Parameters
        ----------
        categories
            Columns of words as categories; False: as text.

        Returns
        -------
        pandas.DataFrame
            Missing numbers are NaN, counts are nullable Int32, dates datetime64, so the types of
            the columns never depend on what is in them.
        """
        from enginewright._frames import to_pandas

        return to_pandas(self, categories)

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return self._same(other)

    def _same(self, other: Self) -> bool:
        return bool(self._whole().same(other._whole()))

    def __copy__(self) -> Self:
        return self

    def __deepcopy__(self, memo: dict[int, Any]) -> Self:
        return self

    def __repr__(self) -> str:
        from enginewright._table_text import text_of

        return text_of(self)

    def _repr_html_(self) -> str:
        from enginewright._table_text import html_of

        return html_of(self)


def made_table(spec: str, columns: Mapping[str, Any]) -> Any:
    """Make a table of the core from columns by name; single values fill every row."""
    known = kinds(spec)
    for name in columns:
        if not isinstance(name, str):
            raise TypeError(f"a column's name must be a text, got {type(name).__name__} {name!r}")
    single = {name: given for name, given in columns.items() if is_single(given)}
    made = {
        name: core_column(name, known.get(name), given, None)
        for name, given in columns.items()
        if name not in single
    }
    rows = len(next(iter(made.values()))) if made else (1 if single else 0)
    for name, given in single.items():
        made[name] = core_column(name, known.get(name), given, rows)
    return _core_table.arranged(spec, rows, {name: made[name] for name in columns})


def core_table_from(spec: str, given: Any) -> Any:
    """Make a table of the core from a table, an Arrow stream, a mapping or a data frame."""
    if isinstance(given, Table) and given._spec == spec:
        return given._whole()
    stream = stream_of(given)
    if stream is not None:
        return _core_table.read_stream(spec, stream)
    if isinstance(given, Mapping):
        return made_table(spec, given)
    if hasattr(given, "columns") and hasattr(given, "__getitem__"):
        return made_table(spec, {str(name): given[name] for name in given.columns})
    raise TypeError(
        f"{spec} must be a table, a data frame, an Arrow stream or a mapping of arrays, "
        f"got {type(given).__name__}"
    )
