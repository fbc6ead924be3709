"""On which line of a TOML text a key stands: a person asks for it, the reader forgets it."""

from __future__ import annotations

import re
from typing import TypeAlias

__all__ = ["KeyPath", "line_of", "lines_of_keys"]

KeyPath: TypeAlias = tuple[str | int, ...]

_KEY = r"""(?:"(?:[^"\\]|\\.)*"|'[^']*'|[A-Za-z0-9_-]+)"""
_DOTTED = rf"{_KEY}(?:\s*\.\s*{_KEY})*"
_ARRAY = re.compile(rf"\s*\[\[\s*({_DOTTED})\s*\]\]")
_TABLE = re.compile(rf"\s*\[\s*({_DOTTED})\s*\]")
_ENTRY = re.compile(rf"\s*({_DOTTED})\s*=")


def lines_of_keys(text: str) -> dict[KeyPath, int]:
    r"""Return the line of every table and key of a TOML text, counted from 1.

    Keys inside an inline table or an array stand on the line of the key that holds them.

    Examples
    --------
    >>> lines_of_keys('version = 1\n[[table]]\nsheet = "Block"')
    {('version',): 1, ('table', 0): 2, ('table', 0, 'sheet'): 3}
    """
    places: dict[KeyPath, int] = {}
    counts: dict[KeyPath, int] = {}
    here: KeyPath = ()
    closing: str | None = None
    for number, line in enumerate(text.splitlines(), start=1):
        if closing is not None:
            closing = None if closing in line else closing
            continue
        if found := _ARRAY.match(line):
            plain = _path(_keys(found[1]), counts, last=False)
            counts[plain] = counts.get(plain, -1) + 1
            here = (*plain, counts[plain])
            places.setdefault(here, number)
        elif found := _TABLE.match(line):
            here = _path(_keys(found[1]), counts, last=True)
            places.setdefault(here, number)
        elif found := _ENTRY.match(line):
            places.setdefault((*here, *_keys(found[1])), number)
            closing = _opened(line[found.end() :])
    return places


def _keys(dotted: str) -> list[str]:
    return [key.strip("\"'") for key in re.findall(_KEY, dotted)]


def _path(keys: list[str], counts: dict[KeyPath, int], last: bool) -> KeyPath:
    """Put the number of the array's latest entry behind each key that names an array."""
    path: KeyPath = ()
    for place, key in enumerate(keys):
        path = (*path, key)
        if path in counts and (last or place < len(keys) - 1):
            path = (*path, counts[path])
    return path


def _opened(value: str) -> str | None:
    """Return the quotes that must close a text of several lines."""
    for quotes in ('"""', "'''"):
        if value.strip().startswith(quotes) and value.count(quotes) == 1:
            return quotes
    return None


def line_of(places: dict[KeyPath, int], path: KeyPath) -> int | None:
    """Return the line of a key, or of the nearest thing around it that has one."""
    while path:
        if path in places:
            return places[path]
        path = path[:-1]
    return None
