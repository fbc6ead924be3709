"""The map file: TOML to rules, with every fault named at once, its line, and what was meant.

A shop writes a map once and is told everything that is wrong with it in one go. Nothing in a map is
run; it is looked at key by key.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from enginewright.sheets.map_faults import Faults
from enginewright.sheets.map_tables import TableReader
from enginewright.sheets.mapping import KEYS, Binding, SheetMap, fold
from enginewright.sheets.problems import SheetError
from enginewright.sheets.toml_lines import KeyPath, lines_of_keys

__all__ = ["read_map"]

_TOP = ("version", "file", "defaults", "words", "table")
_FILE = ("decimal", "dates", "encoding", "separator")
_DECIMALS = {"auto": "auto", "point": ".", "comma": ","}
_DATES = ("day-month-year", "month-day-year", "year-month-day")
_WORD_KINDS = ("not measured", "observation")


def read_map(given: str | os.PathLike[str] | Mapping[str, Any]) -> tuple[SheetMap, Faults]:
    """Read a map from a file, from TOML text (with line breaks), or from a mapping.

    Returns
    -------
    SheetMap
        The rules.
    Faults
        Empty, and ready for what only the sheets can show: headings that match nothing.

    Raises
    ------
    SheetError
        The map cannot be read, or is not valid: every fault, with its line.
    """
    if isinstance(given, Mapping):
        faults = Faults("the map")
        document: Any = given
    else:
        name, text = _text(given)
        try:
            document = tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            raise SheetError(f"{name} is not a valid map: {error}") from error
        faults = Faults(name, lines_of_keys(text))
    sheet_map = _Reader(faults).read(document)
    faults.raise_any()
    return sheet_map, faults


def _text(given: str | os.PathLike[str]) -> tuple[str, str]:
    if isinstance(given, str) and "\n" in given:
        return "the map", given
    name = Path(given).name
    try:
        return name, Path(given).read_text(encoding="utf-8-sig")
    except OSError as error:
        raise SheetError(
            f"{name}: cannot be opened: {(error.strerror or str(error)).lower()}"
        ) from error
    except UnicodeDecodeError as error:
        raise SheetError(f"{name}: is not UTF-8, at byte {error.start + 1:,}") from error


class _Reader(TableReader):
    """Walks a map once, from the top."""

    def read(self, document: Mapping[str, Any]) -> SheetMap:
        for key in document:
            if key not in _TOP:
                self.faults.unknown((key,), "the map", _TOP)
        self._version(document)
        file = self.mapping(document.get("file", {}), ("file",))
        for key in file:
            if key not in _FILE:
                self.faults.unknown(("file", key), "[file]", _FILE)
        tables = document.get("table", [])
        if not isinstance(tables, list) or not tables:
            self.faults.add(("table",), "a map needs at least one [[table]]")
            tables = []
        return SheetMap(
            tables=tuple(
                self.table(self.mapping(t, ("table", i)), ("table", i))
                for i, t in enumerate(tables)
            ),
            defaults=self._defaults(document),
            words=self._words(document),
            decimal=_DECIMALS.get(self.one_of(file, "decimal", _DECIMALS, ("file",)), "auto"),
            dates=self.one_of(file, "dates", _DATES, ("file",)),
            encoding=self.text(file, "encoding", ("file",)),
            separator=self._separator(file),
            name=self.faults.name,
        )

    def _version(self, document: Mapping[str, Any]) -> None:
        version = document.get("version")
        if version is None:
            self.faults.add(("version",), "a map begins with version = 1")
        elif version != 1 or isinstance(version, bool):
            self.faults.add(("version",), f"version must be 1, got {version!r}")

    def _separator(self, file: Mapping[str, Any]) -> str | None:
        value = self.text(file, "separator", ("file",))
        value = {"tab": "\t", "semicolon": ";", "comma": ",", "bar": "|"}.get(value or "", value)
        if value is not None and (len(value) != 1 or value.isalnum() or value in '"\r\n'):
            self.faults.add(
                ("file", "separator"), f"separator must be one mark such as ';', got {value!r}"
            )
            return None
        return value

    def _defaults(self, document: Mapping[str, Any]) -> dict[str, Binding]:
        path: KeyPath = ("defaults",)
        found: dict[str, Binding] = {}
        for key, value in self.mapping(document.get("defaults", {}), path).items():
            if key not in KEYS:
                self.faults.unknown((*path, key), "[defaults]", KEYS)
                continue
            binding = self.binding(key, value, (*path, key))
            if binding is not None:
                found[key] = binding
        return found

    def _words(self, document: Mapping[str, Any]) -> dict[str, tuple[str, str]]:
        found = {}
        for word, kind in self.mapping(document.get("words", {}), ("words",)).items():
            if kind not in _WORD_KINDS:
                self.faults.add(
                    ("words", word),
                    f"{word!r} must be one of {', '.join(_WORD_KINDS)}; got {kind!r}",
                )
            found[fold(word)] = (word, str(kind))
        return found
