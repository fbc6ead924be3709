"""What a process does by itself, and how much of it falls outside the limits."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from enginewright._numbers import band, figure
from enginewright._words import Words, load
from enginewright.report.blocks import Block
from enginewright.report.measured.parts import in_order

__all__ = ["process_block"]


def process_block(
    values: Any,
    kind: str | None = None,
    *,
    baseline: int | None = None,
    rules: Sequence[str] | None = None,
    lower: float | None = None,
    upper: float | None = None,
    unit: str = "mm",
    title: str = "",
    inch: bool = False,
    figures: bool = True,
    source: str = "",
    heading: int = 2,
    name: str = "process block",
    words: Any = "en",
) -> tuple[Block, ...]:
    """Put on paper what a process does by itself, and beside it what the drawing asks.

    values        readings, or subgroups by readings, as for `stats.chart`
    kind          kind of chart; None: by the dimensions
    baseline      points that the limits come from; None: all
    rules         patterns to look for; None: the usual four
    lower, upper  limits of the drawing; None: the process alone
    unit          canonical unit of the values
    title         what was made: "bore, honed"
    inch          inch family of units first
    figures       False: without the chart
    source        where limits and readings are from
    heading       level of the heading, 2 or 3
    name          of the figure within its paper; each figure of a paper needs its own
    words         language

    Returns
    -------
    tuple of blocks
        For `with_blocks`.

    Raises
    ------
    ValueError
        As `stats.chart` and `stats.capability`.

    Source: ISO 7870-2, ISO 22514-2.

    Examples
    --------
    >>> bores = [86.499, 86.501, 86.500, 86.502, 86.499, 86.500, 86.501, 86.500]
    >>> blocks = ew.report.process_block(bores, title="bore, honed", figures=False)
    >>> blocks[1].text
    'No signal among 8 points: the process runs steadily, as far as they tell.'
    """
    from enginewright import stats

    say = load(words)
    wanted = stats.DEFAULT if rules is None else rules
    chart = stats.chart(values, kind, baseline=baseline, rules=wanted)
    limited = lower is not None or upper is not None
    able = stats.capability(values, lower, upper) if limited else None
    drawn = None
    if figures:
        from enginewright import plots

        drawn = plots.process(
            values, kind, baseline=baseline, rules=rules, lower=lower, upper=upper, unit=unit,
            inch=inch, name=name, words=say,
        )  # fmt: skip
    limits = band(lower, upper, unit, say, inch=inch).line() if limited else ""
    return in_order(
        "process", say,
        title=say("measured.process.title", name=title) if title
        else say("measured.process.plain"),
        sense=_sense(chart, say),
        rows=(*_rows(chart, unit, inch=inch), ("limits", limits), *_able(able, say)),
        drawn=drawn, source=source, level=heading,
    )  # fmt: skip


def _sense(chart: Any, say: Words) -> str:
    if not len(chart.signals):
        return say("measured.process.steady", count=len(chart.points))
    first = min(signal.index for signal in chart.signals) + 1
    return say("measured.process.signals", first=first)


def _rows(chart: Any, unit: str, *, inch: bool) -> tuple[tuple[str, str], ...]:
    return (
        ("count", str(len(chart.points))),
        ("centre", figure(chart.centre, unit, inch=inch).line()),
        ("sigma", figure(chart.sigma, unit, inch=inch).line()),
        ("lower", figure(chart.lower, unit, inch=inch).line()),
        ("upper", figure(chart.upper, unit, inch=inch).line()),
    )


def _able(able: Any, say: Words) -> tuple[tuple[str, str], ...]:
    """Say how capable the process was, with the interval that so few readings leave."""
    if able is None:
        return ()
    performance = ""
    if able.ppk is not None:
        interval = able.ppk_interval
        performance = f"{able.ppk:.2f}"
        if interval is not None:
            least, greatest = (f"{end:.2f}" for end in interval)
            performance = say(
                "measured.process.interval", value=performance, least=least, greatest=greatest
            )
    return (
        ("performance", performance),
        ("expected", f"{100 * able.expected_outside:.2g} %"),
        ("observed", f"{100 * able.observed_outside:.2g} %"),
    )
