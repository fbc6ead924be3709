"""The rules of a map: which cells are readings, and where the rest of each reading stands.

A map is data. These classes say what it may say; `map_file` reads one from TOML, `tidy` makes one
for sheets whose headings are the column names themselves.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

__all__ = [
    "COUNTS",
    "IN_CELLS",
    "KEYS",
    "NUMBERS",
    "READING_COLUMNS",
    "WORDS",
    "Binding",
    "Cell",
    "ColumnRule",
    "Constant",
    "Heading",
    "KeyText",
    "SheetMap",
    "TableRule",
    "WordList",
    "fold",
]

WORDS = (
    "job",
    "engine",
    "stage",
    "feature",
    "part",
    "station",
    "axis",
    "position_unit",
    "quantity",
    "unit",
    "observation",
    "gauge",
    "by",
)
COUNTS = ("number", "repeat")
NUMBERS = ("position", "uncertainty", "temperature")
KEYS = (*WORDS, *COUNTS, *NUMBERS, "date", "note")
"""Every column of the readings that a map can fill, besides the value itself."""
READING_COLUMNS = (*KEYS, "value")

IN_CELLS = "in cells"
"""What `unit` says when each cell brings its own."""


@dataclass(frozen=True)
class Constant:
    """The same for every reading."""

    value: Any


@dataclass(frozen=True)
class Heading:
    """A cell of the reading's own row: under a heading, or in a column named by its letters."""

    text: str | None = None
    column: int | None = None

    def __str__(self) -> str:
        """Return how the map names it."""
        return repr(self.text) if self.text is not None else f"column {self.column}"


@dataclass(frozen=True)
class Cell:
    """One cell of the file, for every reading."""

    sheet: str | None
    row: int
    column: int
    name: str


Binding: TypeAlias = Constant | Heading | Cell


class WordList:
    """What a shop's words mean: "Main" is "main journal". Case and blanks do not matter.

    Examples
    --------
    >>> words = WordList({"Main": "main journal"})
    >>> words.get("MAIN"), "pin" in words
    ('main journal', False)
    """

    def __init__(self, entries: Mapping[str, Any] | None = None) -> None:
        self.entries = dict(entries or {})
        self._folded = {fold(word): meant for word, meant in self.entries.items()}

    def get(self, word: str, otherwise: Any = None) -> Any:
        """Return what a word means."""
        return self._folded.get(fold(word), otherwise)

    def __contains__(self, word: str) -> bool:
        return fold(word) in self._folded

    def __bool__(self) -> bool:
        return bool(self.entries)

    def over(self, wider: WordList) -> WordList:
        """Return both lists; where they differ this one, the nearer, counts."""
        if not wider:
            return self
        return WordList({**wider.entries, **self.entries}) if self else wider


@dataclass(frozen=True)
class KeyText:
    """Several words in one cell: "cyl {number} {part}"."""

    where: Heading
    texts: tuple[str, ...]


@dataclass(frozen=True)
class ColumnRule:
    """One column of readings, or all that a heading with braces matches."""

    where: Heading
    fixed: Mapping[str, Binding] = field(default_factory=dict)
    words: Mapping[str, WordList] = field(default_factory=dict)
    optional: bool = False
    line: int | None = None


@dataclass(frozen=True)
class TableRule:
    """One table, on one sheet or on all that a pattern names."""

    sheet: str | None
    layout: str
    header_rows: tuple[int, ...]
    columns: tuple[ColumnRule, ...]
    fixed: Mapping[str, Binding] = field(default_factory=dict)
    keys: tuple[KeyText, ...] = ()
    values: Mapping[str, WordList] = field(default_factory=dict)
    ignore_rows: tuple[str, ...] = ()
    notes: tuple[Heading, ...] = ()
    ignored: tuple[Heading, ...] = ()
    optional: bool = False
    line: int | None = None


@dataclass(frozen=True)
class SheetMap:
    """A whole map."""

    tables: tuple[TableRule, ...]
    defaults: Mapping[str, Binding] = field(default_factory=dict)
    words: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    """Folded word -> (as the map spells it, "not measured" or "observation")."""
    decimal: str = "auto"
    """What `units.parse` takes: "auto", "." or ","."""
    dates: str = "day-month-year"
    encoding: str | None = None
    separator: str | None = None
    name: str = "the map"


def fold(text: str) -> str:
    """Return a text as headings and words are compared: case and blanks do not matter.

    Examples
    --------
    >>> fold("  Top  Ring /Gap ")
    'top ring / gap'
    """
    return " ".join(text.replace("/", " / ").split()).casefold()
