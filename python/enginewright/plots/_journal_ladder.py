"""Journal ladder: each journal's readings over the bands of the undersizes behind them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from enginewright._numbers import figure, parts_of
from enginewright._rows import has_column
from enginewright._sizes import Size, sizes
from enginewright._words import Words, load
from enginewright.plots._canvas import SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, PLAN, QUIET, RULE, SHADES

__all__ = ["undersizes"]

LABEL, LEFT, RIGHT = 30.0, 34.0, 150.0
HEAD, ROW = 13.0, 7.2


def undersizes(
    readings: Any,
    plan: Any = None,
    *,
    standard_lower: float | None = None,
    standard_upper: float | None = None,
    steps: Sequence[float] = (),
    feature: str = "main journal",
    inch: bool = False,
    name: str = "undersizes",
    words: Any = "en",
) -> Picture:
    """Draw the journals of a set over the undersizes: which one decides, and by how much.

    A row a journal, small to the right as metal comes off. Dots are the readings; the open triangle
    is the diameter at which that journal is clean; the bands behind are the finish sizes of each
    step. The step is the first band that no triangle reaches past.

    readings        `Findings` or `Readings`, or a set of grids as `journals.regrind_plan` takes
    plan            the `RegrindPlan` of the set; None: readings and bands alone
    standard_lower  lower size of a new journal, mm, None: no bands
    standard_upper  upper size, mm
    steps           undersizes there are, mm
    feature         which journals, when a table is given
    inch            inch family of units first
    name            goes into the ids of the SVG text
    words           language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Raises
    ------
    ValueError
        When there is no reading.

    Source: workshop practice; this library's own drawing.
    """
    say = load(words)
    found = _found(readings, feature)
    if not found:
        raise ValueError(f"readings must hold at least one diameter of a {feature}, got none")
    chosen = None if plan is None else plan.undersize
    bands = _bands(standard_lower, standard_upper, steps, chosen)
    numbers = sorted({size.number for size in found})
    cleanup = {} if plan is None else dict(zip(numbers, plan.cleanup_diameters, strict=False))
    governing = None if plan is None else numbers[int(plan.governing)]
    scale = _Scale([size.value for size in found] + list(cleanup.values()), bands)
    canvas = Canvas(name, HEAD + ROW * len(numbers) + 9.0)
    bottom = HEAD + ROW * len(numbers)
    for step, lower, upper in bands:
        _band(canvas, scale, step, lower, upper, bottom, step == chosen, say, inch)
    for i, number in enumerate(numbers):
        own = [size for size in found if size.number == number]
        y = HEAD + ROW * (i + 0.5)
        _row(canvas, scale, y, own, cleanup.get(number), number == governing, feature, say, inch)
    _legend(canvas, bottom + 6.5, plan is not None, say)
    return canvas.done(
        say("figures.undersizes.title", feature=say.say("feature", feature)),
        _description(numbers, found, cleanup, governing, chosen, say, inch),
    )


def _found(readings: Any, feature: str) -> tuple[Size, ...]:
    if isinstance(readings, (list, tuple)) and readings and isinstance(readings[0], Size):
        return tuple(readings)
    if has_column(readings, "feature"):
        return sizes(readings, feature)
    return tuple(
        Size(i + 1, f"{k + 1}", f"{m + 1}", float(value), "unlimited", None)
        for i, grid in enumerate(readings)
        for k, station in enumerate(grid)
        for m, value in enumerate(station)
    )


def _bands(
    lower: float | None, upper: float | None, steps: Sequence[float], chosen: float | None
) -> list[tuple[float, float, float]]:
    """Give the bands worth drawing: standard, each step to the chosen one, and one more."""
    if lower is None or upper is None:
        return []
    kept: list[float] = [0.0]
    for step in sorted(steps):
        kept.append(float(step))
        if chosen is not None and step > chosen:
            break
    return [(step, lower - step, upper - step) for step in kept]


class _Scale:
    """Places across the page: large on the left, small on the right."""

    def __init__(
        self, values: Sequence[float], bands: Sequence[tuple[float, float, float]]
    ) -> None:
        ends = list(values) + [end for _, low, high in bands for end in (low, high)]
        least, greatest = min(ends), max(ends)
        spare = 0.04 * (greatest - least) or 0.005
        self.greatest, self.span = greatest + spare, greatest - least + 2 * spare

    def at(self, value: float) -> float:
        return LEFT + (self.greatest - value) / self.span * (RIGHT - LEFT)


def _band(
    canvas: Canvas,
    scale: _Scale,
    step: float,
    lower: float,
    upper: float,
    bottom: float,
    chosen: bool,
    say: Words,
    inch: bool,
) -> None:
    left, right = scale.at(upper), scale.at(lower)
    width = max(right - left, 0.6)
    middle = left + width / 2
    fill = PLAN if chosen else ACCEPT
    canvas.box(left, HEAD - 1, width, bottom - HEAD + 1, fill=fill, edge=INK if chosen else None)
    if step:
        text = say("figures.undersizes.step", step=figure(step, "mm", inch=inch).first)
    else:
        text = say("figures.undersizes.standard")
    half = 15.0
    middle = min(max(middle, half), WIDTH - half)
    canvas.text(middle, 3.0, text, align="center", bold=chosen, size=SMALL)
    sizes_text = " – ".join(
        parts_of(figure(size, "mm", inch=inch).first)[0] for size in (lower, upper)
    )
    canvas.text(middle, 7.6, sizes_text, align="center", bold=chosen, size=SMALL, colour=QUIET)


def _row(
    canvas: Canvas,
    scale: _Scale,
    y: float,
    own: Sequence[Size],
    cleanup: float | None,
    governing: bool,
    feature: str,
    say: Words,
    inch: bool,
) -> None:
    text = say("parts.numbered", feature=say.say("feature", feature), number=own[0].number)
    canvas.text(LABEL, y, text, align="right", bold=governing, room=LABEL)
    canvas.guide((LEFT, RIGHT), (y, y))
    places = [scale.at(size.value) for size in own]
    canvas.line((min(places), max(places)), (y, y), colour=SHADES[5], width=2.2)
    for place in places:
        canvas.disc(place, y, 1.05, fill=SHADES[5], edge="#ffffff", width=0.5)
    least = min(size.value for size in own)
    text = figure(least, "mm", inch=inch).first
    if cleanup is not None:
        place = scale.at(cleanup)
        tip = [(place, y + 0.3), (place - 1.5, y + 3.1), (place + 1.5, y + 3.1)]
        canvas.shape(tip, fill=INK if governing else "#ffffff", edge=INK, edge_width=1.1)
        canvas.line((place, place), (y - 2.6, y + 0.4), width=1.2)
    canvas.text(RIGHT + 3, y, text, bold=governing, size=SMALL, room=WIDTH - RIGHT - 3)


def _legend(canvas: Canvas, y: float, planned: bool, say: Words) -> None:
    canvas.line((0, WIDTH), (y - 3.2, y - 3.2), colour=RULE, width=0.6)
    canvas.disc(1.5, y, 1.05, fill=SHADES[5], edge="#ffffff", width=0.5)
    x = 4.0 + canvas.text(4.0, y, say("figures.undersizes.reading"), size=SMALL, colour=QUIET) + 6
    if planned:
        for fill, key in (("#ffffff", "clean"), (INK, "decides")):
            tip = [(x, y - 1.4), (x - 1.5, y + 1.4), (x + 1.5, y + 1.4)]
            canvas.shape(tip, fill=fill, edge=INK, edge_width=1.1)
            text = say(f"figures.undersizes.{key}")
            x += 3.0 + canvas.text(x + 3.0, y, text, size=SMALL, colour=QUIET) + 6
        canvas.box(x - 1, y - 1.6, 5, 3.2, fill=PLAN, edge=INK)
        text = say("figures.undersizes.chosen")
        canvas.text(x + 6, y, text, size=SMALL, colour=QUIET, room=RIGHT - x - 6)
    text = say("figures.undersizes.least")
    canvas.text(RIGHT + 3, y, text, size=SMALL, colour=QUIET, room=WIDTH - RIGHT - 3)


def _description(
    numbers: Sequence[int],
    found: Sequence[Size],
    cleanup: dict[int, float],
    governing: int | None,
    chosen: float | None,
    say: Words,
    inch: bool,
) -> str:
    parts = []
    for number in numbers:
        least = min(size.value for size in found if size.number == number)
        figures = {"number": number, "least": figure(least, "mm", inch=inch).first}
        if number in cleanup:
            clean = figure(cleanup[number], "mm", inch=inch).first
            parts.append(say("figures.undersizes.one", clean=clean, **figures))
        else:
            parts.append(say("figures.undersizes.one_read", **figures))
    if governing is not None:
        parts.append(say("figures.undersizes.governing", number=governing))
    if chosen is not None:
        step = figure(chosen, "mm", inch=inch).first
        parts.append(say("figures.undersizes.step_is", step=step))
    return " ".join(parts)
