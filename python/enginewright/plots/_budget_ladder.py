"""Budget ladder: where the doubt of one value comes from, a rung a source, the largest first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import floor, hypot, log10
from typing import Any

from enginewright._words import Words, load
from enginewright.plots._canvas import SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, QUIET, RULE, SHADES

__all__ = ["budget"]

LABEL, LEFT, RIGHT, AMOUNT, SHARE = 54.0, 57.0, 140.0, 161.0, 178.0
HEAD, RUNG, FOOT = 5.0, 6.4, 17.0


@dataclass(frozen=True)
class _Rung:
    label: str
    amount: float
    share: float
    shared: bool
    together: float


def budget(
    quantity: Any,
    *,
    level: float = 0.95,
    unit: str = "mm",
    shared: Iterable[str] | None = None,
    most: int = 14,
    inch: bool = False,
    name: str = "budget",
    words: Any = "en",
) -> Picture:
    """Draw where the doubt of a value comes from: which source to attack, and what would remain.

    A rung a source, its bar the size of the contribution (k = 1); the stepped line is what all
    sources so far come to together, as a root of squares, and ends at the standard uncertainty; the
    far mark is the expanded uncertainty. Sources that other values share are outlined: a ring or a
    certificate can drop out of a difference, scatter cannot.

    quantity  a single `Quantity` or `Reading`, or its `Budget`
    level     of the expanded uncertainty, when a quantity is given
    unit      of the value; mm is shown in micrometres
    shared    names of the sources that count as shared; None: all that have a name
    most      rungs at most, the smallest sources are put together in the last
    inch      thou instead of micrometres
    name      goes into the ids of the SVG text
    words     language

    Returns
    -------
    Picture
        A matplotlib `Figure` with `title`, `description` and `to_svg()`.

    Raises
    ------
    ValueError
        When the value has no uncertainty, or `most` is below 2.

    Source: JCGM 100:2008, 5.1.2 and 7.2.7; the drawing is this library's own.
    """
    say = load(words)
    if most < 2:
        raise ValueError(f"most must be at least 2, got {most}")
    whole = quantity.budget(level) if hasattr(quantity, "budget") else quantity
    if not whole.rows or whole.standard_uncertainty <= 0:
        raise ValueError("quantity must have an uncertainty, got none")
    rungs = _rungs(whole.rows, None if shared is None else set(shared), most, say)
    write = _writer(unit, inch)
    canvas = Canvas(name, HEAD + RUNG * len(rungs) + FOOT)
    scale = (RIGHT - LEFT) / max(whole.expanded, whole.standard_uncertainty)
    bottom = HEAD + RUNG * len(rungs)
    canvas.line((LEFT, LEFT), (HEAD - 1.5, bottom + 1.5), width=1.0)
    for i, rung in enumerate(rungs):
        _draw(canvas, HEAD + RUNG * (i + 0.5), rung, scale, write)
    _steps(canvas, rungs, scale)
    _marks(canvas, bottom, whole, scale, write, say)
    _legend(canvas, bottom + FOOT - 3.0, rungs, say)
    return canvas.done(say("figures.budget.title"), _description(rungs, whole, write, say))


def _rungs(rows: Any, shared: set[str] | None, most: int, say: Words) -> list[_Rung]:
    shown = rows if len(rows) <= most else rows[: most - 1]
    rungs: list[_Rung] = []
    together = 0.0
    for row in shown:
        together = hypot(together, row.contribution)
        named = not row.source.startswith("#")
        own = "figures.budget.own_a" if row.kind == "A" else "figures.budget.own_b"
        rungs.append(
            _Rung(
                row.source if named else say(own), row.contribution, row.share,
                named if shared is None else row.source in shared, together,
            )
        )  # fmt: skip
    rest = rows[len(shown) :]
    if rest:
        amount = hypot(*(row.contribution for row in rest))
        label = say("figures.budget.rest", count=len(rest))
        share = sum(row.share for row in rest)
        rungs.append(_Rung(label, amount, share, False, hypot(together, amount)))
    return rungs


class _writer:
    """Contributions as people read them: two digits that count, in a unit small enough."""

    def __init__(self, unit: str, inch: bool) -> None:
        from enginewright import units

        self.unit = ("thou" if inch else "µm") if unit == "mm" else unit
        self.factor = float(units.convert(1.0, "mm", self.unit)) if unit == "mm" else 1.0

    def __call__(self, amount: float, digits: int = 2) -> str:
        size = abs(amount) * self.factor
        if size == 0:
            return f"0 {self.unit}".strip()
        places = max(0, digits - 1 - floor(log10(size)))
        text = f"{size:.{digits - 1}e}" if places > 6 or size >= 1e6 else f"{size:.{places}f}"
        return f"{text} {self.unit}".strip()


def _draw(canvas: Canvas, y: float, rung: _Rung, scale: float, write: _writer) -> None:
    canvas.text(LABEL, y, rung.label, align="right", room=LABEL, bold=rung.shared)
    width = abs(rung.amount) * scale
    canvas.line((LEFT, RIGHT), (y + RUNG / 2,) * 2, colour=RULE, width=0.4)
    if rung.shared:
        canvas.box(LEFT, y - 1.9, width, 3.8, fill=ACCEPT, edge=INK, edge_width=1.2)
    else:
        canvas.box(LEFT, y - 1.9, width, 3.8, fill=SHADES[3])
    sign = "−" if rung.amount < 0 else ""
    canvas.text(AMOUNT, y, sign + write(rung.amount), size=SMALL, align="right", room=22)
    canvas.text(SHARE, y, f"{100 * rung.share:.0f} %", size=SMALL, align="right", colour=QUIET)


def _steps(canvas: Canvas, rungs: list[_Rung], scale: float) -> None:
    """Draw what the sources so far come to, down the ladder."""
    x, y = [], []
    for i, rung in enumerate(rungs):
        at = LEFT + rung.together * scale
        x += [at, at]
        y += [HEAD + RUNG * i, HEAD + RUNG * (i + 1)]
    canvas.line(x, y, width=1.4)


def _marks(
    canvas: Canvas, bottom: float, whole: Any, scale: float, write: _writer, say: Words
) -> None:
    at = LEFT + whole.standard_uncertainty * scale
    far = LEFT + whole.expanded * scale
    canvas.line((at, at), (bottom, bottom + 2.5), width=1.4)
    canvas.line((far, far), (HEAD - 1.5, bottom + 2.5), width=1.6, dashes=(1.2, 0.8))
    together = say("figures.budget.together", amount=write(whole.standard_uncertainty))
    expanded = say(
        "figures.budget.expanded", amount=write(whole.expanded),
        factor=f"{whole.coverage_factor:.2f}", level=f"{100 * whole.level:.4g}",
    )  # fmt: skip
    # Two lines of text, so that they never meet however near the marks are.
    canvas.text(at, bottom + 4.6, together, size=SMALL, align="center")
    canvas.text(RIGHT, bottom + 8.4, expanded, size=SMALL, bold=True, align="right")


def _legend(canvas: Canvas, y: float, rungs: list[_Rung], say: Words) -> None:
    canvas.line((0, WIDTH), (y - 2.8, y - 2.8), colour=RULE, width=0.6)
    x = 1.0
    if any(rung.shared for rung in rungs):
        canvas.box(x, y - 1.5, 6, 3, fill=ACCEPT, edge=INK, edge_width=1.2)
        text = say("figures.budget.shared")
        x += 8 + canvas.text(x + 8, y, text, size=SMALL, colour=QUIET) + 6
    if not all(rung.shared for rung in rungs):
        canvas.box(x, y - 1.5, 6, 3, fill=SHADES[3])
        text = say("figures.budget.own")
        x += 8 + canvas.text(x + 8, y, text, size=SMALL, colour=QUIET) + 6
    canvas.line((x, x, x + 6, x + 6), (y - 1.5, y, y, y + 1.5), width=1.4)
    canvas.text(x + 8, y, say("figures.budget.sum"), size=SMALL, colour=QUIET)


def _description(rungs: list[_Rung], whole: Any, write: _writer, say: Words) -> str:
    parts = [
        say(
            "figures.budget.one", source=rung.label, amount=write(rung.amount),
            share=f"{100 * rung.share:.0f}",
        )
        for rung in rungs
    ]  # fmt: skip
    parts.append(
        say(
            "figures.budget.expanded", amount=write(whole.expanded),
            factor=f"{whole.coverage_factor:.2f}", level=f"{100 * whole.level:.4g}",
        ) + "."
    )  # fmt: skip
    return " ".join(parts)
