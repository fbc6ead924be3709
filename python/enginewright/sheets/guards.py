"""Guards: what is looked at before any parser sees a byte.

A spreadsheet comes from anywhere. A package that unpacks to far more than it weighs, an entity that
multiplies itself, a name that points out of the package, a pipe that never ends: each is refused
here, in one sentence, without unpacking more than a piece at a time.
"""

from __future__ import annotations

import io
import os
import re
import stat
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass

from enginewright.sheets.problems import SAVE_AS, SheetError

__all__ = ["Guards", "check_package", "pieces", "read_bytes"]

_PIECE = 1 << 20
_PROLOG = 1 << 16


@dataclass(frozen=True, kw_only=True)
class Guards:
    """How much a file may ask for. Raise a figure for a file that is known to be good."""

    file_size: int = 64 << 20
    """Bytes of the file itself."""
    entries: int = 10_000
    """Entries of a package."""
    unpacked: int = 512 << 20
    """Bytes of a package when unpacked."""
    ratio: int = 200
    """Unpacked bytes for each packed byte, of entries over 1 MiB."""
    cells: int = 5_000_000
    """Cells of a file."""
    merged: int = 20_000
    """Merged ranges of a file."""
    part_size: int = 16 << 20
    """Bytes of a part that is neither a sheet nor the list of texts: styles, theme, relations."""


def read_bytes(path: str | os.PathLike[str], guards: Guards) -> bytes:
    """Read a file that is a plain file, is not empty, and holds still meanwhile.

    Raises
    ------
    SheetError
        It is anything else: a folder, a pipe, a device, a link to itself, missing, too large.
    """
    name = os.fspath(path)
    try:
        # Not blocking: opening a pipe without a writer would wait for ever.
        handle = os.open(
            name, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
        )
    except OSError as error:
        raise SheetError(f"{name}: cannot be opened: {_reason(error)}") from error
    try:
        before = os.fstat(handle)
        _require_plain(name, before, guards)
        with os.fdopen(os.dup(handle), "rb") as stream:
            data = stream.read(guards.file_size + 1)
        after = os.fstat(handle)
    except OSError as error:
        raise SheetError(f"{name}: cannot be read: {_reason(error)}") from error
    finally:
        os.close(handle)
    if (before.st_size, before.st_mtime_ns) != (after.st_size, after.st_mtime_ns) or (
        len(data) != after.st_size
    ):
        raise SheetError(f"{name}: changed while it was being read; close it elsewhere, try again")
    return data


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _require_plain(name: str, found: os.stat_result, guards: Guards) -> None:
    if stat.S_ISDIR(found.st_mode):
        raise SheetError(f"{name}: is a folder, not a file")
    if not stat.S_ISREG(found.st_mode):
        raise SheetError(f"{name}: is a pipe or a device, not a file")
    if found.st_size == 0:
        raise SheetError(f"{name}: holds no bytes")
    if found.st_size > guards.file_size:
        raise SheetError(
            f"{name}: size must be at most {guards.file_size:,} bytes, got {found.st_size:,}"
        )


def check_package(name: str, data: bytes, guards: Guards) -> zipfile.ZipFile:
    """Open a workbook's package after looking at everything that it declares and holds.

    Parameters
    ----------
    name : str
        For messages.
    data : bytes
        The file.
    guards : Guards
        What is allowed.

    Returns
    -------
    ZipFile
        The package, in memory.

    Raises
    ------
    SheetError
        One sentence: what is wrong and where.
    """
    try:
        package = zipfile.ZipFile(io.BytesIO(data))
        entries = package.infolist()
    except (zipfile.BadZipFile, ValueError, OSError, EOFError, NotImplementedError) as error:
        raise SheetError(f"{name}: is cut off or damaged: {error}".rstrip(".").lower()) from error
    _check_entries(name, entries, guards)
    _require_workbook(name, {entry.filename for entry in entries})
    _check_parts(name, package, entries, guards)
    return package


def _check_entries(name: str, entries: list[zipfile.ZipInfo], guards: Guards) -> None:
    if len(entries) > guards.entries:
        raise SheetError(
            f"{name}: entries must be at most {guards.entries:,}, got {len(entries):,}"
        )
    unpacked = sum(entry.file_size for entry in entries)
    if unpacked > guards.unpacked:
        raise SheetError(
            f"{name}: must unpack to at most {guards.unpacked:,} bytes, got {unpacked:,}"
        )
    for entry in entries:
        inside = entry.filename
        if entry.flag_bits & 1:
            raise SheetError(f"{name}: is encrypted; save it without a password")
        if re.match(r"[/\\]|[A-Za-z]:", inside) or ".." in re.split(r"[/\\]", inside):
            raise SheetError(f"{name}: entry {inside[:80]!r} points outside the package")
        packed = max(entry.compress_size, 1)
        if entry.file_size > 1 << 20 and entry.file_size > guards.ratio * packed:
            raise SheetError(
                f"{name}: entry {inside[:80]} must unpack to at most {guards.ratio} times its size,"
                f" got {entry.file_size // packed:,} times"
            )


def _require_workbook(name: str, entries: set[str]) -> None:
    lowered = {entry.lower() for entry in entries}
    if any(entry.endswith(".iwa") or entry == "index.zip" for entry in lowered):
        raise SheetError(f"{name}: is in a format of its own program; {SAVE_AS}")
    if "xl/workbook.bin" in lowered:
        raise SheetError(f"{name}: is a binary workbook; {SAVE_AS}")
    if "mimetype" in lowered and "content.xml" in lowered:
        raise SheetError(f"{name}: is an OpenDocument file; {SAVE_AS}")
    if "[Content_Types].xml" not in entries or "_rels/.rels" not in entries:
        raise SheetError(f"{name}: is a package without a workbook; {SAVE_AS}")


def _check_parts(
    name: str, package: zipfile.ZipFile, entries: list[zipfile.ZipInfo], guards: Guards
) -> None:
    cells = merged = 0
    for entry in entries:
        inside = entry.filename
        # By content, not by ending: a relation may call any entry a sheet.
        if not _check_start(name, package, entry):
            continue
        strings = "sharedstrings" in inside.lower()
        if not strings and "sheet" not in inside.lower() and entry.file_size > guards.part_size:
            raise SheetError(
                f"{name}: part {inside[:80]} must be at most {guards.part_size:,} bytes, "
                f"got {entry.file_size:,}"
            )
        for piece in pieces(name, package, inside):
            cells += piece.count(b"<si>") if strings else _count_cells(piece)
            merged += piece.count(b"mergeCell ")
            if cells > guards.cells:
                raise SheetError(f"{name}: cells must be at most {guards.cells:,}, got more")
            if merged > guards.merged:
                raise SheetError(
                    f"{name}: merged ranges must be at most {guards.merged:,}, got more"
                )


def _count_cells(piece: bytes) -> int:
    return sum(map(piece.count, (b"<c ", b"<c>", b"<c/", b":c ")))


def pieces(name: str, package: zipfile.ZipFile, inside: str, size: int = _PIECE) -> Iterator[bytes]:
    """Unpack a part piece by piece; no tag of less than a piece is cut in two."""
    rest = b""
    try:
        with package.open(inside) as stream:
            while chunk := stream.read(size):
                chunk = rest + chunk
                cut = chunk.rfind(b"<")
                if cut <= 0 or len(chunk) - cut > size:
                    cut = len(chunk)
                rest = chunk[cut:]
                yield chunk[:cut]
    except SheetError:
        raise
    except Exception as error:
        # Whatever the unpacker says (a check sum, a cut stream, an unknown method): the same to us.
        raise SheetError(f"{name}: part {inside[:80]} is cut off or damaged") from error
    yield rest


def _check_start(name: str, package: zipfile.ZipFile, entry: zipfile.ZipInfo) -> bool:
    """Tell whether an entry is XML; refuse a document-type declaration and other encodings."""
    where = f"{name}: part {entry.filename[:80]}"
    try:
        with package.open(entry) as stream:
            start = stream.read(_PROLOG)
    except Exception as error:
        raise SheetError(f"{where} is cut off or damaged") from error
    if start.startswith((b"\xff\xfe", b"\xfe\xff", b"<\x00", b"\x00<")):
        raise SheetError(f"{where} is not in UTF-8")
    text = start.removeprefix(b"\xef\xbb\xbf").lstrip()
    if not text.startswith(b"<"):
        return False
    while text.startswith((b"<?", b"<!--")):
        opening, end = (b"<?", b"?>") if text.startswith(b"<?") else (b"<!--", b"-->")
        close = text.find(end, len(opening))
        if close < 0:
            raise SheetError(f"{where} does not begin like a part of a workbook")
        said = re.search(rb"""encoding\s*=\s*["']([^"']*)["']""", text[:close])
        if opening == b"<?" and said and said[1].lower() not in {b"utf-8", b"utf8", b"us-ascii"}:
            raise SheetError(f"{where} is not in UTF-8")
        text = text[close + len(end) :].lstrip()
    if text.startswith(b"<!"):
        raise SheetError(f"{where} holds a document-type declaration")
    if len(text) < 2 and len(start) < entry.file_size:
        raise SheetError(f"{where} does not begin like a part of a workbook")
    return True
