"""Headings: several rows joined to one text a column, and the patterns that match them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from enginewright import UnitError, units
from enginewright.sheets.grid import Area, Grid, is_blank, shown
from enginewright.sheets.mapping import Heading, WordList, fold

__all__ = ["ColumnHead", "Pattern", "braces_pattern", "column_heads", "near_pattern", "spaced"]


@dataclass(frozen=True)
class Name:
    """One way to read a heading: the whole text, and what stands before its unit."""

    text: str
    bare: str
    unit: str | None
    note: str | None = None
    """What stands in a bracket that the units do not know."""


def named(text: str) -> Name:
    """Split a heading, or a pattern for one, into name and unit.

    Examples
    --------
    >>> named("Top ring / Gap (thou)")
    Name(text='Top ring / Gap (thou)', bare='Top ring / Gap', unit='thou', note=None)
    """
    text = " ".join(text.split())
    try:
        header = units.header(text)
    except UnitError:
        return Name(text, text, None)
    if header.unit is None or not header.name.strip():
        return Name(text, text, None, header.note)
    return Name(text, " ".join(header.name.split()), header.unit)


@dataclass(frozen=True)
class ColumnHead:
    """The heading of one column: as it stands, and with blanks filled from their left."""

    column: int
    texts: tuple[str, ...]

    @property
    def text(self) -> str:
        """The heading as it is quoted to a person."""
        return self.texts[0] if self.texts else ""

    @cached_property
    def names(self) -> tuple[Name, ...]:
        """Every way to read it."""
        return tuple(named(text) for text in self.texts)

    @property
    def unit(self) -> str | None:
        """The unit that stands in it."""
        return next((name.unit for name in self.names if name.unit is not None), None)

    @property
    def note(self) -> str | None:
        """What stands in its bracket and is no unit that is known."""
        return next((name.note for name in self.names if name.note is not None), None)


def column_heads(grid: Grid, header_rows: Sequence[int]) -> list[ColumnHead]:
    """Join the heading rows of a table, column by column.

    Merged headings cover their columns; what is merged over several heading rows counts once; an
    empty cell is left out of the join.
    """
    rows = [grid.index_of(number) for number in header_rows]
    width = grid.width
    tops: list[list[str]] = []
    spread: list[list[str]] = []
    for place, (number, index) in enumerate(zip(header_rows, rows, strict=True)):
        cells = [] if index is None else list(grid.rows[index])
        texts: list[str] = ["" if is_blank(cell) else shown_heading(cell) for cell in cells]
        texts += [""] * (width - len(texts))
        _cover(texts, number, header_rows, grid.merged)
        tops.append(texts)
        spread.append(_leftward(texts) if place < len(header_rows) - 1 else texts)
    if grid.spreads_headings:
        tops, spread = spread, tops
    heads = []
    for column in range(width):
        ways = [" / ".join(t[column] for t in way if t[column]) for way in (tops, spread)]
        # A text on the left of nothing heads no column of its own.
        own = any(way[column] for way in (spread if grid.spreads_headings else tops))
        kept = tuple(dict.fromkeys(way for way in ways if way)) if own else ()
        heads.append(ColumnHead(column + 1, kept))
    return heads


def shown_heading(cell: Any) -> str:
    """Return a heading cell as one line, however long."""
    return " ".join(cell.split()) if isinstance(cell, str) else shown(cell)


def _cover(texts: list[str], number: int, header_rows: Sequence[int], merged: list[Area]) -> None:
    """Write a merged heading into every column that it covers, once, in its first heading row."""
    for area in merged:
        if area.top != number or area.top not in header_rows or area.left > len(texts):
            continue
        for column in range(area.left, min(area.right, len(texts)) + 1):
            texts[column - 1] = texts[area.left - 1]


def _leftward(texts: list[str]) -> list[str]:
    """Let each blank take the text on its left."""
    filled, last = [], ""
    for text in texts:
        last = text or last
        filled.append(last)
    return filled


class Pattern:
    """A heading as a map names it, braces and all."""

    def __init__(self, where: Heading, words: Mapping[str, WordList] | None = None) -> None:
        self.where = where
        self.words = words or {}
        self.text = where.text or ""
        name = named(self.text) if where.text is not None else None
        whole_only = name is None or "{unit}" in self.text
        self.unit = None if whole_only or name is None else name.unit
        self._whole = braces_pattern(self.text)
        self._bare = None if whole_only or name is None else braces_pattern(name.bare)

    @property
    def exact(self) -> bool:
        """Whether it can match one heading only."""
        return "{" not in self.text and "*" not in self.text

    def match(self, head: ColumnHead, stars: bool = False) -> dict[str, str] | None:
        """Return the words that the braces catch, or None when the heading is another.

        A list of words for a brace is a condition: what is not in the list does not match.
        """
        if self.where.text is None:
            return {} if head.column == self.where.column else None
        if stars and "*" in self.text:
            glob = re.compile(re.escape(fold(self.text)).replace(r"\*", ".*"), re.DOTALL)
            return {} if any(glob.fullmatch(fold(name.text)) for name in head.names) else None
        for name in head.names:
            for pattern, text in ((self._whole, name.text), (self._bare, name.bare)):
                found = pattern.fullmatch(spaced(text)) if pattern is not None else None
                if found is not None and self._listed(found.groupdict()):
                    return found.groupdict()
        return None

    def _listed(self, caught: Mapping[str, str]) -> bool:
        return all(word in self.words[key] for key, word in caught.items() if key in self.words)


def spaced(text: str) -> str:
    """Return a text with single blanks, also around a slash."""
    return " ".join(text.replace("/", " / ").split())


def braces_pattern(text: str) -> re.Pattern[str]:
    """Turn "{station} / {axis}" into a pattern that catches both words."""
    parts = re.split(r"\{([^{}]*)\}", spaced(text))
    built = ""
    for index, part in enumerate(parts):
        if index % 2 == 0:
            built += re.escape(part)
        elif part.isidentifier() and f"(?P<{part}>" not in built:
            built += f"(?P<{part}>.+?)"
        else:
            built += ".+?"
    return re.compile(built, re.IGNORECASE)


def near_pattern(text: str, heads: Sequence[ColumnHead]) -> list[str]:
    """Return the headings of a sheet that come nearest to a pattern."""
    from enginewright.sheets.vocabulary import near

    known = [head.text for head in heads if head.text]
    return near(re.sub(r"\{[^{}]*\}", "", text), known) or known[:8]
