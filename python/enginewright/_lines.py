"""Findings as a person reads them: one line for one part and one question.

A bore read at three stations and two directions has six findings against its limit; on paper they
are one line, least to greatest, judged by the worst. Nothing is judged again here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from enginewright._rows import WORST_FIRST, FindingRow, ReadingRow
from enginewright._words import Words

__all__ = [
    "PLAN_CHECKS",
    "Line",
    "current",
    "is_plan",
    "lines",
    "part_name",
    "question",
    "ring_order",
    "stage_rank",
]

#: Checks whose finding is a plan for a whole set.
PLAN_CHECKS = ("regrind", "rebore")
#: Checks that ask more of a part than what they are named after, each under its own quantity.
ASKED_BESIDE = {
    "liner standing": ("tilt", "step", "shim deviation"),
    "deck clearance": ("spread",),
}
#: Quantities that only a plan gives, beside other findings of its check.
PLAN_QUANTITIES = ("planned residual",)
#: Rings of one piston, from the top.
RINGS = ("top ring", "second ring", "oil ring", "oil rail")
#: The stages of machining, in order: a later one takes the place of an earlier one.
STAGES = ("as received", "as machined", "finished")


@dataclass(frozen=True)
class Line:
    """Findings of one part, one check and one pair of limits."""

    findings: tuple[FindingRow, ...]

    @cached_property
    def worst(self) -> FindingRow:
        """The finding that decides: the worst verdict, the least margin."""

        def badness(row: FindingRow) -> tuple[int, float]:
            rank = (
                WORST_FIRST.index(row.verdict) if row.verdict in WORST_FIRST else len(WORST_FIRST)
            )
            return rank, float("inf") if row.margin is None else row.margin

        return min(self.findings, key=badness)

    @property
    def verdict(self) -> str:
        """Verdict of the worst."""
        return self.worst.verdict

    @property
    def least(self) -> float | None:
        """Least value, None when none was formed."""
        return min((row.value for row in self.findings if row.value is not None), default=None)

    @property
    def greatest(self) -> float | None:
        """Greatest value, None when none was formed."""
        return max((row.value for row in self.findings if row.value is not None), default=None)

    @property
    def key(self) -> tuple[str, str, int | None, str, str]:
        """What the line is about, whatever the stage: check, feature, number, part, quantity."""
        row = self.findings[0]
        return row.check, row.feature, row.number, row.part, row.quantity

    @property
    def rank(self) -> int:
        """Order of its stage; a word that is no stage of machining stands for itself (-1)."""
        return stage_rank(self.findings[0].stage)


def stage_rank(stage: str) -> int:
    """Give the order of a stage of machining, -1 for a word that is none."""
    return STAGES.index(stage) if stage in STAGES else -1


def lines(findings: Iterable[FindingRow]) -> tuple[Line, ...]:
    """Put the findings of one part, check and pair of limits together, in the order they came."""
    groups: dict[tuple[object, ...], list[FindingRow]] = {}
    for row in findings:
        key = (
            row.stage, row.check, row.feature, row.number, row.part, row.quantity,
            row.lower, row.upper, row.target, row.unit, row.kind, row.limit_source,
        )  # fmt: skip
        groups.setdefault(key, []).append(row)
    return tuple(Line(tuple(rows)) for rows in groups.values())


def is_plan(row: FindingRow) -> bool:
    """Say whether a finding is the plan of a set."""
    return row.check in PLAN_CHECKS or row.quantity in PLAN_QUANTITIES


def current(found: Iterable[Line]) -> tuple[tuple[Line, ...], tuple[Line, ...]]:
    """Part the lines that still count from those that a later stage has overtaken.

    A plan is overtaken as soon as its feature has been read at a later stage.
    """
    found = tuple(found)
    latest: dict[object, int] = {}
    for line in found:
        for key in (line.key, line.findings[0].feature):
            latest[key] = max(latest.get(key, -1), line.rank)

    def stands(line: Line) -> bool:
        row = line.findings[0]
        key: object = row.feature if is_plan(row) else line.key
        return line.rank < 0 or line.rank >= latest[key]

    return tuple(filter(stands, found)), tuple(line for line in found if not stands(line))


def ring_order(part: str) -> int:
    """Give the place of a ring on its piston, from the top; a word of the shop's own comes last."""
    return RINGS.index(part) if part in RINGS else len(RINGS)


def question(row: FindingRow, words: Words) -> str:
    """Name what was asked of a part: its diameter, its taper, a shop's own check."""
    beside = row.quantity in ASKED_BESIDE.get(row.check, ())
    if row.check == "limits" or beside or (row.check == "balance" and not is_plan(row)):
        return words.say("quantity", row.quantity)
    return words.say("check", row.check)


def part_name(
    row: FindingRow | ReadingRow, words: Words, *, numbered: bool = True, number: str = ""
) -> str:
    """Name the part: "main journal 2", "top ring, cylinder 3", "valve 1, inlet".

    number  stands in the place of the row's own: "1, 2, 3"
    """
    feature, part = words.say("feature", row.feature), words.say("part", row.part)
    if not numbered or row.number is None:
        return words("parts.whole_with", feature=feature, part=part) if part else feature
    if row.feature == "ring":
        key = "parts.in_cylinder" if part else "parts.numbered"
    else:
        key = "parts.numbered_with" if part else "parts.numbered"
    return words(key, feature=feature, number=number or row.number, part=part)
