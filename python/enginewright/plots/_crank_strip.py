"""Crank strip: the crank from the side, where the bearings are and how deep each hole goes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from enginewright._words import load
from enginewright.balance import static_couple
from enginewright.plots._canvas import SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import INK, PAPER, QUIET, RULE, SHADES

__all__ = ["crank_strip"]

#: Side room, height of the axis, height of a full stick, height of the figure, mm.
SIDE, AXIS, STICK, HEIGHT = 16.0, 42.0, 24.0, 76.0


def crank_strip(
    plan: Any, sites: Sequence[Any], *, name: str = "crank strip", words: Any = "en"
) -> Picture:
    """Draw a plan along the crank: planes, bearings, sites, static and couple before and after.

    A site is a pale stick as tall as it may be worked; the dark part is what the plan does there.
    Below the axis two sets of arrows: the static, one at the middle, and the couple, one at each
    bearing, before (pale) and after (dark), to one scale.

    plan   `balance.CorrectionPlan`
    sites  those that it was made for
    name   goes into the ids of the SVG text
    words  language
    """
    say = load(words)
    places = [*plan.planes, *plan.tolerance_planes, *(site.position for site in sites)]
    low, high = min(places), max(places)
    scale = (WIDTH - 2 * SIDE) / max(high - low, 1e-9)

    def at(z: float) -> float:
        return float(SIDE + (z - low) * scale)

    canvas = Canvas(name, HEIGHT)
    canvas.line((SIDE - 6, WIDTH - SIDE + 6), (AXIS, AXIS), width=2.2)
    for z in plan.tolerance_planes:
        x = at(z)
        canvas.shape([(x, AXIS), (x - 2.4, AXIS + 4.2), (x + 2.4, AXIS + 4.2)], fill=INK)
        canvas.text(x, AXIS + 6.6, say("figures.strip.bearing"), size=SMALL, align="center")
    for z in plan.planes:
        canvas.line((at(z), at(z)), (8.0, AXIS), colour=QUIET, width=0.9, dashes=(1.2, 0.9))
        canvas.text(at(z), 5.2, say("figures.strip.plane"), size=SMALL, align="center")
    done = {step.site: step for step in plan.operations}
    parts = []
    # Sites at one place lie on each other: those that are worked come out on top.
    for site in sorted(sites, key=lambda each: each.name in done):
        most = max(site.sizes) if site.kind == "weight" else site.maximum_depth
        x = at(site.position)
        canvas.box(x - 0.9, AXIS - 1.2 - STICK, 1.8, STICK, fill=SHADES[1], edge=RULE)
        if site.existing_depth > 0:
            height = STICK * min(1.0, site.existing_depth / most)
            canvas.box(x - 0.9, AXIS - 1.2 - height, 1.8, height, fill=SHADES[3])
        if site.name in done:
            step = done[site.name]
            height = STICK * min(1.0, step.setting / most)
            canvas.box(x - 0.9, AXIS - 1.2 - height, 1.8, height, fill=SHADES[5])
            unit = "g" if site.kind == "weight" else "mm"
            text = f"{site.name} {step.setting:.1f} {unit}"
            parts.append(f"{text}, {step.angle:.0f}°.")
    _labels(canvas, [(at(step.position), step) for step in plan.operations])
    _arrows(canvas, plan, at, say)
    canvas.text(0, HEIGHT - 2.0, say("figures.strip.note"), size=SMALL, colour=QUIET, room=WIDTH)
    return canvas.done(say("figures.strip.title"), " ".join([plan.reason + ".", *parts]))


def _labels(canvas: Canvas, steps: Sequence[tuple[float, Any]]) -> None:
    """Write the settings above their sticks, one under the other where they would touch."""
    ends = [-1.0, -1.0, -1.0]
    for x, step in sorted(steps, key=lambda each: each[0]):
        unit = "g" if step.kind == "weight" else "mm"
        text = f"{step.site}: {step.setting:.1f} {unit}, {step.angle:.0f}°"
        row = next((k for k, end in enumerate(ends) if x - 16 > end), 0)
        canvas.text(x, AXIS - 30.5 + 3.6 * row, text, size=SMALL, bold=True, align="center")
        ends[row] = x + 16


def _arrows(canvas: Canvas, plan: Any, at: Any, say: Any) -> None:
    """Draw static and couple before and after, in parts of the greatest of them."""
    bearings = list(plan.tolerance_planes)
    before = plan.unbalance
    states = [
        (static_couple(before, list(plan.planes), sum(bearings) / 2), SHADES[2]),
        (static_couple(plan.residual, bearings, sum(bearings) / 2), SHADES[5]),
    ]
    greatest = max(max(s.static_amount, s.couple_pair) for s, _ in states) or 1.0
    base = AXIS + 21.0
    canvas.guide((SIDE - 6, WIDTH - SIDE + 6), (base, base))
    for shift, (state, shade) in zip((-1.3, 1.3), states, strict=True):
        middle = (at(bearings[0]) + at(bearings[1])) / 2
        _up(canvas, middle + shift, base, 10.0 * state.static_amount / greatest, shade)
        for z, sign in zip(bearings, (1, -1), strict=True):
            _up(canvas, at(z) + shift, base, sign * 9.0 * state.couple_pair / greatest, shade)
    text = say(
        "figures.strip.state",
        static=f"{states[0][0].static_amount:.0f}",
        static_left=f"{states[1][0].static_amount:.0f}",
        couple=f"{states[0][0].couple_pair:.0f}",
        couple_left=f"{states[1][0].couple_pair:.0f}",
    )
    canvas.text(WIDTH / 2, base + 5.5, text, size=SMALL, align="center")


def _up(canvas: Canvas, x: float, base: float, height: float, shade: str) -> None:
    if abs(height) < 0.4:
        canvas.disc(x, base, 0.6, fill=PAPER, edge=shade, width=1.0)
        return
    head = min(1.8, abs(height)) * (1 if height > 0 else -1)
    canvas.line((x, x), (base, base - height + head), colour=shade, width=1.8)
    tip = base - height
    canvas.shape([(x, tip), (x - 1.1, tip + head), (x + 1.1, tip + head)], fill=shade)
