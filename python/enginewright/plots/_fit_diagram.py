"""Fit diagram: hole and shaft against the nominal size, and the clearance that comes of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from enginewright._numbers import GLUE, with_doubt
from enginewright._words import Words, load
from enginewright.plots._canvas import LARGE, SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, PAPER, QUIET, SHADES
from enginewright.plots._scale import apart

__all__ = ["fit"]

HEAD, PANEL, LINE = 12.0, 62.0, 5.4
#: The columns of the two zones and of the clearance, mm from the left.
HOLE, SHAFT, GAP = (36.0, 60.0), (70.0, 94.0), (134.0, 156.0)


@dataclass(frozen=True)
class _Measured:
    """One figure with its expanded uncertainty, mm."""

    value: float
    doubt: float


def fit(
    fit: Any,
    hole: Any = None,
    shaft: Any = None,
    *,
    level: float = 0.95,
    inch: bool = False,
    name: str = "fit diagram",
    words: Any = "en",
) -> Picture:
    """Draw a fit to scale: the zones of hole and shaft, the measured parts, their clearance.

    Left, the zero line is the nominal size and the two zones stand above or below it; right, the
    clearance from least to greatest, with interference below its zero line. Measured parts are
    dots, their bars the expanded uncertainty; what both share drops out of the clearance.

    fit     `fits.fit`, or its designation "40 H7/p6"
    hole    measured size of the hole, a number or a `Quantity`, mm; None: not measured
    shaft   measured size of the shaft
    level   level of the uncertainty and of the verdict
    inch    thou instead of micrometres
    name    goes into the ids of the SVG text
    words   language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Source: ISO 286-1, terms of deviations and zones; the drawing is this library's own.
    """
    from enginewright import Quantity, fits, measure

    say = load(words)
    given = fits.fit(fit) if isinstance(fit, str) else fit
    parts = [None if part is None else Quantity(part) if _plain(part) else part
             for part in (hole, shaft)]  # fmt: skip
    sizes = [None if part is None else _measured(part, level) for part in parts]
    gap, verdict = None, ""
    if parts[0] is not None and parts[1] is not None:
        clearance = parts[0] - parts[1]
        gap = _measured(clearance, level)
        verdict = measure.check(
            clearance, given.minimum_clearance, given.maximum_clearance, level=level
        ).verdict
    canvas = Canvas(name, HEAD + PANEL + 4.0 + LINE * 3)
    step = _scale(given, sizes, gap)
    _deviations(canvas, given, sizes, step, say, inch)
    _clearance(canvas, given, gap, verdict, step, say, inch)
    lines = _lines(given, sizes, gap, verdict, say, inch)
    for i, (mark, text) in enumerate(lines):
        y = HEAD + PANEL + 4.0 + LINE * (i + 0.5)
        if mark:
            canvas.verdict(2.0, y, mark)
        canvas.text(6.0, y, text, room=WIDTH - 6.0)
    return canvas.done(
        say("figures.fit.title", fit=_name(given)), " ".join(f"{t}." for _, t in lines)
    )


def _plain(part: Any) -> bool:
    return not hasattr(part, "standard_uncertainty")


def _name(fit: Any) -> str:
    return f"{fit.size:g} {fit.hole.tolerance_class}/{fit.shaft.tolerance_class}"


def _measured(quantity: Any, level: float) -> _Measured:
    doubt = float(quantity.expanded(level)) if quantity.standard_uncertainty > 0 else 0.0
    return _Measured(float(quantity.value), doubt)


def _scale(fit: Any, sizes: list[_Measured | None], gap: _Measured | None) -> float:
    """Millimetres of the page for one millimetre of deviation: the same on both sides."""
    left = [0.0]
    for limits, size in zip((fit.hole, fit.shaft), sizes, strict=True):
        left += [limits.lower_deviation, limits.upper_deviation]
        if size is not None:
            left += [size.value - fit.size - size.doubt, size.value - fit.size + size.doubt]
    right = [0.0, fit.minimum_clearance, fit.maximum_clearance]
    if gap is not None:
        right += [gap.value - gap.doubt, gap.value + gap.doubt]
    span = max(max(left) - min(left), max(right) - min(right), 1e-6)
    return float((PANEL - 10.0) / span)


def _zero(values: list[float], step: float) -> float:
    """Height of a zero line that leaves the values in the middle of the panel."""
    middle = (max(values) + min(values)) / 2
    return HEAD + PANEL / 2 + middle * step


def _amount(value: float, inch: bool, sign: bool = True) -> str:
    number = value / 0.0254 if inch else value * 1000
    text = f"{abs(number):.2f}" if inch else f"{abs(number):.1f}".removesuffix(".0")
    if float(text) == 0:
        return "0"
    return ("+" if sign and number > 0 else "−" if number < 0 else "") + text


def _deviations(
    canvas: Canvas, fit: Any, sizes: list[_Measured | None], step: float, say: Words, inch: bool
) -> None:
    reach = [0.0]
    for limits, size in zip((fit.hole, fit.shaft), sizes, strict=True):
        reach += [limits.lower_deviation, limits.upper_deviation]
        if size is not None:
            reach += [size.value - fit.size - size.doubt, size.value - fit.size + size.doubt]
    zero = _zero(reach, step)
    unit = "thou" if inch else "µm"
    canvas.text(0, 3.2, say("figures.fit.deviations", unit=unit), bold=True, size=LARGE)
    nominal = with_doubt(fit.size, None, "mm", inch=inch).first
    canvas.text(0, zero - 2.6, nominal, size=SMALL, colour=QUIET)
    columns = ((HOLE, fit.hole, ACCEPT, sizes[0]), (SHAFT, fit.shaft, SHADES[2], sizes[1]))
    for (left, right), limits, fill, _ in columns:
        top, bottom = zero - limits.upper_deviation * step, zero - limits.lower_deviation * step
        canvas.box(left, top, right - left, bottom - top, fill=fill, edge=INK, edge_width=0.8)
        title = f"{say.say('fit part', limits.kind)} {limits.tolerance_class}"
        canvas.text((left + right) / 2, HEAD - 2.6, title, align="center")
        ends = _ends(zero, top, bottom)
        place, align = (left - 2, "right") if limits.kind == "hole" else (right + 2, "left")
        for y, value in zip(ends, (limits.upper_deviation, limits.lower_deviation), strict=True):
            canvas.text(place, y, _amount(value, inch), size=SMALL, align=align)
    canvas.line((0, SHAFT[1] + 12), (zero, zero), width=1.4)
    for (left, right), _, _, size in columns:
        if size is not None:
            _dot(canvas, (left + right) / 2, zero, size.value - fit.size, size.doubt, step)


def _ends(zero: float, top: float, bottom: float) -> list[float]:
    """Places for the figures of a zone's two ends: apart, and off the zero line."""
    if abs(bottom - zero) < 2.4:
        bottom = zero + 2.6 if bottom >= zero - 0.01 else zero - 2.6
    if abs(top - zero) < 2.4:
        top = zero - 2.6 if top <= zero + 0.01 else zero + 2.6
    return apart([top, bottom], 3.4, HEAD + 1.5, HEAD + PANEL + 3.0)


def _clearance(
    canvas: Canvas,
    fit: Any,
    gap: _Measured | None,
    verdict: str,
    step: float,
    say: Words,
    inch: bool,
) -> None:
    values = [0.0, fit.minimum_clearance, fit.maximum_clearance]
    if gap is not None:
        values += [gap.value - gap.doubt, gap.value + gap.doubt]
    zero = _zero(values, step)
    unit = "thou" if inch else "µm"
    canvas.text(118, 3.2, say("figures.fit.clearance", unit=unit), bold=True, size=LARGE)
    canvas.text((GAP[0] + GAP[1]) / 2, HEAD - 2.6, say.say("fit kind", fit.kind), align="center")
    top, bottom = zero - fit.maximum_clearance * step, zero - fit.minimum_clearance * step
    canvas.box(GAP[0], top, GAP[1] - GAP[0], bottom - top, fill=ACCEPT, edge=INK, edge_width=0.8)
    ends = _ends(zero, top, bottom)
    for y, value in zip(ends, (fit.maximum_clearance, fit.minimum_clearance), strict=True):
        canvas.text(GAP[0] - 2, y, _amount(value, inch, sign=False), size=SMALL, align="right")
    canvas.line((118, WIDTH), (zero, zero), width=1.4)
    for way, key in ((-1, "looser"), (1, "tighter")):
        text = say(f"figures.fit.{key}")
        canvas.text(GAP[1] + 2, zero + 2.6 * way, text, size=SMALL, colour=QUIET)
    if gap is not None:
        middle = (GAP[0] + GAP[1]) / 2
        _bar(canvas, middle, zero, gap.value, gap.doubt, step)
        canvas.verdict(middle, zero - gap.value * step, verdict)


def _bar(canvas: Canvas, x: float, zero: float, value: float, doubt: float, step: float) -> None:
    top, bottom = zero - (value + doubt) * step, zero - (value - doubt) * step
    if bottom - top > 0.3:
        canvas.line((x, x), (top, bottom), width=1.6)
        for y in (top, bottom):
            canvas.line((x - 1.2, x + 1.2), (y, y), width=1.2)


def _dot(canvas: Canvas, x: float, zero: float, value: float, doubt: float, step: float) -> None:
    _bar(canvas, x, zero, value, doubt, step)
    canvas.disc(x, zero - value * step, 1.3, fill=INK, edge=PAPER, width=0.5)


def _lines(
    fit: Any,
    sizes: list[_Measured | None],
    gap: _Measured | None,
    verdict: str,
    say: Words,
    inch: bool,
) -> list[tuple[str, str]]:
    """Say what is drawn, one part a line: the mark before it, and the text."""
    found: list[tuple[str, str]] = []
    for limits, size in zip((fit.hole, fit.shaft), sizes, strict=True):
        both = with_doubt(limits.lower, None, "mm", inch=inch).first.rpartition(GLUE)[0]
        band = f"{both} – {with_doubt(limits.upper, None, 'mm', inch=inch).first}"
        key = "part" if size is None else "measured"
        found.append(
            (
                "",
                say(
                    f"figures.fit.{key}",
                    part=say.say("fit part", limits.kind),
                    band=band,
                    **({} if size is None
                       else {"size": with_doubt(size.value, size.doubt, "mm", inch=inch).first}),
                ),
            )
        )  # fmt: skip
    if gap is not None:
        shown = with_doubt(gap.value, gap.doubt, "mm", inch=inch).first
        text = say("figures.fit.gap", gap=shown, verdict=say.say("verdict", verdict))
        found.append((verdict, text))
    return found
