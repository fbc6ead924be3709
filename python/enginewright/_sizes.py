"""Sizes of one feature, by part, station and direction, from findings or from bare readings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from enginewright._lines import lines
from enginewright._rows import FindingRow, finding_rows, has_column, reading_rows

__all__ = ["Size", "grids", "in_order", "sizes"]


@dataclass(frozen=True, slots=True)
class Size:
    """One diameter: where it was read, how large, where it stands. Canonical unit."""

    number: int
    station: str
    axis: str
    value: float
    verdict: str
    limit: float | None


def sizes(table: Any, feature: str, part: str = "") -> tuple[Size, ...]:
    """Give the diameters of a feature, those of its latest stage.

    Findings give the size at 20 °C with the gauge's correction; bare readings are taken as written.
    """
    if has_column(table, "check"):
        found = [
            row
            for row in finding_rows(table)
            if row.check == "limits" and row.value is not None and row.quantity == "diameter"
            if row.feature == feature and row.part == part
        ]
        return tuple(_of_finding(row) for row in _latest(found))
    from enginewright import units

    return tuple(
        Size(
            row.number or 1,
            row.station,
            row.axis,
            float(units.convert(row.value, row.unit)),
            "unlimited",
            None,
        )
        for row in reading_rows(table)
        if row.feature == feature and row.part == part and row.quantity == "diameter"
        if row.value is not None
    )


def _of_finding(row: FindingRow) -> Size:
    assert row.value is not None
    return Size(row.number or 1, row.station, row.axis, row.value, row.verdict, row.upper)


def _latest(found: list[FindingRow]) -> list[FindingRow]:
    ranks = {line.findings[0].stage: line.rank for line in lines(found)}
    latest = max(ranks.values(), default=-1)
    return [row for row in found if ranks[row.stage] == latest]


def in_order(words: Iterable[str]) -> tuple[str, ...]:
    """Give different words in the order they first came."""
    return tuple(dict.fromkeys(words))


def grids(found: Iterable[Size]) -> dict[int, list[list[float]]] | None:
    """Give stations x directions of each part; None when a place is missing or read twice.

    A plan that stands on a hole in the grid would be a guess.
    """
    found = tuple(found)
    whole: dict[int, list[list[float]]] = {}
    for number in sorted({size.number for size in found}):
        own = [size for size in found if size.number == number]
        stations = in_order(size.station for size in own)
        axes = in_order(size.axis for size in own)
        at = {(size.station, size.axis): size.value for size in own}
        if len(at) != len(own) or len(at) != len(stations) * len(axes):
            return None
        whole[number] = [[at[station, axis] for axis in axes] for station in stations]
    return whole or None
