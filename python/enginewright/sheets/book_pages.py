"""The pages that the program adds to the workbook: Summary, Findings, Problems."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from enginewright._lines import is_plan, part_name, question, ring_order
from enginewright._orders import rings_by_part, too_wide
from enginewright._rows import FindingRow, not_checked_rows
from enginewright._words import Words
from enginewright.sheets.book_marks import (
    Marks,
    answered_by,
    cell_of,
    look_of,
    order_of,
    to_do,
)
from enginewright.sheets.book_sheets import decimals_of
from enginewright.sheets.book_style import Style, height_of
from enginewright.sheets.grid import column_letters
from enginewright.sheets.problems import Problem, counted
from enginewright.sheets.reading import SheetRead
from enginewright.sheets.xlsx_file import ADDED_SHEET

__all__ = ["findings_page", "problems_page", "summary_page"]


def _own(sheet: Any) -> None:
    """Name the sheet as the program's own, out of sight: a later reading passes over it."""
    from openpyxl.workbook.defined_name import DefinedName

    place = f"'{sheet.title}'!$A$1"
    sheet.defined_names[ADDED_SHEET] = DefinedName(ADDED_SHEET, attr_text=place, hidden=True)


class _Page:
    """Writes a page from the top down."""

    def __init__(self, sheet: Any, style: Style, widths: Sequence[float]) -> None:
        self.sheet = sheet
        self.style = style
        self.row = 1
        for column, width in enumerate(widths, 1):
            sheet.column_dimensions[column_letters(column)].width = width
        _own(sheet)

    def line(self, texts: Sequence[Any], font: Any = None, under: bool = False) -> list[Any]:
        """Write one row; numbers stay numbers, texts stay texts."""
        cells = []
        for column, text in enumerate(texts, 1):
            cell = self.sheet.cell(self.row, column)
            if isinstance(text, int | float) and not isinstance(text, bool):
                cell.value = text
            elif text:
                self.style.text(cell, str(text))
            cell.font = font or self.style.plain
            cell.alignment = self.style.wrap
            if under:
                cell.border = self.style.under
            cells.append(cell)
        self.row += 1
        return cells

    def heading(self, text: str) -> None:
        """Write the heading of a part, with air above it."""
        self.row += 1
        self.line([text], self.style.heading)
        self.sheet.cell(self.row - 1, 1).alignment = self.style.top

    def heads(self, texts: Sequence[str]) -> None:
        """Write the heading of a table."""
        for cell in self.line(texts, self.style.strong, under=True):
            cell.fill = self.style.heading_fill
        # The heavy line below it would cut the first row's letters otherwise.
        self.sheet.row_dimensions[self.row - 1].height = 20

    def tall(self, *texts: tuple[str, float]) -> None:
        """Make the last row as tall as its texts need in columns of their widths."""
        height = max(height_of(text, width) for text, width in texts)
        self.sheet.row_dimensions[self.row - 1].height = height

    def link(self, cell: Any, place: tuple[str, int, int]) -> None:
        """Let a cell lead to another one of this workbook."""
        from openpyxl.worksheet.hyperlink import Hyperlink

        name, number, column = place
        quoted = name.replace("'", "''")
        cell.hyperlink = Hyperlink(
            ref=cell.coordinate, location=f"'{quoted}'!{column_letters(column)}{number}"
        )


def summary_page(
    sheet: Any,
    style: Style,
    marks: Marks,
    read: SheetRead,
    findings: Any,
    facts: Sequence[tuple[str, str]],
) -> None:
    """Write what a person looks at first: how many of which, what to do, what was not checked."""
    page = _Page(sheet, style, (18, 14, 40, 80))
    title = page.line(["Findings" + (f" of job {facts[0][1]}" if facts[0][1] else "")], style.title)
    title[0].alignment = style.top
    sheet.row_dimensions[1].height = 28
    for name, text in facts:
        cells = page.line([name, text])
        cells[0].font, cells[1].alignment = style.quiet, style.top
    page.row += 1
    for look, count in marks.counts():
        cells = page.line([look.text, count, look.meaning])
        style.dress(cells[0], look)
        cells[1].font, cells[1].alignment = style.heading, style.middle
        cells[2].font, cells[2].alignment = style.quiet, style.top
    _to_do(page, marks)
    _missing(page, findings)
    _account(page, read)
    sheet.freeze_panes = "A2"


def _to_do(page: _Page, marks: Marks) -> None:
    """List what to do: plans, then what is outside, then what is unproven; each sentence once."""
    asked = [row for row in to_do(marks.findings) if answered_by(row, marks.plans) is None]
    rings = [row for row in asked if too_wide(row) and (row.job, "bore") in marks.plans]
    wanted = [row for row in asked if row not in rings]
    if not asked:
        return
    page.heading("Do next")
    page.heads(["Mark", "Cell", "Part", "What to do"])
    told: set[str] = set()
    for row in wanted:
        order = order_of(row)
        if order in told:
            continue
        told.add(order)
        look, place = look_of(row), cell_of(row)
        name = part_name(row, marks.words, numbered=not is_plan(row))
        cells = page.line([look.text, row.place, name, order])
        page.style.dress(cells[0], look)
        if place is not None:
            page.link(cells[1], place)
        page.tall((order, 80))
    _ring_order(page, rings, marks.words)


def _ring_order(page: _Page, rings: Sequence[FindingRow], words: Words) -> None:
    """Put the rings that a rebore makes too wide into one line a job."""
    for job in dict.fromkeys(row.job for row in rings):
        own = sorted(
            (row for row in rings if row.job == job),
            key=lambda row: (ring_order(row.part), row.number or 0),
        )
        order = f"Order rings for the new bores: {rings_by_part(own, words)}."
        cells = page.line([look_of(own[0]).text, own[0].place, own[0].feature, order])
        page.style.dress(cells[0], look_of(own[0]))
        place = cell_of(own[0])
        if place is not None:
            page.link(cells[1], place)
        page.tall((order, 80))


def _missing(page: _Page, findings: Any) -> None:
    """List the checks that did not run."""
    missing = not_checked_rows(findings)
    if not missing:
        return
    page.heading("Not checked")
    page.heads(["Check", "Job", "What the job does not hold", ""])
    for row in dict.fromkeys(missing):
        cells = page.line([row.check, row.job, row.missing])
        cells[2].alignment = page.style.top


def _account(page: _Page, read: SheetRead) -> None:
    """Say where every row and cell of the file went."""
    page.heading("Where every row and cell went")
    for name, counts in (("rows", read.account.total.rows), ("cells", read.account.total.cells)):
        parts = " + ".join(f"{count} {word}" for word, count in counts.items() if count)
        cells = page.line([name, sum(counts.values()), f"= {parts}"])
        cells[2].alignment = page.style.top
    errors = read.problems.errors
    told = f"{counted(len(errors), 'cell or column')} could not be read: see the Problems sheet"
    cells = page.line([told if errors else "everything was read"])
    cells[0].font, cells[0].alignment = page.style.strong, page.style.top


_FINDING_HEADS = ("No.", "Verdict", "Cell", "Part", "Where", "What", "Value", "±", "Lower", "Upper",
                  "Unit", "Margin", "Do next", "Why", "Limit from", "Made from")  # fmt: skip
_FINDING_WIDTHS = (6, 14, 13, 22, 14, 15, 10, 9, 10, 10, 7, 10, 46, 34, 24, 20)


def findings_page(sheet: Any, style: Style, marks: Marks) -> None:
    """List every finding, numbered as `enginewright explain` takes them."""
    page = _Page(sheet, style, _FINDING_WIDTHS)
    page.heads(_FINDING_HEADS)
    for row in marks.findings:
        where = " ".join(word for word in (row.station, row.axis) if word)
        basis = ", ".join(marks.places[i] for i in row.readings if i < len(marks.places))
        cells = page.line(
            [
                row.index + 1,
                look_of(row).text,
                row.place,
                part_name(row, marks.words, numbered=not is_plan(row)),
                where,
                question(row, marks.words),
                *_figures(row),
                row.next,
                row.reason,
                row.limit_source,
                basis if len(row.readings) > 1 else "",
            ]
        )
        _dress_finding(page, cells, row)
    sheet.freeze_panes = "E2"
    sheet.print_title_rows = "1:1"
    last = column_letters(len(_FINDING_HEADS))
    sheet.auto_filter.ref = f"A1:{last}{max(page.row - 1, 1)}"
    # Printed without the last two columns, which are for the screen: else nobody could read it.
    sheet.print_area = f"A1:{column_letters(len(_FINDING_HEADS) - 2)}{max(page.row - 1, 1)}"


def _figures(row: FindingRow) -> list[Any]:
    return [row.value, row.uncertainty, row.lower, row.upper, row.unit, row.margin]


def _dress_finding(page: _Page, cells: Sequence[Any], row: FindingRow) -> None:
    page.style.dress(cells[1], look_of(row))
    decimals = decimals_of(row.unit)
    form = "0." + "0" * decimals if decimals else "0"
    for place in (6, 8, 9):
        cells[place].number_format = form
    # Doubt is shown one place finer than the value: it is what decides at a limit.
    cells[7].number_format = "0." + "0" * (decimals + 1)
    cells[11].number_format = f"+{form};-{form};{form}"
    # A text beside a figure that stands on the right of its column: apart, or they read as one.
    for place in (1, 10, 12):
        cells[place].alignment = page.style.wrap_beside
    cell = cell_of(row)
    if cell is not None:
        page.link(cells[2], cell)
    texts = (row.next, row.reason, row.limit_source, str(cells[15].value or ""))
    page.tall(*zip(texts, _FINDING_WIDTHS[12:], strict=True))


def problems_page(sheet: Any, style: Style, problems: Sequence[Problem], words: Words) -> None:
    """List what could not be read, cell by cell, with what to do."""
    page = _Page(sheet, style, (11, 16, 22, 70, 64))
    page.heads(["Severity", "Cell", "Found", "What is wrong", "What to do"])
    for problem in problems:
        cells = page.line(
            [problem.severity, problem.place, problem.found, problem.message, problem.suggestion]
        )
        if problem.severity == "error":
            cells[0].font = style.strong
        if problem.row and problem.column and problem.sheet:
            page.link(cells[1], (problem.sheet, problem.row, problem.column))
        page.tall((problem.message, 70), (problem.suggestion, 64), (problem.found, 22))
    if not problems:
        page.line(["none"])
    sheet.freeze_panes = "A2"
    sheet.print_title_rows = "1:1"
