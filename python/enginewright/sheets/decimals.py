"""Point or comma: decided once a column, from the cells that leave no doubt."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from enginewright.sheets.refusals import Refusal

__all__ = ["Marks", "decided", "evidence"]

_NUMBER = re.compile(r"[\d][\d.,'\u2019 \u00a0\u202f]*")
_NAMES = {".": "point", ",": "comma"}


def evidence(text: str) -> str:
    """Say what a text shows about the decimal mark of its column.

    Returns
    -------
    str
        "." or "," when it can be read with that mark alone; "?" for one to three digits, a comma
        and three digits more, which can be either; ".?" for the same with a point, which says
        point only where nothing says comma; "" when there is no mark, or more than one number.

    Examples
    --------
    >>> [evidence(text) for text in ("12,5", "0,250", "1.234,5", "82,005", "82.005", "86")]
    [',', ',', ',', '?', '.?', '']
    """
    numbers = _NUMBER.findall(text)
    if len(numbers) != 1:
        return ""
    number = re.sub(r"['\u2019 \u00a0\u202f]", "", numbers[0]).rstrip(".,")
    points, commas = number.count("."), number.count(",")
    if points and commas:
        mark, group = (".", ",") if number.rfind(".") > number.rfind(",") else (",", ".")
        whole = number.split(mark)[0]
        return mark if number.count(mark) == 1 and _groups(whole, group) else ""
    if points > 1 or commas > 1:
        group, mark = (".", ",") if points else (",", ".")
        return mark if _groups(number, group) else ""
    mark = "," if commas else "." if points else ""
    if not mark:
        return ""
    before, after = number.split(mark)
    groups = len(after) == 3 and 1 <= len(before) <= 3 and not before.startswith("0")
    if not groups:
        return mark
    return "?" if mark == "," else ".?"


def _groups(number: str, mark: str) -> bool:
    """Tell whether a mark groups a whole number in threes."""
    return re.fullmatch(rf"\d{{1,3}}({re.escape(mark)}\d{{3}})+", number) is not None


@dataclass
class Marks:
    """What a column decided: its mark, and the two cells that disagree if it could not."""

    mark: str | None
    point: tuple[int, str] | None = None
    comma: tuple[int, str] | None = None

    def refusal(self, row: int, text: str, place: Any) -> Refusal | None:
        """Say why a text stays in doubt, or return None."""
        if self.mark is not None or not evidence(text):
            return None
        if self.point is None or self.comma is None:
            return Refusal(
                "undecided decimal mark",
                f"{text!r} can be {text.replace(',', '.')} or {text.replace(',', ' ')}, "
                "and no other cell of its column tells which",
                'write decimal = "comma" or decimal = "point" under [file] of the map',
            )
        if row in (self.point[0], self.comma[0]):
            mark, other = (".", self.comma) if row == self.point[0] else (",", self.point)
            told = f"{text!r} has a {_NAMES[mark]}, but {place(other[0])} holds {other[1]!r}"
        else:
            told = (
                f"{text!r} stands in a column with both decimal marks: "
                f"{place(self.point[0])} holds {self.point[1]!r}, "
                f"{place(self.comma[0])} holds {self.comma[1]!r}"
            )
        return Refusal(
            "two decimal marks",
            told,
            'write both with the same mark, or write decimal = "comma" or "point" under [file]',
        )


def decided(cells: Sequence[str], rows: Sequence[int], decimal: str) -> Marks:
    """Decide the decimal mark of a column.

    Parameters
    ----------
    cells : sequence of str
        The texts of the column.
    rows : sequence of int
        Their rows.
    decimal : str
        "auto", or the mark that the map gives.

    Returns
    -------
    Marks
        With `mark` None when nothing decides, or when two clear cells disagree.
    """
    if decimal != "auto":
        return Marks(decimal)
    if not any("," in cell or cell.count(".") > 1 for cell in cells):
        return Marks(".")
    clear: dict[str, tuple[int, str]] = {}
    for row, cell in zip(rows, cells, strict=True):
        if "," not in cell and "." not in cell:
            continue
        clear.setdefault(evidence(cell), (row, cell))
    point, comma = clear.get("."), clear.get(",")
    if point is None and comma is None:
        # 82.005 beside 82,005: one of them groups, and nothing tells which.
        point, comma = clear.get(".?"), clear.get("?")
        if comma is None:
            return Marks(".")
        return Marks(None, point, comma)
    if point and comma:
        return Marks(None, point, comma)
    return Marks("." if point else ",", point, comma)
