"""Plans part by part: what a regrind or rebore takes off each journal or bore.

A finding holds the plan's sentence and its figure. The figures of each part come from the same
functions of the core that made the plan; where they do not agree with the finding to the last
figure, none are shown.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from enginewright._rows import FindingRow
from enginewright._sizes import Size, sizes
from enginewright.report.job_facts import JobFacts

__all__ = ["Cut", "SetPlan", "card_of", "length_of", "set_plan"]


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut on one part: the size to bring it to, and the metal to take off; mm on diameter.

    The metal is all that the tool meets: from the largest reading of a journal down to the middle
    of its band, from the smallest reading of a bore up to its size.
    """

    what: str
    number: int
    least: float
    greatest: float
    lower: float | None
    upper: float | None
    off: float
    decides: bool


@dataclass(frozen=True, slots=True)
class SetPlan:
    """A plan with its record, its sizes and its cuts."""

    record: Any
    sizes: tuple[Size, ...]
    cuts: tuple[Cut, ...]
    standard: tuple[float, float]
    steps: tuple[float, ...]


def set_plan(row: FindingRow, findings: Any, readings: Any, facts: JobFacts) -> SetPlan | None:
    """Work out the plan of a finding part by part; None when the job lacks what it takes."""
    card = card_of(facts)
    found = sizes(findings, row.feature, row.part, readings, row.readings)
    if not card or not found or row.value is None:
        return None
    if row.check == "regrind":
        return _regrind(row, found, card)
    if row.check == "rebore":
        return _rebore(row, found, card)
    return None


def _regrind(row: FindingRow, found: tuple[Size, ...], card: Mapping[str, Any]) -> SetPlan | None:
    from enginewright import journals

    steps = _lengths(dict(card.get("undersizes") or {}).get(row.feature) or ())
    if not steps or row.lower is None or row.upper is None or row.value is None:
        return None
    # The finish band is the new one made smaller by the step.
    standard = row.lower + row.value, row.upper + row.value
    optional = {"aim": card.get("aim"), "wear_side": card.get("wear_side")}
    plan = journals.regrind_plan(
        _grids(found),
        standard_lower=standard[0],
        standard_upper=standard[1],
        undersizes=steps,
        grinding_allowance=length_of(card.get("grinding_allowance")) or 0.0,
        **{name: value for name, value in optional.items() if value not in (None, "")},
    )
    if plan.undersize is None or not _same(plan.undersize, row.value):
        return None
    numbers = _numbers(found)
    cuts = []
    for i, number in enumerate(numbers):
        least, greatest = _ends(found, number)
        off, decides = float(plan.stock_most[i]), i == int(plan.governing)
        band = plan.finish_lower, plan.finish_upper
        cuts.append(Cut("grind", number, least, greatest, *band, off, decides))
    return SetPlan(plan, found, tuple(cuts), standard, tuple(steps))


def _rebore(row: FindingRow, found: tuple[Size, ...], card: Mapping[str, Any]) -> SetPlan | None:
    from enginewright import cylinders

    steps = _lengths(card.get("oversizes") or ())
    if not steps or row.target is None or row.value is None:
        return None
    hone = length_of(card.get("hone_allowance")) or 0.0
    # The finished bore is piston, step and clearance; the plan asks for their sum alone.
    piston = row.target - row.value
    plan = cylinders.oversize_plan(
        _grids(found),
        piston_standard=piston,
        oversizes=steps,
        clearance=0.0,
        hone_allowance=hone,
        clean_up=length_of(card.get("clean_up")) or 0.0,
        **({"wear_side": card["wear_side"]} if card.get("wear_side") else {}),
    )
    if plan.oversize is None or not _same(plan.oversize, row.value):
        return None
    numbers = _numbers(found)
    cuts: list[Cut] = []
    bored, finish = float(plan.bored_size), float(plan.finish_bore)
    both = row.lower is not None and row.upper is not None
    band = (row.lower, row.upper) if both else (finish, finish)
    for i, number in enumerate(numbers):
        least, greatest = _ends(found, number)
        decides = i == int(plan.governing)
        cuts.append(Cut("bore", number, least, greatest, bored, bored, bored - least, decides))
        if hone:
            cuts.append(Cut("hone", number, bored, bored, *band, hone, decides))
    cuts.sort(key=lambda cut: cut.what)
    return SetPlan(plan, found, tuple(cuts), (piston, piston), tuple(steps))


def card_of(facts: JobFacts) -> Mapping[str, Any]:
    """Give the engine's card as the limits file wrote it."""
    to_json = getattr(facts.limits, "to_json", None)
    given = json.loads(to_json()) if to_json else facts.limits
    cards: Any = given.get("engine", ()) if isinstance(given, Mapping) else ()
    fitting = [card for card in cards if card.get("name") == facts.engine]
    if fitting:
        return dict(fitting[0])
    return dict(cards[0]) if len(cards) == 1 and not facts.engine else {}


def length_of(given: Any) -> float | None:
    """Give a length of the card, mm; None when it has none."""
    from enginewright import units

    if given is None or isinstance(given, (int, float)):
        return given
    return float(units.parse(str(given), "length").value)


def _lengths(given: Any) -> list[float]:
    return [size for size in (length_of(each) for each in given) if size is not None]


def _numbers(found: Sequence[Size]) -> list[int]:
    return sorted({size.number for size in found})


def _grids(found: Sequence[Size]) -> list[list[list[float]]]:
    # A plan asks for the least and the greatest of each part: where they were read is all one.
    return [[[size.value for size in found if size.number == number]] for number in _numbers(found)]


def _ends(found: Sequence[Size], number: int) -> tuple[float, float]:
    own = [size.value for size in found if size.number == number]
    return min(own), max(own)


def _same(one: float, other: float) -> bool:
    return abs(one - other) < 1e-9
