"""Process chart: points over their spread, and beside them all readings against the limits.

Every figure comes from `stats`; this room only draws.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from enginewright._numbers import dimension_of, figure, parts_of
from enginewright._words import Words, load
from enginewright.plots._canvas import LARGE, SMALL, WIDTH, Canvas, Picture
from enginewright.plots._palette import ACCEPT, INK, PAPER, QUIET, RULE, SHADES, mark
from enginewright.plots._scale import Scale, apart

__all__ = ["process"]

#: Across the page: names, the line of points, the bars beside it, names again; mm.
LEFT, RIGHT, BARS, FAR = 22.0, 128.0, 132.0, 158.0
#: Down the page: numbers of the signals, points, spread, what is said below.
HEAD, UPPER, LOWER, LINE = 14.0, 58.0, 22.0, 4.6
#: So many points are drawn one by one; of more only their reach.
MOST = 240
#: So many groups of signals are numbered.
NUMBERED = 9


@dataclass(frozen=True)
class _Group:
    """Signals of one rule at neighbouring points, as one."""

    rule: str
    first: int
    last: int
    side: str


def process(
    values: Any,
    kind: str | None = None,
    *,
    baseline: int | None = None,
    rules: Sequence[str] | None = None,
    lower: float | None = None,
    upper: float | None = None,
    unit: str = "mm",
    inch: bool = False,
    name: str = "process chart",
    words: Any = "en",
) -> Picture:
    """Draw what a process does: its points, their spread, its signals, and what the drawing asks.

    The limits of the process are drawn from its own spread and are shaded where the baseline lies;
    the limits of the drawing stand beside, where the readings are heaped up against them. Signals
    are numbered from left to right and named below.

    values        readings, or subgroups by readings, as for `stats.chart`
    kind          kind of chart; None: by the dimensions
    baseline      points that the limits come from; None: all
    rules         patterns to look for; None: the usual four
    lower, upper  limits of the drawing; with one of them the share outside is told
    unit          canonical unit of the values
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
        As `stats.chart` and `stats.capability`.

    Source: ISO 7870-2; the drawing is this library's own.
    """
    from enginewright import stats

    say = load(words)
    chart = stats.chart(
        values, kind, baseline=baseline, rules=stats.DEFAULT if rules is None else rules
    )
    able = None
    if lower is not None or upper is not None:
        able = stats.capability(values, lower, upper)
    groups = _groups(chart.signals)
    shown = groups[:NUMBERED]
    text = _Text(unit, inch)
    lines = _said(chart, able, shown, len(groups) - len(shown), say)
    canvas = Canvas(name, HEAD + UPPER + 7.0 + LOWER + 5.0 + LINE * len(lines))
    readings = np.ravel(np.asarray(values, dtype=float))
    drawn = [float(chart.points.min()), float(chart.points.max()), chart.lower, chart.upper]
    drawn += [float(readings.min()), float(readings.max())]
    drawn += [limit for limit in (lower, upper) if limit is not None]
    up = Scale.around(drawn, HEAD + UPPER, HEAD)
    across = Scale(-0.5, len(chart.points) - 0.5, LEFT, RIGHT)
    base = len(chart.points) if baseline is None else baseline
    _line_of_points(canvas, chart, base, up, across, shown, text, say)
    _bars(canvas, readings, up, lower, upper, able, text, say)
    _spread(canvas, chart, base, across, text, say)
    for i, line in enumerate(lines):
        y = HEAD + UPPER + 7.0 + LOWER + 5.0 + LINE * (i + 0.5)
        canvas.text(0, y, line, size=SMALL, room=WIDTH)
    return canvas.done(say("figures.process.title"), " ".join(f"{line}." for line in lines))


class _Text:
    """Figures of the axes: all in one unit, which is named once."""

    def __init__(self, unit: str, inch: bool) -> None:
        self._unit, self._inch = unit, inch
        self._known = dimension_of(unit) is not None

    def __call__(self, value: float) -> str:
        if not self._known:
            return f"{value:.6g}"
        return parts_of(figure(value, self._unit, inch=self._inch).first)[0]

    def whole(self, value: float) -> str:
        """Give the figure with its unit."""
        return figure(value, self._unit, inch=self._inch).first


def _groups(signals: Sequence[Any]) -> list[_Group]:
    """Put signals of one rule and side at neighbouring points together, from left to right."""
    open_groups: dict[tuple[str, str], _Group] = {}
    done: list[_Group] = []
    for signal in signals:
        key = (signal.rule, signal.side)
        group = open_groups.get(key)
        if group is not None and signal.index == group.last + 1:
            open_groups[key] = _Group(group.rule, group.first, signal.index, group.side)
            continue
        if group is not None:
            done.append(group)
        open_groups[key] = _Group(signal.rule, signal.index, signal.index, signal.side)
    return sorted([*done, *open_groups.values()], key=lambda g: (g.first, g.rule))


def _said(chart: Any, able: Any, shown: Sequence[_Group], more: int, say: Words) -> list[str]:
    lines = []
    for i, group in enumerate(shown):
        key = "signal" if group.first == group.last else "signals"
        lines.append(
            say(
                f"figures.process.{key}",
                number=i + 1, rule=say.say("rule", group.rule), first=group.first + 1,
                **({} if key == "signal" else {"last": group.last + 1}),
            )
        )  # fmt: skip
    if more:
        lines.append(say("figures.process.more", count=more))
    if not shown:
        lines.append(say("figures.process.steady", count=len(chart.points)))
    if able is not None:
        lines.append(able.reason)
    lines.append(say("figures.process.legend"))
    return lines


def _line_of_points(
    canvas: Canvas,
    chart: Any,
    base: int,
    up: Scale,
    across: Scale,
    shown: Sequence[_Group],
    text: _Text,
    say: Words,
) -> None:
    kind = say.say("chart kind", chart.kind)
    canvas.text(0, 3.2, say("figures.process.points", kind=kind), bold=True, size=LARGE,
                room=RIGHT)  # fmt: skip
    _limits(canvas, base, across, up, (chart.lower, chart.centre, chart.upper), text)
    _series(canvas, chart.points, across, up)
    places = apart([across.at(group.first) for group in shown], 4.2, LEFT + 1.5, RIGHT - 1.5)
    how = mark("outside")
    for i, (x, group) in enumerate(zip(places, shown, strict=True)):
        at = across.at(group.first)
        y = up.at(float(chart.points[group.first]))
        canvas.line((x, at, at), (HEAD - 3.4, HEAD - 1.0, y - 1.8), colour=RULE, width=0.6)
        canvas.text(x, HEAD - 5.4, str(i + 1), size=SMALL, bold=True, align="center",
                    colour=how.ink)  # fmt: skip
    beyond = sorted({k for group in shown for k in range(group.first, group.last + 1)})
    for k in beyond if len(chart.points) <= MOST else ():
        canvas.verdict(across.at(k), up.at(float(chart.points[k])), "outside")


def _limits(
    canvas: Canvas, base: int, across: Scale, up: Scale, figures: tuple[float, ...], text: _Text
) -> None:
    """Shade the baseline between its limits, and carry the limits on to the end."""
    low, centre, high = figures
    top, bottom = up.at(high), up.at(low)
    end = across.at(base - 0.5)
    canvas.box(LEFT, top, end - LEFT, bottom - top, fill=ACCEPT)
    for value, width in ((low, 1.2), (high, 1.2), (centre, 0.8)):
        canvas.line((LEFT, RIGHT), (up.at(value),) * 2, width=width,
                    colour=QUIET if value == centre else INK)  # fmt: skip
    names = apart([up.at(value) for value in figures], 3.4, min(up.start, up.end),
                  max(up.start, up.end))  # fmt: skip
    for y, value in zip(names, figures, strict=True):
        canvas.text(LEFT - 1.5, y, text(value), size=SMALL, align="right", room=LEFT - 1.5)


def _series(
    canvas: Canvas, points: npt.NDArray[np.float64], across: Scale, up: Scale, offset: int = 0
) -> None:
    if len(points) <= MOST:
        x = [across.at(i + offset) for i in range(len(points))]
        y = [up.at(float(value)) for value in points]
        canvas.line(x, y, width=0.8)
        radius = min(1.0, max(0.45, 40.0 / len(points)))
        for place, height in zip(x, y, strict=True):
            canvas.disc(place, height, radius, fill=SHADES[4], edge=PAPER, width=0.4)
        return
    # Of very many points the page can only show how far they reach in each place.
    edges = np.linspace(0, len(points), MOST + 1).astype(int)
    xs: list[float] = []
    ys: list[float] = []
    for first, last in zip(edges, edges[1:], strict=False):
        part = points[first:last]
        xs += [across.at((first + last - 1) / 2 + offset)] * 2
        ys += [up.at(float(part.min())), up.at(float(part.max()))]
    canvas.line(xs, ys, width=0.8, colour=SHADES[4])


def _bars(
    canvas: Canvas,
    readings: npt.NDArray[np.float64],
    up: Scale,
    lower: float | None,
    upper: float | None,
    able: Any,
    text: _Text,
    say: Words,
) -> None:
    canvas.text(BARS, 3.2, say("figures.process.readings"), bold=True, size=LARGE,
                room=WIDTH - BARS)  # fmt: skip
    count = int(np.clip(np.sqrt(len(readings)), 6, 24))
    low, high = float(readings.min()), float(readings.max())
    heights, edges = np.histogram(readings, bins=count, range=(low, high))
    for height, first, last in zip(heights, edges, edges[1:], strict=False):
        if height:
            length = (FAR - BARS) * float(height) / float(heights.max())
            top, bottom = up.at(float(last)), up.at(float(first))
            canvas.box(BARS, top, length, bottom - top, fill=SHADES[3], edge=PAPER, edge_width=0.5)
    canvas.line((BARS, BARS), (HEAD, HEAD + UPPER), width=0.8)
    limits = [limit for limit in (lower, upper) if limit is not None]
    for limit in limits:
        canvas.line((BARS, FAR + 2), (up.at(limit),) * 2, width=2.0, colour=mark("outside").colour)
    for y, limit in zip(
        apart([up.at(limit) for limit in limits], 3.4, HEAD, HEAD + UPPER), limits, strict=True
    ):
        canvas.text(FAR + 3, y, text(limit), size=SMALL, bold=True, room=WIDTH - FAR - 3)
    if able is not None:
        for i, (key, share) in enumerate(
            (("expected", able.expected_outside), ("observed", able.observed_outside))
        ):
            canvas.text(
                BARS, HEAD + UPPER + 7.0 + LINE * (i + 1.5),
                say(f"figures.process.{key}", share=_percent(share)),
                size=SMALL, room=WIDTH - BARS,
            )  # fmt: skip


def _percent(share: float) -> str:
    """Say a share in percent; what no row of readings can tell is only said to be small."""
    if 0 < share < 1e-5:
        return "< 0.001"
    return f"{100 * share:.2g}"


def _spread(canvas: Canvas, chart: Any, base: int, across: Scale, text: _Text, say: Words) -> None:
    top = HEAD + UPPER + 7.0
    up = Scale.around(
        [0.0, float(chart.spread_points.max()), chart.spread_upper], top + LOWER, top, margin=0.04
    )
    title = say.say("spread of", chart.kind)
    canvas.text(LEFT, top - 3.2, title, size=SMALL, bold=True, room=RIGHT - LEFT)
    figures = (chart.spread_lower, chart.spread_centre, chart.spread_upper)
    _limits(canvas, base, across, up, figures, text)
    # A moving range belongs to the second of its two readings.
    offset = len(chart.points) - len(chart.spread_points)
    _series(canvas, chart.spread_points, across, up, offset)
