"""Gap ladder: a rung a cylinder; the gap as it came hollow, as it goes in solid."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from enginewright._lines import ring_order
from enginewright._numbers import figure
from enginewright._rows import FindingRow, finding_rows, has_column, reading_rows
from enginewright._words import Words, load
from enginewright.plots._canvas import LARGE, SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, QUIET, RULE, SHADES, mark

__all__ = ["ring_gaps"]

LABEL, LEFT, RIGHT, ACTION = 24.0, 28.0, 138.0, 143.0
HEAD, RUNG, GAP = 13.5, 6.4, 4.0


@dataclass(frozen=True)
class _Rung:
    number: int
    came: tuple[float, ...]
    carried: float
    goes_in: float | None
    lower: float | None
    upper: float | None
    verdict: str
    off: float | None


def ring_gaps(
    source: Any,
    readings: Any = None,
    *,
    floor: float | None = None,
    inch: bool = False,
    name: str = "ring gaps",
    words: Any = "en",
) -> Picture:
    """Draw the end gaps of each ring position: as they came, as they go in, and the limits.

    A ladder a position, a rung a cylinder. The rails are the least and the greatest gap allowed.
    A hollow mark is the gap as it was read; where a rebore changes it, a hollow square is the gap
    in the finished bore; the solid mark is the gap after filing.

    source    `Findings` (its "ring gap" checks), or `rings.gap_plan` records by position
    readings  the `Readings` that the findings stand on: gives the gaps as they were written
    floor     gap at which the ends just touch hot (`rings.thermal_gap`), mm; a dotted line
    inch      inch family of units first
    name      goes into the ids of the SVG text
    words     language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Raises
    ------
    ValueError
        When there is no ring gap.

    Source: workshop practice; this library's own drawing.
    """
    say = load(words)
    ladders = _of_plans(source) if _is_plan(source) else _of_findings(source, readings)
    if not ladders:
        raise ValueError("source must hold at least one ring gap, got none")
    rungs = [rung for ladder in ladders.values() for rung in ladder]
    ends = [0.0, floor or 0.0]
    for rung in rungs:
        ends += [*rung.came, rung.carried, rung.goes_in or 0.0, rung.lower or 0.0]
        ends += [rung.upper or 0.0]
    scale = (RIGHT - LEFT) / (max(ends) * 1.06 - min(ends) or 1.0)
    zero = LEFT - min(ends) * scale
    height = sum(HEAD + RUNG * len(ladder) + GAP for ladder in ladders.values()) + 5.5
    canvas = Canvas(name, height)
    top = 0.5
    for part, ladder in ladders.items():
        bottom = _ladder(canvas, top, part, ladder, zero, scale, say, inch)
        if floor is not None:
            _floor(canvas, top, bottom - GAP, zero + floor * scale, floor, say, inch)
        top = bottom
    carried = any(_moved(rung) and rung.goes_in != rung.carried for rung in rungs)
    _legend(canvas, top + 2.5, rungs, carried, say)
    return canvas.done(say("figures.ring_gaps.title"), _description(ladders, say, inch))


def _is_plan(source: Any) -> bool:
    return isinstance(source, Mapping) or hasattr(source, "filing")


def _of_plans(source: Any) -> dict[str, list[_Rung]]:
    plans = source if isinstance(source, Mapping) else {"": source}
    ladders: dict[str, list[_Rung]] = {}
    for part, plan in plans.items():
        too_large = {int(i) for i in plan.too_large}
        ladders[str(part)] = [
            _Rung(
                i + 1, (float(came),), float(came), None if i in too_large else float(finished),
                float(plan.target), plan.upper, "outside" if i in too_large or off else "within",
                float(off) or None,
            )
            for i, (came, finished, off) in enumerate(
                zip(plan.gaps, plan.finished, plan.filing, strict=True)
            )
        ]  # fmt: skip
    return ladders


def _of_findings(findings: Any, readings: Any) -> dict[str, list[_Rung]]:
    if not has_column(findings, "check"):
        raise TypeError("source must be findings or a gap plan; readings alone bear no limit")
    written = () if readings is None else reading_rows(readings)
    ladders: dict[str, list[_Rung]] = {}
    for row in finding_rows(findings):
        if row.check == "ring gap" and row.value is not None:
            came = tuple(_as_written(written, row)) or (row.value,)
            ladders.setdefault(row.part, []).append(_rung(row, came))
    # Positions from the top of the piston, cylinders by number.
    return {
        part: sorted(ladders[part], key=lambda rung: rung.number)
        for part in sorted(ladders, key=ring_order)
    }


def _as_written(written: Sequence[Any], row: FindingRow) -> list[float]:
    from enginewright import units

    return [
        float(units.convert(written[i].value, written[i].unit))
        for i in row.readings
        if i < len(written) and written[i].quantity == "gap" and written[i].value is not None
    ]


def _rung(row: FindingRow, came: tuple[float, ...]) -> _Rung:
    assert row.value is not None
    off = abs(row.amount) if row.amount and row.amount_unit == "mm" else None
    too_small = row.lower is not None and row.value < row.lower
    goes_in: float | None = row.value
    if row.verdict == "outside":
        goes_in = row.value + off if off and too_small else None
    return _Rung(
        row.number or 1, came, row.value, goes_in, row.lower, row.upper, row.verdict,
        off if too_small else None,
    )  # fmt: skip


def _moved(rung: _Rung) -> bool:
    """Say whether a rebore changed the gap by more than two marks on the page would show."""
    return all(abs(rung.carried - gap) > 2e-3 for gap in rung.came)


def _ladder(
    canvas: Canvas,
    top: float,
    part: str,
    ladder: list[_Rung],
    zero: float,
    scale: float,
    say: Words,
    inch: bool,
) -> float:
    title = say.say("part", part) if part else say.say("feature", "ring")
    canvas.text(0, top + 3.0, title, size=LARGE, bold=True, room=LEFT + 30)
    first, last = top + HEAD, top + HEAD + RUNG * len(ladder)
    limits = {(rung.lower, rung.upper) for rung in ladder}
    same = len(limits) == 1
    if same:
        _rails(canvas, first, last, ladder[0], zero, scale)
    else:
        for i, rung in enumerate(ladder):
            _rails(canvas, first + RUNG * i, first + RUNG * (i + 1), rung, zero, scale)
    canvas.guide((zero, zero), (first - 2, last))
    canvas.text(zero, first - 3.6, "0", size=SMALL, align="center", colour=QUIET)
    if same:
        for limit in limits.pop():
            if limit is not None:
                text = figure(limit, "mm", inch=inch).first
                canvas.text(zero + limit * scale, first - 3.6, text, size=SMALL, align="center")
    for i, rung in enumerate(ladder):
        _draw(canvas, first + RUNG * (i + 0.5), rung, zero, scale, say, inch)
    return last + GAP


def _floor(
    canvas: Canvas, top: float, bottom: float, at: float, floor: float, say: Words, inch: bool
) -> None:
    canvas.line((at, at), (top + HEAD - 1.5, bottom), width=1.4, dashes=(0.5, 0.7))
    text = say("figures.ring_gaps.floor", gap=figure(floor, "mm", inch=inch).first)
    canvas.text(at, top + HEAD - 7.5, text, size=SMALL, align="center", colour=QUIET)


def _rails(
    canvas: Canvas, top: float, bottom: float, rung: _Rung, zero: float, scale: float
) -> None:
    if rung.lower is not None and rung.upper is not None:
        left, width = zero + rung.lower * scale, (rung.upper - rung.lower) * scale
        canvas.box(left, top, width, bottom - top, fill=ACCEPT)
    for limit in (rung.lower, rung.upper):
        if limit is not None:
            canvas.line((zero + limit * scale,) * 2, (top, bottom), width=1.6)


def _draw(
    canvas: Canvas, y: float, rung: _Rung, zero: float, scale: float, say: Words, inch: bool
) -> None:
    canvas.text(LABEL, y, say("parts.cylinder", number=rung.number), align="right", room=LABEL)
    canvas.line((zero, RIGHT), (y, y), colour=RULE, width=0.6)
    carried = zero + rung.carried * scale
    for gap in rung.came:
        canvas.disc(zero + gap * scale, y, 1.35, fill="#ffffff", edge=INK, width=1.2)
    if _moved(rung) and rung.goes_in != rung.carried:
        canvas.box(carried - 1.2, y - 1.2, 2.4, 2.4, fill="#ffffff", edge=INK, edge_width=1.2)
    if rung.goes_in is not None:
        solid = zero + rung.goes_in * scale
        if abs(solid - carried) > 2.6:
            canvas.line((carried + 1.4, solid - 1.2), (y, y), width=1.6)
        canvas.disc(solid, y, 1.35, fill=SHADES[5], edge="#ffffff", width=0.5)
    how = mark(rung.verdict)
    canvas.text(ACTION, y, how.sign, bold=True, align="center", colour=how.ink)
    if rung.off is not None and rung.goes_in is not None:
        text = say("figures.ring_gaps.file", amount=figure(rung.off, "mm", inch=inch).first)
    elif rung.goes_in is None:
        text = say("figures.ring_gaps.too_large")
    else:
        text = figure(rung.carried, "mm", inch=inch).first
    canvas.text(ACTION + 3.5, y, text, size=SMALL, bold=rung.verdict == "outside",
                room=WIDTH - ACTION - 3.5)  # fmt: skip


def _legend(canvas: Canvas, y: float, rungs: Sequence[_Rung], carried: bool, say: Words) -> None:
    canvas.line((0, WIDTH), (y - 3.2, y - 3.2), colour=RULE, width=0.6)
    canvas.disc(1.6, y, 1.35, fill="#ffffff", edge=INK, width=1.2)
    x = 4.5 + canvas.text(4.5, y, say("figures.ring_gaps.came"), size=SMALL, colour=QUIET) + 6
    if carried:
        canvas.box(x - 1.2, y - 1.2, 2.4, 2.4, fill="#ffffff", edge=INK, edge_width=1.2)
        text = say("figures.ring_gaps.carried")
        x += 3.0 + canvas.text(x + 3.0, y, text, size=SMALL, colour=QUIET) + 6
    if any(rung.goes_in is not None for rung in rungs):
        canvas.disc(x, y, 1.35, fill=SHADES[5], edge="#ffffff", width=0.5)
        text = say("figures.ring_gaps.goes_in")
        x += 3.0 + canvas.text(x + 3.0, y, text, size=SMALL, colour=QUIET) + 6
    if any(rung.lower is not None and rung.upper is not None for rung in rungs):
        canvas.box(x - 1, y - 1.6, 6, 3.2, fill=ACCEPT)
        for edge in (x - 1, x + 5):
            canvas.line((edge, edge), (y - 2, y + 2), width=1.6)
        text = say("figures.ring_gaps.limits")
    else:
        canvas.line((x + 4, x + 4), (y - 2, y + 2), width=1.6)
        text = say("figures.ring_gaps.limit")
    canvas.text(x + 7.5, y, text, size=SMALL, colour=QUIET, room=WIDTH - x - 7.5)


def _description(ladders: dict[str, list[_Rung]], say: Words, inch: bool) -> str:
    parts = []
    for part, ladder in ladders.items():
        ring = say.say("part", part) if part else say.say("feature", "ring")
        for rung in ladder:
            figures = {
                "ring": ring, "number": rung.number,
                "gap": figure(rung.carried, "mm", inch=inch).first,
                "verdict": say.say("verdict", rung.verdict),
            }  # fmt: skip
            parts.append(say("figures.ring_gaps.one", **figures))
    return " ".join(parts)
