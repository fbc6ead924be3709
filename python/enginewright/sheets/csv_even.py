"""The short way through a CSV: no quotes, every row of one width, so it is cut by columns at once.

A year of readings goes this way. Whatever is not so even takes the long way in `csv_file`, and both
ways give the same cells.
"""

from __future__ import annotations

import csv

from enginewright.sheets.grid import Turned

__all__ = ["even_rows"]


def even_rows(text: str, mark: str) -> Turned | None:
    r"""Return the rows of a text, kept by columns; None when the text is not even.

    Examples
    --------
    >>> list(even_rows("Cyl;Bore\n1;86,01\n", ";"))
    [['Cyl', 'Bore'], ['1', '86,01']]
    >>> even_rows("Cyl;Bore\n1\n", ";") is None
    True
    """
    if '"' in text:
        return None
    if "\r" in text:
        text = text.replace("\r\n", "\n")
        if "\r" in text:
            return None
    text = text.removesuffix("\n")
    lines = text.split("\n")
    width = lines[0].count(mark) + 1
    if width == 1 or max(map(len, lines)) > csv.field_size_limit():
        return None
    # A line break between two marks is a cell of its own: it must come after every row's last.
    cells = text.replace("\n", f"{mark}\n{mark}").split(mark)
    if len(cells) != len(lines) * (width + 1) - 1:
        return None
    if cells[width :: width + 1].count("\n") != len(lines) - 1:
        return None
    return Turned([cells[place :: width + 1] for place in range(width)])
