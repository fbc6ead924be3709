"""Verdict strip: every judged part on its own tolerance, stretched to one width."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from enginewright._lines import Line, is_plan, lines, part_name, question
from enginewright._numbers import figure, with_doubt
from enginewright._rows import FindingRow, finding_rows
from enginewright._words import Words, load
from enginewright.plots._canvas import SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, GUARD, INK, QUIET, RULE, mark

__all__ = ["verdicts"]

# Where things stand across the figure, mm.
LABEL, LEFT, RIGHT, FIGURES = 46.0, 50.0, 137.0, 144.0
#: Where the two limits stand: the same place for every tolerance.
LOWER, UPPER = 75.0, 112.0
#: Share of the room between the limits that there is beyond a limit.
BEYOND = 0.6
HEADER, LANE, GAP, FOOT = 6.4, 4.8, 3.2, 5.5


def verdicts(
    findings: Any,
    *,
    rule: str = "guarded",
    level: float = 0.95,
    tallest: float = 250.0,
    inch: bool = False,
    name: str = "verdicts",
    words: Any = "en",
) -> Picture:
    """Draw each judged part across its tolerance: accepted, in the gauge's doubt, or out.

    Limits stand at the same two places for every part, so a shaft of 20 mm and a gap of 0.3 mm
    compare at a glance. The accepted zone is solid, the guard zone in which the gauge cannot decide
    is hatched; the mark is the worst reading, its bar the expanded uncertainty. A value that would
    leave the strip stands at its edge with an arrow.

    findings  a `Findings` table, or anything with its columns; what has no limit is left out
    rule      decision rule that the findings were judged by
    level     level of their uncertainty
    tallest   greatest height of the figure, mm: the worst and those nearest to a limit are kept,
              the others are counted beneath
    inch      inch family of units first
    name      goes into the ids of the SVG text
    words     language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Source: JCGM 106:2012, acceptance intervals and guard bands; the drawing is this library's own.
    """
    say = load(words)
    judged = [
        line
        for line in lines(row for row in finding_rows(findings) if not is_plan(row))
        if line.worst.value is not None and line.verdict != "unlimited"
        if line.worst.lower is not None or line.worst.upper is not None
    ]
    shown = _nearest(judged, tallest - FOOT)
    blocks = _blocks(shown)
    left_out = len(judged) - len(shown)
    canvas = Canvas(name, _height(blocks) + FOOT + (LANE if left_out else 0.0))
    top = 1.0
    for block in blocks:
        top = _block(canvas, top, block, say, rule, level, inch)
    if left_out:
        text = say("figures.verdicts.left_out", count=left_out)
        canvas.text(LABEL, top, text, size=SMALL, colour=QUIET, align="right")
        top += LANE
    _legend(canvas, top + 2.5, say)
    return canvas.done(say("figures.verdicts.title"), _description(shown, left_out, say, inch))


def _nearest(judged: Sequence[Line], room: float) -> tuple[Line, ...]:
    """Keep the worst and those nearest to a limit, as many as there is room for."""
    if _height(_blocks(judged)) <= room:
        return tuple(judged)

    def nearness(line: Line) -> tuple[int, float]:
        row = line.worst
        margin = row.margin if row.margin is not None else float("inf")
        return ("outside", "unproven", "within").index(line.verdict), margin / _tolerance([line])[1]

    kept: set[Line] = set()
    for line in sorted(judged, key=nearness):
        if _height(_blocks([*kept, line])) + LANE > room:
            break
        kept.add(line)
    return tuple(line for line in judged if line in kept)


def _height(blocks: Sequence[Sequence[Line]]) -> float:
    return sum(HEADER + LANE * len(block) + GAP for block in blocks)


def _blocks(shown: Sequence[Line]) -> list[list[Line]]:
    """Put parts side by side that were asked the same question against the same limits."""
    blocks: dict[tuple[object, ...], list[Line]] = {}
    for line in shown:
        row = line.worst
        key = (row.stage, row.check, row.feature, row.part, row.quantity, row.unit)
        blocks.setdefault((*key, row.lower, row.upper), []).append(line)
    return list(blocks.values())


@dataclass(frozen=True)
class _Scale:
    """From values to places on the strip; `at` is cut off at the strip's ends."""

    zero: float
    stretch: float

    def at(self, value: float) -> float:
        return min(max(self.raw(value), LEFT), RIGHT)

    def raw(self, value: float) -> float:
        return LOWER + (value - self.zero) * self.stretch


def _tolerance(block: Sequence[Line]) -> tuple[float, float]:
    """Give what stands at the lower place, and how much lies between the two places.

    A single limit has no tolerance of its own: the other place is then zero, where a value cannot
    be below it (ovality, wear, clearance), or as far off as the readings reach.
    """
    row = block[0].worst
    values = [line.worst.value or 0.0 for line in block]
    if row.lower is not None and row.upper is not None:
        return row.lower, max(row.upper - row.lower, 1e-9)
    limit = row.upper if row.upper is not None else row.lower
    assert limit is not None
    doubt = max((line.worst.uncertainty or 0.0) for line in block)
    sign = 1.0 if row.upper is not None else -1.0
    inside = max(max(sign * (limit - value) for value in values), 2 * doubt, 1e-6)
    beyond = max(max(sign * (value - limit) for value in values), 0.0) / BEYOND
    if row.upper is not None and 0 < limit <= 4 * max(inside, beyond) and min(values) >= 0:
        inside = limit
    # Readings far out squeeze the scale, though never to nothing.
    reach = max(inside, min(beyond, 12 * inside))
    return (limit - reach, reach) if row.upper is not None else (limit, reach)


def _block(
    canvas: Canvas, top: float, block: list[Line], say: Words, rule: str, level: float, inch: bool
) -> float:
    row = block[0].worst
    zero, span = _tolerance(block)
    scale = _Scale(zero, (UPPER - LOWER) / span)
    label = say(
        "figures.verdicts.block",
        part=part_name(row, say, numbered=False), question=question(row, say),
    )  # fmt: skip
    canvas.text(0, top + HEADER / 2, label, bold=True, room=LOWER - 12)
    for limit, place in ((row.lower, LOWER), (row.upper, UPPER)):
        if limit is not None:
            text = figure(limit, row.unit, inch=inch).first
            canvas.text(place, top + HEADER / 2, text, size=SMALL, align="center")
    first = top + HEADER
    for i, line in enumerate(block):
        _zones(canvas, first + LANE * i, line.worst, scale, rule, level)
    for limit, place in ((row.lower, LOWER), (row.upper, UPPER)):
        if limit is not None:
            ends = (first - 0.6, first + LANE * len(block) + 0.6)
            canvas.line((place, place), ends, width=1.6)
    for i, line in enumerate(block):
        _lane(canvas, first + LANE * (i + 0.5), line, scale, say, inch)
    return first + LANE * len(block) + GAP


def _zones(
    canvas: Canvas, top: float, row: FindingRow, scale: _Scale, rule: str, level: float
) -> None:
    """Draw the accepted zone, and the gauge's doubt to both sides of each limit."""
    lower, upper = _acceptance(row, rule, level)
    top, height = top + 0.4, LANE - 0.8
    if (lower, upper) == (None, None):
        canvas.hatch(LOWER, top, UPPER - LOWER, height, GUARD)
        return
    start = LEFT if lower is None else scale.at(lower)
    end = RIGHT if upper is None else scale.at(upper)
    canvas.box(start, top, end - start, height, fill=ACCEPT)
    if row.lower is not None:
        doubt = max(LOWER - (start - LOWER), LEFT)
        canvas.hatch(doubt, top, start - doubt, height, GUARD)
    if row.upper is not None:
        doubt = min(UPPER + (UPPER - end), RIGHT)
        canvas.hatch(end, top, doubt - end, height, GUARD)


def _acceptance(row: FindingRow, rule: str, level: float) -> tuple[float | None, float | None]:
    """Give the ends of the accepted zone, as `measure.check` draws them for this uncertainty."""
    if not row.uncertainty:
        return row.lower, row.upper
    from enginewright import Quantity, measure

    standard = row.uncertainty / Quantity(0.0, 1.0).coverage_factor(level)
    value = row.value if row.value is not None else 0.0
    verdict = measure.check(Quantity(value, standard), row.lower, row.upper, rule=rule, level=level)
    return verdict.accept_lower, verdict.accept_upper


def _lane(canvas: Canvas, y: float, line: Line, scale: _Scale, say: Words, inch: bool) -> None:
    row = line.worst
    assert row.value is not None
    canvas.guide((LEFT, RIGHT), (y, y))
    canvas.text(LABEL, y, part_name(row, say), size=SMALL, align="right", room=LABEL)
    place = scale.raw(row.value)
    if row.uncertainty:
        start, end = scale.at(row.value - row.uncertainty), scale.at(row.value + row.uncertainty)
        if end - start > 0.3:
            canvas.line((start, end), (y, y), width=1.6)
            for tip in (start, end):
                canvas.line((tip, tip), (y - 0.9, y + 0.9), width=1.2)
    if LEFT + 1.5 <= place <= RIGHT - 1.5:
        canvas.verdict(place, y, line.verdict)
    else:
        _at_the_edge(canvas, y, line.verdict, left=place < LEFT + 1.5)
    text = with_doubt(row.value, row.uncertainty, row.unit, inch=inch).first
    how = mark(line.verdict)
    canvas.text(FIGURES - 2.5, y, how.sign, bold=True, align="center", colour=how.ink)
    canvas.text(
        FIGURES + 1, y, text, size=SMALL, bold=line.verdict == "outside", room=WIDTH - FIGURES - 1
    )


def _at_the_edge(canvas: Canvas, y: float, verdict: str, *, left: bool) -> None:
    edge, way = (LEFT, 1.0) if left else (RIGHT, -1.0)
    canvas.verdict(edge + way * 4.2, y, verdict)
    tip = [(edge, y), (edge + way * 2.0, y - 1.3), (edge + way * 2.0, y + 1.3)]
    canvas.shape(tip, fill=INK)


def _legend(canvas: Canvas, y: float, say: Words) -> None:
    canvas.line((0, WIDTH), (y - 3.2, y - 3.2), colour=RULE, width=0.6)
    x = 1.5
    for verdict in ("within", "outside", "unproven"):
        canvas.verdict(x, y, verdict)
        x += 3 + canvas.text(x + 3, y, say.say("verdict", verdict), size=SMALL, colour=QUIET) + 5
    canvas.box(x, y - 1.6, 7, 3.2, fill=ACCEPT)
    x += 8.5 + canvas.text(x + 8.5, y, say("figures.verdicts.accepted"), size=SMALL, colour=QUIET)
    x += 5
    canvas.hatch(x, y - 1.6, 7, 3.2, GUARD)
    x += 8.5 + canvas.text(x + 8.5, y, say("figures.verdicts.guard"), size=SMALL, colour=QUIET) + 5
    canvas.line((x, x + 7), (y, y), width=1.6)
    for tip in (x, x + 7):
        canvas.line((tip, tip), (y - 0.9, y + 0.9), width=1.2)
    room = WIDTH - x - 8.5
    canvas.text(x + 8.5, y, say("figures.verdicts.doubt"), size=SMALL, colour=QUIET, room=room)


def _description(shown: Sequence[Line], left_out: int, say: Words, inch: bool) -> str:
    parts = []
    for verdict in ("outside", "unproven"):
        for line in (line for line in shown if line.verdict == verdict):
            row = line.worst
            parts.append(
                say(
                    "figures.verdicts.one",
                    part=part_name(row, say), question=question(row, say),
                    value=figure(row.value, row.unit, inch=inch).first,
                    verdict=say.say("verdict", verdict),
                )
            )  # fmt: skip
    rest = sum(line.verdict == "within" for line in shown)
    parts.append(say("figures.verdicts.rest", count=rest))
    if left_out:
        parts.append(say("figures.verdicts.left_out", count=left_out) + ".")
    return " ".join(parts)
