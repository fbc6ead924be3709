"""Values of a map: headings, cells, constants and lists of words, each looked at as it is read."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from enginewright.sheets import vocabulary
from enginewright.sheets.grid import column_number
from enginewright.sheets.map_faults import Faults
from enginewright.sheets.map_words import constant_fault
from enginewright.sheets.mapping import (
    COUNTS,
    NUMBERS,
    Binding,
    Cell,
    Constant,
    Heading,
    WordList,
)
from enginewright.sheets.toml_lines import KeyPath

__all__ = ["BindingReader"]


class BindingReader:
    """Reads the values that stand anywhere in a map; whatever is wrong goes to `faults`."""

    def __init__(self, faults: Faults) -> None:
        self.faults = faults

    def mapping(self, value: Any, path: KeyPath) -> Mapping[str, Any]:
        """Return a mapping, or an empty one with a fault."""
        if isinstance(value, Mapping):
            return value
        self.faults.add(path, f"{path[0]} must hold keys and values, got {value!r}")
        return {}

    def one_of(
        self, holder: Mapping[str, Any], key: str, known: Iterable[str], path: KeyPath
    ) -> str:
        """Return one of the words that a key knows; the first when there is none."""
        known = list(known)
        value = holder.get(key, known[0])
        if value not in known:
            hits = vocabulary.near(str(value), known)
            told = f"; did you mean {hits[0]!r}?" if hits else ""
            self.faults.add(
                (*path, key), f"{key} must be one of {', '.join(known)}; got {value!r}{told}"
            )
            return known[0]
        return str(value)

    def text(self, holder: Mapping[str, Any], key: str, path: KeyPath) -> str | None:
        """Return a text, or None."""
        value = holder.get(key)
        if value is None or isinstance(value, str):
            return value
        self.faults.add((*path, key), f"{key} must be a text, got {value!r}")
        return None

    def texts(self, given: Mapping[str, Any], key: str, path: KeyPath) -> tuple[str, ...]:
        """Return a list of texts."""
        texts = given.get(key, [])
        if not isinstance(texts, list) or not all(isinstance(text, str) for text in texts):
            self.faults.add((*path, key), f"{key} must be a list of texts, got {texts!r}")
            return ()
        return tuple(texts)

    def flag(self, given: Mapping[str, Any], path: KeyPath) -> bool:
        """Return whether the map may name what the sheet does not have."""
        value = given.get("optional", False)
        if not isinstance(value, bool):
            self.faults.add((*path, "optional"), f"optional must be true or false, got {value!r}")
        return bool(value)

    def headings(self, given: Mapping[str, Any], key: str, path: KeyPath) -> tuple[Heading, ...]:
        """Return a list of headings."""
        entries = given.get(key, [])
        if not isinstance(entries, list):
            self.faults.add((*path, key), f"{key} must be a list of headings, got {entries!r}")
            return ()
        found = (self.heading(entry, (*path, key)) for entry in entries)
        return tuple(heading for heading in found if heading is not None)

    def heading(self, given: Any, path: KeyPath) -> Heading | None:
        """Read "Cyl", { heading = "Cyl" } or { column = "B" }."""
        if isinstance(given, str):
            return Heading(text=given)
        if (
            isinstance(given, Mapping)
            and set(given) == {"heading"}
            and isinstance(given["heading"], str)
        ):
            return Heading(text=given["heading"])
        if isinstance(given, Mapping) and set(given) == {"column"}:
            return self.lettered(given["column"], path)
        self.faults.add(
            path,
            f'{path[-1]} must be a heading, {{ heading = "..." }} or {{ column = "B" }}; '
            f"got {given!r}",
        )
        return None

    def lettered(self, letters: Any, path: KeyPath) -> Heading | None:
        """Return a column named by its letters."""
        number = column_number(letters) if isinstance(letters, str) else 0
        if number == 0:
            self.faults.add(
                path, f"column must be the letters of a column, A to XFD; got {letters!r}"
            )
            return None
        return Heading(column=number)

    def keys_of(
        self, given: Mapping[str, Any], path: KeyPath, names: Iterable[str]
    ) -> tuple[dict[str, Binding], dict[str, WordList]]:
        """Return what is fixed for each column of the readings, and the lists of words."""
        fixed: dict[str, Binding] = {}
        words: dict[str, WordList] = {}
        for key in names:
            if key not in given:
                continue
            value = given[key]
            slip = _slip(value)
            if slip is not None:
                told = f"{key} has no key {slip[0]!r}; did you mean {slip[1]!r}?"
                self.faults.add((*path, key), told)
                continue
            if isinstance(value, Mapping) and not set(value) & {
                "heading",
                "column",
                "cell",
                "sheet",
            }:
                words[key] = self.translation(key, value, (*path, key))
                continue
            binding = self.binding(key, value, (*path, key))
            if binding is not None:
                fixed[key] = binding
        return fixed, words

    def binding(self, key: str, value: Any, path: KeyPath) -> Binding | None:
        """Return a constant, a heading or a cell."""
        if isinstance(value, Mapping):
            if "cell" in value:
                return self._cell(value, path)
            return self.heading(value, path)
        return self.constant(key, value, path)

    def _cell(self, value: Mapping[str, Any], path: KeyPath) -> Cell | None:
        found = re.fullmatch(r"\$?([A-Za-z]{1,3})\$?([1-9]\d{0,6})", str(value.get("cell")))
        column = column_number(found[1]) if found else 0
        sheet = value.get("sheet")
        if (
            not found
            or not column
            or set(value) - {"sheet", "cell"}
            or not isinstance(sheet, str | None)
        ):
            self.faults.add(
                path,
                f'{path[-1]} must name a cell, {{ sheet = "Block", cell = "B1" }}; '
                f"got {dict(value)!r}",
            )
            return None
        return Cell(sheet, int(found[2]), column, str(value["cell"]).upper())

    def constant(self, key: str, value: Any, path: KeyPath) -> Constant | None:
        """Return a word or number that is the same for every reading."""
        fault = constant_fault(key, value)
        if fault is not None:
            self.faults.add(path, fault)
            return None
        if isinstance(value, int | float) and key not in (*COUNTS, *NUMBERS):
            return Constant(str(value))
        return Constant(value)

    def translation(self, key: str, given: Mapping[str, Any], path: KeyPath) -> WordList:
        """Read a list of words; each target must be a word that the column can hold."""
        found: dict[str, Any] = {}
        for word, meant in given.items():
            constant = self.constant(key, meant, (*path, word))
            if constant is not None:
                found[word] = constant.value
        return WordList(found)


def _slip(value: Any) -> tuple[str, str] | None:
    """Return a lone key that was meant to be heading, column or cell, and which one."""
    if not isinstance(value, Mapping) or len(value) != 1:
        return None
    (word,) = value
    hits = vocabulary.near(word, ("heading", "column", "cell"))
    return (word, hits[0]) if hits and word != hits[0] else None
