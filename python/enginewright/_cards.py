"""Limits and gauges: tables whose rows were checked when they were read."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from typing import Any, Self

import numpy as np

from enginewright import _core
from enginewright._column import Column
from enginewright._engine_card import EngineCard
from enginewright._table import Row, Table, core_table_from

__all__ = ["Gauges", "Limits"]

_core_table: Any = _core.table


class _Cards(Table):
    """What limits and gauges share: a table whose truth is a list of checked records."""

    _key: str
    _core: Any

    def __init__(self, core: Any) -> None:
        self._core = core
        self._cached: dict[str, Column] = {}
        self._made_table: Any = None

    @classmethod
    def _from_json(cls, text: str, place: str) -> Any:
        raise NotImplementedError

    @classmethod
    def from_json(cls, text: str) -> Self:
        """Read JSON text, as `to_json` gives it or of the shape of the file.

        Raises
        ------
        ValueError
            Every fault, one a line.
        """
        return cls(cls._from_json(text, cls._spec))

    @classmethod
    def read(cls, path: str | os.PathLike[str]) -> Self:
        """Read a file: TOML or a workbook, whatever it is called.

        A workbook has a sheet Limits (its headings are the columns of this table), a sheet Gauges
        (one a row) and a sheet Engine with keys in the first column and values in the next; lists
        stand apart by ";", sizes of the shelf as "2.20 mm = 2".

        Raises
        ------
        ValueError
            Not to be read, or every fault in it, one a line.
        """
        from enginewright._limits_files import json_of_file

        text, name = json_of_file(path)
        return cls(cls._from_json(text, name))

    @classmethod
    def from_frame(cls, obj: Any) -> Self:
        """Make the table from a data frame, an Arrow stream or a mapping of arrays.

        Figures are numbers in the unit of the column `unit`.
        """
        from enginewright._limits_files import json_of_rows

        if isinstance(obj, cls):
            return obj
        core = core_table_from(cls._spec, obj)
        return cls(cls._from_json(json_of_rows(cls._key, _records(core)), cls._spec))

    @classmethod
    def empty(cls) -> Self:
        """Return a table without a row."""
        return cls.from_json("{}")

    def to_json(self) -> str:
        """Return JSON text that `from_json` reads back to the same figures, bit for bit."""
        return str(self._core.to_json())

    @property
    def rows(self) -> tuple[Any, ...]:
        """The rows as records."""
        found: tuple[Any, ...] = self._core.rows
        return found

    @property
    def _table(self) -> Any:
        if self._made_table is None:
            self._made_table = self._core.to_table()
        return self._made_table

    def _of_rows(self, rows: slice | Any) -> Self:
        content = json.loads(self.to_json())
        at = np.arange(len(self), dtype=np.int64)[rows]
        content[self._key] = [content[self._key][int(row)] for row in at]
        return self.from_json(json.dumps(content))

    def __iter__(self) -> Iterator[Row]:
        names = self.columns
        for row in zip(*(self[name].tolist() for name in names), strict=True):
            yield Row(self._spec, dict(zip(names, row, strict=True)))

    def __getitem__(self, index: Any) -> Any:
        if isinstance(index, (int, np.integer)):
            at = range(len(self))[index]
            return Row(self._spec, {name: self[name][at] for name in self.columns})
        return super().__getitem__(index)

    def _same(self, other: Self) -> bool:
        return bool(self._core.same(other._core))

    def __reduce__(self) -> tuple[Any, ...]:
        return (type(self).from_json, (self.to_json(),))


def _records(core: Any) -> list[dict[str, Any]]:
    columns = {name: Column(name, core.column(name)).tolist() for name in core.names}
    names = [name for name, values in columns.items() if any(v is not None for v in values)]
    return [{name: columns[name][row] for name in names} for row in range(len(core))]


class Limits(_Cards):
    """Limits and engine cards: what is allowed, and what no reading gives.

    Figures are in canonical units; `unit` says which, `given_unit` what the shop wrote.

    Examples
    --------
    >>> limits = ew.Limits.from_json('''{"limit": [{"feature": "ring", "quantity": "gap",
    ...     "lower": "12 thou", "source": "shop"}]}''')
    >>> round(limits[0].lower, 4)
    0.3048
    """

    _spec = "limits"
    _key = "limit"

    @classmethod
    def _from_json(cls, text: str, place: str) -> Any:
        return _core_table.limits_from_json(text, place)

    @property
    def cards(self) -> Mapping[str, EngineCard]:
        """Engine cards by engine type: `limits.cards["Linnet 2.0"].bore`."""
        figures = self._core.card_figures()
        written = self._core.card_written()
        return {name: EngineCard(figures[name], written[name]) for name in figures}


class Gauges(_Cards):
    """Record cards of the shop's gauges; lengths mm.

    Examples
    --------
    >>> gauges = ew.Gauges.from_json('''{"gauge": [{"name": "bore gauge 2",
    ...     "resolution": "0.001 mm", "calibration_uncertainty": "0.004 mm"}]}''')
    >>> gauges[0].resolution
    0.001
    """

    _spec = "gauges"
    _key = "gauge"

    @classmethod
    def _from_json(cls, text: str, place: str) -> Any:
        return _core_table.gauges_from_json(text, place)
