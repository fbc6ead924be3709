"""Firing ring: one cycle as a ring, a mark where each cylinder fires, the gaps between them."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin
from typing import Any

from enginewright import reciprocating
from enginewright._words import load
from enginewright.plots._canvas import LARGE, NORMAL, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, PAPER, PLAN, QUIET, RULE, SHADES

__all__ = ["firing"]

SIZE, RADIUS, BAND = 110.0, 36.0, 7.0


def firing(
    throw_angles: Any,
    bank_angles: Any,
    firing_order: Sequence[int],
    *,
    strokes: int = 4,
    name: str = "firing ring",
    words: Any = "en",
) -> Picture:
    """Draw one cycle as a ring: where each cylinder fires, and the crank angle between them.

    The first cylinder of the order fires at the top; the crank's turning runs clockwise. Gaps that
    are not the even one are shaded and their figure is bold.

    throw_angles  one a cylinder, degrees
    bank_angles   one a cylinder or one for all, degrees
    firing_order  the cylinders, counted from 1
    strokes       2 or 4
    name          goes into the ids of the SVG text
    words         language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Raises
    ------
    ValueError
        When the order is impossible on this crank, with the reason.

    Source: `reciprocating.firing_intervals`; this library's own drawing.
    """
    say = load(words)
    found = reciprocating.firing_intervals(throw_angles, bank_angles, list(firing_order), strokes)
    if found.status != "possible":
        raise ValueError(f"firing_order must be possible: {found.reason}")
    cycle = 180.0 * strokes
    even = cycle / len(found.intervals)
    canvas = Canvas(name, SIZE, SIZE)
    middle = SIZE / 2
    at = 0.0
    said = []
    for interval in found.intervals:
        uneven = abs(interval - even) > 1e-6
        _sector(canvas, middle, at / cycle, (at + interval) / cycle, PLAN if uneven else ACCEPT)
        at += interval
    at = 0.0
    for cylinder, interval in zip(firing_order, found.intervals, strict=True):
        _mark(canvas, middle, at / cycle, str(cylinder))
        if interval > 0:
            uneven = abs(interval - even) > 1e-6
            x, y = _place(middle, (at + interval / 2) / cycle, RADIUS - BAND - 6.5)
            canvas.text(x, y, f"{interval:g}°", align="center", bold=uneven)
        said.append(say("figures.firing.one", cylinder=cylinder, angle=f"{at:g}"))
        at += interval
    canvas.text(middle, middle - 3.0, f"{cycle:g}°", align="center", size=LARGE, bold=True)
    verdict = "even" if found.even else "uneven"
    canvas.text(
        middle, middle + 3.0, say(f"figures.firing.{verdict}"), align="center", colour=QUIET
    )
    return canvas.done(say("figures.firing.title"), " ".join(said))


def _place(middle: float, share: float, radius: float) -> tuple[float, float]:
    """Give the point of the ring at a share of the cycle, clockwise from the top."""
    return middle + radius * sin(2 * pi * share), middle - radius * cos(2 * pi * share)


def _sector(canvas: Canvas, middle: float, start: float, end: float, fill: str) -> None:
    steps = max(2, round((end - start) * 180))
    shares = [start + (end - start) * k / steps for k in range(steps + 1)]
    outer = [_place(middle, share, RADIUS) for share in shares]
    inner = [_place(middle, share, RADIUS - BAND) for share in reversed(shares)]
    canvas.shape([*outer, *inner], fill=fill, edge=RULE, edge_width=0.6)


def _mark(canvas: Canvas, middle: float, share: float, cylinder: str) -> None:
    near, far = (_place(middle, share, RADIUS + way) for way in (-BAND - 1.0, 3.0))
    canvas.line([near[0], far[0]], [near[1], far[1]], colour=INK, width=1.6)
    x, y = _place(middle, share, RADIUS + 8.0)
    canvas.disc(x, y, 4.4, fill=SHADES[5], edge=INK, width=0.5)
    canvas.text(x, y, cylinder, align="center", size=NORMAL, bold=True, colour=PAPER)
