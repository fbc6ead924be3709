"""The figures of one table: what each column measures, and the numbers that go with a reading."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from enginewright import UnitError, units
from enginewright.sheets import vocabulary
from enginewright.sheets.binding import ValueColumn
from enginewright.sheets.context import Context
from enginewright.sheets.figures import FIGURE, REFUSED, SKIPPED, Figures, Measure, read_figures
from enginewright.sheets.keys import KeyData
from enginewright.sheets.mapping import IN_CELLS, Cell, Constant
from enginewright.sheets.refusals import Refusal
from enginewright.sheets.region import IGNORED, REJECTED
from enginewright.sheets.table_keys import TOLD, TableKeys, first_filled

__all__ = ["TableFigures"]

Array: TypeAlias = npt.NDArray[Any]


class TableFigures:
    """Reads the figures of one table's columns."""

    def __init__(self, context: Context, keys: TableKeys) -> None:
        self.context = context
        self.keys = keys
        self.region = keys.region
        self.teller = keys.teller

    def read(self, value: ValueColumn, keys: Mapping[str, KeyData]) -> Figures:
        """Read a column of readings whose keys are known."""
        which, measures, refused = self._measures(value, keys)
        figures = read_figures(
            self.cells(value),
            which,
            measures,
            decimal=self.context.sheet_map.decimal,
            words=self.context.sheet_map.words,
            formats=self.region.formats(value.column) if value.column else None,
            place=self.region.place(value.column),
            finely=bool(keys["gauge"].blank.any()),
        )
        self._refuse_measures(value, figures, which, refused)
        return figures

    def cells(self, value: ValueColumn) -> Sequence[Any]:
        """Return the cells of a column of readings."""
        return self.region.column(value.column) if value.column else [None] * len(self.region)

    # -- what the rows measure ----------------------------------------------------------------

    def _measures(
        self, value: ValueColumn, keys: Mapping[str, KeyData]
    ) -> tuple[Array, list[Measure], dict[int, Refusal]]:
        """Return each row's place in the list of measures, the list, and what is unclear in it."""
        quantity, unit = keys["quantity"].data, keys["unit"].data
        _, firsts, which = np.unique(
            quantity.astype(np.int64) * (1 << 31) + unit, return_index=True, return_inverse=True
        )
        quantities, words = self.context.pool("quantity").words, self.context.pool("unit").words
        by_row = keys["unit"].column is not None
        measures: list[Measure] = []
        refused: dict[int, Refusal] = {}
        for place, row in enumerate(firsts.tolist()):
            known = vocabulary.quantity(quantities[quantity[row]]) if quantity[row] >= 0 else None
            said = words[unit[row]] if unit[row] >= 0 else None
            measure = self._measure(value, known, said, by_row)
            if isinstance(measure, Refusal):
                refused[place] = measure
                measure = Measure(known.dimension if known else None, None)
            measures.append(measure)
        return which.astype(np.int32), measures, refused

    def _measure(
        self,
        value: ValueColumn,
        known: vocabulary.Quantity | None,
        said: str | None,
        by_row: bool,
    ) -> Measure | Refusal:
        """Find the unit of some rows: in the map, in the heading, in a cell of the row."""
        dimension = known.dimension if known else None
        above_zero = known is not None and known.word == "diameter"
        places = (said, value.pattern_unit, value.heading_unit)
        told = [place for place in places if place is not None and place != IN_CELLS]
        if not told and value.heading_note and known is not None and not known.dimension:
            told = [value.heading_note]
        try:
            symbols = {vocabulary.unit_of(place, known).symbol for place in told}
        except UnitError as error:
            word = known.word if known else "reading"
            return Refusal("unsuitable unit", f"the unit of a {word}: {error}", "correct the unit")
        if len(symbols) > 1:
            where = "the row" if by_row else "the map"
            return Refusal(
                "two units",
                f"{where} says {said or value.pattern_unit}, the heading {value.heading_unit}",
                "correct one of them",
            )
        if symbols:
            return Measure(dimension, symbols.pop(), above_zero, own_unit=not by_row)
        if dimension == "number":
            return Measure(dimension, known.unit if known else "", above_zero)
        if said == IN_CELLS or by_row:
            return Measure(dimension, None, above_zero)
        return Refusal(
            "no unit",
            "neither the heading nor the map names a unit",
            'write unit = "mm" in the map, or unit = "in cells" if each cell brings its own',
        )

    def _refuse_measures(
        self, value: ValueColumn, figures: Figures, which: Array, refused: Mapping[int, Refusal]
    ) -> None:
        """Refuse the figures whose unit is not clear: a column at once, else row by row."""
        for place, refusal in refused.items():
            here = which == place
            rows = np.flatnonzero(here & np.isin(figures.state, (FIGURE, REFUSED)))
            figures.state[rows] = REFUSED
            figures.value[rows] = np.nan
            for row in rows.tolist():
                figures.refused[row] = TOLD if here.all() else refusal
            if here.all() and rows.size:
                heads = self.region.header_rows
                count = "1 cell" if rows.size == 1 else f"{rows.size} cells"
                told = f"{refusal.message}; {count} of this column could not be read"
                self.teller.place(
                    self.region.grid,
                    heads[-1] if heads else None,
                    value.column,
                    self.region.heads[value.column - 1].text if value.column else "",
                    Refusal(refusal.code, told, refusal.suggestion),
                )

    # -- numbers beside the reading -------------------------------------------------------------

    def number(
        self, key: str, value: ValueColumn, keys: Mapping[str, KeyData], figures: Figures
    ) -> KeyData:
        """Return positions in their unit, temperatures in °C, doubts in the reading's unit."""
        count = len(self.region)
        links: list[KeyData] = []
        if key in value.caught:
            links.append(self._read(key, [value.caught[key]] * count, None, keys, figures))
        for entry in self.keys.texts(key):
            column, words, refused = self.keys.caught_in_text(entry, key)
            link = self._read(key, words, column, keys, figures)
            link.refused.update(refused)
            links.append(link)
        for binding in self.keys.bindings(key, value):
            if isinstance(binding, Constant):
                links.append(self._read(key, [binding.value] * count, None, keys, figures))
            elif isinstance(binding, Cell):
                grid = self.context.grid(binding.sheet, self.region.grid)
                cell = grid.at(binding.row, binding.column)
                links.append(self._read(key, [cell] * count, None, keys, figures))
            elif binding in self.keys.bound.places:
                at = self.keys.bound.places[binding]
                cells = self.region.spread_column(at)
                links.append(self._read(key, cells, at, keys, figures))
            else:
                links.append(self.keys.lost(key))
        if key in self.context.outside:
            given = [self.context.outside[key]] * count
            links.append(self._read(key, given, None, keys, figures))
        return first_filled([*links, self.keys.nothing(key)])

    def _read(
        self,
        key: str,
        cells: Sequence[Any],
        column: int | None,
        keys: Mapping[str, KeyData],
        figures: Figures,
    ) -> KeyData:
        which, measures = self._number_measures(key, column, keys, figures)
        found = read_figures(
            cells,
            which,
            measures,
            decimal=self.context.sheet_map.decimal,
            words=self.context.sheet_map.words,
            formats=self.region.formats(column) if column else None,
            place=self.region.place(column or 1),
            finely=False,
        )
        data = found.value
        if key == "temperature":
            data = _canonical(found, "temperature")
        elif key == "uncertainty":
            data = _in_unit_of(found, figures)
        if column:
            self.region.mark(column, found.state == REFUSED, REJECTED)
            self.region.mark(column, found.state == SKIPPED, IGNORED)
        for row, refusal in sorted(found.refused.items()):
            self.teller.cell(row if column else None, column, cells[row], refusal)
        skipped = found.state == SKIPPED
        told = KeyData(data, np.isnan(data), column, skipped, dict(found.refused))
        if key == "position":
            pool = self.context.pool("position_unit")
            codes = [pool.code(unit) if unit else -1 for unit in found.units]
            told.units = np.array([*codes, -1], np.int32)[found.unit]
        return told

    def _number_measures(
        self, key: str, column: int | None, keys: Mapping[str, KeyData], figures: Figures
    ) -> tuple[Array, list[Measure]]:
        """Return what the numbers of a column measure, row by row."""
        heads = self.region.heads
        heading_unit = heads[column - 1].unit if column and column <= len(heads) else None
        if key == "temperature":
            kind = Measure("temperature", heading_unit or "°C")
            return np.zeros(len(self.region), np.int32), [kind]
        if key == "uncertainty":
            names = [heading_unit or name for name in figures.units] + [""]
            codes = figures.unit
        else:
            words = self.context.pool("position_unit").words
            names = [vocabulary.unit(word).symbol for word in words]
            names.append(vocabulary.unit(heading_unit).symbol if heading_unit else "")
            codes = keys["position_unit"].data
        which = np.where(codes >= 0, codes, len(names) - 1).astype(np.int32)
        return which, [Measure(None, name) for name in names]


def _canonical(found: Figures, dimension: str) -> Array:
    """Bring figures to the canonical unit of a dimension."""
    values = found.value.copy()
    for code, unit in enumerate(found.units):
        rows = np.flatnonzero(found.unit == code)
        if unit and rows.size:
            values[rows] = units.convert(values[rows], unit, dimension=dimension)
    return values


def _in_unit_of(found: Figures, figures: Figures) -> Array:
    """Bring stated doubts to the unit of the reading that they belong to; refuse what is none."""
    values = found.value.copy()
    for row in np.flatnonzero(found.state == FIGURE).tolist():
        if figures.unit[row] < 0:
            values[row] = np.nan
            continue
        own, wanted = found.units[found.unit[row]], figures.units[figures.unit[row]]
        refusal = None
        if values[row] <= 0:
            refusal = Refusal("impossible doubt", "an uncertainty must be above 0", "correct it")
        elif own and wanted and own != wanted:
            try:
                values[row] *= vocabulary.factor(own, wanted)
            except UnitError as error:
                refusal = Refusal("unsuitable unit", f"an uncertainty: {error}", "correct it")
        if refusal is not None:
            found.state[row] = REFUSED
            found.refused[row] = refusal
            values[row] = np.nan
    return values
