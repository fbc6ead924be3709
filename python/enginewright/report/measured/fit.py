"""How hole and shaft of a fit lie, or what one class of ISO 286 asks of a size."""

from __future__ import annotations

from typing import Any

from enginewright._numbers import band, figure, with_doubt
from enginewright._words import Words, load
from enginewright.report.blocks import Block
from enginewright.report.measured.parts import in_order

__all__ = ["fit_block"]


def fit_block(
    fit: Any,
    hole: Any = None,
    shaft: Any = None,
    *,
    title: str = "",
    level: float = 0.95,
    inch: bool = False,
    figures: bool = True,
    source: str = "",
    heading: int = 2,
    name: str = "fit block",
    words: Any = "en",
) -> tuple[Block, ...]:
    r"""Put on paper what a fit, or one class, asks for, and how the measured parts lie in it.

    fit      `fits.fit` or "40 H7/p6"; of one part `fits.limits` or "60 h6"
    hole     measured size of the hole, a number or a `Quantity`, mm; None: not measured
    shaft    measured size of the shaft
    title    what it is about: "main journal, diameter"
    level    of the uncertainty
    inch     inch family of units first
    figures  False: without the diagram; one class alone has none
    source   where the class is from: the maker's card
    heading  level of the heading, 2 or 3
    name     of the figure within its paper; each figure of a paper needs its own
    words    language

    Returns
    -------
    tuple of blocks
        For `with_blocks`.

    Raises
    ------
    ValueError
        A designation that is none of ISO 286, or measured parts beside one class.

    Source: ISO 286-1, ISO 286-2.

    Examples
    --------
    >>> blocks = ew.report.fit_block("60 h6", title="main journal", figures=False)
    >>> blocks[1].text.replace("\u00a0", " ")
    'Make it 59.981 – 60.000 mm: class h6 of 60 mm.'
    """
    from enginewright import fits

    say = load(words)
    given: Any = fit
    if isinstance(fit, str):
        given = fits.fit(fit) if "/" in fit else fits.limits(fit)
    if not hasattr(given, "hole"):
        if hole is not None or shaft is not None:
            raise ValueError("fit must be a fit, as '40 H7/p6', where parts were measured")
        return _one_class(given, title, say, inch=inch, source=source, heading=heading)
    classes = f"{given.size:g} {given.hole.tolerance_class}/{given.shaft.tolerance_class}"
    read = (("hole_read", _read(hole, level, inch)), ("shaft_read", _read(shaft, level, inch)))
    drawn = None
    if figures:
        from enginewright import plots

        drawn = plots.fit(given, hole, shaft, level=level, inch=inch, name=name, words=say)
    return in_order(
        "fit", say,
        title=say("measured.fit.title", name=title or classes),
        sense=_sense(given, say, inch=inch),
        rows=(("class", classes), *_asked(given, say, inch=inch), *read),
        drawn=drawn, source=source, level=heading,
    )  # fmt: skip


def _asked(fit: Any, say: Words, *, inch: bool) -> tuple[tuple[str, str], ...]:
    """Say what the fit asks of both parts."""
    hole, shaft = fit.hole, fit.shaft
    return (
        ("kind", say.say("fit kind", fit.kind)),
        ("hole", band(hole.lower, hole.upper, "mm", say, inch=inch).line()),
        ("shaft", band(shaft.lower, shaft.upper, "mm", say, inch=inch).line()),
        ("least", figure(fit.minimum_clearance, "mm", inch=inch).line()),
        ("greatest", figure(fit.maximum_clearance, "mm", inch=inch).line()),
    )


def _one_class(
    given: Any, title: str, say: Words, *, inch: bool, source: str, heading: int
) -> tuple[Block, ...]:
    classed = f"{given.size:g} {given.tolerance_class}"
    limits = band(given.lower, given.upper, "mm", say, inch=inch)
    size = figure(given.size, "mm", inch=inch)
    rows = (
        ("class", classed),
        ("limits", limits.line()),
        ("tolerance", figure(given.tolerance, "mm", inch=inch).line()),
    )
    nominal = f"{given.size:g} mm" if not inch else size.first
    return in_order(
        "fit", say,
        title=say("measured.fit.one_title", name=title or classed),
        sense=say(
            "measured.fit.one", limits=limits.first, name=given.tolerance_class, size=nominal
        ),
        rows=rows, drawn=None, source=source, level=heading,
    )  # fmt: skip


def _sense(fit: Any, say: Words, *, inch: bool) -> str:
    """Say what the two parts do in each other, from least to greatest."""
    least, greatest = fit.minimum_clearance, fit.maximum_clearance
    if least >= 0:
        return say("measured.fit.clear", room=band(least, greatest, "mm", say, inch=inch).first)
    if greatest <= 0:
        return say("measured.fit.tight", grip=band(-greatest, -least, "mm", say, inch=inch).first)
    grip, room = (figure(each, "mm", inch=inch).first for each in (-least, greatest))
    return say("measured.fit.either", grip=grip, room=room)


def _read(part: Any, level: float, inch: bool) -> str:
    if part is None:
        return ""
    if not hasattr(part, "standard_uncertainty"):
        return figure(float(part), "mm", inch=inch).line()
    doubt = float(part.expanded(level)) if part.standard_uncertainty > 0 else None
    return with_doubt(float(part.value), doubt, "mm", inch=inch).line()
