"""Weights and bolts of a finding, part by part: the records that its figures are drawn from.

As with the plans, the figures of each part come from the core's own functions, over the readings
that the finding stands on.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from enginewright._bolts import used_bolts
from enginewright._rows import FindingRow, ReadingRow
from enginewright.report.desk import Desk
from enginewright.report.plans import card_of, length_of

__all__ = ["bolt_records", "mass_plan", "numbers_of", "rod_plan"]

ENDS = ("big end", "small end")


def mass_plan(desk: Desk, row: FindingRow) -> tuple[Any, list[str]] | None:
    """Give the plan of a set of masses, and what its parts are called."""
    from enginewright import matching

    weighed = _masses(desk, row)
    if len(weighed) < 2 or min(weighed.values()) <= 0:
        return None
    plan = matching.match_masses(list(weighed.values()), tolerance=_left_alone(row))
    return plan, _names(desk, row, weighed)


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
        list(big.values()), list(small.values()), length, pad_big=pads[0], pad_small=pads[1],
        tolerance_big=_left_alone(by_end["big end"]),
        tolerance_small=_left_alone(by_end["small end"]),
    )  # fmt: skip
    return plan, _names(desk, by_end["big end"], big)


def bolt_records(desk: Desk, row: FindingRow) -> tuple[list[Any], list[str]]:
    """Give a record for each bolt of a set whose new length is known, and its number."""
    bolts = used_bolts(row, desk.reading_rows)
    return [bolt.record for bolt in bolts], [str(bolt.number) for bolt in bolts]


def numbers_of(desk: Desk, row: FindingRow) -> list[int]:
    """Give the numbers of the parts that a set's plan lists, in its order."""
    return list(_masses(desk, row))


def _left_alone(row: FindingRow) -> float:
    """Give how far apart parts may stay that nobody works on, as the finding's own plan has it."""
    return 0.0 if row.upper is None else max(0.0, row.upper - (row.uncertainty or 0.0))


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
