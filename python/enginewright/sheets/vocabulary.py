"""The words that the core knows, ready to be looked up as a shop writes them."""

from __future__ import annotations

import difflib
import functools
from collections.abc import Iterable
from dataclasses import dataclass

from enginewright import table, units
from enginewright.sheets.mapping import fold

__all__ = [
    "Quantity",
    "UnitName",
    "factor",
    "feature",
    "features",
    "near",
    "quantities",
    "quantity",
    "unit",
    "unit_of",
]


@dataclass(frozen=True)
class Quantity:
    """What is measured: its word, the dimension of its unit, and its canonical unit."""

    word: str
    dimension: str
    unit: str


@dataclass(frozen=True)
class UnitName:
    """A unit in its standard spelling, with its way to the canonical one: (x + offset) * factor."""

    symbol: str
    dimension: str
    factor: float
    offset: float


@functools.cache
def features() -> dict[str, str]:
    """Return the features by their folded word."""
    return {fold(row.word): row.word for row in table.vocabulary() if row.kind == "feature"}


@functools.cache
def quantities() -> dict[str, Quantity]:
    """Return the quantities that a reading may have, by their folded word."""
    return {
        fold(row.word): Quantity(row.word, row.dimension, row.unit)
        for row in table.vocabulary()
        if row.kind == "quantity"
    }


def feature(word: str) -> str | None:
    """Return a feature as the core spells it, or None."""
    return features().get(fold(word))


def quantity(word: str) -> Quantity | None:
    """Return a quantity, or None."""
    return quantities().get(fold(word))


@functools.lru_cache(maxsize=4096)
def unit(symbol: str, dimension: str | None = None) -> UnitName:
    """Return a unit in its standard spelling.

    Raises
    ------
    UnitError
        The spelling is not known, or belongs to another dimension.
    """
    found = units.unit(symbol, dimension)
    return UnitName(found.symbol, found.dimension, found.factor, found.offset)


def unit_of(symbol: str, of: Quantity | None) -> UnitName:
    """Return the unit of a quantity; one without a dimension takes the scale that is written.

    Raises
    ------
    UnitError
        The spelling is not known, or is no unit of the quantity.
    """
    if of is not None and not of.dimension:
        return UnitName(symbol, "", 1.0, 0.0)
    return unit(symbol, of.dimension if of is not None else None)


def factor(symbol: str, wanted: str) -> float:
    """Return by what a difference in one unit is multiplied to be one in another.

    Raises
    ------
    UnitError
        The two do not measure the same.
    """
    to = unit(wanted)
    return unit(symbol, to.dimension).factor / to.factor


def near(word: str, known: Iterable[str], most: int = 3) -> list[str]:
    """Return the nearest known words, best first.

    Examples
    --------
    >>> near("Mian", ["Main", "Pin"])
    ['Main']
    """
    folded = {fold(candidate): candidate for candidate in known}
    return [folded[hit] for hit in difflib.get_close_matches(fold(word), folded, most, 0.62)]
