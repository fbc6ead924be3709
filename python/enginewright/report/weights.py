"""Weights and bolts of a finding, part by part: the records that its figures are drawn from.

As with the plans, the figures of each part come from the core's own functions, over the readings
that the finding stands on.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from enginewright._rows import FindingRow, ReadingRow
from enginewright.report.desk import Desk
from enginewright.report.plans import card_of, length_of

__all__ = ["bolt_records", "mass_plan", "rod_plan"]

ENDS = ("big end", "small end")


def mass_plan(desk: Desk, row: FindingRow) -> tuple[Any, list[str]] | None:
    """Give the plan of a set of masses, and what its parts are called."""
    from enginewright import matching

    weighed = _masses(desk, row)
    if len(weighed) < 2 or min(weighed.values()) <= 0:
        return None
    return matching.match_masses(list(weighed.values())), _names(desk, row, weighed)


def rod_plan(desk: Desk, rows: Iterable[FindingRow]) -> tuple[Any, list[str]] | None:
    """Give the plan of rods weighed at both ends; None where an end is missing."""
    from enginewright import matching

    by_end = {row.part: row for row in rows if row.feature == "rod" and row.part in ENDS}
    if set(by_end) != set(ENDS):
        return None
    big, small = (_masses(desk, by_end[end]) for end in ENDS)
    if list(big) != list(small) or len(big) < 2 or min(*big.values(), *small.values()) <= 0:
        return None
    card = card_of(desk.facts)
    length = length_of(card.get("rod_length"))
    pads = [length_of(pad) for pad in card.get("rod_pads") or ()]
    if length is None or len(pads) != 2:
        length, pads = 100.0, [0.0, 100.0]
    plan = matching.match_rods(
        list(big.values()), list(small.values()), length, pad_big=pads[0], pad_small=pads[1]
    )
    return plan, _names(desk, by_end["big end"], big)


def bolt_records(desk: Desk, row: FindingRow) -> tuple[list[Any], list[str]]:
    """Give a record for each bolt of a set whose new length was read, and its number."""
    from enginewright import fasteners

    if row.upper is None or row.upper <= 0:
        return [], []
    lengths: dict[int, dict[str, float]] = {}
    for reading in _rows(desk, row):
        if reading.quantity in ("length", "free length") and reading.number is not None:
            own = lengths.setdefault(reading.number, {})
            which = "new" if reading.station == "new" else "used"
            own[which] = max(own.get(which, 0.0), _value(reading))
    both = {number: own for number, own in sorted(lengths.items()) if len(own) == 2}
    # The finding's own doubt is expanded; it is that of a difference of two lengths.
    doubt = (row.uncertainty or 0.0) / 2
    records = [
        fasteners.reuse(own["used"], own["new"], limit=row.upper, uncertainty=doubt)
        for own in both.values()
        if min(own.values()) > 0
    ]
    return records, [str(number) for number in both]


def _rows(desk: Desk, row: FindingRow) -> list[ReadingRow]:
    known = desk.reading_rows
    return [known[i] for i in row.readings if i < len(known) and known[i].value is not None]


def _masses(desk: Desk, row: FindingRow) -> dict[int, float]:
    """Give the mean mass of each part, by number; grams."""
    several: dict[int, list[float]] = {}
    for reading in _rows(desk, row):
        if reading.quantity == "mass":
            several.setdefault(reading.number or 0, []).append(_value(reading))
    return {number: sum(each) / len(each) for number, each in sorted(several.items())}


def _value(reading: ReadingRow) -> float:
    from enginewright import units

    assert reading.value is not None
    return float(units.convert(reading.value, reading.unit))


def _names(desk: Desk, row: FindingRow, numbers: Iterable[int]) -> list[str]:
    feature = desk.say.say("feature", row.feature)
    return [desk.say("parts.numbered", feature=feature, number=number) for number in numbers]
