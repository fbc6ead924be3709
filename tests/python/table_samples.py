"""Readings made by chance, for the tests of tables."""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

from hypothesis import strategies as st

WORDS = st.sampled_from(["top", "middle", "bottom", "left plane", "Größe ½", "=1+1", "<b>", "a;b"])
UNITS = {"diameter": ["mm", "thou", "in"], "mass": ["g", "oz"], "phase": ["deg"]}
DAYS = st.dates(dt.date(1900, 1, 1), dt.date(2200, 12, 31))
FIGURES = st.floats(min_value=-1e6, max_value=1e6, allow_nan=False)


def maybe(values: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | values


@st.composite
def rows(draw: st.DrawFn) -> dict[str, Any]:
    quantity = draw(st.sampled_from(list(UNITS)))
    value = draw(maybe(FIGURES))
    return {
        "job": draw(st.sampled_from(["J1", "J2", "2041"])),
        "engine": draw(maybe(st.just("Linnet 2.0"))),
        "stage": draw(st.sampled_from(["as received", "finished"])),
        "feature": draw(st.sampled_from(["bore", "main journal", "reed block"])),
        "number": draw(maybe(st.integers(1, 12))),
        "station": draw(maybe(WORDS)),
        "axis": draw(maybe(WORDS)),
        "position": draw(maybe(FIGURES)),
        "quantity": quantity,
        "value": math.nan if value is None else value,
        "unit": draw(st.sampled_from(UNITS[quantity])),
        "observation": "scored" if value is None else draw(maybe(st.just("ok"))),
        "uncertainty": draw(maybe(st.floats(0, 1, allow_nan=False))),
        "date": draw(maybe(DAYS)),
        "note": draw(maybe(st.text(st.characters(exclude_categories=("Cs",)), max_size=12))),
        "row": draw(maybe(st.integers(1, 2**31 - 1))),
        "shop mark": draw(maybe(st.sampled_from(["red", "blue"]))),
        "shop count": draw(st.integers(-(2**62), 2**62)),
        "shop flag": draw(st.booleans()),
    }


NAMES = (
    "job", "engine", "stage", "feature", "number", "station", "axis", "position", "quantity",
    "value", "unit", "observation", "uncertainty", "date", "note", "row", "shop mark",
    "shop count", "shop flag",
)  # fmt: skip


@st.composite
def columns(draw: st.DrawFn, least: int = 0, most: int = 12) -> dict[str, list[Any]]:
    """Columns of some readings, as a mapping of lists."""
    made = draw(st.lists(rows(), min_size=least, max_size=most))
    return {name: [row[name] for row in made] for name in NAMES}
