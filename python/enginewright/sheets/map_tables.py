"""Tables of a map: one [[table]] to one rule, wide or long."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from enginewright.sheets import vocabulary
from enginewright.sheets.map_bindings import BindingReader
from enginewright.sheets.mapping import (
    KEYS,
    READING_COLUMNS,
    Binding,
    ColumnRule,
    Heading,
    KeyText,
    TableRule,
    WordList,
)
from enginewright.sheets.toml_lines import KeyPath

__all__ = ["TableReader", "braces"]

_TABLE = (
    "sheet",
    "layout",
    "header_rows",
    "columns",
    "column",
    "values",
    "keys",
    "ignore_rows",
    "note_columns",
    "ignore_columns",
    "optional",
)
_LAYOUTS = ("wide", "long")


def braces(text: str) -> tuple[str, ...]:
    """Return the names that stand in braces."""
    return tuple(re.findall(r"\{([^{}]*)\}", text))


class TableReader(BindingReader):
    """Reads the tables of a map."""

    def table(self, given: Mapping[str, Any], path: KeyPath) -> TableRule:
        """Return the rule of one [[table]]."""
        known = (*_TABLE, *KEYS)
        for key in given:
            if key not in known:
                self.faults.unknown((*path, key), "[[table]]", known)
        layout = self._layout(given, path)
        fixed, values = self.keys_of(given, path, KEYS)
        values.update(self._values(given, path))
        columns: tuple[ColumnRule, ...]
        notes = self.headings(given, "note_columns", path)
        if layout == "wide":
            columns = self._wide(given, path)
        else:
            columns, more_notes = self._long(given, path, fixed)
            notes = (*notes, *more_notes)
        return TableRule(
            sheet=self.text(given, "sheet", path),
            layout=layout,
            header_rows=self._header_rows(given, path),
            columns=columns,
            fixed=fixed,
            keys=self._key_texts(given, path),
            values=values,
            ignore_rows=self.texts(given, "ignore_rows", path),
            notes=notes,
            ignored=self.headings(given, "ignore_columns", path),
            optional=self.flag(given, path),
            line=self.faults.line(path),
        )

    def _layout(self, given: Mapping[str, Any], path: KeyPath) -> str:
        if "layout" not in given:
            return "long" if "columns" in given else "wide"
        layout = self.one_of(given, "layout", _LAYOUTS, path)
        for other, key in (("wide", "columns"), ("long", "column")):
            if layout == other and key in given:
                self.faults.add((*path, key), f"{key} does not belong to the layout {layout!r}")
        return layout

    def _header_rows(self, given: Mapping[str, Any], path: KeyPath) -> tuple[int, ...]:
        rows = given.get("header_rows", [1])
        good = isinstance(rows, list) and all(
            isinstance(row, int) and not isinstance(row, bool) and row > 0 for row in rows
        )
        if not good or sorted(set(rows)) != rows:
            self.faults.add(
                (*path, "header_rows"), f"header_rows must be rising row numbers, got {rows!r}"
            )
            return (1,)
        return tuple(rows)

    def _values(self, given: Mapping[str, Any], path: KeyPath) -> dict[str, WordList]:
        found = {}
        for key, words in self.mapping(given.get("values", {}), (*path, "values")).items():
            if key not in KEYS:
                self.faults.unknown((*path, "values", key), "[table.values]", KEYS)
                continue
            words = self.mapping(words, (*path, "values", key))
            found[key] = self.translation(key, words, (*path, "values", key))
        return found

    def _key_texts(self, given: Mapping[str, Any], path: KeyPath) -> tuple[KeyText, ...]:
        entries = given.get("keys", [])
        entries = [entries] if isinstance(entries, Mapping) else entries
        found = []
        for entry in entries if isinstance(entries, list) else [entries]:
            texts = entry.get("text") if isinstance(entry, Mapping) else None
            texts = [texts] if isinstance(texts, str) else texts
            if not isinstance(texts, list) or not all(isinstance(text, str) for text in texts):
                self.faults.add(
                    (*path, "keys"),
                    'keys must be { heading = "Item", text = "cyl {number} {part}" }, '
                    f"got {entry!r}",
                )
                continue
            rest = {key: value for key, value in entry.items() if key != "text"}
            where = self.heading(rest, (*path, "keys"))
            for text in texts:
                self.check_braces(text, (*path, "keys"), needed=True)
            if where is not None:
                found.append(KeyText(where, tuple(texts)))
        return tuple(found)

    def check_braces(self, text: str, path: KeyPath, needed: bool = False) -> None:
        """Look at the names in the braces of a text."""
        names = braces(text)
        for name in names:
            if name not in KEYS:
                hits = vocabulary.near(name, KEYS)
                told = f"; did you mean {{{hits[0]}}}?" if hits else f"; known: {', '.join(KEYS)}"
                self.faults.add(path, f"{{{name}}} is no column of the readings{told}")
        if len(set(names)) != len(names) or (needed and not names):
            self.faults.add(path, f"{text!r} must hold each name in braces once")
        if "}{" in text:
            self.faults.add(path, f"{text!r} needs something between two braces to tell them apart")

    def _wide(self, given: Mapping[str, Any], path: KeyPath) -> tuple[ColumnRule, ...]:
        entries = given.get("column", [])
        if not isinstance(entries, list) or not entries:
            self.faults.add(path, "a wide table needs at least one [[table.column]]")
            return ()
        rules = []
        for index, entry in enumerate(entries):
            place: KeyPath = (*path, "column", index)
            entry = self.mapping(entry, place)
            known = ("heading", "column", "optional", *KEYS)
            for key in entry:
                if key not in known:
                    self.faults.unknown((*place, key), "[[table.column]]", known)
            rule = self._column(entry, place)
            if rule is not None:
                rules.append(rule)
        return tuple(rules)

    def _column(self, entry: Mapping[str, Any], path: KeyPath) -> ColumnRule | None:
        where = None
        if "column" in entry and "heading" not in entry:
            where = self.lettered(entry["column"], (*path, "column"))
        elif isinstance(entry.get("heading"), str) and "column" not in entry:
            where = Heading(text=entry["heading"])
            self.check_braces(entry["heading"], (*path, "heading"))
        else:
            self.faults.add(path, "[[table.column]] needs either heading or column")
        fixed, words = self.keys_of(entry, path, KEYS)
        if where is None:
            return None
        return ColumnRule(where, fixed, words, self.flag(entry, path), self.faults.line(path))

    def _long(
        self, given: Mapping[str, Any], path: KeyPath, fixed: dict[str, Binding]
    ) -> tuple[tuple[ColumnRule, ...], tuple[Heading, ...]]:
        """Read `columns` of a long table: one value a row, the rest of it beside."""
        place: KeyPath = (*path, "columns")
        value: Heading | None = None
        notes = []
        for key, entry in self.mapping(given.get("columns", {}), place).items():
            if key not in READING_COLUMNS:
                self.faults.unknown((*place, key), "columns", READING_COLUMNS)
                continue
            heading = self.heading(entry, (*place, key))
            if heading is None:
                continue
            if key == "value":
                value = heading
            elif key == "note":
                notes.append(heading)
            else:
                fixed[key] = heading
        if value is None and "observation" not in fixed:
            self.faults.add(place, "columns of a long table must name value or observation")
            return (), tuple(notes)
        line = self.faults.line(place)
        return (ColumnRule(value or Heading(), line=line),), tuple(notes)
