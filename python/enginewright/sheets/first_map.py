"""A first map for an export that has none: what the sheets show, and guesses marked as such."""

from __future__ import annotations

import datetime as dt
import json
import os
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from enginewright.sheets import guesses
from enginewright.sheets.column_guess import Alike, grouped
from enginewright.sheets.grid import Grid, column_letters, is_blank, shown
from enginewright.sheets.guards import Guards
from enginewright.sheets.headings import ColumnHead, named
from enginewright.sheets.layout_guess import (
    TableGuess,
    columns_of,
    decimal_of,
    find_table,
    looks_numeric,
)
from enginewright.sheets.mapping import fold
from enginewright.sheets.source import Source, open_source

__all__ = ["starting_map"]

_GUESS = "  # guess"


def starting_map(path: str | os.PathLike[str], *, guards: Guards | None = None) -> str:
    r"""Write the first map of an export, as TOML text.

    What the sheets show is written down; what they do not show is guessed, and each guess is
    marked, so that a person looks at it. Nothing is measured by a guess that nobody has read.

    Parameters
    ----------
    path : str or path
        A workbook (.xlsx) or a CSV file.
    guards : Guards, optional
        What the file may ask for.

    Returns
    -------
    str
        The map, with "# guess" behind every line that should be looked at.

    Raises
    ------
    SheetError
        The file cannot be read.

    Examples
    --------
    >>> import tempfile, pathlib
    >>> file = pathlib.Path(tempfile.mkdtemp()) / "bores.csv"
    >>> _ = file.write_text("Cyl;Top (mm);Bottom (mm)\n1;86,01;86,005\n2;86,02;86,015\n")
    >>> print(ew.sheets.starting_map(file).splitlines()[4])
    decimal = "comma"
    """
    source = open_source(path, guards)
    found = [(grid, _useful(find_table(grid))) for grid in source.grids]
    tables = [table for _, table in found if table is not None]
    writer = _Writer(source)
    writer.head(tables)
    writer.words(tables)
    for grid, table in found:
        if table is None:
            writer.lines += ["", f"# sheet {_text(grid.name)}: no table was found on it"]
        else:
            writer.table(table)
    return "\n".join(writer.lines) + "\n"


def _useful(table: TableGuess | None) -> TableGuess | None:
    """Return a table that has something to read: a column of values, or numbers beside a key."""
    if table is None or "value" in _keys(table) or len(columns_of(table)[0]) > 1:
        return table
    return None


def _text(text: str) -> str:
    """Return a text as TOML writes it."""
    return json.dumps(" ".join(text.split()), ensure_ascii=False).replace("\x7f", "\\u007f")


def _list(texts: Iterable[str]) -> str:
    return "[" + ", ".join(map(_text, texts)) + "]"


@dataclass
class _Writer:
    """Writes a map line by line."""

    source: Source
    lines: list[str] = field(default_factory=list)

    @property
    def one_sheet(self) -> bool:
        return len(self.source.grids) == 1

    def head(self, tables: Sequence[TableGuess]) -> None:
        """Write what holds for the whole file."""
        decimal, guessed = decimal_of(tables, False)
        self.lines += [
            f"# A first map of {self.source.name}: correct what is marked as a guess.",
            "version = 1",
            "",
            "[file]",
            f'decimal = "{decimal}"' + (_GUESS if guessed else ""),
            *self._dates(tables),
            "",
            "[defaults]",
        ]
        for key, otherwise in (("job", self.source.name.rpartition(".")[0]), ("engine", None)):
            self._labelled(key, otherwise, tables)
        self._labelled("stage", "as received", tables)
        self.lines.append(
            '# gauge = "..."  # if all was read with one gauge, name it as in the list of gauges'
        )

    def _dates(self, tables: Sequence[TableGuess]) -> list[str]:
        """Return the order of the dates, when any are written as text."""
        orders = set()
        for table in tables:
            for head in table.heads:
                for cell in table.cells(head.column):
                    if isinstance(cell, str):
                        found = re.fullmatch(r"(\d{1,2})[-./](\d{1,2})[-./]\d{2,4}", cell.strip())
                        if found:
                            orders.add((int(found[1]) > 12, int(found[2]) > 12))
        if not orders:
            return []
        if any(second for _, second in orders) and not any(first for first, _ in orders):
            return ['dates = "month-day-year"']
        sure = any(first for first, _ in orders)
        return ['dates = "day-month-year"' + ("" if sure else _GUESS)]

    def _labelled(self, key: str, otherwise: str | None, tables: Sequence[TableGuess]) -> None:
        """Write a default: the cell beside its label above a table, or a constant."""
        columns = {guesses.key_of(head.text) for table in tables for head in table.heads}
        if key in columns and self.one_sheet:
            return
        for grid in self.source.grids:
            table = next((t for t in tables if t.grid is grid), None)
            cell = _beside_label(grid, key, table)
            if cell is not None:
                where = f"cell = {_text(cell)}"
                if not self.one_sheet:
                    where = f"sheet = {_text(grid.name)}, {where}"
                self.lines.append(f"{key} = {{ {where} }}")
                return
        if otherwise is not None:
            self.lines.append(f"{key} = {_text(otherwise)}{_GUESS}")

    def words(self, tables: Sequence[TableGuess]) -> None:
        """Write the words that stand where numbers belong."""
        found: dict[str, str] = {}
        for table in tables:
            keys = {head.column for key, head in _keys(table).items() if key != "value"}
            for head in columns_of(table)[0]:
                for cell in table.cells(head.column) if head.column not in keys else ():
                    if not isinstance(cell, str) or looks_numeric(cell):
                        continue
                    if any(letter.isdigit() for letter in cell) or cell.startswith("#"):
                        continue
                    kind = "not measured" if guesses.is_not_measured(cell) else "observation"
                    found.setdefault(" ".join(cell.split()), kind)
        if found:
            self.lines += ["", "[words]"]
            self.lines += [f"{_text(word)} = {_text(kind)}{_GUESS}" for word, kind in found.items()]

    def table(self, table: TableGuess) -> None:
        """Write one table."""
        self.lines += ["", "[[table]]"]
        if not self.one_sheet:
            self.lines.append(f"sheet = {_text(table.grid.name)}")
        keys = _with_the_only_figure(table, _keys(table))
        if "value" in keys and ("feature" in keys or "quantity" in keys):
            self._long(table, keys)
        else:
            self._wide(table, keys)

    def _common(self, table: TableGuess, layout: str) -> None:
        self.lines.append(f'layout = "{layout}"')
        self.lines.append(f"header_rows = {list(table.header_rows)}")
        firsts = [next((c for c in row if not is_blank(c)), None) for row in table.rows]
        totals = {
            cell.split()[0].casefold().strip(".:") + "*"
            for cell in firsts
            if isinstance(cell, str) and guesses.is_summary(cell)
        }
        if totals:
            self.lines.append(f"ignore_rows = {_list(sorted(totals))}")

    # -- long ---------------------------------------------------------------------------------

    def _long(self, table: TableGuess, keys: dict[str, ColumnHead]) -> None:
        self._common(table, "long")
        context = f"{table.grid.name} {_above(table)}"
        value = keys["value"]
        if "feature" not in keys:
            self._guess("feature", guesses.feature_of(context) or "bore")
        if "quantity" not in keys:
            self._guess("quantity", _quantity_of(table, value, keys.get("unit")))
        if "unit" not in keys and value.unit is None:
            self._guess("unit", "mm")
        used = {head.column for head in keys.values()}
        strange = [head for head in table.heads if head.text and head.column not in used]
        if strange:
            names = _list(head.text for head in strange)
            self.lines.append(f"ignore_columns = {names}{_GUESS}")
        self.lines += ["", "[table.columns]"]
        self.lines += [f"{key} = {_where(head, table)}" for key, head in keys.items()]
        self._values(table, keys)

    def _guess(self, key: str, word: str) -> None:
        self.lines.append(f"{key} = {_text(word)}{_GUESS}")

    def _values(self, table: TableGuess, keys: dict[str, ColumnHead]) -> None:
        """Write what the shop's words for features, quantities and places mean."""
        around = f"{table.grid.name} {_above(table)}"
        for key in ("feature", "part", "quantity", "station", "axis"):
            if key not in keys:
                continue
            cells = [c for c in table.cells(keys[key].column) if isinstance(c, str)]
            words = dict.fromkeys(shown(cell) for cell in cells if not guesses.is_summary(cell))
            if key == "feature":
                around += " " + " ".join(words)
            lines = []
            for word in words:
                meant = _meant(key, word, list(words), around)
                if key in ("feature", "quantity") and fold(meant or "") == fold(word):
                    continue
                if meant is not None and meant != word:
                    lines.append(f"{_text(word)} = {_text(meant)}{_GUESS}")
                elif meant is None and key in ("feature", "quantity"):
                    lines.append(f'# {_text(word)} = "..."  # guess missing: which {key} is this?')
            if lines:
                self.lines += ["", f"[table.values.{key}]", *lines]

    # -- wide ---------------------------------------------------------------------------------

    def _wide(self, table: TableGuess, keys: dict[str, ColumnHead]) -> None:
        self._common(table, "wide")
        numeric, others = columns_of(table)
        row_keys = {key: head for key, head in keys.items() if key not in ("value", "note", "unit")}
        if "number" not in row_keys:
            counted = next((head for head in numeric if _counts(table, head)), None)
            if counted is not None:
                row_keys["number"] = counted
        feature = guesses.feature_of(f"{table.grid.name} {_above(table)}") or "bore"
        if row_keys.get("feature") in numeric:
            del row_keys["feature"]
        if "feature" not in row_keys:
            self._guess("feature", feature)
        for key, head in row_keys.items():
            where = _where(head, table)
            self.lines.append(f"{key} = {where if where[0] == '{' else f'{{ heading = {where} }}'}")
        used = {head.column for head in row_keys.values()}
        values = [head for head in numeric if head.column not in used]
        notes = [head for head in others if guesses.key_of(head.text) == "note"]
        used |= {head.column for head in (*values, *notes)}
        if notes:
            self.lines.append(f"note_columns = {_list(head.text for head in notes)}")
        rest = [head for head in others if head.text and head.column not in used]
        if rest:
            self.lines.append(f"ignore_columns = {_list(h.text for h in rest)}{_GUESS}")
        for group in grouped(values, feature):
            self._columns(table, group, feature)
        self._values(table, row_keys)

    def _columns(self, table: TableGuess, group: Alike, feature: str) -> None:
        self.lines += ["", "[[table.column]]"]
        if group.pattern is None:
            where = _where(group.heads[0], table)
            self.lines.append(where[2:-2] if where[0] == "{" else f"heading = {where}")
        else:
            self.lines.append(f"heading = {_text(group.pattern)}")
        if group.feature != feature:
            self._guess("feature", group.feature)
        if group.part:
            self._guess("part", group.part)
        self._guess("quantity", group.quantity)
        if group.unit is None:
            self.lines.append(f'unit = "mm"{_GUESS}')
        for key, words in group.words.items():
            listed = ", ".join(f"{_text(word)} = {_text(meant)}" for word, meant in words.items())
            self.lines.append(f"{key} = {{ {listed} }}{_GUESS}")


def _with_the_only_figure(table: TableGuess, keys: dict[str, ColumnHead]) -> dict[str, ColumnHead]:
    """Take the one column of figures beside a column of units as the readings."""
    used = {head.column for head in keys.values()}
    figures = [head for head in columns_of(table)[0] if head.column not in used]
    if "value" in keys or "unit" not in keys or "feature" not in keys or len(figures) != 1:
        return keys
    return {**keys, "value": figures[0]}


def _quantity_of(table: TableGuess, value: ColumnHead, unit: ColumnHead | None) -> str:
    """Return the quantity that a heading means: "Mass" in mm is a size in German."""
    quantity = guesses.quantity_of(value.text) or "diameter"
    written = {shown(cell) for cell in table.cells(unit.column)} if unit is not None else set()
    return "diameter" if quantity == "mass" and written & {"mm", "in", "thou", "µm"} else quantity


def _meant(key: str, word: str, words: Sequence[str], around: str) -> str | None:
    """Return what a word of a column probably means."""
    if key == "feature":
        return guesses.feature_of(word, around)
    if key == "quantity":
        return guesses.quantity_of(word)
    if key == "part":
        return guesses.part_of(word, around)
    return guesses.station_of(word, words) if key == "station" else guesses.axis_of(word)


def _keys(table: TableGuess) -> dict[str, ColumnHead]:
    """Return the columns whose headings name a column of the readings; the first of each."""
    found: dict[str, ColumnHead] = {}
    for head in table.heads:
        key = guesses.key_of(head.text) or guesses.key_of(named(head.text).bare)
        if key is not None:
            found.setdefault(key, head)
    return found


def _where(head: ColumnHead, table: TableGuess) -> str:
    """Return how the map names a column: by its heading, or by its letters if it stands twice."""
    if sum(fold(other.text) == fold(head.text) for other in table.heads) > 1 or not head.text:
        return f'{{ column = "{column_letters(head.column)}" }}'
    return _text(head.text)


def _counts(table: TableGuess, head: ColumnHead) -> bool:
    """Tell whether a column counts its rows."""
    cells = [shown(cell) for cell in table.cells(head.column)]
    numbers = [int(cell) for cell in cells if cell.isdigit()]
    return len(numbers) > 1 and all(0 < number <= 200 for number in numbers)


def _above(table: TableGuess) -> str:
    """Return the texts above a table, which often say what it is of."""
    words = []
    for number, row in zip(table.grid.numbers, table.grid.rows, strict=False):
        if table.header_rows and number >= table.header_rows[0]:
            break
        words += [cell for cell in row if isinstance(cell, str) and len(cell) < 60]
    return " ".join(words)


def _beside_label(grid: Grid, key: str, table: TableGuess | None) -> str | None:
    """Return the cell on the right of a label above the table."""
    last = table.header_rows[0] if table is not None else 30
    for number, row in zip(grid.numbers, grid.rows, strict=False):
        if number >= last:
            return None
        for place, cell in enumerate(row[:-1]):
            if isinstance(cell, str) and guesses.key_of(cell) == key:
                beside: Any = row[place + 1]
                if not is_blank(beside) and not isinstance(beside, dt.date):
                    return f"{column_letters(place + 2)}{number}"
    return None
