"""Shaking ellipses: the force and the couple of each order to one scale, and balance factors."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin
from typing import Any

from enginewright import reciprocating
from enginewright._words import Words, load
from enginewright.plots._canvas import LARGE, SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, QUIET, RULE, SHADES

__all__ = ["shaking"]

LABEL, HEAD, CELL, CAPTION = 20.0, 11.0, 46.0, 9.0
#: Share of half a cell that the longest axis may fill.
FILL = 0.82
POINTS = 96
FACTORS = (0.0, 0.25, 0.5, 0.75, 1.0)


def shaking(
    layout: Any,
    speed: float,
    *,
    orders: Sequence[int] = (1, 2, 4, 6),
    factors: Sequence[float] = FACTORS,
    reference: float | None = None,
    name: str = "shaking ellipses",
    words: Any = "en",
) -> Picture:
    """Draw what the tip of each order's force and couple goes round, seen from the front.

    One row for the forces, one for the couples, each to one scale; a last row shows the primary
    force when a share of the reciprocating mass is carried on the throws, the balance factor. Up on
    the page is bank angle 0. The heavy dot is where the tip is at crank angle 0.

    layout     `reciprocating.EngineLayout`, with its counterweights
    speed      of the crank, rpm
    orders     times a turn, each from 1 to 12
    factors    balance factors of the last row, 0 to 1; empty: no such row, and none where the
               pistons leave no primary force
    reference  about which couples are taken, mm from the front; none: the cylinders' mean position
    name       goes into the ids of the SVG text
    words      language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Raises
    ------
    ValueError
        When no order is given, or an impossible one.

    Source: Den Hartog, Mechanical Vibrations; this library's own drawing.
    """
    say = load(words)
    wanted = [int(order) for order in orders]
    if not wanted or min(wanted) < 1:
        raise ValueError(f"orders must hold numbers from 1 to 12, got {list(orders)}")
    found = reciprocating.shaking(layout, speed, max(wanted), reference)
    at = [order - 1 for order in wanted]
    forces = [(found.force_forward[i], found.force_backward[i]) for i in at]
    couples = [(found.couple_forward[i], found.couple_backward[i]) for i in at]
    shares = [(factor, _primary(layout, speed, factor)) for factor in (float(f) for f in factors)]
    if not any(_greatest([each]) > _nothing(layout, speed) for _, each in shares):
        # Throws that cancel each other have nothing that a counterweight could change.
        shares = []
    rows = 2 + bool(shares)
    nothing = max(_nothing(layout, speed), 1e-300)
    canvas = Canvas(name, rows * (HEAD + CELL + CAPTION) + 2.0)
    heads = [say("figures.shaking.order", order=order) for order in wanted]
    top = _row(canvas, 0.5, say("figures.shaking.force"), heads, forces, "N", nothing, say)
    top = _row(canvas, top, say("figures.shaking.couple"), heads, couples, "N·m", nothing, say)
    if shares:
        heads = [say("figures.shaking.factor", factor=f"{f:g}") for f, _ in shares]
        title = say("figures.shaking.factors")
        _row(canvas, top, title, heads, [each for _, each in shares], "N", nothing, say)
    said = [
        say(
            "figures.shaking.one", order=order,
            force=_figure(abs(f) + abs(b)), couple=_figure(abs(c) + abs(d)),
        )
        for order, (f, b), (c, d) in zip(wanted, forces, couples, strict=True)
    ]  # fmt: skip
    title = say("figures.shaking.title", name=layout.name or "", speed=f"{speed:g}")
    return canvas.done(title.replace("  ", " "), " ".join(said))


def _greatest(turning: Sequence[tuple[complex, complex]]) -> float:
    return max(abs(forward) + abs(backward) for forward, backward in turning)


def _nothing(layout: Any, speed: float) -> float:
    """Give what rounding may leave of a force that cancels, N."""
    masses = zip(layout.reciprocating, layout.rotating, layout.crank_radius, strict=True)
    whole = sum((going + turning) * radius for going, turning, radius in masses)
    return float(1e-15 * whole * (speed * pi / 30) ** 2)


def _primary(layout: Any, speed: float, factor: float) -> tuple[complex, complex]:
    """Give the primary force of the pistons with a share of their mass on the throws."""
    # All that turns counts as balanced, as it does for the balance factor itself.
    pistons = reciprocating.EngineLayout(
        layout.throw_angle, layout.bank_angle, layout.position, layout.crank_radius,
        layout.rod_length, layout.reciprocating, 0.0, layout.offset,
        [
            -factor * mass * radius * complex(cos(angle * pi / 180), sin(angle * pi / 180))
            for mass, radius, angle in zip(
                layout.reciprocating, layout.crank_radius, layout.throw_angle, strict=True
            )
        ],
        layout.position,
    )  # fmt: skip
    found = reciprocating.shaking(pistons, speed, 1)
    return complex(found.force_forward[0]), complex(found.force_backward[0])


def _row(
    canvas: Canvas,
    top: float,
    title: str,
    heads: list[str],
    turning: list[tuple[complex, complex]],
    unit: str,
    nothing: float,
    say: Words,
) -> float:
    """Draw one row of ellipses to one scale; give where the next one starts."""
    canvas.text(0.5, top + 3.0, title, size=LARGE, bold=True)
    greatest = _greatest(turning)
    width = WIDTH / len(turning)
    radius = min(CELL, width) / 2 * FILL
    for i, (head, (forward, backward)) in enumerate(zip(heads, turning, strict=True)):
        x, y = (i + 0.5) * width, top + HEAD + CELL / 2
        canvas.text(x, top + HEAD - 2.0, head, align="center", colour=QUIET)
        canvas.guide([x - radius, x + radius], [y, y])
        canvas.guide([x, x], [y - radius, y + radius])
        size = abs(forward) + abs(backward)
        if size > nothing:
            _ellipse(canvas, x, y, forward, backward, radius / greatest)
        else:
            canvas.disc(x, y, 0.9, fill=INK, edge=INK, width=0.4)
        caption = say("figures.shaking.none") if size <= nothing else (
            f"{_figure(size)} {unit}"
        )  # fmt: skip
        canvas.text(x, top + HEAD + CELL + 2.0, caption, align="center", size=SMALL, room=width)
    canvas.line([0.5, WIDTH - 0.5], [top + HEAD + CELL + CAPTION - 2.5] * 2, colour=RULE, width=0.5)
    return top + HEAD + CELL + CAPTION


def _ellipse(
    canvas: Canvas, x: float, y: float, forward: complex, backward: complex, scale: float
) -> None:
    def tip(angle: float) -> tuple[float, float]:
        turn = complex(cos(angle), sin(angle))
        force = forward * turn + backward * turn.conjugate()
        # Up on the page is the real axis; 90 degrees clockwise, to the right, the imaginary one.
        return x + force.imag * scale, y - force.real * scale

    path = [tip(2 * pi * k / POINTS) for k in range(POINTS)]
    canvas.shape(path, fill=ACCEPT, edge=SHADES[5], edge_width=1.4)
    start = tip(0.0)
    canvas.line([x, start[0]], [y, start[1]], colour=SHADES[4], width=0.9)
    canvas.disc(*start, 1.1, fill=INK, edge=INK, width=0.4)


def _figure(value: float) -> str:
    """Three figures are as much as a picture shows."""
    if value >= 1000:
        digits = len(f"{value:.0f}") - 3
        return f"{round(value / 10**digits) * 10**digits:,}".replace(",", " ")
    return f"{value:.3g}"
