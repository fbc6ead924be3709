"""CSV: bytes to rows, with the encoding and the separator decided from the whole file.

Nothing is guessed from a sample. The encoding is what the bytes allow; the separator is the one
under which most rows agree on a width, and when two serve equally well the file is refused with
what was tried.
"""

from __future__ import annotations

import codecs
import contextlib
import csv
import io
import re
from collections import Counter
from dataclasses import dataclass

from enginewright.sheets.csv_even import even_rows
from enginewright.sheets.grid import Grid
from enginewright.sheets.guards import Guards
from enginewright.sheets.problems import SAVE_AS, Problem, SheetError

__all__ = ["read_csv"]

SEPARATORS = {";": "semicolon", "\t": "tab", ",": "comma", "|": "bar"}
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)


def read_csv(
    name: str,
    sheet: str,
    data: bytes,
    guards: Guards,
    encoding: str | None = None,
    separator: str | None = None,
) -> tuple[Grid, list[Problem]]:
    """Read the bytes of a CSV file into one grid.

    Parameters
    ----------
    name : str
        The file, for messages.
    sheet : str
        What the grid is called.
    data : bytes
        The file.
    guards : Guards
        What is allowed.
    encoding : str, optional
        Of a file that is not UTF-8; else Windows-1252 is taken and said.
    separator : str, optional
        When the file cannot tell.

    Returns
    -------
    Grid
        The sheet.
    list of Problem
        What should be looked at.

    Raises
    ------
    SheetError
        The bytes are no text, or no separator or two make a table of it.
    """
    text, odd = _decoded(name, data, encoding)
    first_line, text, named = _separator_line(text)
    given = separator or named
    mark = given if given else _best_separator(name, text, guards)
    if text.count(mark) + text.count("\n") > guards.cells:
        raise SheetError(f"{name}: cells must be at most {guards.cells:,}, got more")
    even = even_rows(text, mark) if named is None and not _padded(text, mark) else None
    if even is not None and any(even[-1]):
        grid = Grid(sheet, even, range(1, len(even) + 1), spreads_headings=True)
        return grid, [] if odd is None else [_odd_byte(name, sheet, data, odd, mark, encoding)]
    split = _split(name, text, mark, first_line)
    grid = _grid(sheet, split, first_line, named is not None, text, mark)
    problems = []
    if split.opened is not None:
        problems.append(_never_closed(name, grid, split.opened))
    if odd is not None:
        problems.append(_odd_byte(name, sheet, data, odd, mark, encoding))
    return grid, problems


def _decoded(name: str, data: bytes, encoding: str | None) -> tuple[str, int | None]:
    """Return the text and the place of the first byte that made it not UTF-8."""
    for mark, code in _MARKS:
        if data.startswith(mark):
            try:
                return _printable(name, data[len(mark) :].decode(code)), None
            except UnicodeDecodeError as error:
                odd = error.start + len(mark) + 1
                raise SheetError(
                    f"{name}: begins as {code.upper()[:6]}, but byte {odd:,} does not belong to it;"
                    " it is cut off or damaged"
                ) from error
    if b"\x00" in data:
        odd = data.index(b"\x00")
        raise SheetError(f"{name}: is not a text file (byte {odd + 1:,} is 0); {SAVE_AS}")
    try:
        return _printable(name, data.decode("utf-8")), None
    except UnicodeDecodeError as error:
        odd = error.start
    try:
        return _printable(name, data.decode(encoding or "cp1252")), odd
    except LookupError as error:
        raise SheetError(
            f"{name}: encoding {encoding!r} is not known; write for example cp1250"
        ) from error
    except (UnicodeDecodeError, ValueError) as error:
        if isinstance(error, SheetError):
            raise
        raise SheetError(
            f"{name}: is neither UTF-8 (byte {odd + 1:,}) nor {encoding or 'Windows-1252'}; "
            "say which under [file] as encoding"
        ) from error


_NOT_TEXT = re.compile(r"[\x00-\x08\x0e-\x1f\x7f\ufffe\uffff]")
_CONTROL = str.maketrans("", "", "".join(map(chr, (*range(9), *range(14, 32), 127))))


def _printable(name: str, text: str) -> str:
    """Refuse what is no text: NUL and other control characters never stand in a CSV."""
    # Two quick looks before the slow one that finds the place.
    suspect = not text.isascii() or len(text.translate(_CONTROL)) < len(text)
    odd = _NOT_TEXT.search(text) if suspect else None
    if odd is not None:
        raise SheetError(
            f"{name}: is not a text file (character {odd.start() + 1:,} is code {ord(odd[0])}); "
            f"{SAVE_AS}"
        )
    if not text.strip():
        raise SheetError(f"{name}: holds nothing but blanks")
    return text


def _separator_line(text: str) -> tuple[int, str, str | None]:
    """Take off a first line "sep=;": return the first line of data, the rest, the separator."""
    found = re.match(r'"?sep=(.)"?[ \t]*(\r\n|\r|\n|$)', text)
    return (1, text, None) if found is None else (2, text[found.end() :], found[1])


def _best_separator(name: str, text: str, guards: Guards) -> str:
    """Return the separator under which most rows agree on one width above 1."""
    scores: dict[str, int] = {}
    tried = []
    counts = {mark: text.count(mark) for mark in SEPARATORS}
    present = [mark for mark, count in counts.items() if count]
    if len(present) == 1:
        return present[0]
    for mark, word in SEPARATORS.items():
        count = counts[mark]
        if count == 0 or count > guards.cells:
            tried.append(f"{word}: none" if count == 0 else f"{word}: too many")
            continue
        widths = _widths(text, mark)
        width, rows = max(widths.items(), key=lambda pair: (pair[1], pair[0]), default=(1, 0))
        scores[mark] = rows
        tried.append(f"{word}: {rows} rows of {width}" if rows else f"{word}: none")
    best = [mark for mark, rows in scores.items() if rows and rows == max(scores.values())]
    if len(best) == 1:
        return best[0]
    trouble = "two separators fit equally well" if best else "no separator makes a table of it"
    raise SheetError(f"{name}: {trouble} ({'; '.join(tried)}); say which under [file] as separator")


def _widths(text: str, mark: str) -> Counter[int]:
    """Count the rows of each width above 1."""
    widths: Counter[int] = Counter()
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    with contextlib.suppress(csv.Error):  # A field beyond all measure: the rows before it decide.
        widths.update(map(len, rows))
    return Counter({width: count for width, count in widths.items() if width > 1})


@dataclass
class _Split:
    rows: list[list[str]]
    numbers: list[int] | range
    opened: int | None = None
    """Line on which a quote opens that is never closed."""


def _split(name: str, text: str, mark: str, first_line: int) -> _Split:
    """Cut the text into rows; a row of several lines bears the number of its first line."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    rows: list[list[str]] = []
    numbers: list[int] = []
    start = 0
    try:
        if '"' not in text:
            rows = list(reader)
            return _Split(rows, range(first_line, first_line + len(rows)))
        for row in reader:
            rows.append(row)
            numbers.append(start + first_line)
            last, start = start, reader.line_num
    except csv.Error as error:
        if '"' not in text:
            raise SheetError(
                f"{name}: line {reader.line_num + first_line - 1} holds a cell of more than "
                f"{csv.field_size_limit():,} characters"
            ) from error
        return _Split(rows, numbers, start + first_line)
    if rows and _stays_open(text, mark, last):
        rows.pop()
        numbers.pop()
        return _Split(rows, numbers, last + first_line)
    return _Split(rows, numbers)


def _stays_open(text: str, mark: str, line: int) -> bool:
    """Tell whether the row that begins on a line ends inside a quote."""
    lines = list(io.StringIO(text, newline=""))[line:]
    try:
        list(csv.reader(lines, delimiter=mark, strict=True))
    except csv.Error as error:
        return "unexpected end" in str(error)
    return False


def _grid(sheet: str, split: _Split, first_line: int, named: bool, text: str, mark: str) -> Grid:
    rows, numbers = split.rows, split.numbers
    lost_from = None
    if split.opened is not None:
        lost_from = split.opened
        # Without the quote each line is a row again: all of them are counted, none is used.
        lost = list(io.StringIO(text, newline=""))[lost_from - first_line :]
        rows = rows + list(csv.reader(lost, delimiter=mark, quoting=csv.QUOTE_NONE))
        numbers = [*numbers, *range(lost_from, lost_from + len(rows) - len(numbers))]
    if named:
        rows = [[f"sep={mark}"], *rows]
        numbers = range(1, len(rows) + 1) if isinstance(numbers, range) else [1, *numbers]
    if _padded(text, mark):
        rows = [[cell if cell and not cell.isspace() else "" for cell in row] for row in rows]
    while rows and not any(rows[-1]):
        rows.pop()
    return Grid(
        name=sheet,
        rows=list(rows),
        numbers=numbers[: len(rows)],
        spreads_headings=True,
        first_line=first_line,
        lost_from=lost_from,
    )


def _padded(text: str, mark: str) -> bool:
    """Tell whether a cell may hold nothing but blanks: one must then begin a cell."""
    if not text.isascii() or "\v" in text or "\f" in text:
        return True
    blanks = [blank for blank in (" " if mark == "\t" else " \t") if blank in text]
    starts = [mark, "\n", *(['"'] if '"' in text else [])]
    return text[:1] in blanks or any(s + blank in text for s in starts for blank in blanks)


def _never_closed(name: str, grid: Grid, line: int) -> Problem:
    lost = sum(1 for number in grid.numbers if number >= line)
    return Problem(
        severity="error",
        code="quote never closed",
        message=f"the quote opened on line {line} is never closed; {lost} rows from there are lost",
        file=name,
        sheet=grid.name,
        row=line,
        suggestion="close the quote, or take it out",
    )


def _odd_byte(
    name: str, sheet: str, data: bytes, odd: int, mark: str, encoding: str | None
) -> Problem:
    before = data[: odd + 1].decode("latin-1")
    row = column = 1
    rows = csv.reader(io.StringIO(before, newline=""), delimiter=mark)
    start = 0
    for cells in rows:
        row, column = start + 1, len(cells)
        start = rows.line_num
    code = encoding or "cp1252"
    return Problem(
        severity="warning",
        code="not UTF-8",
        message=f"the file is not UTF-8; it was read as {code}, as in this cell",
        file=name,
        sheet=sheet,
        row=row,
        column=column,
        found=data[odd : odd + 1].decode(code, "replace"),
        suggestion=""
        if encoding
        else 'check this cell, then write encoding = "cp1252" under [file]',
    )
