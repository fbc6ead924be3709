"""The pages of the blank bench sheets, as openpyxl writes them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, PatternFill, Protection, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.properties import PageSetupProperties

from enginewright.sheets.benches import (
    DATE,
    FIRST_ROW,
    HEADING_ROWS,
    INITIALS,
    INSTRUCTIONS,
    JOB,
    TEMPERATURE,
    Bench,
    Entry,
)
from enginewright.sheets.book_style import INK, RULE, Style

__all__ = ["Pages"]

_STAGES = ("as received", "as machined", "finished")
_GAUGES = "Gauges"
#: How many of each length unit are a millimetre.
_PER_MM = {"mm": 1.0, "in": 1 / 25.4, "thou": 1000 / 25.4}
#: Heights of a row that is written in by hand, and of a heading of two lines; points.
_WRITTEN, _HEADED = 24, 30
_FORMAT = {"mm": "0.000", "in": "0.0000", "thou": "0.0", "g": "0.0", "N·m": "0",
           "g mm": "0", "deg": "0", "rpm": "0"}  # fmt: skip


class Pages:
    """One workbook in the making."""

    def __init__(self, engine: Mapping[str, Any], gauges: Sequence[str], stage: str) -> None:
        self.engine, self.gauge_names, self.stage = engine, tuple(gauges), stage
        self.book = Workbook()
        self.book.remove(self.book.active)
        self.style = Style()
        thin = Side("thin", color=INK)
        self.open_box = Border(left=thin, right=thin, top=thin, bottom=thin)
        quiet = Side("thin", color=RULE)
        self.shut_box = Border(left=quiet, right=quiet, top=quiet, bottom=quiet)
        self.shut_fill = PatternFill("solid", fgColor="EDEFF0")
        self.centre = Alignment("center", "center", wrap_text=True)
        self.level = Alignment("left", "center", indent=1)
        self.middle = Alignment(vertical="center")

    def instructions(self, benches: Sequence[Bench]) -> None:
        """Write the first page: whose engine it is, how to measure, what to beware of."""
        sheet = self._sheet(INSTRUCTIONS, (16, 40, 40))
        # One page to pin up.
        sheet.page_setup.orientation, sheet.page_setup.fitToHeight = "portrait", 1
        name = str(self.engine.get("name") or "")
        self._text(
            sheet, 1, 1, f"Bench sheets{' of the ' + name if name else ''}"
        ).font = self.style.title
        for (key, row), answer in zip(JOB.items(), ("", name, self.stage), strict=True):
            self._text(sheet, row, 1, key.capitalize()).font = self.style.strong
            self._entry(sheet, row, 2, answer)
        self._list(sheet, "B5", f'"{",".join(_STAGES)}"')
        row = 7
        for text in (
            "Write job and stage above, once. Then fill in what you measure; leave the rest empty.",
            "A word (ok, scored, cracked) may stand in a figure's place: it is kept as a word.",
            "Choose the gauge in each row, or write its name as the Gauges sheet has it.",
        ):
            self._text(sheet, row, 1, text)
            row += 1
        for bench in benches:
            row += 1
            self._text(sheet, row, 1, bench.sheet).font = self.style.heading
            for text in (*bench.how, f"Caution: {bench.caution}"):
                row += 1
                self._text(sheet, row, 1, text)
            row += 1
        self._text(
            sheet, row + 1, 1, "Local codes and licensed practice come before anything said here."
        )

    def bench(self, bench: Bench, unit: str) -> None:
        """Write one bench sheet."""
        keys, entries = list(bench.keys.values()), bench.entries
        # A column of numbers needs no more room than its heading; the first holds the head as well.
        widths = [16, *[8] * (len(keys) - 1), *[13] * len(entries), 22, 32]
        sheet = self._sheet(bench.sheet, widths)
        self._text(sheet, 1, 1, bench.mark).font = self.style.heading
        for row, label in ((DATE, "Date"), (INITIALS, "Initials"), (TEMPERATURE, "Parts at (°C)")):
            self._text(sheet, row, 1, label).font = self.style.strong
            self._entry(sheet, row, 2)
            if len(keys) > 1:
                # Over a narrow column of numbers a date needs the next one's room as well.
                self._entry(sheet, row, 3)
                sheet.merge_cells(None, row, 2, row, 3)
            sheet.row_dimensions[row].height = _WRITTEN
        sheet.cell(DATE, 2).number_format = "yyyy-mm-dd"
        self._headings(sheet, keys, entries, unit)
        rows = list(bench.rows(self.engine))
        for place, words in enumerate([*rows, *[()] * bench.spare]):
            row = FIRST_ROW + place
            sheet.row_dimensions[row].height = _WRITTEN
            for column in range(1, len(keys) + 1):
                if words:
                    cell = sheet.cell(row, column)
                    self._value(cell, words[column - 1])
                    cell.border, cell.fill, cell.font = (
                        self.shut_box, self.shut_fill, self.style.strong
                    )  # fmt: skip
                    cell.alignment = (
                        self.level if isinstance(words[column - 1], str) else self.centre
                    )
                else:
                    self._entry(sheet, row, column)
            for column in range(len(keys) + 1, len(keys) + len(entries) + 3):
                self._entry(sheet, row, column)
        last = FIRST_ROW + len(rows) + bench.spare - 1
        self._formats(sheet, bench, unit, last)
        if bench.spare:
            first = FIRST_ROW + len(rows)
            self._list(sheet, f"A{first}:A{last}", f'"{",".join(bench.words)}"', strict=False)
        sheet.freeze_panes = sheet.cell(FIRST_ROW, len(keys) + 1)
        sheet.print_title_rows = f"{HEADING_ROWS[0]}:{HEADING_ROWS[1]}"

    def gauges(self) -> None:
        """Write the list that the gauge of a row is chosen from."""
        sheet = self._sheet(_GAUGES, (30,))
        self._text(sheet, 1, 1, "Gauges, as the shop's list names them").font = self.style.heading
        for place in range(max(len(self.gauge_names) + 5, 10)):
            name = self.gauge_names[place] if place < len(self.gauge_names) else ""
            self._entry(sheet, place + 2, 1, name)

    def _headings(
        self, sheet: Any, keys: Sequence[str], entries: Sequence[Entry], unit: str
    ) -> None:
        upper, lower = HEADING_ROWS
        tops = [*keys, *(entry.upper for entry in entries), "Gauge", "Remarks"]
        below = ["" for _ in keys]
        below += [entry.heading(unit if entry.is_length else entry.unit) for entry in entries]
        below += ["", ""]
        for column, (top, low) in enumerate(zip(tops, below, strict=True), 1):
            sheet.row_dimensions[lower].height = _HEADED
            for row, text in ((upper, top), (lower, low)):
                cell = sheet.cell(row, column)
                cell.border, cell.fill = self.shut_box, self.style.heading_fill
                cell.font, cell.alignment = self.style.strong, self.centre
                if text and not (row == upper and column > 1 and tops[column - 2] == text):
                    self.style.text(cell, text)
        column = 1
        while column <= len(tops):
            right = column
            while right < len(tops) and tops[right] == tops[column - 1] and below[right]:
                right += 1
            if not below[column - 1]:
                sheet.merge_cells(None, upper, column, lower, column)
            elif right > column:
                sheet.merge_cells(None, upper, column, upper, right)
            column = right + 1

    def _formats(self, sheet: Any, bench: Bench, unit: str, last: int) -> None:
        for place, entry in enumerate(bench.entries, len(bench.keys) + 1):
            own = unit if entry.is_length else entry.unit
            scale = _PER_MM[own] if entry.is_length else 1.0
            letter = get_column_letter(place)
            for row in range(FIRST_ROW, last + 1):
                sheet.cell(row, place).number_format = _FORMAT[own]
            check = DataValidation(
                type="decimal", operator="between", formula1=f"{entry.least * scale:.6g}",
                formula2=f"{entry.greatest * scale:.6g}", allow_blank=True, errorStyle="warning",
                errorTitle="Is this right?",
                error=f"{entry.full(own)}: this looks odd. Keep it all the same?",
            )  # fmt: skip
            check.showErrorMessage = True
            sheet.add_data_validation(check)
            check.add(f"{letter}{FIRST_ROW}:{letter}{last}")
        letter = get_column_letter(len(bench.keys) + len(bench.entries) + 1)
        end = max(len(self.gauge_names) + 6, 11)
        self._list(
            sheet, f"{letter}{FIRST_ROW}:{letter}{last}", f"{_GAUGES}!$A$2:$A${end}", strict=False
        )

    def _list(self, sheet: Any, where: str, source: str, *, strict: bool = True) -> None:
        # Unless strict, another word is questioned and kept.
        check = DataValidation(
            type="list", formula1=source, allow_blank=True,
            errorStyle="stop" if strict else "warning",
            errorTitle="Not on the list", error="This is not on the list.",
        )  # fmt: skip
        check.showErrorMessage = True
        sheet.add_data_validation(check)
        check.add(where)

    def _sheet(self, name: str, widths: Sequence[float]) -> Any:
        sheet = self.book.create_sheet(name)
        for column, width in enumerate(widths, 1):
            sheet.column_dimensions[get_column_letter(column)].width = width
        sheet.page_setup.orientation = "landscape"
        sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
        sheet.page_setup.fitToHeight = 0
        sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
        sheet.oddFooter.center.text = "&A, page &P of &N"
        # Printed sheets come apart: each has room for the job it belongs to.
        sheet.oddHeader.left.text = str(self.engine.get("name") or "").replace("&", "&&")
        sheet.oddHeader.right.text = "Job ____________________"
        sheet.sheet_view.showGridLines = False
        # Locked without a password: it keeps a sleeve off the headings, nothing more.
        sheet.protection.sheet = True
        sheet.protection.formatColumns = False
        return sheet

    def _text(self, sheet: Any, row: int, column: int, text: str) -> Any:
        cell = sheet.cell(row, column)
        cell.font = self.style.plain
        self.style.text(cell, text)
        return cell

    def _entry(self, sheet: Any, row: int, column: int, value: Any = "") -> None:
        cell = sheet.cell(row, column)
        cell.border, cell.font, cell.alignment = self.open_box, self.style.plain, self.middle
        cell.protection = Protection(locked=False)
        if value != "":
            self._value(cell, value)

    def _value(self, cell: Any, value: Any) -> None:
        if isinstance(value, str):
            self.style.text(cell, value)
        else:
            cell.value = value
