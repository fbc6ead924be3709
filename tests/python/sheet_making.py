"""Small sheets for tests: rows of cells written as CSV or as a workbook, and readings as rows."""

import csv
import io
import zipfile
from pathlib import Path

import openpyxl

TIDY = ["job", "stage", "feature", "number", "quantity", "value", "unit"]


def tidy(*rows, heads=()):
    """One heading of column names, and rows of (feature, number, quantity, value, unit, ...)."""
    return [[*TIDY, *heads], *(["1042", "as received", *row] for row in rows)]


def csv_file(folder, rows, name="sheet.csv", mark=",", encoding="utf-8"):
    """Write rows as CSV; a text is written as it is."""
    path = Path(folder) / name
    text = rows
    if not isinstance(rows, str):
        stream = io.StringIO()
        csv.writer(stream, delimiter=mark, lineterminator="\n").writerows(rows)
        text = stream.getvalue()
    path.write_bytes(text.encode(encoding))
    return path


def workbook(folder, sheets, name="sheet.xlsx", merged=(), formats=()):
    """Write sheets {name: rows} as a workbook; merges and formats are of the first one."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for number, row in enumerate(rows, 1):
            for column, value in enumerate(row, 1):
                if value is not None:
                    cell = sheet.cell(number, column, value)
                    if isinstance(value, str) and not value.startswith("#"):
                        cell.data_type = "s"
    first = book.worksheets[0]
    for area in merged:
        first.merge_cells(area)
    for place, form in formats:
        first[place].number_format = form
    path = Path(folder) / name
    book.save(path)
    return path


def rewritten(path, entry, old, new):
    """Copy a workbook with one part's bytes changed, as a damaged or hostile writer leaves it."""
    target = path.with_name(f"changed_{path.name}")
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(target, "w") as copy:
        for name in source.namelist():
            data = source.read(name)
            copy.writestr(name, data.replace(old, new) if name == entry else data)
    return target


def column(read, name):
    """A column of the readings as a list, None where there is nothing."""
    found = read.readings[name]
    pairs = zip(list(found.values), list(found.missing), strict=True)
    return [None if missing or value == "" else value for value, missing in pairs]


def readings(read, *names):
    """The readings as rows of the named columns."""
    return list(zip(*(column(read, name) for name in names), strict=True))


def told(read):
    """Place and code of every problem."""
    return [(problem.place, problem.code) for problem in read.problems]
