"""Two dials: each tolerance plane as a clock face, every run a dot, the tolerance a ring."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, hypot, pi, radians, sin
from typing import Any

from enginewright._words import Words, load
from enginewright.balance import amount_of, angle_of, to_planes
from enginewright.plots._canvas import LARGE, SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, PAPER, QUIET, RULE, SHADES

__all__ = ["dial_face", "dials", "place_on"]

#: Radius of a face and height of the figure, mm.
FACE, HEIGHT = 34.0, 92.0
TOP = 50.0


def dials(
    record: Any,
    *,
    sites: Sequence[Any] = (),
    predicted: Sequence[complex] | None = None,
    name: str = "dials",
    words: Any = "en",
) -> Picture:
    """Draw the runs of a balancing job in both tolerance planes.

    Each face is looked at from the front of the crank, 0 at the top, degrees clockwise. The shaded
    disc is the tolerance; a run is a numbered dot with a ring of twice its standard uncertainty;
    arrows lead from run to run; the open dot is what the next run should read. Sites are ticks on
    the rim, the darker the more depth is left in them.

    record     `balance.BalanceRecord` with at least one run
    sites      `balance.Site` places for the rim
    predicted  in the measuring planes; None: the record's own forecast when a correction is pending
    name       goes into the ids of the SVG text
    words      language

    Raises
    ------
    ValueError
        When the record holds no run.
    """
    say = load(words)
    runs = [entry for entry in record.entries if entry.kind == "run"]
    if not runs:
        raise ValueError("record must hold at least one run, got none")
    planes, bearings = list(record.planes), list(record.tolerance_planes)
    read = [to_planes(run.vectors, planes, bearings) for run in runs]
    if predicted is None and record.entries[-1].kind == "correction":
        predicted = record.predicted()
    ahead = None if predicted is None else to_planes(predicted, planes, bearings)
    doubt = record.uncertainty if runs[-1].uncertainty is None else runs[-1].uncertainty
    shares = [to_planes([1, 0], planes, bearings), to_planes([0, 1], planes, bearings)]
    canvas = Canvas(name, HEIGHT + 3.5)
    parts = []
    for p in range(2):
        centre = (WIDTH * (0.25 + 0.5 * p), TOP)
        reach = max([1.25 * record.tolerance[p], *(1.1 * abs(vectors[p]) for vectors in read)])
        title = say("figures.dials.plane", number=p + 1, position=f"{bearings[p]:.0f}")
        dial_face(canvas, centre, title, record.tolerance[p], reach, say)
        _rim(canvas, centre, [site for site in sites if _nearer(site.position, bearings) == p])
        spread = doubt * hypot(abs(shares[0][p]), abs(shares[1][p]))
        _runs(canvas, centre, [vectors[p] for vectors in read], spread, reach)
        if ahead is not None:
            x, y = place_on(centre, ahead[p], reach)
            canvas.disc(x, y, 1.5, fill=PAPER, edge=INK, width=1.4)
        parts.append(_told(p, read, record.tolerance[p], say))
    _legend(canvas, ahead is not None, bool(sites), say)
    return canvas.done(say("figures.dials.title"), " ".join(parts))


def place_on(centre: tuple[float, float], vector: complex, reach: float) -> tuple[float, float]:
    """Give the place of a vector on a face: 0 degrees up, clockwise."""
    return (
        centre[0] + FACE * vector.imag / reach,
        centre[1] - FACE * vector.real / reach,
    )


def dial_face(
    canvas: Canvas,
    centre: tuple[float, float],
    title: str,
    tolerance: float,
    reach: float,
    say: Words,
) -> None:
    """Draw a face: rim, degrees, the tolerance as a shaded disc with its figure."""
    x, y = centre
    canvas.text(x, y - FACE - 11.5, title, size=LARGE, bold=True, align="center")
    canvas.shape(_circle(centre, FACE), fill=PAPER, edge=QUIET, edge_width=0.8)
    inner = FACE * tolerance / reach
    canvas.shape(_circle(centre, inner), fill=ACCEPT, edge=SHADES[4], edge_width=1.2)
    for degrees in range(0, 360, 30):
        way = (sin(radians(degrees)), -cos(radians(degrees)))
        ends = [(x + r * way[0], y + r * way[1]) for r in (FACE - 1.2, FACE)]
        canvas.line([e[0] for e in ends], [e[1] for e in ends], colour=QUIET, width=0.7)
        if degrees % 90 == 0:
            at = (x + (FACE + 6.0) * way[0], y + (FACE + 5.0) * way[1])
            canvas.text(*at, f"{degrees}°", size=SMALL, colour=QUIET, align="center")
    canvas.guide((x - FACE, x + FACE), (y, y))
    canvas.guide((x, x), (y - FACE, y + FACE))
    text = say("figures.dials.tolerance", amount=f"{tolerance:.0f}")
    canvas.text(x + 1.0, min(y + inner + 2.2, y + FACE - 2.0), text, size=SMALL, colour=QUIET)


def _circle(centre: tuple[float, float], radius: float) -> list[tuple[float, float]]:
    return [
        (centre[0] + radius * cos(k * pi / 60), centre[1] + radius * sin(k * pi / 60))
        for k in range(120)
    ]


def _nearer(position: float, bearings: Sequence[float]) -> int:
    return int(abs(position - bearings[1]) < abs(position - bearings[0]))


def _rim(canvas: Canvas, centre: tuple[float, float], sites: Sequence[Any]) -> None:
    for site in sites:
        left = 1.0
        if site.kind == "drill":
            left = 1 - min(1.0, site.existing_depth / site.maximum_depth)
        way = (sin(radians(site.angle)), -cos(radians(site.angle)))
        ends = [(centre[0] + r * way[0], centre[1] + r * way[1]) for r in (FACE + 0.6, FACE + 3.4)]
        shade = SHADES[1 + round(4 * left)] if left > 0 else RULE
        canvas.line([e[0] for e in ends], [e[1] for e in ends], colour=shade, width=2.6)


def _runs(
    canvas: Canvas,
    centre: tuple[float, float],
    vectors: Sequence[complex],
    spread: float,
    reach: float,
) -> None:
    places = [place_on(centre, vector, reach) for vector in vectors]
    for first, second in zip(places, places[1:], strict=False):
        _arrow(canvas, first, second)
    for number, place in enumerate(places, start=1):
        if spread > 0:
            doubt = _circle(place, FACE * 2 * spread / reach)
            canvas.shape(doubt, fill=None, edge=SHADES[4], edge_width=0.7)
        canvas.disc(*place, 1.3, fill=INK, edge=PAPER, width=0.5)
        canvas.text(place[0] + 2.2, place[1] - 2.4, str(number), size=SMALL, bold=True)


def _arrow(canvas: Canvas, first: tuple[float, float], second: tuple[float, float]) -> None:
    length = hypot(second[0] - first[0], second[1] - first[1])
    if length < 4.0:
        return
    way = ((second[0] - first[0]) / length, (second[1] - first[1]) / length)
    tip = (second[0] - 1.8 * way[0], second[1] - 1.8 * way[1])
    back = (tip[0] - 2.6 * way[0], tip[1] - 2.6 * way[1])
    canvas.line((first[0], back[0]), (first[1], back[1]), colour=QUIET, width=1.0)
    side = (-way[1] * 0.9, way[0] * 0.9)
    canvas.shape(
        [tip, (back[0] + side[0], back[1] + side[1]), (back[0] - side[0], back[1] - side[1])],
        fill=QUIET,
    )


def _legend(canvas: Canvas, ahead: bool, rim: bool, say: Words) -> None:
    y = HEIGHT + 1.6
    canvas.disc(2.0, y, 1.3, fill=INK, edge=PAPER, width=0.5)
    x = 5.0 + canvas.text(5.0, y, say("figures.dials.run"), size=SMALL, colour=QUIET) + 5
    if ahead:
        canvas.disc(x, y, 1.5, fill=PAPER, edge=INK, width=1.4)
        text = say("figures.dials.predicted")
        x += 3.0 + canvas.text(x + 3.0, y, text, size=SMALL, colour=QUIET) + 5
    if rim:
        canvas.line((x, x + 3.0), (y, y), colour=SHADES[5], width=2.6)
        text = say("figures.dials.site")
        canvas.text(x + 4.5, y, text, size=SMALL, colour=QUIET, room=WIDTH - x - 5)


def _told(p: int, read: Sequence[Any], tolerance: float, say: Words) -> str:
    steps = ", ".join(
        f"{amount_of(vectors[p]):.0f} g mm {angle_of(vectors[p]):.0f}°" for vectors in read
    )
    return say("figures.dials.one", number=p + 1, tolerance=f"{tolerance:.0f}", steps=steps)
