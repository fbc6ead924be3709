"""Used bolts one by one: a finding speaks of a set's worst, its readings hold them all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from enginewright._rows import FindingRow, ReadingRow

__all__ = ["UsedBolt", "bolts_out", "used_bolts"]


@dataclass(frozen=True, slots=True)
class UsedBolt:
    """One bolt: the core's record of its stretch, and where its used length is written."""

    number: int
    record: Any
    place: str


def used_bolts(row: FindingRow, readings: Sequence[ReadingRow]) -> tuple[UsedBolt, ...]:
    """Give the bolts of a finding "bolt reuse" by number, those whose new length is known.

    Without new lengths among the readings it is the limits' one, which the finding's own bolt
    tells: its used length less its stretch.
    """
    from enginewright import fasteners

    if row.upper is None or row.upper <= 0 or row.value is None:
        return ()
    new: dict[int, float] = {}
    used: dict[int, tuple[float, str]] = {}
    for index in row.readings:
        read = readings[index] if index < len(readings) else None
        if read is None or read.number is None or read.value is None:
            continue
        if read.quantity not in ("length", "free length"):
            continue
        length = _length(read)
        if read.station == "new":
            new[read.number] = max(new.get(read.number, 0.0), length)
        elif length > used.get(read.number, (0.0, ""))[0]:
            used[read.number] = length, read.place
    if not new and row.number in used:
        new = dict.fromkeys(used, used[row.number][0] - row.value)
    # The finding's own doubt is expanded; it is that of a difference of two lengths.
    doubt = (row.uncertainty or 0.0) / 2
    return tuple(
        UsedBolt(
            number, fasteners.reuse(length, new[number], limit=row.upper, uncertainty=doubt), place
        )
        for number, (length, place) in sorted(used.items())
        if min(length, new.get(number, 0.0)) > 0
    )


def bolts_out(row: FindingRow, readings: Sequence[ReadingRow]) -> tuple[FindingRow, ...]:
    """Give a row for each further bolt that does not go in again: the finding names the worst."""
    if row.check != "bolt reuse" or row.verdict not in ("outside", "unproven"):
        return ()
    rows = []
    for bolt in used_bolts(row, readings):
        record = bolt.record
        if bolt.number != row.number and record.stretch_verdict in ("outside", "unproven"):
            stretch, limit = float(record.permanent_stretch), float(record.limit)
            rows.append(
                replace(
                    row, number=bolt.number, value=stretch, margin=limit - stretch,
                    verdict=str(record.stretch_verdict), reason=record.reason, place=bolt.place,
                )
            )  # fmt: skip
    return tuple(rows)


def _length(reading: ReadingRow) -> float:
    from enginewright import units

    assert reading.value is not None
    return float(units.convert(reading.value, reading.unit))
