"""Liner row: flanges as tilted bars over the deck, the shims beneath them."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians
from typing import Any

from enginewright._numbers import figure
from enginewright._words import Words, load
from enginewright.plots._canvas import SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, PLAN, QUIET, RULE, SHADES

__all__ = ["liners"]

LEFT, TOP, TALL, SHIMS = 34.0, 8.0, 44.0, 15.0


def liners(
    standing: Any,
    shims: Any = None,
    *,
    lower: float | None = None,
    upper: float | None = None,
    inch: bool = False,
    name: str = "liners",
    words: Any = "en",
) -> Picture:
    """Draw how liners stand over the deck: each flange with its tilt, the limits behind.

    A bar is a flange seen from the side, its slope magnified; the figures below are its mean height
    and its tilt. With a shim plan the bars stand where the shims bring them, open bars where they
    stood before, and the stacks are written beneath.

    standing      `LinerStanding` of a gasket's liners
    shims         `LinerShims` for the same liners, or None
    lower, upper  limits of the height, mm
    inch          inch family of units first
    name          goes into the ids of the SVG text
    words         language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Raises
    ------
    ValueError
        When the shims are of another number of liners.

    Source: workshop practice; this library's own drawing.
    """
    say = load(words)
    count = len(standing.mean)
    stacks = [] if shims is None else list(shims.liners)
    if stacks and len(stacks) != count:
        raise ValueError(f"shims must hold {count} liners, got {len(stacks)}")
    lifts = [stack.total for stack in stacks] or [0.0] * count
    ends = [0.0] + [limit for limit in (lower, upper) if limit is not None]
    for mean, tilt, lift in zip(standing.mean, standing.tilt, lifts, strict=True):
        ends += [mean - tilt / 2, mean + tilt / 2, mean - tilt / 2 + lift, mean + tilt / 2 + lift]
    at = _scale(ends)
    canvas = Canvas(name, TOP + TALL + (SHIMS + 8 if stacks else 17.0))
    _ground(canvas, at, lower, upper, say, inch)
    step = (WIDTH - LEFT - 4) / count
    for i in range(count):
        middle = LEFT + 4 + step * (i + 0.5)
        half = min(step * 0.36, 16.0)
        rise = standing.tilt[i] / 2 * (-1 if cos(radians(standing.high_side[i])) < 0 else 1)
        if stacks:
            _bar(canvas, at, middle, half, standing.mean[i], rise, filled=False)
        _bar(canvas, at, middle, half, standing.mean[i] + lifts[i], rise, filled=True)
        _labels(canvas, middle, step, i, standing, stacks, say, inch)
    return canvas.done(say("figures.liners.title"), _description(standing, stacks, say, inch))


def _scale(ends: Sequence[float]) -> Any:
    least, greatest = min(ends), max(ends)
    spare = 0.08 * (greatest - least) or 0.01
    least, span = least - spare, greatest - least + 2 * spare
    return lambda height: TOP + TALL * (1 - (height - least) / span)


def _ground(
    canvas: Canvas, at: Any, lower: float | None, upper: float | None, say: Words, inch: bool
) -> None:
    if lower is not None and upper is not None:
        canvas.box(LEFT, at(upper), WIDTH - LEFT, at(lower) - at(upper), fill=ACCEPT)
    for limit, key in ((upper, "upper"), (lower, "lower")):
        if limit is not None:
            text = say(f"figures.liners.{key}", size=figure(limit, "mm", inch=inch).first)
            canvas.text(LEFT - 2, at(limit), text, align="right", size=SMALL, room=LEFT - 2)
            canvas.guide((LEFT, WIDTH), (at(limit), at(limit)))
    canvas.line((LEFT, WIDTH), (at(0.0), at(0.0)), width=1.6)
    if all(limit is None or abs(at(limit) - at(0.0)) > 3.5 for limit in (lower, upper)):
        canvas.text(LEFT - 2, at(0.0), say("figures.liners.deck"), align="right", size=SMALL)


def _bar(
    canvas: Canvas, at: Any, middle: float, half: float, mean: float, rise: float, *, filled: bool
) -> None:
    left, right = at(mean - rise), at(mean + rise)
    corners = [
        (middle - half, left), (middle + half, right),
        (middle + half, right + 2.2), (middle - half, left + 2.2),
    ]  # fmt: skip
    canvas.shape(
        corners, fill=SHADES[4] if filled else None, edge=INK if filled else QUIET, edge_width=0.7
    )


def _labels(
    canvas: Canvas,
    middle: float,
    step: float,
    i: int,
    standing: Any,
    stacks: Sequence[Any],
    say: Words,
    inch: bool,
) -> None:
    y = TOP + TALL + 4.0
    size = figure(standing.mean[i], "mm", inch=inch).first
    tilt = figure(standing.tilt[i], "mm", inch=inch).first
    text = say("parts.numbered", feature=say.say("feature", "liner"), number=i + 1)
    canvas.text(middle, 3.5, text, align="center", bold=True, room=step - 1)
    mean = say("figures.liners.mean", size=size)
    canvas.text(middle, y, mean, align="center", size=SMALL, room=step - 1)
    tilted = say("figures.liners.tilt", size=tilt)
    canvas.text(middle, y + 4.2, tilted, align="center", size=SMALL, colour=QUIET, room=step - 1)
    if stacks:
        sizes = " + ".join(f"{each:.3f}" for each in stacks[i].sizes)
        canvas.box(middle - step * 0.4, y + 7.4, step * 0.8, 4.6, fill=PLAN, edge=RULE)
        shim = sizes or say("figures.liners.none")
        canvas.text(middle, y + 9.7, shim, align="center", size=SMALL, room=step * 0.78)


def _description(standing: Any, stacks: Sequence[Any], say: Words, inch: bool) -> str:
    parts = []
    for i, (mean, tilt) in enumerate(zip(standing.mean, standing.tilt, strict=True)):
        mean_text, tilt_text = (figure(each, "mm", inch=inch).first for each in (mean, tilt))
        parts.append(say("figures.liners.one", number=i + 1, mean=mean_text, tilt=tilt_text))
        if stacks:
            height = figure(stacks[i].height, "mm", inch=inch).first
            parts.append(say("figures.liners.shimmed", number=i + 1, height=height))
    return " ".join(parts)
