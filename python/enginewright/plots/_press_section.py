"""Press-fit section: stresses through guide and housing, cold and hot, and where the joint lets go.

Every figure comes from `fits`; this room only draws.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from enginewright._numbers import figure
from enginewright._words import Words, load
from enginewright.plots._canvas import LARGE, SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, PAPER, QUIET, RULE, SHADES, mark
from enginewright.plots._scale import Scale, apart

__all__ = ["press_fit"]

TOP, BOTTOM, FOOT = 10.0, 72.0, 17.0
#: The stresses stand left, the temperatures right.
LEFT, RIGHT = (18.0, 108.0), (132.0, 180.0)
#: Points that make a curve.
SMOOTH = 61


def press_fit(
    diameter: float,
    interference: Any,
    *,
    outer_diameter: float,
    inner_bore: float = 0.0,
    inner: Any,
    outer: Any,
    hot: float = 120.0,
    inner_share: float = 1.0,
    roughness_inner: float = 0.0,
    roughness_outer: float = 0.0,
    inch: bool = False,
    name: str = "press section",
    words: Any = "en",
) -> Picture:
    """Draw a pressed joint: pressure and hoop stress through both walls, cold and hot.

    Left, from the bore of the inner part outwards: the hoop stress jumps at the joint, where the
    inner part is squeezed and the housing pulled. Right, the interference over the temperature of
    the housing, with the temperature at which nothing is left of it.

    diameter         at the joint, mm
    interference     on diameter at 20 °C, mm; of a `Quantity` its value is drawn
    outer_diameter   of the housing, mm
    inner_bore       of the inner part, mm; 0: a solid pin
    inner, outer     materials, or names of typical ones
    hot              temperature of the housing for the second state, °C
    inner_share      rise of the inner part over that of the housing
    roughness_inner  Rz of the inner part, mm
    roughness_outer  Rz of the housing, mm
    inch             inch family of units
    name             goes into the ids of the SVG text
    words            language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Raises
    ------
    ValueError
        As `fits.press_fit`.

    Source: Lamé's thick cylinders, as in `fits.press_fit`; the drawing is this library's own.
    """
    from enginewright import fits

    say = load(words)
    delta = float(getattr(interference, "value", interference))

    def pressed(temperature: Any) -> Any:
        warm = np.asarray(temperature, dtype=float)
        return fits.press_fit(
            diameter, delta, diameter, outer_diameter=outer_diameter, inner_bore=inner_bore,
            inner=inner, outer=outer, roughness_inner=roughness_inner,
            roughness_outer=roughness_outer, outer_temperature=warm,
            inner_temperature=20.0 + inner_share * (warm - 20.0),
        )  # fmt: skip

    cold, warm = pressed(20.0), pressed(hot)
    expansions = [_material(part).expansion for part in (inner, outer)]
    loose = fits.loosening_temperature(
        diameter, cold.interference, inner_expansion=expansions[0],
        outer_expansion=expansions[1], inner_share=inner_share,
    )  # fmt: skip
    canvas = Canvas(name, BOTTOM + FOOT)
    walls = {"diameter": diameter, "outer_diameter": outer_diameter, "inner_bore": inner_bore}
    _stresses(canvas, walls, float(cold.pressure), float(warm.pressure), say, inch)
    _temperatures(canvas, pressed, hot, loose, say, inch)
    _legend(canvas, hot, _near(loose), say, inch)
    description = say(
        "figures.press_fit.states",
        cold=figure(cold.pressure, "MPa", inch=inch).first,
        hot=figure(warm.pressure, "MPa", inch=inch).first,
        temperature=figure(hot, "°C", inch=inch).first,
    )
    return canvas.done(say("figures.press_fit.title"), f"{description} {loose.reason}.")


def _material(part: Any) -> Any:
    from enginewright import fits

    return fits.MATERIALS[part] if isinstance(part, str) else part


def _stresses(
    canvas: Canvas, walls: dict[str, float], cold: float, hot: float, say: Words, inch: bool
) -> None:
    from enginewright import fits

    joint = walls["diameter"] / 2
    # A hair outside the joint is the housing.
    radii = (
        np.linspace(walls["inner_bore"] / 2, joint, SMOOTH),
        np.linspace(joint * (1 + 1e-9), walls["outer_diameter"] / 2, SMOOTH),
    )
    states = [[fits.joint_stress(r, pressure=p, **walls) for r in radii] for p in (cold, hot)]
    values = [0.0]
    for state in states:
        for wall in state:
            values += [*map(float, wall.hoop), *map(float, wall.radial)]
    across = Scale(walls["inner_bore"] / 2, walls["outer_diameter"] / 2, *LEFT)
    up = Scale.around(values, BOTTOM, TOP)
    canvas.text(0, 3.2, say("figures.press_fit.stresses"), bold=True, size=LARGE)
    for (first, last), fill in (
        ((radii[0][0], joint), SHADES[0]),
        ((joint, radii[1][-1]), ACCEPT),
    ):
        left, right = across.at(first), across.at(last)
        canvas.box(left, TOP, right - left, BOTTOM - TOP, fill=fill)
    canvas.line(LEFT, (up.at(0), up.at(0)), colour=INK, width=1.0)
    canvas.line((across.at(joint),) * 2, (TOP, BOTTOM), colour=INK, width=1.0)
    for state, colour, width in zip(states, (INK, SHADES[4]), (1.4, 2.2), strict=True):
        for r, wall in zip(radii, state, strict=True):
            x = [across.at(float(each)) for each in r]
            canvas.line(x, [up.at(float(v)) for v in wall.hoop], colour=colour, width=width)
            canvas.line(
                x, [up.at(float(v)) for v in wall.radial], colour=colour, width=width,
                dashes=(1.6, 1.0),
            )  # fmt: skip
    _stress_figures(canvas, up, inch)
    edges = (walls["inner_bore"] / 2, joint, walls["outer_diameter"] / 2)
    _walls_named(canvas, across, edges, say, inch)


def _stress_figures(canvas: Canvas, up: Scale, inch: bool) -> None:
    """Write the stresses beside the panel, their unit once."""
    for value in _ticks(up.low, up.high):
        y = up.at(value)
        text = figure(value, "MPa", inch=inch).first.partition("\u00a0")[0].removesuffix(".0")
        canvas.text(LEFT[0] - 1.5, y, text, size=SMALL, align="right", room=LEFT[0] - 1.5)
        canvas.guide((LEFT[0] - 1, LEFT[0]), (y, y))
    unit = figure(0.0, "MPa", inch=inch).first.partition("\u00a0")[2]
    canvas.text(LEFT[0] - 1.5, TOP - 2.6, unit, size=SMALL, align="right", colour=QUIET)


def _walls_named(
    canvas: Canvas, across: Scale, edges: tuple[float, float, float], say: Words, inch: bool
) -> None:
    """Write the radii below the panel, and above it which wall is which."""
    places = apart([across.at(edge) for edge in edges], 16.0, LEFT[0], LEFT[1] + 6)
    for place, edge in zip(places, edges, strict=True):
        text = figure(edge, "mm", inch=inch).first
        canvas.text(place, BOTTOM + 2.8, text, size=SMALL, align="center")
    for first, last, key in ((*edges[:2], "inner"), (*edges[1:], "housing")):
        middle = (across.at(first) + across.at(last)) / 2
        room = across.at(last) - across.at(first)
        text = say(f"figures.press_fit.{key}")
        canvas.text(middle, TOP - 2.6, text, size=SMALL, align="center", colour=QUIET, room=room)


def _ticks(low: float, high: float) -> list[float]:
    """Round figures between the ends, four or so."""
    rough = (high - low) / 4
    size = 10.0 ** np.floor(np.log10(rough))
    step = next(size * k for k in (1, 2, 5, 10) if size * k >= 0.7 * rough)
    first = np.ceil(low / step)
    return [float(step * (first + k)) for k in range(int((high - first * step) // step) + 1)]


def _near(loose: Any) -> bool:
    """Say whether the joint lets go within all use; beyond it needs no picture."""
    return loose.temperature is not None and -200 <= float(loose.temperature) <= 600


def _temperatures(
    canvas: Canvas, pressed: Any, hot: float, loose: Any, say: Words, inch: bool
) -> None:
    ends = [20.0, hot]
    near = _near(loose)
    if near:
        ends.append(float(loose.temperature))
    across = Scale.around(ends, *RIGHT, margin=0.12)
    line = pressed([across.low, across.high]).interference
    states = [float(pressed(t).interference) for t in (20.0, hot)]
    up = Scale.around([0.0, *map(float, line)], BOTTOM, TOP)
    canvas.text(RIGHT[0] - 16, 3.2, say("figures.press_fit.left"), bold=True, size=LARGE,
                room=WIDTH - RIGHT[0] + 16)  # fmt: skip
    canvas.box(RIGHT[0], TOP, RIGHT[1] - RIGHT[0], up.at(0) - TOP, fill=ACCEPT)
    canvas.line(RIGHT, (up.at(0), up.at(0)), width=1.0)
    canvas.line(RIGHT, [up.at(float(v)) for v in line], width=1.4)
    labels = [(0.0, "0"), *((v, figure(v, "mm", inch=inch).first) for v in states)]
    places = apart([up.at(v) for v, _ in labels], 3.6, TOP, BOTTOM)
    for y, (_, text) in zip(places, labels, strict=True):
        canvas.text(RIGHT[0] - 1.5, y, text, size=SMALL, align="right", room=20.0)
    for temperature, value, colour in ((20.0, states[0], INK), (hot, states[1], SHADES[4])):
        canvas.disc(across.at(temperature), up.at(value), 1.3, fill=colour, edge=PAPER, width=0.5)
    marked = [(20.0, "20 °C" if not inch else figure(20.0, "°C", inch=True).first)]
    marked.append((hot, figure(hot, "°C", inch=inch).first))
    if near:
        at = across.at(float(loose.temperature))
        canvas.disc(at, up.at(0), 1.5, fill=PAPER, edge=mark("outside").colour, width=1.8)
        marked.append(
            (float(loose.temperature), figure(float(loose.temperature), "°C", inch=inch).first)
        )
    for x, (_, text) in zip(
        apart([across.at(t) for t, _ in marked], 15.0, RIGHT[0] + 4, RIGHT[1] - 5), marked,
        strict=True,
    ):  # fmt: skip
        canvas.text(x, BOTTOM + 2.8, text, size=SMALL, align="center")


def _legend(canvas: Canvas, hot: float, near: bool, say: Words, inch: bool) -> None:
    y = BOTTOM + 9.0
    canvas.line((0, WIDTH), (y - 2.8, y - 2.8), colour=RULE, width=0.6)
    x = 0.0
    entries: Sequence[tuple[str, dict[str, Any], dict[str, str]]] = (
        ("hoop", {"colour": INK, "width": 1.4}, {}),
        ("pressure", {"colour": INK, "width": 1.4, "dashes": (1.6, 1.0)}, {}),
        ("cold", {"colour": INK, "width": 1.4},
         {"temperature": figure(20.0, "°C", inch=inch).first}),
        ("hot", {"colour": SHADES[4], "width": 2.2},
         {"temperature": figure(hot, "°C", inch=inch).first}),
    )  # fmt: skip
    for key, style, places in entries:
        canvas.line((x, x + 7), (y, y), **style)
        text = say(f"figures.press_fit.{key}", **places)
        x += 9 + canvas.text(x + 9, y, text, size=SMALL, colour=QUIET) + 5
    if near:
        canvas.disc(x + 1.5, y, 1.5, fill=PAPER, edge=mark("outside").colour, width=1.8)
        text = say("figures.press_fit.loose")
        canvas.text(x + 4.5, y, text, size=SMALL, colour=QUIET, room=WIDTH - x - 4.5)
    caution = say("figures.press_fit.caution")
    canvas.text(0, y + 5.0, caution, size=SMALL, colour=QUIET, room=WIDTH)
