"""What holds a pressed joint, cold and hot, and what it asks of the two parts."""

from __future__ import annotations

from typing import Any

from enginewright._numbers import figure, with_doubt
from enginewright._words import Words, load
from enginewright.report.blocks import Block
from enginewright.report.measured.parts import in_order

__all__ = ["press_fit_block"]


def press_fit_block(
    diameter: float,
    interference: Any,
    length: float,
    *,
    outer_diameter: float,
    inner_bore: float = 0.0,
    inner: Any,
    outer: Any,
    hot: float = 120.0,
    friction: float = 0.12,
    roughness_inner: float = 0.0,
    roughness_outer: float = 0.0,
    title: str = "",
    inch: bool = False,
    figures: bool = True,
    source: str = "",
    heading: int = 2,
    name: str = "press block",
    words: Any = "en",
) -> tuple[Block, ...]:
    """Put on paper what a pressed joint holds, cold and with both parts hot.

    diameter         at the joint, mm
    interference     on diameter at 20 °C, a number or a `Quantity`, mm
    length           of the joint, mm
    outer_diameter   of the housing, mm
    inner_bore       of the inner part, mm; 0: a solid pin
    inner, outer     materials, or names of typical ones
    hot              temperature of both parts for the second state, °C
    friction         of the joint
    roughness_inner  Rz of the inner part, mm
    roughness_outer  Rz of the housing, mm
    title            what it is: "exhaust guide"
    inch             inch family of units first
    figures          False: without the section
    source           where sizes and materials are from
    heading          level of the heading, 2 or 3
    name             of the figure within its paper; each figure of a paper needs its own
    words            language

    Returns
    -------
    tuple of blocks
        For `with_blocks`.

    Raises
    ------
    ValueError
        As `fits.press_fit`.

    Source: Lamé's thick cylinders, as in `fits.press_fit`.

    Examples
    --------
    >>> blocks = ew.report.press_fit_block(14, 0.04, 30, outer_diameter=30, inner_bore=8,
    ...     inner="phosphor bronze", outer="cast aluminium", figures=False)
    >>> blocks[0].text
    'Pressed joint'
    """
    from enginewright import fits

    say = load(words)
    delta = float(getattr(interference, "value", interference))
    walls = {
        "outer_diameter": outer_diameter, "inner_bore": inner_bore, "inner": inner, "outer": outer,
        "roughness_inner": roughness_inner, "roughness_outer": roughness_outer,
    }  # fmt: skip
    states = [
        fits.press_fit(
            diameter, delta, length, friction=friction, inner_temperature=warm,
            outer_temperature=warm, **walls,
        )
        for warm in (20.0, hot)
    ]  # fmt: skip
    drawn = None
    if figures:
        from enginewright import plots

        drawn = plots.press_fit(diameter, delta, hot=hot, inch=inch, name=name, words=say, **walls)
    return in_order(
        "press", say,
        title=say("measured.press.title", name=title) if title else say("measured.press.plain"),
        sense=_sense(states, hot, say, inch=inch),
        rows=_rows(diameter, interference, states, inch=inch),
        drawn=drawn, source=source, level=heading,
    )  # fmt: skip


def _sense(states: list[Any], hot: float, say: Words, *, inch: bool) -> str:
    cold, warm = states
    return say(
        "measured.press.sense",
        cold=say.say("grip", cold.status), hot=say.say("grip", warm.status),
        temperature=figure(hot, "°C", inch=inch).first,
    )  # fmt: skip


def _rows(
    diameter: float, interference: Any, states: list[Any], *, inch: bool
) -> tuple[tuple[str, str], ...]:
    def both(field: str, unit: str) -> str:
        cold, warm = (figure(getattr(state, field), unit, inch=inch).line() for state in states)
        return cold if cold == warm else f"{cold} → {warm}"

    doubt = getattr(interference, "standard_uncertainty", 0.0)
    tight = float(getattr(interference, "value", interference))
    expanded = float(interference.expanded(0.95)) if doubt else None
    return (
        ("diameter", figure(diameter, "mm", inch=inch).line()),
        ("interference", with_doubt(tight, expanded, "mm", inch=inch).line()),
        ("grip", both("interference", "mm")),
        ("pressure", both("pressure", "MPa")),
        ("hoop_outer", both("hoop_outer", "MPa")),
        ("hoop_inner", both("hoop_inner", "MPa")),
        ("closure", both("bore_closure", "mm")),
        ("force", both("press_force", "N")),
        ("torque", both("holding_torque", "N·m")),
        ("reason", states[0].reason),
    )
