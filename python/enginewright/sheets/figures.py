"""Figures: what stands in the readings' own columns, read a column at a time.

Number cells need no decision. Texts do: whether a mark is a decimal point or a decimal comma is
decided once a column from the cells that leave no doubt, never a cell at a time, and what stays in
doubt is refused. Plain decimals take the short way; everything else goes through `units.parse`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from enginewright import UnitError, units
from enginewright.sheets import vocabulary
from enginewright.sheets.decimals import Marks, decided
from enginewright.sheets.grid import shown
from enginewright.sheets.mapping import fold
from enginewright.sheets.refusals import (
    BARE,
    Refusal,
    impossible_size,
    no_number,
    no_unit,
    refusal_of_cell,
    refusal_of_text,
    unreadable,
)
from enginewright.sheets.written import decimals_of_format, decimals_of_number, decimals_of_text

__all__ = [
    "BLANK",
    "FIGURE",
    "REFUSED",
    "SKIPPED",
    "WORD",
    "Figures",
    "Measure",
    "read_figures",
]

BLANK, FIGURE, WORD, SKIPPED, REFUSED = range(5)
Floats: TypeAlias = npt.NDArray[np.float64]
Codes: TypeAlias = npt.NDArray[np.int32]


@dataclass(frozen=True)
class Measure:
    """What the figures of some rows are: a dimension, and a unit unless cells bring their own."""

    dimension: str | None
    unit: str | None
    above_zero: bool = False
    """Whether anything at or below 0 is impossible: a diameter."""
    own_unit: bool = True
    """Whether a cell may name another unit than its column does."""


@dataclass
class Figures:
    """One column, read: for each row a state, and a value with its unit or a word."""

    state: npt.NDArray[np.uint8]
    value: Floats
    unit: Codes
    """Place in `units`, -1 for none."""
    units: list[str]
    word: Codes
    words: list[str]
    resolution: Floats
    """Place value of the last digit written, in the row's unit; NaN when it cannot be seen."""
    plain: npt.NDArray[np.bool_]
    """Plain decimals: closing zeros may have been dropped by a spreadsheet."""
    refused: dict[int, Refusal] = field(default_factory=dict)


def read_figures(
    cells: Sequence[Any],
    which: Codes,
    measures: Sequence[Measure],
    *,
    decimal: str = "auto",
    words: Mapping[str, tuple[str, str]] | None = None,
    formats: Mapping[int, str] | None = None,
    place: Any = str,
    finely: bool = True,
) -> Figures:
    """Read the cells of one column.

    Parameters
    ----------
    cells : sequence
        One a row.
    which : array of int
        For each row the place of its measure in `measures`.
    measures : sequence of Measure
        Dimension and unit.
    decimal : str
        "auto", "." or ",".
    words : mapping
        Folded words that stand for a reading: (spelling, "not measured" or "observation").
    formats : mapping
        Number formats by row, of number cells that have one.
    place : callable
        Names a row's cell, for messages about two cells.
    finely : bool
        Whether to look how finely plain decimals were written.

    Returns
    -------
    Figures
        One state a row; nothing is dropped.
    """
    count = len(cells)
    figures = Figures(
        state=np.zeros(count, np.uint8),
        value=np.full(count, np.nan),
        unit=np.full(count, -1, np.int32),
        units=[measure.unit or "" for measure in measures],
        word=np.full(count, -1, np.int32),
        words=[],
        resolution=np.full(count, np.nan),
        plain=np.zeros(count, np.bool_),
    )
    reader = _Column(figures, which, measures, words or {}, formats or {}, finely)
    kinds = set(map(type, cells))
    if kinds <= {str}:
        reader.texts(range(count), cells, decimal, place)
    elif kinds <= {int, float}:
        reader.numbers(range(count), cells)
    else:
        _mixed(reader, cells, decimal, place)
    _impossible(figures, which, measures)
    return figures


def _mixed(reader: _Column, cells: Sequence[Any], decimal: str, place: Any) -> None:
    """Read a column that holds more than one kind of cell."""
    numbers: list[int] = []
    texts: list[int] = []
    for row, cell in enumerate(cells):
        if cell is None:
            continue
        kind = type(cell)
        if kind is str:
            texts.append(row)
        elif kind is float or kind is int:
            numbers.append(row)
        else:
            reader.refuse(row, refusal_of_cell(cell))
    reader.numbers(numbers, [cells[row] for row in numbers])
    reader.texts(texts, [cells[row] for row in texts], decimal, place)


_PLAIN = {
    ".": re.compile(r"-?\d+(?:\.\d+)?").fullmatch,
    ",": re.compile(r"-?\d+(?:,\d+)?").fullmatch,
    None: re.compile(r"-?\d+").fullmatch,
}


class _Column:
    """The rows of one column, filled in kind by kind."""

    def __init__(
        self,
        figures: Figures,
        which: Codes,
        measures: Sequence[Measure],
        words: Mapping[str, tuple[str, str]],
        formats: Mapping[int, str],
        finely: bool,
    ) -> None:
        self.figures = figures
        self.which = which
        self.measures = measures
        self.words = words
        self.formats = formats
        self.finely = finely
        self._word_codes: dict[str, int] = {}
        self._unit_codes = {unit: code for code, unit in enumerate(figures.units)}
        self._bare_allowed = np.array([m.unit is not None for m in measures], np.bool_)

    def refuse(self, row: int, refusal: Refusal) -> None:
        self.figures.state[row] = REFUSED
        self.figures.value[row] = np.nan
        self.figures.refused[row] = refusal

    def numbers(self, rows: Sequence[int], cells: Sequence[Any]) -> None:
        """Take number cells as they are; a percentage only where the unit is one."""
        if not rows:
            return
        try:
            values = np.array(cells, dtype=np.float64)
        except OverflowError:
            values = np.array([_as_float(cell) for cell in cells])
        at = np.asarray(rows)
        self._take(at, values)
        for place in np.flatnonzero(~np.isfinite(values)).tolist():
            self.refuse(rows[place], no_number(shown(cells[place])))
        if self.finely:
            self.figures.resolution[at] = decimals_of_number(values)
        for row, form in self.formats.items() if self.formats else ():
            if self.figures.state[row] == FIGURE:
                self._dressed(row, form)

    def _dressed(self, row: int, form: str) -> None:
        """Look at what a number format says about a number."""
        if "%" in form:
            measure = self.measures[self.which[row]]
            if measure.unit != "%":
                self.refuse(
                    row,
                    Refusal(
                        "percent",
                        f"this cell is formatted as a percentage, and its unit is {measure.unit}",
                        "format it as a number and type it again",
                    ),
                )
                return
            self.figures.value[row] *= 100
        places = decimals_of_format(form) if self.finely else None
        if places is not None:
            # The finer of what was typed and what is shown: a format may add zeros or hide digits.
            shows = float(f"1e-{places}")
            self.figures.resolution[row] = np.fmin(self.figures.resolution[row], shows)

    def _take(self, rows: npt.NDArray[Any], values: Floats) -> None:
        """Fill in figures whose unit is their column's."""
        figures = self.figures
        figures.state[rows] = FIGURE
        figures.value[rows] = values
        figures.unit[rows] = self.which[rows]
        figures.plain[rows] = True
        if not self._bare_allowed.all():
            for row in rows[~self._bare_allowed[self.which[rows]]]:
                self.refuse(int(row), no_unit())

    def texts(self, rows: Sequence[int], cells: Sequence[str], decimal: str, place: Any) -> None:
        """Read text cells: plain decimals at once, the rest one by one."""
        if not cells or self._all_plain(rows, cells, decimal):
            return
        marks = decided(cells, rows, decimal)
        plain = _PLAIN[marks.mark]
        hits = [index for index, cell in enumerate(cells) if plain(cell)]
        self._take_texts(rows, cells, hits, marks.mark or ".")
        taken = set(hits)
        for index, cell in enumerate(cells):
            if index not in taken and cell and not cell.isspace():
                self._one(rows[index], " ".join(cell.split()), marks, place)

    def _all_plain(self, rows: Sequence[int], cells: Sequence[str], decimal: str) -> bool:
        """Take a column in which every cell is a decimal with a point; tell whether it was one."""
        if decimal == "," or "".join(cells).translate(_NUMERALS):
            return False
        try:
            values = np.array(list(map(float, cells)))
        except ValueError:
            return False
        at = np.asarray(rows)
        self._take(at, values)
        if self.finely:
            self.figures.resolution[at] = decimals_of_text(cells)
        return True

    def _take_texts(
        self, rows: Sequence[int], cells: Sequence[str], hits: list[int], mark: str
    ) -> None:
        if not hits:
            return
        texts = [cells[index].replace(mark, ".") for index in hits]
        at = np.array([rows[index] for index in hits])
        self._take(at, np.array([float(text) for text in texts]))
        self.figures.resolution[at] = decimals_of_text(texts)

    def _one(self, row: int, text: str, marks: Marks, place: Any) -> None:
        """Read one text that is not a plain decimal."""
        known = self.words.get(fold(text))
        if known is not None:
            self._word(row, *known)
            return
        refusal = refusal_of_text(text) or marks.refusal(row, text, place)
        if refusal is not None:
            self.refuse(row, refusal)
            return
        measure = self.measures[self.which[row]]
        bare = BARE.fullmatch(text) is not None
        if bare and measure.unit is None:
            self.refuse(row, no_unit())
            return
        try:
            counts = measure.dimension == "number" or measure.unit == ""
            amount = units.parse(
                f"{text} {measure.unit}" if bare and not counts else text,
                "number" if bare and counts else measure.dimension,
                decimal=marks.mark or "auto",
            )
        except UnitError as error:
            self.refuse(row, unreadable(text, measure.dimension, str(error), self.words))
            return
        self._amount(row, text, amount, measure, bare)

    def _word(self, row: int, spelling: str, kind: str) -> None:
        if kind == "not measured":
            self.figures.state[row] = SKIPPED
            return
        self.figures.state[row] = WORD
        code = self._word_codes.setdefault(spelling, len(self._word_codes))
        if code == len(self.figures.words):
            self.figures.words.append(spelling)
        self.figures.word[row] = code

    def _amount(self, row: int, text: str, amount: Any, measure: Measure, bare: bool) -> None:
        unit = amount.given_unit or measure.unit or ""
        if not bare and measure.unit not in (None, unit) and not measure.own_unit:
            self.refuse(
                row,
                Refusal(
                    "two units",
                    f"{text!r} names {unit}, and the unit of its row is {measure.unit}",
                    "leave one of them out",
                ),
            )
            return
        figures = self.figures
        code = self._unit_codes.setdefault(unit, len(self._unit_codes))
        if code == len(figures.units):
            figures.units.append(unit)
        figures.state[row] = FIGURE
        figures.value[row] = amount.number
        figures.unit[row] = code
        if amount.resolution is not None:
            factor = vocabulary.unit(unit, amount.dimension).factor if unit else 1.0
            figures.resolution[row] = amount.resolution / factor


_NUMERALS = str.maketrans("", "", "0123456789.-")


def _as_float(cell: int | float) -> float:
    try:
        return float(cell)
    except OverflowError:
        return math.inf


def _impossible(figures: Figures, which: Codes, measures: Sequence[Measure]) -> None:
    """Refuse sizes that no engine part has: a slip of the decimal mark or of the unit."""
    for place, measure in enumerate(measures):
        if measure.dimension != "length":
            continue
        for code, unit in enumerate(figures.units):
            rows = np.flatnonzero(
                (which == place) & (figures.state == FIGURE) & (figures.unit == code)
            )
            if not rows.size:
                continue
            values = figures.value[rows]
            sizes = np.abs(values * vocabulary.unit(unit, "length").factor)
            wrong = (sizes > 1e5) | ((sizes < 1e-6) & (sizes != 0))
            if measure.above_zero:
                wrong |= values <= 0
            for row in rows[wrong]:
                figures.state[row] = REFUSED
                figures.refused[int(row)] = impossible_size(figures.value[row], unit)
                figures.value[row] = np.nan
