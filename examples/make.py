"""Make the example workbooks and the CSV from the readable text beside them.

    .venv/bin/python examples/make.py

`linnet/received.txt` and `linnet/finished.txt` hold what stands in each cell, so a change of the
example can be read in a diff; the workbooks are what a shop owner would hand over. The same text
gives the same bytes.
"""

import csv
import datetime
import io
import re
import zipfile
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties

HERE = Path(__file__).parent
MADE_ON = datetime.datetime(2026, 3, 2, 9, 0)

BOLD = Font(name="Calibri", size=11, bold=True)
HEADING = PatternFill("solid", fgColor="E7E2D6")
LINE = Side(style="thin", color="9A948A")
BOX = Border(left=LINE, right=LINE, top=LINE, bottom=LINE)


class Sheet:
    """One sheet as its text says: column widths, cells by row, merged ranges."""

    def __init__(self, heading):
        name, widths = heading.split(":")
        self.name = name.strip()
        self.widths = [float(width) for width in widths.split()]
        self.rows = []

    def cells(self):
        """Yield row, column and text of every cell that is written."""
        for number, row in enumerate(self.rows, 1):
            for column, text in enumerate(row, 1):
                if text not in ("", "<", "^"):
                    yield number, column, text

    def merges(self):
        """Yield the ranges that `<` and `^` draw together."""
        for row, column, _ in self.cells():
            right, down = column, row
            while self.text(row, right + 1) == "<":
                right += 1
            while self.text(down + 1, column) == "^":
                down += 1
            if (right, down) != (column, row):
                yield row, column, down, right

    def text(self, row, column):
        """Text of one cell, empty beyond the sheet."""
        if row > len(self.rows) or column > len(self.rows[row - 1]):
            return ""
        return self.rows[row - 1][column - 1]


def read_text(path):
    """Read the sheets of one text file."""
    sheets = []
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("== "):
            sheets.append(Sheet(line[3:]))
        elif sheets:
            sheets[-1].rows.append([cell.strip() for cell in line.split("|")])
    for sheet in sheets:
        # The blank line before the next sheet is none of this one's rows.
        while sheet.rows and not any(sheet.rows[-1]):
            sheet.rows.pop()
    return sheets


def value_of(text):
    """Return a cell's value and number format: a number, a date or the text itself."""
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        return datetime.date.fromisoformat(text), "dd/mm/yyyy"
    if re.fullmatch(r"-?\d+(\.\d+)?", text):
        decimals = len(text.partition(".")[2])
        return (float(text), "0." + "0" * decimals) if decimals else (int(text), "0")
    return text, "General"


def average_above(sheet, row, column):
    """Return the formula and its value for the numbers of the table above a cell."""
    above = [(r, value_of(sheet.text(r, column))[0]) for r in range(1, row)]
    numbers = [(r, value) for r, value in above if isinstance(value, float)]
    letter = get_column_letter(column)
    mean = sum(value for _, value in numbers) / len(numbers)
    return f"=AVERAGE({letter}{numbers[0][0]}:{letter}{numbers[-1][0]})", mean


def heading_rows(sheet):
    """Return the rows of headings: those with merged cells, else the one that begins with Part."""
    merged = {row for top, _, bottom, _ in sheet.merges() for row in range(top, bottom + 1)}
    if merged:
        return merged
    return {row for row in range(1, len(sheet.rows)) if sheet.text(row, 1) == "Part"}


def write_sheet(target, sheet):
    """Write one sheet and return the stored answers of its formulas by cell."""
    answers = {}
    headings = heading_rows(sheet)
    table = range(min(headings), len(sheet.rows) + 1) if headings else range(0)
    for row, column, text in sheet.cells():
        cell = target.cell(row, column)
        if text == "=AVERAGE":
            cell.value, answers[cell.coordinate] = average_above(sheet, row, column)
            cell.number_format = "0.000"
            cell.font = Font(name="Calibri", size=11, italic=True)
        else:
            cell.value, cell.number_format = value_of(text)
    for top, left, bottom, right in sheet.merges():
        target.merge_cells(start_row=top, start_column=left, end_row=bottom, end_column=right)
    for row in table:
        for column in range(1, len(sheet.widths) + 1):
            cell = target.cell(row, column)
            cell.border = BOX
            if row in headings:
                cell.fill, cell.font = HEADING, BOLD
                cell.alignment = Alignment("center", "center", wrap_text=True)
    if headings:
        target["A1"].font = BOLD
        target.freeze_panes = target.cell(max(headings) + 1, 1)
    target.page_setup.orientation = "landscape"
    target.page_setup.fitToHeight = 0
    target.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    for column, width in enumerate(sheet.widths, 1):
        target.column_dimensions[get_column_letter(column)].width = width
    return answers


def workbook(sheets):
    """Return the bytes of a workbook, formulas with the answers that a spreadsheet stores."""
    book = Workbook()
    book.remove(book.active)
    answers = {}
    for number, sheet in enumerate(sheets, 1):
        answers[f"xl/worksheets/sheet{number}.xml"] = write_sheet(
            book.create_sheet(sheet.name), sheet
        )
    book.properties.creator = "Heron Lane Engine Works"
    book.properties.created = MADE_ON
    saved = io.BytesIO()
    book.save(saved)
    return settle(saved, answers)


def settle(saved, answers):
    """Store the formulas' answers, which openpyxl leaves out, and a fixed date in the file."""
    made = io.BytesIO()
    with zipfile.ZipFile(saved) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            text = old.read(name).decode("utf-8")
            for cell, answer in answers.get(name, {}).items():
                pattern = rf'(<c r="{cell}"[^>]*><f>[^<]*</f>)<v ?/?>(</v>)?'
                text, found = re.subn(pattern, rf"\g<1><v>{answer!r}</v>", text)
                if found != 1:
                    raise RuntimeError(f"no place for the answer of {cell} in {name}")
            if name == "docProps/core.xml":
                stamp = MADE_ON.strftime("%Y-%m-%dT%H:%M:%SZ")
                text = re.sub(r"(<dcterms:modified[^>]*>)[^<]*", rf"\g<1>{stamp}", text)
            entry = zipfile.ZipInfo(name, MADE_ON.timetuple()[:6])
            new.writestr(entry, text, zipfile.ZIP_DEFLATED)
    return made.getvalue()


def csv_text(sheet):
    """Return one sheet as a program saves a list: every row as wide as the widest."""
    width = max(len(row) for row in sheet.rows)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    for row in sheet.rows:
        cells = [re.sub(r"^(\d{4})-(\d\d)-(\d\d)$", r"\3/\2/\1", cell) for cell in row]
        writer.writerow(cells + [""] * (width - len(cells)))
    return text.getvalue()


def make(folder=HERE / "linnet"):
    """Write every file of the example into a folder."""
    received = read_text(HERE / "linnet" / "received.txt")
    sheets = [sheet for sheet in received if not sheet.name.endswith(".csv")]
    (folder / "received.xlsx").write_bytes(workbook(sheets))
    (folder / "finished.xlsx").write_bytes(workbook(read_text(HERE / "linnet" / "finished.txt")))
    for sheet in received:
        if sheet.name.endswith(".csv"):
            (folder / sheet.name).write_text(csv_text(sheet), encoding="utf-8", newline="")


def make_dunlin(folder=HERE / "dunlin"):
    """Write the weighings of the V-twin into a folder, a CSV as the scales' program exports it."""
    for sheet in read_text(HERE / "dunlin" / "weighings.txt"):
        (folder / sheet.name).write_text(csv_text(sheet), encoding="utf-8", newline="")


def make_curlew(folder=HERE / "curlew"):
    """Write the spins of the V8 before and after it was drilled into a folder."""
    for name in ("spins", "finished"):
        sheets = read_text(HERE / "curlew" / f"{name}.txt")
        (folder / f"{name}.xlsx").write_bytes(workbook(sheets))


if __name__ == "__main__":
    make()
    make_dunlin()
    make_curlew()
