"""Columns of readings that one entry of a map can name: for starting maps only."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from enginewright.sheets import guesses, vocabulary
from enginewright.sheets.headings import ColumnHead, named
from enginewright.sheets.mapping import fold

__all__ = ["Alike", "grouped"]


@dataclass
class Alike:
    """Columns that one entry of the map can name."""

    heads: list[ColumnHead]
    feature: str
    quantity: str
    unit: str | None
    part: str | None = None
    pattern: str | None = None
    words: dict[str, dict[str, str]] = field(default_factory=dict)


def grouped(values: Sequence[ColumnHead], feature: str) -> list[Alike]:
    """Put columns together whose headings differ in place and direction only."""
    alike: dict[tuple[str, str, str | None, str | None], list[ColumnHead]] = {}
    for head in values:
        name = named(head.text)
        own = guesses.feature_of(name.bare) if len(name.bare) > 3 else None
        known = own or feature
        dimension = vocabulary.unit(head.unit).dimension if head.unit else None
        quantity = guesses.quantity_of(name.bare, dimension) or "diameter"
        part = re.search(r"(top|second|2nd|oil) ring", fold(name.bare))
        part_word = None if part is None else f"{part[1].replace('2nd', 'second')} ring"
        alike.setdefault((known, quantity, head.unit, part_word), []).append(head)
    groups: list[Alike] = []
    for (known, quantity, unit, part_word), heads in alike.items():
        pattern = _pattern(heads)
        if pattern is None:
            groups += [Alike([head], known, quantity, unit, part_word) for head in heads]
        else:
            groups.append(Alike(heads, known, quantity, unit, part_word, *pattern))
    return groups


def _pattern(heads: Sequence[ColumnHead]) -> tuple[str, dict[str, dict[str, str]]] | None:
    """Find "{station} / {axis} (mm)" for headings that combine every place with every direction."""
    if len(heads) < 2:
        return None
    names = [named(head.text) for head in heads]
    rest = {name.text[len(name.bare) :] for name in names if name.text.startswith(name.bare)}
    if len(rest) != 1:
        return None
    tail = rest.pop()
    for mark in (" / ", " - ", "-", " "):
        split = [name.bare.split(mark) for name in names]
        if all(len(parts) == 2 for parts in split):
            first = list(dict.fromkeys(parts[0] for parts in split))
            second = list(dict.fromkeys(parts[1] for parts in split))
            if len(first) > 1 and len(second) > 1 and len(first) * len(second) == len(heads):
                return f"{{station}}{mark}{{axis}}{tail}", {
                    "station": {word: guesses.station_of(word) or fold(word) for word in first},
                    "axis": {word: guesses.axis_of(word) or fold(word) for word in second},
                }
    stations = {name.bare: guesses.station_of(name.bare) for name in names}
    if all(stations.values()) and len(stations) == len(heads):
        return f"{{station}}{tail}", {"station": {k: v or "" for k, v in stations.items()}}
    return None
