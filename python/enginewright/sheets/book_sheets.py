"""The shop's own sheets in the workbook that goes back: what they held, and four columns more."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from enginewright._lines import question
from enginewright._numbers import dimension_of
from enginewright.sheets.book_marks import Marks, RowMark, comment_of, limit_of
from enginewright.sheets.book_style import LEGEND, NOT_READ, Style, height_of
from enginewright.sheets.grid import ErrorCell, Grid, Uncalculated, column_letters, is_blank
from enginewright.sheets.reading import Span
from enginewright.sheets.xlsx_file import ADDED_COLUMNS

__all__ = ["Dress", "decimals_of", "dress_of", "print_setup", "write_sheet"]

HEADINGS = ("Verdict", "Margin", "Limit", "Do next")
_WIDTHS = (15, 14, 30, 48)
MOST_COMMENTS = 3_000
"""Beyond so many findings only what is outside or unproven gets a comment."""


@dataclass
class Dress:
    """What a sheet's cells wore: number formats, widths, heights, bold text."""

    formats: Mapping[tuple[int, int], str]
    bold: frozenset[tuple[int, int]]
    widths: Mapping[str, float]
    heights: Mapping[int, float]


def dress_of(book: Any, name: str) -> Dress | None:
    """Take the dress of a sheet from a workbook loaded in full."""
    if book is None or name not in book.sheetnames:
        return None
    sheet = book[name]
    formats: dict[tuple[int, int], str] = {}
    bold = set()
    for row in sheet.iter_rows():
        for cell in row:
            if getattr(cell, "has_style", False):
                if cell.number_format != "General":
                    formats[cell.row, cell.column] = cell.number_format
                if cell.font is not None and cell.font.b:
                    bold.add((cell.row, cell.column))
    widths = {}
    for letters, size in sheet.column_dimensions.items():
        # One entry may stand for a run of columns.
        for column in range(size.min or 0, min(size.max or 0, 400) + 1):
            widths[column_letters(column)] = size.width
        if size.min is None:
            widths[letters] = size.width
    heights = {number: size.height for number, size in sheet.row_dimensions.items() if size.height}
    return Dress(formats, frozenset(bold), widths, heights)


def write_sheet(
    sheet: Any,
    grid: Grid,
    spans: Sequence[Span],
    marks: Marks,
    style: Style,
    dress: Dress | None,
    numbers: Mapping[tuple[int, int], tuple[float, str]],
) -> None:
    """Write one sheet of the shop's, marked.

    Parameters
    ----------
    sheet : Worksheet
        A fresh sheet.
    grid : Grid
        What it held.
    spans : sequence of Span
        Its tables; without any it is copied as it was.
    marks : Marks
        Findings and problems.
    style : Style
        Of the workbook.
    dress : Dress, optional
        Of the sheet, when the file was a workbook.
    numbers : mapping
        Cells of a CSV that hold a plain number, by row and column, with its number format.
    """
    _copy(sheet, grid, spans, style, dress, numbers)
    if not spans:
        return
    first = grid.width + 1
    _mark_cells(sheet, grid, marks, style)
    for span in spans:
        _added_columns(sheet, span, marks, style, first)
    _legend(sheet, max(grid.numbers[-1], spans[-1].last_row) + 2, first, style)
    for place, width in enumerate(_WIDTHS):
        sheet.column_dimensions[column_letters(first + place)].width = width
    _finish(sheet, spans, first)
    _name_added(sheet, first)


def _copy(
    sheet: Any,
    grid: Grid,
    spans: Sequence[Span],
    style: Style,
    dress: Dress | None,
    numbers: Mapping[tuple[int, int], tuple[float, str]],
) -> None:
    headings = {number for span in spans for number in span.header_rows}
    for number, row in zip(grid.numbers, grid.rows, strict=True):
        for column, value in enumerate(row, 1):
            if is_blank(value):
                continue
            cell = sheet.cell(number, column)
            _write(cell, value, numbers.get((number, column)), style)
            cell.font, cell.alignment = style.plain, style.level
            if dress is not None:
                if (number, column) in dress.formats and cell.data_type != "s":
                    cell.number_format = dress.formats[number, column]
                if (number, column) in dress.bold:
                    cell.font = style.strong
            if number in headings:
                cell.font, cell.fill = style.strong, style.heading_fill
    for area in grid.merged:
        sheet.merge_cells(
            start_row=area.top, start_column=area.left, end_row=area.bottom, end_column=area.right
        )
    for number in grid.hidden_rows:
        sheet.row_dimensions[number].hidden = True
    for column in grid.hidden_columns:
        if column <= grid.width:
            sheet.column_dimensions[column_letters(column)].hidden = True
    if grid.hidden:
        sheet.sheet_state = "hidden"
    _sizes(sheet, grid, dress)


def _write(cell: Any, value: Any, number: tuple[float, str] | None, style: Style) -> None:
    if number is not None:
        cell.value, cell.number_format = number
    elif isinstance(value, str):
        style.text(cell, value)
    elif isinstance(value, ErrorCell):
        cell.value = value.text
    elif isinstance(value, Uncalculated):
        style.text(cell, value.text)
    else:
        cell.value = value


def _sizes(sheet: Any, grid: Grid, dress: Dress | None) -> None:
    if dress is not None:
        for letters, width in dress.widths.items():
            sheet.column_dimensions[letters].width = width
        for number, height in dress.heights.items():
            sheet.row_dimensions[number].height = height
        return
    for column in range(1, min(grid.width, 400) + 1):
        longest = max((len(str(row[column - 1])) for row in grid.rows if len(row) >= column),
                      default=0)  # fmt: skip
        sheet.column_dimensions[column_letters(column)].width = min(max(longest + 2, 7), 32)


def _mark_cells(sheet: Any, grid: Grid, marks: Marks, style: Style) -> None:
    from openpyxl.comments import Comment

    few = len(marks.findings) <= MOST_COMMENTS
    for (name, number, column), rows in marks.cells.items():
        if name != grid.name:
            continue
        cell = sheet.cell(number, column)
        place = (name, number, column)
        look = RowMark(rows).look if place in marks.own else RowMark(serves=rows).look
        style.dress(cell, look)
        if few or look.word in ("outside", "unproven"):
            _comment(cell, Comment, comment_of(rows, marks.words))
    for (name, number, column), problems in marks.unread.items():
        if name != grid.name or (name, number, column) in marks.cells:
            continue
        cell = sheet.cell(number, column)
        style.dress(cell, NOT_READ)
        told = "\n".join(f"{problem.message}\n{problem.suggestion}" for problem in problems)
        _comment(cell, Comment, f"{NOT_READ.text}\n{told}")


def _comment(cell: Any, make: Any, text: str) -> None:
    comment = make(text, "enginewright")
    comment.width = 330
    comment.height = 20 + 17 * sum(1 + len(line) // 48 for line in text.splitlines())
    cell.comment = comment


def _added_columns(sheet: Any, span: Span, marks: Marks, style: Style, first: int) -> None:
    """Write Verdict, Margin, Limit and Do next beside the rows of one table."""
    rows = {
        number: mark
        for (name, number), mark in marks.rows.items()
        if name == span.sheet and span.first_row <= number <= span.last_row
    }
    units = {mark.findings[0].unit for mark in rows.values() if _judged(mark)}
    one_unit = units.pop() if len(units) == 1 else None
    if span.header_rows:
        for place, text in enumerate(HEADINGS):
            cell = sheet.cell(span.header_rows[-1], first + place)
            style.text(cell, f"{text} ({one_unit})" if place == 1 and one_unit else text)
            cell.font, cell.fill = style.strong, style.heading_fill
            cell.border = style.edge if place == 0 else style.row
            cell.alignment = style.head
    for number, mark in rows.items():
        _row(sheet, number, mark, marks, style, first, one_unit)


def _judged(mark: RowMark) -> bool:
    return bool(mark.findings) and mark.findings[0].margin is not None


def _row(
    sheet: Any,
    number: int,
    mark: RowMark,
    marks: Marks,
    style: Style,
    first: int,
    one_unit: str | None,
) -> None:
    verdict, margin, limit, todo = (sheet.cell(number, first + place) for place in range(4))
    style.text(verdict, mark.look.text)
    style.dress(verdict, mark.look)
    verdict.border = style.edge
    if _judged(mark):
        worst = mark.findings[0]
        margin.value = worst.margin
        form = "0." + "0" * decimals_of(worst.unit)
        unit = "" if one_unit else f' "{worst.unit}"'
        margin.number_format = f"+{form}{unit};-{form}{unit};{form}{unit}"
        # A limit of a derived figure says of which: the cell holds a reading.
        of = "" if worst.check == "limits" else f"{question(worst, marks.words)}: "
        style.text(limit, of + limit_of(worst, marks.words))
    elif mark.serves and not mark.findings:
        served = mark.serves[0]
        style.text(limit, f"{question(served, marks.words)}: see {served.place}")
    told = "\n".join(mark.next(marks.plans))
    style.text(todo, told)
    for cell in (margin, limit, todo):
        cell.font, cell.border, cell.alignment = style.plain, style.row, style.indented
    verdict.alignment, margin.alignment = style.indented, style.right
    todo.font = style.order
    height = sheet.row_dimensions[number].height or 15
    sheet.row_dimensions[number].height = max(
        height,
        height_of(told, _WIDTHS[3] - 2, 13),
        height_of(str(limit.value or ""), _WIDTHS[2] - 2),
    )


def decimals_of(unit: str) -> int:
    """Return the decimals that figures of a canonical unit are shown with."""
    from enginewright import units

    dimension = dimension_of(unit)
    if dimension is None:
        return 3
    shown = re.match(r"-?\d+(?:\.(\d+))?", units.show(1.0, dimension, system="metric"))
    return len(shown[1] or "") if shown else 3


def _legend(sheet: Any, top: int, first: int, style: Style) -> None:
    """Say below the table what the marks mean."""
    for place, look in enumerate(LEGEND):
        sign, meaning = sheet.cell(top + place, first), sheet.cell(top + place, first + 1)
        style.text(sign, look.text)
        style.dress(sign, look)
        style.text(meaning, look.meaning)
        meaning.font, meaning.alignment = style.quiet, style.beside


def _finish(sheet: Any, spans: Sequence[Span], first: int) -> None:
    """Freeze and repeat the heading, set the filter."""
    span = max(spans, key=lambda each: each.last_row - each.first_row)
    if not span.header_rows or not span.first_row:
        return
    sheet.freeze_panes = f"B{span.first_row}"
    sheet.print_title_rows = f"{span.header_rows[0]}:{span.header_rows[-1]}"
    last = column_letters(first + len(HEADINGS) - 1)
    sheet.auto_filter.ref = f"A{span.header_rows[-1]}:{last}{span.last_row}"


def _name_added(sheet: Any, first: int) -> None:
    """Name the added columns out of sight, so that a later reading passes over them."""
    from openpyxl.workbook.defined_name import DefinedName

    letters = column_letters(first), column_letters(first + len(HEADINGS) - 1)
    place = f"{_quoted(sheet.title)}!${letters[0]}:${letters[1]}"
    sheet.defined_names[ADDED_COLUMNS] = DefinedName(ADDED_COLUMNS, attr_text=place, hidden=True)


def _quoted(title: str) -> str:
    return "'" + title.replace("'", "''") + "'"


def print_setup(sheet: Any, job: str, date: str) -> None:
    """Set a page up for the shop's printer: landscape, one page wide, numbered."""
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    for side in ("left", "right"):
        setattr(sheet.page_margins, side, 0.4)
    # "&" begins a code in a page's head and foot; twice it is itself.
    job, date, title = (text.replace("&", "&&") for text in (job, date, sheet.title))
    sheet.oddHeader.left.text = title
    sheet.oddHeader.right.text = "   ".join(look.text for look in LEGEND)
    sheet.oddFooter.left.text = f"Job {job}" if job else ""
    sheet.oddFooter.center.text = "page &P of &N"
    sheet.oddFooter.right.text = date
