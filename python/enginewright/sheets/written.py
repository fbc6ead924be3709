"""How finely a number was written: the place value of its last digit.

Where no gauge is named, the digits are all that is known about how well a size was read.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

__all__ = ["decimals_of_format", "decimals_of_number", "decimals_of_text"]

_MOST = 9
"""Decimals beyond which a number was calculated, not read."""


def decimals_of_text(cells: Sequence[str]) -> npt.NDArray[np.float64]:
    """Return the place value of the last digit of plain decimals.

    Examples
    --------
    >>> decimals_of_text(["86.010", "86", "-0.5"]).tolist()
    [0.001, 1.0, 0.1]
    """
    places = [len(cell) - cell.find(".") - 1 if "." in cell else 0 for cell in cells]
    return _POWERS[np.minimum(places, len(_POWERS) - 1)]


# Written out, so that 0.001 is the double nearest to 0.001 and not a product of tenths.
_POWERS = np.array([float(f"1e-{place}") for place in range(40)])


def decimals_of_number(values: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Return the place value of the last digit that a number needs; NaN for a calculated one.

    Examples
    --------
    >>> decimals_of_number(np.array([86.01, 86.0, 1 / 3])).tolist()
    [0.01, 1.0, nan]
    """
    found = np.full(len(values), np.nan)
    open_rows = np.flatnonzero(np.isfinite(values) & (np.abs(values) < 1e15))
    for place in range(_MOST + 1):
        if not open_rows.size:
            break
        here = values[open_rows]
        # The double nearest to the rounded decimal is the number itself: it needs no more digits.
        exact = np.round(here, place) == here
        found[open_rows[exact]] = _POWERS[place]
        open_rows = open_rows[~exact]
    return found


_FIXED = re.compile(
    r"""(?:[#0,? ]|"[^"]*"|\\.|\[[^\]]*\]|_.|\*.)*0(?:\.(0+))?(?:"[^"]*"|\\.|_.|\*.|[ )%])*"""
)


def decimals_of_format(form: Any) -> int | None:
    """Return the decimals that a number format always shows; None when it does not say.

    Examples
    --------
    >>> [decimals_of_format(form) for form in ("0.000", '#,##0.00 "mm"', "General")]
    [3, 2, None]
    """
    found = _FIXED.fullmatch(str(form).split(";")[0])
    if found is None:
        return None
    return len(found[1]) if found[1] else 0
