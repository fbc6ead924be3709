"""Where the doubt of one value comes from, and what to attack first."""

from __future__ import annotations

from typing import Any

from enginewright._numbers import figure, with_doubt
from enginewright._words import load
from enginewright.report.blocks import Block
from enginewright.report.measured.parts import in_order

__all__ = ["budget_block"]


def budget_block(
    quantity: Any,
    *,
    title: str = "",
    level: float = 0.95,
    unit: str = "mm",
    inch: bool = False,
    figures: bool = True,
    source: str = "",
    heading: int = 2,
    name: str = "budget block",
    words: Any = "en",
) -> tuple[Block, ...]:
    """Put on paper where the doubt of a value comes from.

    quantity  a single `Quantity` or `Reading`, or its `Budget`
    title     what was measured: "main journal 2, diameter"
    level     of the expanded uncertainty, when a quantity is given
    unit      canonical unit of the value
    inch      inch family of units first
    figures   False: without the ladder, matplotlib is then not needed
    source    where the figures are from, beside the method
    heading   level of the heading, 2 or 3
    name      of the figure within its paper; each figure of a paper needs its own
    words     language

    Returns
    -------
    tuple of blocks
        For `with_blocks`.

    Raises
    ------
    ValueError
        When the value has no uncertainty.

    Source: JCGM 100:2008, 5.1.2 and 7.2.7.

    Examples
    --------
    >>> size = ew.Quantity(59.978, 0.001, source="certificate") + ew.Quantity(0, 0.002)
    >>> blocks = ew.report.budget_block(size, title="main journal 2", figures=False)
    >>> blocks[0].text
    'Where the doubt comes from: main journal 2'
    """
    say = load(words)
    whole = quantity.budget(level) if hasattr(quantity, "budget") else quantity
    if not whole.rows or whole.standard_uncertainty <= 0:
        raise ValueError("quantity must have an uncertainty, got none")
    first = whole.rows[0]
    own = "own_a" if first.kind == "A" else "own_b"
    largest = say(f"figures.budget.{own}") if first.source.startswith("#") else first.source
    share = f"{100 * first.share:.0f}"
    rows = (
        ("value", with_doubt(whole.value, whole.expanded, unit, inch=inch).line()),
        ("standard", figure(whole.standard_uncertainty, unit, inch=inch).line()),
        ("coverage", f"{whole.coverage_factor:.2f}"),
        ("level", f"{100 * whole.level:.4g} %"),
        ("largest", largest),
        ("count", str(len(whole.rows))),
    )
    drawn = None
    if figures:
        from enginewright import plots

        drawn = plots.budget(whole, unit=unit, inch=inch, name=name, words=say)
    return in_order(
        "budget", say,
        title=say("measured.budget.title", name=title) if title else say("measured.budget.plain"),
        sense=say("measured.budget.sense", source=largest, share=share),
        rows=rows, drawn=drawn, source=source, level=heading,
    )  # fmt: skip
