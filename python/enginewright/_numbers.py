"""Figures as people read them: both systems of units, the one the shop wrote first.

All conversion and rounding is done by `enginewright.units`; this room only puts the texts together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from enginewright._words import Words

__all__ = [
    "Shown",
    "as_written",
    "band",
    "change",
    "dimension_of",
    "figure",
    "inch_first",
    "parts_of",
    "row_of",
    "spread",
    "with_doubt",
]

#: Units of the inch family, in the spellings that `units` gives back.
INCH_FAMILY = frozenset(
    ("in", "ft", "thou", "tenths", "µin", "in²", "in³", "oz", "lb", "grain", "g·in", "oz·in")
    + ("lbf", "lbf/in", "psi", "ksi", "inH2O", "inHg", "°F", "Δ°F", "lbf·ft", "lbf·in", "cfm")
    + ("US fl oz", "imp fl oz", "µin/(in·°F)", "1/°F", "lb/in³")
)
NOTHING = "–"
#: Dimensions of which so small an amount counts that the usual decimals show none of it.
FINE = ("length", "mass")
#: No-break space.
GLUE = "\u00a0"
DOUBT, BAND = f"{{}} ±{GLUE}{{}}", f"{{}}{GLUE}– {{}}"


@dataclass(frozen=True, slots=True)
class Shown:
    """One figure in two systems: `first` as the shop writes it, `second` the other ("" if none)."""

    first: str
    second: str = ""

    def line(self) -> str:
        """Give both in one line: "82.015 mm (3.2289 in)"."""
        return f"{self.first} ({self.second})" if self.second else self.first


@lru_cache(maxsize=256)
def inch_first(unit: str) -> bool:
    """Say whether a written unit is of the inch family, however it is spelled."""
    from enginewright import units

    try:
        return units.unit(unit).symbol in INCH_FAMILY
    except ValueError:
        return False


def dimension_of(unit: str) -> str | None:
    """Give the dimension that a canonical unit stands for: "mm" -> "length"."""
    return _dimensions().get(unit)


@lru_cache(maxsize=1)
def _dimensions() -> dict[str, str]:
    from enginewright import units

    found: dict[str, str] = {"": "number", "1": "number"}
    for unit in units.table():
        if unit.factor == 1 and unit.offset == 0:
            found.setdefault(unit.symbol, unit.dimension)
    return found


def figure(value: float | None, unit: str, *, inch: bool = False) -> Shown:
    """Show one figure given in a canonical unit; `inch` puts the inch family first."""
    return _shown((value,), unit, inch, "{}")


def with_doubt(
    value: float | None, uncertainty: float | None, unit: str, *, inch: bool = False
) -> Shown:
    """Show a figure with its expanded uncertainty: "59.972 ± 0.004 mm"."""
    if uncertainty is None or uncertainty == 0:
        return figure(value, unit, inch=inch)
    return _shown((value, uncertainty), unit, inch, DOUBT)


def band(
    lower: float | None, upper: float | None, unit: str, words: Words, *, inch: bool = False
) -> Shown:
    """Show two limits: "59.470 – 59.490 mm", "at most 0.050 mm", "at least 0.35 mm"."""
    if lower is None and upper is None:
        return Shown(words("numbers.no_limit"))
    if lower is None:
        return _shown((upper,), unit, inch, words("numbers.at_most", value="{}"))
    if upper is None:
        return _shown((lower,), unit, inch, words("numbers.at_least", value="{}"))
    if lower == upper:
        return _shown((lower,), unit, inch, "{}")
    return _shown((lower, upper), unit, inch, BAND)


def spread(least: float | None, greatest: float | None, unit: str, *, inch: bool = False) -> Shown:
    """Show the least and greatest of a set, or the one figure when they agree on paper."""
    if least is None or greatest is None:
        return Shown(NOTHING)
    one, other = figure(least, unit, inch=inch), figure(greatest, unit, inch=inch)
    both = _shown((least, greatest), unit, inch, BAND)
    # Each system by itself: what differs in micrometres can agree in thou.
    return Shown(
        one.first if one.first == other.first else both.first,
        one.second if one.second == other.second else both.second,
    )


def row_of(texts: Sequence[str]) -> str:
    """Put figures one after the other; a unit that all share is written once, at the end."""
    parts = [parts_of(text) for text in texts]
    if len({unit for _, unit in parts}) == 1:
        texts = [number for number, _ in parts[:-1]] + list(texts[-1:])
    return "; ".join(texts)


def change(amount: float | None, unit: str, *, inch: bool = False) -> Shown:
    """Show an amount of metal without its sign: which way is said by the sentence beside it."""
    return figure(None if amount is None else abs(amount), unit, inch=inch)


def parts_of(text: str) -> tuple[str, str]:
    """Give the number and the unit of a figure shown: "0.050 mm" -> ("0.050", "mm")."""
    number, _, unit = text.rpartition(GLUE)
    return (number, unit) if number else (text, "")


def as_written(value: float, unit: str, quantity: str = "") -> Shown:
    """Show a reading in the unit it was written in, and beside it in the other family.

    quantity  what was measured: it says whether "lb" is a mass or a spring's force
    """
    from enginewright import units

    try:
        known = units.unit(unit, _measures().get(quantity))
    except ValueError:
        return Shown(f"{value:.12g}{GLUE}{unit}".strip())
    canonical = float(units.convert(value, unit, dimension=known.dimension))
    metric, inch = (_one(canonical, known.dimension, system) for system in ("metric", "inch"))
    own, other = (inch, metric) if inch_first(known.symbol) else (metric, inch)
    number, shown_unit = parts_of(own)
    # No digit that was written is lost: the usual decimals only where they say the same.
    if shown_unit != known.symbol or float(number) != value:
        own = f"{value:.12g}{GLUE}{known.symbol}".strip()
    return Shown(own, "" if metric == inch else other)


@lru_cache(maxsize=1)
def _measures() -> dict[str, str]:
    from enginewright import table

    return {word.word: word.dimension for word in table.vocabulary() if word.dimension}


def _shown(values: tuple[float | None, ...], unit: str, inch: bool, form: str) -> Shown:
    if any(value is None for value in values):
        return Shown(NOTHING)
    given = [value for value in values if value is not None]
    dimension = dimension_of(unit)
    if dimension is None:
        texts = [f"{value:g}{GLUE}{unit}".strip() for value in given]
        return Shown(_filled(form, texts))
    metric = _filled(form, [_one(value, dimension, "metric") for value in given])
    other = _filled(form, [_one(value, dimension, "inch") for value in given])
    if metric == other:
        return Shown(metric)
    return Shown(other, metric) if inch else Shown(metric, other)


@lru_cache(maxsize=4096)
def _one(value: float, dimension: str, system: str) -> str:
    from enginewright import units

    # The unit stays with its number at the end of a line.
    shown = str(units.show(value, dimension, system=system)).replace(" ", GLUE)
    number, unit = parts_of(shown)
    if dimension in FINE and value != 0 and float(number) == 0:
        return _small(value, dimension, unit) or shown
    return shown


def _small(value: float, dimension: str, unit: str) -> str:
    """Show what would be rounded to nothing with the one digit that counts: "0.04 thou"."""
    from enginewright import units

    # Of what no gauge resolves the zero says enough.
    scaled = float(units.convert(value, units.canonical(dimension), unit, dimension=dimension))
    if abs(scaled) < 1e-3:
        return ""
    return f"{float(f'{scaled:.1g}'):g}{GLUE}{unit}"


def _filled(form: str, texts: list[str]) -> str:
    """Put the texts into their places; a unit that both share is written once, at the end."""
    parts = [text.rpartition(GLUE) for text in texts]
    if len({unit for _, _, unit in parts}) == 1 and all(number for number, _, _ in parts):
        texts = [number for number, _, _ in parts[:-1]] + texts[-1:]
    for text in texts:
        form = form.replace("{}", text, 1)
    return form
