"""The keys of one table: for each reading, the nearest thing that says what it is of.

Nearest first: a word caught in the heading's braces, what is fixed with the column, a text that
holds several keys, what the table says, the defaults, what the caller gives. A cell left blank
passes the question on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from enginewright.sheets.binding import Bound, ValueColumn
from enginewright.sheets.context import Context, Teller
from enginewright.sheets.grid import is_blank, shown
from enginewright.sheets.headings import braces_pattern, spaced
from enginewright.sheets.keys import OPTIONAL, KeyData, constant_key, read_key
from enginewright.sheets.mapping import (
    WORDS,
    Binding,
    Cell,
    Constant,
    Heading,
    KeyText,
    WordList,
)
from enginewright.sheets.refusals import Refusal
from enginewright.sheets.region import IGNORED, REJECTED, Region

__all__ = ["TOLD", "TableKeys", "first_filled"]

Flags: TypeAlias = npt.NDArray[np.bool_]

TOLD = Refusal("", "")
"""A refusal whose cause has been told elsewhere, once for all rows."""


class TableKeys:
    """Reads the keys of one table; each column of keys once."""

    def __init__(self, context: Context, region: Region, bound: Bound, teller: Teller) -> None:
        self.context = context
        self.region = region
        self.bound = bound
        self.teller = teller
        self._cache: dict[Any, KeyData] = {}

    def chain(self, key: str, value: ValueColumn) -> KeyData:
        """Return a key of a column of readings."""
        links = []
        if key in value.caught:
            links.append(self._caught(key, value))
        if key in value.rule.fixed:
            links.append(self._of(key, value.rule.fixed[key], self.translation(key, value)))
        return first_filled([*links, self.of_table(key)])

    def of_table(self, key: str) -> KeyData:
        """Return a key of the table, the same for all its columns."""
        if ("table", key) not in self._cache:
            translation = self.translation(key)
            links = [self._from_text(entry, key) for entry in self.texts(key)]
            for binding in self._wider(key):
                links.append(self._of(key, binding, translation))
            if key in self.context.outside:
                links.append(self._constant(key, self.context.outside[key]))
            self._cache["table", key] = first_filled([*links, self.nothing(key)])
        return self._cache["table", key]

    def _wider(self, key: str) -> Iterator[Binding]:
        """Return what the table and the defaults say, nearest first."""
        if key in self.bound.rule.fixed:
            yield self.bound.rule.fixed[key]
        default = self.context.sheet_map.defaults.get(key)
        # A default's heading may well not be on every sheet.
        if default is not None and not (
            isinstance(default, Heading) and default not in self.bound.places
        ):
            yield default

    def bindings(self, key: str, value: ValueColumn) -> list[Binding]:
        """Return everything that the map says about a key of a column, nearest first."""
        own = value.rule.fixed.get(key)
        return [*([own] if own is not None else []), *self._wider(key)]

    def texts(self, key: str) -> list[KeyText]:
        """Return the texts that hold a key among others."""
        brace = "{" + key + "}"
        return [k for k in self.bound.rule.keys if any(brace in text for text in k.texts)]

    def translation(self, key: str, value: ValueColumn | None = None) -> WordList:
        """Return the shop's words for a key, the column's before the table's."""
        wider = self.bound.rule.values.get(key, WordList())
        return wider if value is None else value.rule.words.get(key, WordList()).over(wider)

    def nothing(self, key: str) -> KeyData:
        """Return a key that no row has."""
        count = len(self.region)
        data: Any = np.full(count, -1, np.int32) if key in WORDS else np.full(count, np.nan)
        return KeyData(data, np.ones(count, np.bool_))

    def lost(self, key: str) -> KeyData:
        """Return a key whose column could not be found: no row has it, and all are refused."""
        data = self.nothing(key)
        if key not in OPTIONAL:
            data.refused = dict.fromkeys(range(len(self.region)), TOLD)
        return data

    def of_column(
        self, key: str, column: int, cells: Sequence[Any], translation: WordList
    ) -> KeyData:
        """Read a column of keys; mark its cells, tell what could not be read."""
        cached = ("column", key, column, tuple(translation.entries.items()))
        if cached not in self._cache:
            data = self._read(key, cells, column, translation, self.context.sheet_map.words)
            self._cache[cached] = self._marked(column, cells, data)
        return self._cache[cached]

    def _read(
        self,
        key: str,
        cells: Sequence[Any],
        column: int | None,
        translation: WordList,
        words: Mapping[str, tuple[str, str]],
    ) -> KeyData:
        return read_key(
            key,
            cells,
            self.context.pool(key),
            column=column,
            translation=translation,
            words=words,
            dates=self.context.sheet_map.dates,
        )

    def _marked(self, column: int, cells: Sequence[Any], data: KeyData) -> KeyData:
        if data.skipped is not None:
            self.region.mark(column, data.skipped, IGNORED)
        if data.refused:
            self.region.mark(column, data.refused_rows(), REJECTED)
            for row, refusal in data.refused.items():
                self.teller.cell(row, column, cells[row], refusal)
        return data

    def _of(self, key: str, binding: Binding, translation: WordList) -> KeyData:
        if isinstance(binding, Constant):
            return self._constant(key, binding.value)
        if isinstance(binding, Cell):
            return self._from_cell(key, binding, translation)
        if binding not in self.bound.places:
            return self.lost(key)
        column = self.bound.places[binding]
        return self.of_column(key, column, self.region.spread_column(column), translation)

    def _constant(self, key: str, value: Any) -> KeyData:
        return constant_key(key, value, self.context.pool(key), len(self.region))

    def _spread(self, data: KeyData) -> KeyData:
        """Stretch the key of one cell over all rows."""
        count = len(self.region)
        spread = KeyData(np.repeat(data.data, count), np.repeat(data.blank, count))
        if data.refused:
            spread.refused = dict.fromkeys(range(count), TOLD)
        return spread

    def _caught(self, key: str, value: ValueColumn) -> KeyData:
        """Return the word that a brace caught in the heading."""
        data = self._read(key, [value.caught[key]], None, self.translation(key, value), {})
        if data.refused:
            heads = self.region.header_rows
            row = heads[-1] if heads else None
            self.teller.place(
                self.region.grid, row, value.column, value.caught[key], data.refused[0]
            )
        return self._spread(data)

    def caught_in_text(
        self, entry: KeyText, key: str
    ) -> tuple[int | None, list[str | None], dict[int, Refusal]]:
        """Return the column of a text, its word for a key in each row, and refusals."""
        column = self.bound.places.get(entry.where)
        if column is None:
            count = len(self.region)
            return None, [None] * count, dict.fromkeys(range(count), TOLD)
        patterns = [braces_pattern(text) for text in entry.texts]
        words: list[str | None] = []
        refused: dict[int, Refusal] = {}
        for row, cell in enumerate(self.region.spread_column(column)):
            word = None
            if not is_blank(cell):
                text = spaced(cell if isinstance(cell, str) else shown(cell))
                hit = next((m for m in (p.fullmatch(text) for p in patterns) if m), None)
                if hit is None:
                    refused[row] = _not_written_so(cell, entry.texts)
                else:
                    word = hit.groupdict().get(key)
            words.append(word)
        return column, words, refused

    def _from_text(self, entry: KeyText, key: str) -> KeyData:
        """Return one of several words that stand in one cell."""
        column, words, refused = self.caught_in_text(entry, key)
        data = self._read(key, words, column, self.translation(key), {})
        data.refused.update(refused)
        if column is None:
            return data
        return self._marked(column, self.region.spread_column(column), data)

    def _from_cell(self, key: str, binding: Cell, translation: WordList) -> KeyData:
        """Return what one cell of the file says for all rows."""
        grid = self.context.grid(binding.sheet, self.region.grid)
        cell = grid.at(binding.row, binding.column)
        data = self._read(key, [cell], None, translation, self.context.sheet_map.words)
        if data.blank[0]:
            refusal = data.refused.get(0) or Refusal(
                "missing default",
                f"the {key} should stand here, and the cell is empty",
                "fill it in",
            )
            self.teller.place(grid, binding.row, binding.column, cell, refusal)
        return self._spread(data)


def _not_written_so(cell: Any, texts: Sequence[str]) -> Refusal:
    return Refusal(
        "unreadable key",
        f"{shown(cell)!r} is not written as {' or '.join(map(repr, texts))}",
        "correct it, or name this row's first words under ignore_rows",
    )


def first_filled(links: Sequence[KeyData]) -> KeyData:
    """Join the sources of a key: the nearest that says anything in a row counts there."""
    first = links[0]
    open_rows = first.blank & ~first.refused_rows()
    if len(links) == 1 or not open_rows.any():
        return first
    data, blank, refused = first.data.copy(), first.blank.copy(), dict(first.refused)
    column, told_units = first.column, first.units
    for link in links[1:]:
        if not open_rows.any():
            break
        data[open_rows] = link.data[open_rows]
        blank[open_rows] = link.blank[open_rows]
        refused.update({row: why for row, why in link.refused.items() if open_rows[row]})
        column = column or link.column
        if link.units is not None:
            told_units = (
                link.units if told_units is None else np.where(open_rows, link.units, told_units)
            )
        open_rows = open_rows & link.blank & ~link.refused_rows()
    return KeyData(data, blank, column, first.skipped, refused, told_units)
