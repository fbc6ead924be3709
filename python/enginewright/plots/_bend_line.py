"""Bend line: run-out of each journal along the crank, its ovality beside it."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin
from typing import Any

from enginewright._numbers import figure
from enginewright._words import Words, load
from enginewright.plots._canvas import SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, GUARD, INK, PAPER, QUIET, SHADES
from enginewright.plots._scale import Scale

__all__ = ["straightness"]

LEFT, TOP, TALL, ROUND = 30.0, 8.0, 40.0, 7.0
#: Room left of the first journal and right of the last, mm.
SPARE = 12.0


def straightness(
    found: Any,
    *,
    position: Sequence[float] | None = None,
    limit: float | None = None,
    feature: str = "main journal",
    inch: bool = False,
    name: str = "straightness",
    words: Any = "en",
) -> Picture:
    """Draw a crank's run-out along its journals, and how oval each of them is.

    The line runs through the run-out of each journal, the bar through it is its expanded
    uncertainty (k = 2), the band behind is what the limit allows. Below, each journal as the oval
    it is, magnified, its large diameter where it stands.

    found     `Runout` of the crank
    position  of each journal along the crank; None: evenly spaced
    limit     of the run-out, mm
    feature   which journals, for the labels
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
        When there are other than as many positions as journals.

    Source: workshop practice; this library's own drawing.
    """
    say = load(words)
    count = len(found.runout)
    along = list(range(count)) if position is None else [float(each) for each in position]
    if len(along) != count:
        raise ValueError(f"position must hold {count} places, one a journal, got {len(along)}")
    greatest = max([*(r + 2 * u for r, u in zip(found.runout, found.uncertainty, strict=True))])
    greatest = max(greatest, limit or 0.0) or 0.01
    canvas = Canvas(name, TOP + TALL + 36.0)
    across = Scale(along[0], along[-1] if along[-1] != along[0] else along[0] + 1.0,
                   LEFT + SPARE, WIDTH - SPARE)  # fmt: skip
    up = Scale(0.0, 1.12 * greatest, TOP + TALL, TOP)
    if limit is not None:
        _limit(canvas, up, limit, say, inch)
    canvas.line((LEFT, WIDTH), (up.at(0.0), up.at(0.0)), width=1.0)
    xs = [across.at(place) for place in along]
    canvas.line(xs, [up.at(float(r)) for r in found.runout], colour=SHADES[5], width=1.8)
    for i, x in enumerate(xs):
        r, u = float(found.runout[i]), 2 * float(found.uncertainty[i])
        if u:
            canvas.line((x, x), (up.at(max(r - u, 0.0)), up.at(r + u)), width=1.0)
        canvas.verdict(x, up.at(r), str(found.verdicts[i]))
        _journal(canvas, x, i, found, say, inch)
    text = say("figures.straightness.ovality")
    canvas.text(LEFT - 2, TOP + TALL + 23.0, text, align="right", size=SMALL, room=LEFT - 2)
    return canvas.done(
        say("figures.straightness.title", feature=say.say("feature", feature)),
        _description(found, say, inch),
    )


def _limit(canvas: Canvas, up: Scale, limit: float, say: Words, inch: bool) -> None:
    """Shade what the limit allows."""
    top, ground = up.at(limit), up.at(0.0)
    canvas.box(LEFT, top, WIDTH - LEFT, ground - top, fill=ACCEPT)
    canvas.line((LEFT, WIDTH), (top, top), colour=GUARD, width=1.2)
    text = say("figures.straightness.limit", size=figure(limit, "mm", inch=inch).first)
    canvas.text(LEFT - 2, top, text, align="right", size=SMALL, room=LEFT - 2)


def _journal(canvas: Canvas, x: float, i: int, found: Any, say: Words, inch: bool) -> None:
    worst = int(found.worst) == i
    y = TOP + TALL + 4.5
    canvas.text(x, y, str(i + 1), align="center", bold=worst)
    size = figure(float(found.runout[i]), "mm", inch=inch).first
    canvas.text(x, y + 4.4, size, align="center", size=SMALL, bold=worst)
    greatest = max(float(each) for each in found.ovality) or 1.0
    share = 0.18 * float(found.ovality[i]) / greatest
    turn = float(found.ovality_direction[i]) * pi / 180
    points = []
    for k in range(64):
        angle = 2 * pi * k / 64
        radius = ROUND * (1 + share * cos(2 * (angle - turn))) * 0.78
        points.append((x + radius * cos(angle), y + 18.5 - radius * sin(angle)))
    canvas.shape(points, fill=PAPER, edge=INK, edge_width=1.1)
    if share:
        reach = ROUND * 0.78 * (1 + share)
        ends = (cos(turn) * reach, sin(turn) * reach)
        canvas.line(
            (x - ends[0], x + ends[0]), (y + 18.5 + ends[1], y + 18.5 - ends[1]), colour=QUIET
        )
    oval = figure(float(found.ovality[i]), "mm", inch=inch).first
    canvas.text(x, y + 29.0, oval, align="center", size=SMALL, colour=QUIET)


def _description(found: Any, say: Words, inch: bool) -> str:
    parts = []
    for i, (runout, oval) in enumerate(zip(found.runout, found.ovality, strict=True)):
        sizes = [figure(float(each), "mm", inch=inch).first for each in (runout, oval)]
        parts.append(
            say("figures.straightness.one", number=i + 1, runout=sizes[0], ovality=sizes[1])
        )
    side = f"{float(found.high_side):.0f}"
    parts.append(say("figures.straightness.worst", number=int(found.worst) + 1, side=side))
    return " ".join(parts)
