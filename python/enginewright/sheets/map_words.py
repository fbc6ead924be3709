"""Words and numbers that a map fixes: what each column of the readings can hold."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

from enginewright import UnitError
from enginewright.sheets import vocabulary
from enginewright.sheets.mapping import COUNTS, IN_CELLS, NUMBERS

__all__ = ["constant_fault"]


def constant_fault(key: str, value: Any) -> str | None:
    """Return what is wrong with a word or number of the map, or None."""
    checks: dict[str, Callable[[Any], str | None]] = {
        "feature": _feature_fault,
        "quantity": _quantity_fault,
        "unit": _unit_fault,
        "position_unit": _unit_fault,
        "date": _date_fault,
    }
    if isinstance(value, bool) or not isinstance(value, str | int | float | dt.date):
        return f"{key} must be a word or a number, got {value!r}"
    if isinstance(value, dt.date) and key != "date":
        return f"{key} must be a word or a number, got the date {value}"
    if key in COUNTS:
        if isinstance(value, int) and value >= 1:
            return None
        return f"{key} must be a whole number of at least 1, got {value!r}"
    if key in NUMBERS:
        return None if str(value).strip() else f"{key} must be a number"
    if isinstance(value, str) and not value.strip():
        return f"{key} must not be empty"
    return checks[key](value) if key in checks else None


def _feature_fault(value: Any) -> str | None:
    if vocabulary.feature(str(value)) is not None:
        return None
    hits = vocabulary.near(str(value), vocabulary.features().values())
    told = (
        f"did you mean {' or '.join(map(repr, hits))}?"
        if hits
        else (f"known: {', '.join(vocabulary.features().values())}")
    )
    return f"feature {value!r} is not known; {told}"


def _quantity_fault(value: Any) -> str | None:
    if vocabulary.quantity(str(value)) is not None:
        return None
    known = [found.word for found in vocabulary.quantities().values()]
    hits = vocabulary.near(str(value), known)
    told = f"did you mean {' or '.join(map(repr, hits))}?" if hits else f"known: {', '.join(known)}"
    return f"quantity {value!r} is not known; {told}"


def _unit_fault(value: Any) -> str | None:
    if value == IN_CELLS:
        return None
    try:
        vocabulary.unit(str(value))
    except UnitError as error:
        return f"unit {value!r}: {error}"
    return None


def _date_fault(value: Any) -> str | None:
    if isinstance(value, dt.date):
        return None
    try:
        dt.date.fromisoformat(str(value))
    except ValueError:
        return f"date must be written like 2026-03-02, got {value!r}"
    return None
