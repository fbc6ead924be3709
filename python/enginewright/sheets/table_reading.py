"""One table of a map on one sheet: its columns to readings, its cells to the account."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from enginewright.sheets.binding import Bound, ValueColumn
from enginewright.sheets.context import Context, Teller
from enginewright.sheets.figures import BLANK, FIGURE, REFUSED, SKIPPED, WORD, Figures
from enginewright.sheets.grid import cell_name, shown
from enginewright.sheets.keys import OPTIONAL, KeyData
from enginewright.sheets.mapping import (
    COUNTS,
    NUMBERS,
    WORDS,
    Binding,
    Cell,
    Constant,
    Heading,
)
from enginewright.sheets.refusals import Refusal
from enginewright.sheets.region import IGNORED, KEY, NONE, NOTE, READING, REJECTED, Region
from enginewright.sheets.table_figures import TableFigures
from enginewright.sheets.table_keys import TableKeys

__all__ = ["TableReading"]

Array: TypeAlias = npt.NDArray[Any]
Flags: TypeAlias = npt.NDArray[np.bool_]

REQUIRED = ("job", "stage", "feature", "quantity")
_WHICH_ONE = ("feature", "number", "part", "station", "axis")
_CHAINED = tuple(key for key in (*WORDS, *COUNTS, "date") if key != "observation")


class TableReading:
    """Reads one table of the map on one sheet."""

    def __init__(self, context: Context, region: Region, bound: Bound) -> None:
        self.context = context
        self.region = region
        self.bound = bound
        self.teller = Teller(context, region)
        self.keys = TableKeys(context, region, bound, self.teller)
        self.figures = TableFigures(context, self.keys)
        self._row_notes: list[str | None] | None = None

    def read(self) -> None:
        """Read every column of the table; say what each of its cells was."""
        parts = [self._value_column(value) for value in self.bound.values]
        self._mark_rest()
        parts = [part for part in parts if len(part["_rows"])]
        if not parts:
            return
        joined = parts[0]
        if len(parts) > 1:
            joined = {name: np.concatenate([part[name] for part in parts]) for name in joined}
            order = np.lexsort((joined["_columns"], joined["_rows"]))
            joined = {name: values[order] for name, values in joined.items()}
        rows, columns = joined.pop("_rows"), joined.pop("_columns")
        self.context.gathering.add(self.region, rows, columns, joined, joined.pop("_note"))

    def _mark_rest(self) -> None:
        """Say which cells hold keys, notes, and what is to be ignored."""
        every = np.ones(len(self.region), np.bool_)
        own = (value.rule.fixed.get("note") for value in self.bound.values)
        noted = {self.bound.places.get(b, 0) for b in own if isinstance(b, Heading)}
        for column in (*self._note_columns(), *noted):
            self.region.mark(column, every, NOTE)
        for column in self.bound.ignored:
            self.region.mark(column, every, IGNORED)
        for column in set(self.bound.places.values()):
            if column <= self.region.grid.width:
                self.region.mark(column, self.region.roles[:, column - 1] == NONE, KEY)

    def _notes(self, value: ValueColumn) -> Array:
        """Return the notes of a column's readings: those of the row, else those of the map."""
        count = len(self.region)
        own = value.rule.fixed.get("note")
        texts = [*self._table_notes()]
        if isinstance(own, Heading) and own in self.bound.places:
            self._add_notes(texts, self.bound.places[own])
        for binding in self.keys.bindings("note", value):
            told = self._one_note(binding)
            if told is not None:
                texts = [text or told for text in texts]
        return np.array([*texts, None], dtype=object)[:count]

    def _one_note(self, binding: Binding) -> str | None:
        """Return a note that is the same for all rows."""
        if isinstance(binding, Constant):
            return str(binding.value)
        if isinstance(binding, Cell):
            grid = self.context.grid(binding.sheet, self.region.grid)
            return shown(grid.at(binding.row, binding.column)) or None
        return None

    def _table_notes(self) -> list[str | None]:
        if self._row_notes is None:
            self._row_notes = [None] * len(self.region)
            for column in self._note_columns():
                self._add_notes(self._row_notes, column)
        return self._row_notes

    def _note_columns(self) -> list[int]:
        """Return the columns of notes, and the one that the table or the defaults name as such."""
        wider = (self.bound.rule.fixed.get("note"), self.context.sheet_map.defaults.get("note"))
        named = [self.bound.places.get(b) for b in wider if isinstance(b, Heading)]
        return list(dict.fromkeys([*self.bound.notes, *(c for c in named if c is not None)]))

    def _add_notes(self, texts: list[str | None], column: int) -> None:
        """Add the notes of one column; several of one row are joined."""
        cells = self.region.spread_column(column)
        merged = cells is not self.region.column(column)
        filled = range(len(cells)) if merged else self.region.filled(column).nonzero()[0].tolist()
        for row in filled:
            cell = cells[row]
            text = cell.strip() if isinstance(cell, str) else shown(cell)
            if text:
                texts[row] = f"{texts[row]}; {text}" if texts[row] else text

    def _value_column(self, value: ValueColumn) -> dict[str, Array]:
        """Read one column; return the live rows and columns of its readings, and their data."""
        keys = {key: self.keys.chain(key, value) for key in _CHAINED}
        figures = self.figures.read(value, keys)
        at = self._with_observations(value, figures)
        numbers = {key: self.figures.number(key, value, keys, figures) for key in NUMBERS}
        nameless = self._nameless()
        lost = nameless.copy()
        for key, data in (*keys.items(), *numbers.items()):
            if key not in OPTIONAL:
                lost |= data.refused_rows()
            if key in REQUIRED:
                lost |= data.blank
        cells = self.figures.cells(value)
        for row, refusal in sorted(figures.refused.items()):
            if figures.state[row] == REFUSED:
                self.teller.cell(row, value.column, cells[row], refusal)
        self._tell_missing(keys, figures, nameless)
        self._note_merged(value, figures)
        good = self._marked(value, figures, at, lost)
        rows = np.flatnonzero(good)
        found = self._collected(rows, figures, at, keys, numbers)
        found["_note"] = self._notes(value)[rows]
        return found

    def _marked(self, value: ValueColumn, figures: Figures, at: Array, lost: Flags) -> Flags:
        """Say what the cells of the column were; return which rows gave a reading."""
        holds = (figures.state == FIGURE) | (figures.state == WORD)
        for column in np.flatnonzero(np.bincount(at[holds])).tolist():
            here = holds & (at == column)
            self.region.mark(column, here & ~lost, READING)
            self.region.mark(column, here & lost, REJECTED)
        self.region.mark(value.column, figures.state == REFUSED, REJECTED)
        self.region.mark(value.column, figures.state == SKIPPED, IGNORED)
        good: Flags = holds & ~lost
        return good

    def _collected(
        self,
        rows: Array,
        figures: Figures,
        at: Array,
        keys: Mapping[str, KeyData],
        numbers: Mapping[str, KeyData],
    ) -> dict[str, Array]:
        """Put the readings of a column together."""
        data = {key: keys[key].data[rows] for key in _CHAINED}
        data.update({key: numbers[key].data[rows] for key in NUMBERS})
        unit, word = self.context.pool("unit"), self.context.pool("observation")
        units = np.array([*(unit.code(u) if u else -1 for u in figures.units), -1], np.int32)
        words = np.array([*(word.code(w) for w in figures.words), -1], np.int32)
        data["unit"] = units[figures.unit[rows]]
        data["observation"] = words[figures.word[rows]]
        data["value"] = figures.value[rows]
        data["_resolution"] = figures.resolution[rows]
        data["_plain"] = figures.plain[rows]
        data["_rows"] = rows
        data["_columns"] = at[rows]
        told = numbers["position"].units
        if told is not None:
            own = np.where(told[rows] >= 0, told[rows], data["position_unit"])
            data["position_unit"] = np.where(np.isnan(data["position"]), -1, own).astype(np.int32)
        return data

    def _with_observations(self, value: ValueColumn, figures: Figures) -> Array:
        """Let a word under a heading of its own stand where there is no figure.

        Returns for each row the column of the cell that holds the reading.
        """
        at = np.full(len(self.region), value.column, np.int64)
        bindings = self.keys.bindings("observation", value)
        if bindings and isinstance(bindings[0], Constant):
            figures.words.append(str(bindings[0].value))
            figures.word[(figures.state == FIGURE)] = len(figures.words) - 1
        if not bindings or not isinstance(bindings[0], Heading):
            return at
        column = self.bound.places.get(bindings[0])
        if column is None:
            return at
        cells = self.region.spread_column(column)
        translation = self.keys.translation("observation", value)
        data = self.keys.of_column("observation", column, cells, translation)
        words = self.context.pool("observation").words
        places = {word: place for place, word in enumerate(figures.words)}
        for row in np.flatnonzero(~data.blank).tolist():
            word = words[int(data.data[row])]
            if word not in places:
                places[word] = len(figures.words)
                figures.words.append(word)
            figures.word[row] = places[word]
            if figures.state[row] in (BLANK, SKIPPED):
                figures.state[row] = WORD
                at[row] = column
        for row, refusal in data.refused.items():
            if figures.state[row] in (FIGURE, WORD):
                figures.state[row] = REFUSED
                figures.refused[row] = refusal
        return at

    # -- rows that do not say enough --------------------------------------------------------------

    def _nameless(self) -> Flags:
        """Tell which rows of a wide table leave blank every key that names the part."""
        fixed = self.bound.rule.fixed
        bound = [
            key for key in _WHICH_ONE if isinstance(fixed.get(key), Heading) or self.keys.texts(key)
        ]
        nameless = np.ones(len(self.region), np.bool_)
        if self.bound.rule.layout != "wide" or not bound:
            return ~nameless
        for key in bound:
            data = self.keys.of_table(key)
            nameless &= data.blank & ~data.refused_rows()
        return nameless

    def _tell_missing(self, keys: Mapping[str, KeyData], figures: Figures, nameless: Flags) -> None:
        """Name what a row lacks, once a row; once for the table where no row has it."""
        holds = (figures.state == FIGURE) | (figures.state == WORD)
        for key in REQUIRED:
            open_rows = keys[key].blank & ~keys[key].refused_rows() & holds
            if not open_rows.any():
                continue
            todo = f"fill it in, or name a {key} in the map"
            if keys[key].blank.all():
                told = f"no reading of this table has a {key}"
                self.teller.cell(None, None, "", Refusal("missing key", told, todo))
                continue
            for row in np.flatnonzero(open_rows & ~nameless).tolist():
                refusal = Refusal("missing key", f"the {key} is missing", todo)
                self.teller.cell(row, keys[key].column, "", refusal)
        for row in np.flatnonzero(nameless & holds).tolist():
            refusal = Refusal(
                "missing key",
                "this row does not say which part it is of",
                "fill it in, or name the row's first words under ignore_rows",
            )
            self.teller.cell(row, None, "", refusal)

    def _note_merged(self, value: ValueColumn, figures: Figures) -> None:
        """Note a value that is merged over rows: it is one reading, not several."""
        for area in self.region.grid.merged:
            if area.left != value.column or area.bottom == area.top:
                continue
            for row in np.flatnonzero(self.region.numbers == area.top).tolist():
                if figures.state[row] not in (FIGURE, WORD):
                    continue
                last = cell_name("", area.bottom, area.right)[1:]
                refusal = Refusal(
                    "merged value",
                    f"this value is merged down to {last}; it was read once",
                    "unmerge it and type each reading, if there were several",
                    "note",
                )
                self.teller.cell(row, value.column, "", refusal)
