"""How a table shows itself: as plain text and as a page of a notebook."""

from __future__ import annotations

import datetime as dt
from html import escape
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from enginewright._table import Table

__all__ = ["html_of", "text_of"]

MOST_ROWS = 20
TEXT_ROWS = 10
TEXT_WIDTH = 24

# Marks differ in shape: colour would only repeat them.
MARKS = {"within": "✓ within", "outside": "✗ outside", "unproven": "? unproven",
         "unlimited": "– no limit"}  # fmt: skip


def text_of(table: Table) -> str:
    """Return the first rows as plain text, columns that say nothing left out."""
    title = f"{type(table).__name__}: {_counted(len(table))}"
    names, rows = _shown(table, TEXT_ROWS)
    if not rows:
        return title
    cells = [["", *names], *([str(i), *row] for i, row in enumerate(rows))]
    cut = [[_short(cell) for cell in row] for row in cells]
    widths = [max(len(row[i]) for row in cut) for i in range(len(cut[0]))]
    lines = [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in cut
    ]
    left = len(table) - len(rows)
    return "\n".join([title, *lines, *([f"... {_counted(left)} more"] if left else [])])


def html_of(table: Table) -> str:
    """Return the first rows as a table for a notebook; everything in it is text."""
    names, rows = _shown(table, MOST_ROWS)
    head = "".join(f"<th>{escape(name)}</th>" for name in ["", *names])
    body = "".join(
        "<tr>" + f"<th>{i}</th>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>"
        for i, row in enumerate(rows)
    )
    left = len(table) - len(rows)
    more = f", {_counted(left)} more" if left else ""
    caption = f"{type(table).__name__}: {_counted(len(table))}{more}"
    return (
        f"<table><caption>{escape(caption)}</caption>"
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
    )


def _counted(rows: int) -> str:
    return "1 row" if rows == 1 else f"{rows} rows"


def _shown(table: Table, most: int) -> tuple[list[str], list[list[str]]]:
    part = table[:most]
    columns = [part[name] for name in part.columns]
    said = [column for column in columns if not column.missing.all()]
    listed = [[shown(column.name, value) for value in column.tolist()] for column in said]
    return [column.name for column in said], [list(row) for row in zip(*listed, strict=True)]


def shown(name: str, value: Any) -> str:
    """Return one cell as text."""
    if value is None:
        return ""
    if name == "verdict":
        return MARKS.get(value, str(value))
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, dt.date):
        return value.isoformat()
    return str(value)


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= TEXT_WIDTH else line[: TEXT_WIDTH - 3] + "..."
