"""A file, whatever it is called: its content decides which reader opens it."""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass, field
from pathlib import Path

from enginewright.sheets.csv_file import read_csv
from enginewright.sheets.grid import Grid
from enginewright.sheets.guards import Guards, read_bytes
from enginewright.sheets.problems import SAVE_AS, Problem, SheetError
from enginewright.sheets.xlsx_file import read_xlsx

__all__ = ["Source", "open_source"]

_PACKAGE = b"PK\x03\x04"
_COMPOUND = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_OTHERS = (
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"BM", "a picture"),
    (b"%PDF", "a PDF"),
    (b"\x1f\x8b", "a compressed file"),
    (b"PK", "an empty or cut-off package"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
)


@dataclass
class Source:
    """A file as read: its name, kind and fingerprint, its sheets, what struck the reader."""

    name: str
    kind: str
    sha256: str
    grids: list[Grid]
    problems: list[Problem] = field(default_factory=list)


def open_source(
    path: str | os.PathLike[str],
    guards: Guards | None = None,
    encoding: str | None = None,
    separator: str | None = None,
) -> Source:
    """Read a CSV file or a workbook into grids.

    Parameters
    ----------
    path : str or path
        The file; its ending is not looked at.
    guards : Guards, optional
        What the file may ask for.
    encoding, separator : str, optional
        Of a CSV that cannot tell.

    Returns
    -------
    Source
        Name, kind ("csv" or "xlsx"), SHA-256, grids and problems.

    Raises
    ------
    SheetError
        The file cannot be read, in one sentence.
    """
    guards = guards or Guards()
    data = read_bytes(path, guards)
    name = Path(path).name
    fingerprint = hashlib.sha256(data).hexdigest()
    if data.startswith(_PACKAGE):
        return Source(name, "xlsx", fingerprint, read_xlsx(name, data, guards))
    _refuse_others(name, data)
    grid, problems = read_csv(name, Path(path).stem, data, guards, encoding, separator)
    return Source(name, "csv", fingerprint, [grid], problems)


def _refuse_others(name: str, data: bytes) -> None:
    if data.startswith(_COMPOUND):
        if "EncryptedPackage".encode("utf-16-le") in data:
            raise SheetError(f"{name}: is encrypted; save it without a password")
        raise SheetError(f"{name}: is an old workbook (.xls); {SAVE_AS}")
    for start, what in _OTHERS:
        # Two letters may begin a text as well: then a byte that no text holds must follow soon.
        if data.startswith(start) and (len(start) > 2 or b"\x00" in data[:4096]):
            raise SheetError(f"{name}: is {what}, not a spreadsheet; {SAVE_AS}")
