"""The workbook that goes back to the shop: its own sheets, every reading judged.

The workbook is written afresh from what was read; the original is never opened for writing. Marks,
fills and comments stand on the cells themselves, the next action beside the row.

Caution: the workbook repeats verdicts and does not make them. A cell marked "not read" was not
judged at all.
"""

from __future__ import annotations

import datetime as dt
import os
import re
import warnings
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np

from enginewright._files import write_whole
from enginewright._rows import column
from enginewright.sheets.book_marks import Marks
from enginewright.sheets.book_pages import findings_page, problems_page, summary_page
from enginewright.sheets.book_sheets import dress_of, print_setup, write_sheet
from enginewright.sheets.book_style import Style
from enginewright.sheets.grid import Grid
from enginewright.sheets.guards import Guards, read_bytes
from enginewright.sheets.problems import SheetError
from enginewright.sheets.reading import SheetRead
from enginewright.sheets.source import Source, open_source
from enginewright.sheets.written import decimals_of_text
from enginewright.sheets.xlsx_file import require_openpyxl

__all__ = ["annotate"]


def annotate(
    source: str | os.PathLike[str],
    read: SheetRead,
    findings: Any,
    target: str | os.PathLike[str],
    *,
    date: dt.date | None = None,
    guards: Guards | None = None,
) -> Path:
    """Write the shop's workbook again, with the findings beside its rows and on its cells.

    Parameters
    ----------
    source : str or path
        The file that was read: a workbook or a CSV.
    read : SheetRead
        What `read` made of it.
    findings : Findings
        What `inspect` found in its readings.
    target : str or path
        The workbook to write. It is written whole or not at all, and is never the source.
    date : date, optional
        For the foot of the pages; today if not given.
    guards : Guards, optional
        What the source may ask for.

    Returns
    -------
    Path
        The target.

    Raises
    ------
    SheetError
        The source has changed since it was read, or the target is the source itself.
    OSError
        The target cannot be written; an older file of its name stays as it was.
    """
    openpyxl = require_openpyxl("writing a workbook")
    if os.path.realpath(source) == os.path.realpath(target):
        raise SheetError(f"{Path(target).name}: is the file that was read; name another one")
    made = open_source(source, guards, *_csv_ways(read))
    if read.sha256 and made.sha256 != read.sha256:
        raise SheetError(f"{made.name}: has changed since it was read; read it again")
    book = openpyxl.Workbook()
    book.remove(book.active)
    marks, style = Marks(findings, read.problems, read.file, read.readings), Style()
    summary = book.create_sheet(_free("Summary", made, book))
    job = ", ".join(dict.fromkeys(str(name) for name in column(read.readings, "job") if name))
    day = (date or dt.date.today()).isoformat()
    summary_page(summary, style, marks, read, findings, _facts(job, read, made, day))
    worn = _worn(openpyxl, source, made, guards)
    for grid in made.grids:
        sheet = book.create_sheet(_title(grid.name))
        spans = [span for span in read.spans if span.sheet == grid.name]
        numbers = _plain_numbers(read, grid) if made.kind == "csv" else {}
        write_sheet(sheet, grid, spans, marks, style, dress_of(worn, grid.name), numbers)
    findings_page(book.create_sheet(_free("Findings", made, book)), style, marks)
    page = book.create_sheet(_free("Problems", made, book))
    problems_page(page, style, read.problems, marks.words)
    for sheet in book.worksheets:
        print_setup(sheet, job, day)
    book.active = 0
    book.properties.creator = "enginewright"
    stream = BytesIO()
    book.save(stream)
    return write_whole(target, stream.getvalue())


def _csv_ways(read: SheetRead) -> tuple[str | None, str | None]:
    return read.encoding, read.separator


def _facts(job: str, read: SheetRead, made: Source, day: str) -> list[tuple[str, str]]:
    from enginewright import __version__

    engines = dict.fromkeys(str(name) for name in column(read.readings, "engine") if name)
    stages = dict.fromkeys(str(name) for name in column(read.readings, "stage") if name)
    facts = [
        ("Job", job),
        ("Engine", ", ".join(engines)),
        ("Stage", ", ".join(stages)),
        ("Readings", str(len(read.readings))),
        ("Made from", made.name),
        ("SHA-256", made.sha256),
        ("Made by", f"enginewright {__version__}, {day}"),
    ]
    return [facts[0], *(fact for fact in facts[1:] if fact[1])]


def _worn(
    openpyxl: Any, source: str | os.PathLike[str], made: Source, guards: Guards | None
) -> Any:
    """Load the workbook in full for what its cells wear: the guards have passed it by now."""
    if made.kind != "xlsx":
        return None
    data = read_bytes(source, guards or Guards())
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return openpyxl.load_workbook(BytesIO(data), data_only=True, keep_links=False)


def _title(name: str) -> str:
    """Return a name that a workbook takes for a sheet: a CSV's sheet bears the file's name."""
    return re.sub(r"[\[\]:*?/\\]", "_", name)[:31].strip("'") or "sheet"


def _free(name: str, made: Source, book: Any) -> str:
    """Return a name for a page of the program's own that none of the shop's sheets has."""
    taken = {_title(grid.name).casefold() for grid in made.grids}
    taken |= {title.casefold() for title in book.sheetnames}
    count, title = 2, name
    while title.casefold() in taken:
        title, count = f"{name} ({count})", count + 1
    return title


def _plain_numbers(read: SheetRead, grid: Grid) -> dict[tuple[int, int], tuple[float, str]]:
    """Return the cells of a CSV that can be numbers: columns in which every reading is plain."""
    rows, columns = column(read.readings, "row"), column(read.readings, "column")
    values = column(read.readings, "value")
    found: dict[int, dict[tuple[int, int], tuple[float, str]]] = {}
    mixed = set()
    for row, place, value in zip(rows, columns, values, strict=True):
        if value is None or row is None or place is None:
            continue
        text = str(grid.at(int(row), int(place)) or "").strip().replace(",", ".")
        if not re.fullmatch(r"-?\d+(\.\d+)?", text) or float(text) != float(value):
            mixed.add(int(place))
            continue
        decimals = -int(np.round(np.log10(decimals_of_text([text])[0])))
        form = "0." + "0" * decimals if decimals else "0"
        found.setdefault(int(place), {})[int(row), int(place)] = (float(value), form)
    return {
        cell: number
        for place, cells in found.items()
        if place not in mixed
        for cell, number in cells.items()
    }
