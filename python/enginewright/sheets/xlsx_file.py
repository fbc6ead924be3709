"""XLSX: a checked package to grids, by openpyxl for the cells.

Values are read as they were saved; nothing is calculated, no link is followed, no macro is kept.
What the streaming reader of openpyxl leaves out (merged ranges, hidden rows, names) is taken from
the parts themselves, which the guards have looked at by then.
"""

from __future__ import annotations

import posixpath
import re
import warnings
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any
from xml.etree import ElementTree

from enginewright.sheets.grid import Area, ErrorCell, Grid, Uncalculated, column_number
from enginewright.sheets.guards import Guards, check_package, pieces
from enginewright.sheets.problems import SAVE_AS, SheetError

__all__ = ["ADDED_COLUMNS", "ADDED_SHEET", "read_xlsx", "require_openpyxl"]

ADDED_SHEET = "enginewright_added_sheet"
ADDED_COLUMNS = "enginewright_added_columns"
_LAST_ROW = 1_048_576


@dataclass
class _Part:
    """What a sheet's part says beside its cells."""

    name: str
    inside: str
    hidden: bool = False
    added_from: int | None = None
    merged: list[Area] = field(default_factory=list)
    hidden_rows: list[int] = field(default_factory=list)
    hidden_columns: list[int] = field(default_factory=list)
    formulas: bool = False
    cells: int = 0
    prefixed: bool = False


def require_openpyxl(purpose: str) -> Any:
    """Import openpyxl, or say which extra brings it."""
    try:
        import openpyxl
    except ImportError as error:
        raise ImportError(f"{purpose} needs openpyxl: pip install 'enginewright[shop]'") from error
    return openpyxl


def read_xlsx(name: str, data: bytes, guards: Guards) -> list[Grid]:
    """Read the bytes of a workbook into one grid a sheet.

    Sheets and columns that this program added to a workbook of its own are left out.

    Parameters
    ----------
    name : str
        The file, for messages.
    data : bytes
        The file.
    guards : Guards
        What is allowed.

    Raises
    ------
    SheetError
        The package is damaged or asks for more than the guards allow.
    """
    package = check_package(name, data, guards)
    parts = _parts(name, package)
    for part in parts:
        _look_through(name, package, part)
        _check_merged(name, part, guards)
    openpyxl = require_openpyxl("reading a workbook")
    with warnings.catch_warnings():
        # openpyxl warns about parts it leaves out; none of them is a cell.
        warnings.simplefilter("ignore")
        values = _opened(openpyxl, name, data, data_only=True)
        formulas = None
        if any(part.formulas for part in parts):
            formulas = _opened(openpyxl, name, data, data_only=False)
        return [_grid(name, values, formulas, part, guards) for part in parts]


def _opened(openpyxl: Any, name: str, data: bytes, data_only: bool) -> Any:
    try:
        return openpyxl.load_workbook(
            BytesIO(data), read_only=True, data_only=data_only, keep_links=False, keep_vba=False
        )
    except Exception as error:
        # Whatever openpyxl stumbles over, the package is at fault.
        raise SheetError(f"{name}: the workbook is damaged ({_plain(error)})") from error


def _plain(error: BaseException) -> str:
    """Return an error of another library as a few words."""
    text = " ".join(str(error).split()) or type(error).__name__
    return text if len(text) <= 100 else text[:97] + "..."


def _parts(name: str, package: zipfile.ZipFile) -> list[_Part]:
    """List the sheets of a workbook in their order, without those that this program added."""
    try:
        book_path = _related(package, "_rels/.rels", "", "/officeDocument")[0][1]
        book = ElementTree.fromstring(package.read(book_path))
        folder, file = posixpath.split(book_path)
        targets = dict(_related(package, f"{folder}/_rels/{file}.rels", folder, "/worksheet"))
    except (KeyError, IndexError, ElementTree.ParseError, UnicodeDecodeError) as error:
        raise SheetError(f"{name}: is a package without a workbook; {SAVE_AS}") from error
    entries = set(package.namelist())
    parts: list[_Part] = []
    places: list[_Part | None] = []
    for sheet in _all(book, "sheet"):
        identity = next((v for k, v in sheet.attrib.items() if k.endswith("}id")), "")
        target = targets.get(identity)
        part = None
        if target in entries:
            hidden = sheet.get("state", "visible") != "visible"
            part = _Part(sheet.get("name", "?"), target, hidden)
            parts.append(part)
        places.append(part)
    added = set()
    for defined in _all(book, "definedName"):
        index = int(defined.get("localSheetId") or -1)
        owner = places[index] if 0 <= index < len(places) else None
        if owner is not None and defined.get("name") == ADDED_SHEET:
            added.add(owner.name)
        elif owner is not None and defined.get("name") == ADDED_COLUMNS:
            letters = re.search(r"!\$?([A-Z]+)", defined.text or "")
            owner.added_from = column_number(letters[1]) if letters else None
    return [part for part in parts if part.name not in added]


def _all(root: ElementTree.Element, tag: str) -> Iterator[ElementTree.Element]:
    return (element for element in root.iter() if element.tag.rpartition("}")[2] == tag)


def _related(
    package: zipfile.ZipFile, relations: str, folder: str, kind: str
) -> list[tuple[str, str]]:
    """Return (id, entry) of a part's relations of one kind; external ones are never followed."""
    found = []
    for relation in _all(ElementTree.fromstring(package.read(relations)), "Relationship"):
        if relation.get("TargetMode") == "External" or not relation.get("Type", "").endswith(kind):
            continue
        target = relation.get("Target", "")
        entry = target[1:] if target.startswith("/") else posixpath.join(folder, target)
        found.append((relation.get("Id", ""), posixpath.normpath(entry)))
    return found


_HIDDEN_ROW = re.compile(rb"""<(?:\w+:)?row\b[^>]*?\bhidden=["'](?:1|true)["'][^>]*>""")
_HIDDEN_COLUMN = re.compile(rb"""<(?:\w+:)?col\b[^>]*?\bhidden=["'](?:1|true)["'][^>]*>""")
_FORMULA = re.compile(rb"<f[\s/>]")
_PREFIXED_FORMULA = re.compile(rb":f[\s/>]")
_MERGED = re.compile(
    rb"""mergeCell\b[^>]*?\bref=["']([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})["']"""
)


def _look_through(name: str, package: zipfile.ZipFile, part: _Part) -> None:
    """Take from a sheet's part what the streaming reader leaves out."""
    for piece in pieces(name, package, part.inside):
        part.prefixed = part.prefixed or b":sheetData" in piece
        part.cells += piece.count(b"<c ") + piece.count(b"<c>") + piece.count(b"<c/")
        if not part.formulas:
            # A pattern that begins with plain letters passes over a year of readings in no time.
            part.formulas = _FORMULA.search(piece) is not None
            if part.prefixed and not part.formulas:
                part.formulas = _PREFIXED_FORMULA.search(piece) is not None
        if b"hidden=" in piece:
            for tag in _HIDDEN_ROW.findall(piece):
                number = re.search(rb"""\br=["'](\d+)["']""", tag)
                if number:
                    part.hidden_rows.append(int(number[1]))
            for tag in _HIDDEN_COLUMN.findall(piece):
                span = (
                    re.search(rb"""\bmin=["'](\d+)["']""", tag),
                    re.search(rb"""\bmax=["'](\d+)["']""", tag),
                )
                if span[0] and span[1] and len(part.hidden_columns) < 16_384:
                    last = min(int(span[1][1]), 16_384)
                    part.hidden_columns.extend(range(int(span[0][1]), last + 1))
        if b"mergeCell" in piece:
            part.merged.extend(
                Area(
                    int(top),
                    column_number(left.decode()),
                    int(bottom),
                    column_number(right.decode()),
                )
                for left, top, right, bottom in _MERGED.findall(piece)
            )


def _check_merged(name: str, part: _Part, guards: Guards) -> None:
    """Refuse merged ranges that lie on top of each other: each would have to be looked at."""
    if sum(max(0, area.bottom - area.top + 1) for area in part.merged) > guards.cells:
        raise SheetError(f"{name}: sheet {part.name} has merged ranges on top of each other")


def _grid(name: str, values: Any, formulas: Any, part: _Part, guards: Guards) -> Grid:
    rows, formats = _rows(name, values, part, guards)
    if part.formulas:
        _mark_uncalculated(name, formulas, part, rows)
    _uncover(part, rows)
    if part.added_from is not None:
        rows = [row[: part.added_from - 1] for row in rows]
    while rows and not any(value is not None and value != "" for value in rows[-1]):
        rows.pop()
    last = len(rows)
    return Grid(
        name=part.name,
        rows=rows,
        numbers=range(1, last + 1),
        merged=part.merged,
        hidden_rows=sorted({number for number in part.hidden_rows if number <= last}),
        hidden_columns=sorted(set(part.hidden_columns)),
        hidden=part.hidden,
        formats=formats,
    )


def _rows(
    name: str, book: Any, part: _Part, guards: Guards
) -> tuple[list[Sequence[Any]], dict[int, dict[int, str]]]:
    """Return the rows of a sheet as they were saved, and the number formats of its numbers."""
    rows: list[Sequence[Any]] = []
    formats: dict[int, dict[int, str]] = {}
    seen = spread = 0
    try:
        sheet = book[part.name]
        sheet.reset_dimensions()
        for number, cells in enumerate(sheet.iter_rows(), start=1):
            if number > _LAST_ROW:
                raise SheetError(f"{name}: sheet {part.name} has a row beyond {_LAST_ROW:,}")
            if not cells:
                rows.append(())
                continue
            spread += len(cells)
            if spread > 2 * guards.cells:
                raise SheetError(
                    f"{name}: sheet {part.name} spreads over too many columns; "
                    "delete what stands far to the right"
                )
            row, count = _row(cells, number, formats)
            seen += count
            rows.append(row)
    except SheetError:
        raise
    except Exception as error:
        raise SheetError(
            f"{name}: sheet {part.name} is damaged after row {len(rows)} ({_plain(error)})"
        ) from error
    if not part.prefixed and seen != part.cells:
        # The streaming reader passes over a row out of order and keeps the last of two cells.
        raise SheetError(
            f"{name}: sheet {part.name} is damaged: {part.cells:,} cells in {seen:,} places"
        )
    return rows, formats


def _row(
    cells: Sequence[Any], number: int, formats: dict[int, dict[int, str]]
) -> tuple[list[Any], int]:
    """Return the values of one row and how many cells the file holds in it."""
    row: list[Any] = []
    count = 0
    for column, cell in enumerate(cells, start=1):
        value = cell.value
        if value is None:
            # An empty text that a formula gave is a value: the cell is calculated, and blank.
            row.append("" if cell.data_type == "str" else None)
            count += hasattr(cell, "row")
            continue
        count += 1
        kind = cell.data_type
        if kind == "s":
            row.append("" if value.isspace() or not value else value)
        elif kind == "e":
            row.append(ErrorCell(str(value)))
        elif kind == "n":
            row.append(value)
            if cell.has_style:
                form = cell.number_format
                if form != "General":
                    formats.setdefault(column, {})[number] = form
        else:
            row.append(value)
    return row, count


def _uncover(part: _Part, rows: list[Sequence[Any]]) -> None:
    """Blank the cells that lie under a merged cell; no spreadsheet shows them."""
    for area in part.merged:
        for number in range(area.top, min(area.bottom, len(rows)) + 1):
            row = rows[number - 1]
            first = area.left + (number == area.top)
            covered = row[first - 1 : area.right]
            if any(value is not None for value in covered):
                changed = list(row)
                changed[first - 1 : area.right] = [None] * len(covered)
                rows[number - 1] = changed


def _mark_uncalculated(name: str, book: Any, part: _Part, rows: list[Sequence[Any]]) -> None:
    """Name the formulas that were saved without a value; they would look blank otherwise."""
    try:
        sheet = book[part.name]
        sheet.reset_dimensions()
        for index, cells in enumerate(sheet.iter_rows()):
            if index >= len(rows):
                break
            row = rows[index]
            for column, cell in enumerate(cells[: len(row)]):
                if row[column] is None and cell.data_type == "f":
                    formula = getattr(cell.value, "text", None) or str(cell.value)
                    row[column] = Uncalculated(formula)  # type: ignore[index]
    except Exception as error:
        raise SheetError(f"{name}: sheet {part.name} is damaged ({_plain(error)})") from error
