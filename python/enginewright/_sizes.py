"""Sizes of one feature, by part, station and direction, from findings or from bare readings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, TypeVar

from enginewright._lines import stage_rank
from enginewright._rows import FindingRow, ReadingRow, finding_rows, has_column, reading_rows

__all__ = ["Size", "in_order", "latest", "sizes"]


@dataclass(frozen=True, slots=True)
class Size:
    """One diameter: where it was read, how large, where it stands. Canonical unit."""

    number: int
    station: str
    axis: str
    value: float
    verdict: str
    limit: float | None


def sizes(
    table: Any, feature: str, part: str = "", readings: Any = None, rows: Iterable[int] = ()
) -> tuple[Size, ...]:
    """Give the diameters of a feature, those of its latest stage.

    A finding "limits" gives the size at 20 °C with the gauge's correction, and its verdict; what
    has none is taken from the readings as written.

    table     `Findings` or `Readings`
    feature   "bore", "main journal"
    part      subdivision of it
    readings  the readings that findings stand on
    rows      only these rows of the readings; empty: all
    """
    if not has_column(table, "check"):
        return tuple(_written(_of_feature(reading_rows(table), feature, part)))
    found = [
        row
        for row in finding_rows(table)
        if row.check == "limits" and row.value is not None and row.quantity == "diameter"
        if row.feature == feature and row.part == part
    ]
    if readings is None:
        return tuple(_judged(row) for row in latest(found))
    known = {row.readings[0]: row for row in found if len(row.readings) == 1}
    wanted = frozenset(rows)
    written = _of_feature(reading_rows(readings), feature, part)
    return tuple(
        _judged(known[row.index]) if row.index in known else size
        for row, size in zip(written, _written(written), strict=True)
        if not wanted or row.index in wanted
    )


def _of_feature(rows: Iterable[ReadingRow], feature: str, part: str) -> list[ReadingRow]:
    return latest(
        [
            row
            for row in rows
            if row.feature == feature and row.part == part and row.quantity == "diameter"
            if row.value is not None
        ]
    )


def _written(rows: Iterable[ReadingRow]) -> list[Size]:
    from enginewright import units

    return [
        Size(
            row.number or 1, row.station, row.axis, float(units.convert(row.value, row.unit)),
            "unlimited", None,
        )
        for row in rows
    ]  # fmt: skip


def _judged(row: FindingRow) -> Size:
    assert row.value is not None
    return Size(row.number or 1, row.station, row.axis, row.value, row.verdict, row.upper)


Row = TypeVar("Row", FindingRow, ReadingRow)


def latest(found: list[Row]) -> list[Row]:
    """Keep the rows of the latest stage of machining."""
    last = max((stage_rank(row.stage) for row in found), default=-1)
    return [row for row in found if stage_rank(row.stage) == last]


def in_order(words: Iterable[str]) -> tuple[str, ...]:
    """Give different words in the order they first came."""
    return tuple(dict.fromkeys(words))
