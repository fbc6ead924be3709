"""Files of limits and gauges: TOML or a workbook, told apart by what is in them.

Both come down to one shape, `{"limit": [...], "engine": [...], "gauge": [...]}`, and to the one
reader of the core, which checks every key and figure.
"""

from __future__ import annotations

import datetime as dt
import json
import math
import os
import tomllib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from enginewright import _core

__all__ = ["json_of_file", "json_of_rows"]

_core_table: Any = _core.table


def json_of_file(path: str | os.PathLike[str]) -> tuple[str, str]:
    """Read a file of limits or gauges.

    Returns
    -------
    tuple of str
        JSON for the core, and what the file is called in messages.

    Raises
    ------
    ValueError
        Neither TOML nor a workbook, or damaged.
    """
    from enginewright.sheets.guards import Guards, read_bytes

    name = Path(path).name
    guards = Guards()
    data = read_bytes(path, guards)
    # A workbook is a package and begins as every package does.
    content = _workbook(name, data, guards) if data[:2] == b"PK" else _toml(name, data)
    return json.dumps(_plain(name, content), allow_nan=False), name


def json_of_rows(key: str, rows: list[dict[str, Any]]) -> str:
    """Turn the rows of a data frame into JSON for the core; what is missing is left out."""
    said = [{name: value for name, value in row.items() if value is not None} for row in rows]
    return json.dumps(_plain(key, {key: said}), allow_nan=False)


def _plain(place: str, value: Any) -> Any:
    """Return what JSON can hold: dates as text; what it cannot hold is refused by its place."""
    if isinstance(value, dict):
        return {key: _plain(f"{place}, {key}", each) for key, each in value.items()}
    if isinstance(value, list):
        return [_plain(place, each) for each in value]
    if isinstance(value, dt.datetime):
        return value.date().isoformat()
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError(f"{place} must be a finite number, got {value}")
    if value is None or isinstance(value, (str, bool, int, float)):
        return value
    raise ValueError(f"{place} must be a figure, a text or a date, got {type(value).__name__}")


def _toml(name: str, data: bytes) -> dict[str, Any]:
    try:
        content = tomllib.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise ValueError(f"{name} must be TOML or a workbook, it is neither") from None
    except tomllib.TOMLDecodeError as damaged:
        raise ValueError(f"{name} must be TOML, it is not: {damaged}") from None
    except RecursionError:
        raise ValueError(f"{name} is nested too deeply to be read") from None
    return content


def _workbook(name: str, data: bytes, guards: Any) -> dict[str, Any]:
    from enginewright.sheets.xlsx_file import read_xlsx

    content: dict[str, Any] = {"limit": [], "engine": [], "gauge": []}
    faults: list[str] = []
    for grid in read_xlsx(name, data, guards):
        title = grid.name.strip().casefold()
        if title.startswith("limit"):
            content["limit"] += _records(name, grid, faults, with_place=True)
        elif title.startswith("gauge"):
            content["gauge"] += _records(name, grid, faults)
        elif title.startswith("engine"):
            content["engine"] += _cards(grid)
    if faults:
        raise ValueError("\n".join(faults))
    if not any(content.values()):
        raise ValueError(f"{name} must have a sheet Limits, Engine or Gauges, it has none")
    return content


def _rows(grid: Any) -> Iterator[tuple[int, list[Any]]]:
    """Rows that say something, with the number a person sees."""
    for number, row in zip(grid.numbers, grid.rows, strict=True):
        cells = [_cell(cell) for cell in row]
        if any(cell is not None for cell in cells):
            yield number, cells


def _cell(value: Any) -> Any:
    if isinstance(value, str):
        return value.strip() or None
    if isinstance(value, float) and value.is_integer():
        # Spreadsheets keep every number as a float.
        return int(value)
    if value is None or isinstance(value, (int, float, dt.date)):
        return value
    # A formula that failed, or was saved without its value.
    return str(getattr(value, "text", value))


def _key(heading: Any) -> str:
    return "_".join(str(heading).casefold().split())


def _records(
    name: str, grid: Any, faults: list[str], with_place: bool = False
) -> list[dict[str, Any]]:
    """One record a row below the headings."""
    rows = list(_rows(grid))
    if not rows:
        return []
    headings = [None if cell is None else _key(cell) for cell in rows[0][1]]
    records = []
    for number, cells in rows[1:]:
        record: dict[str, Any] = {}
        for column, cell in enumerate(cells):
            if cell is None:
                continue
            heading = headings[column] if column < len(headings) else None
            if heading is None:
                faults.append(f"{name}, {grid.name}!{number}: a cell stands under no heading")
            else:
                record[heading] = cell
        if with_place:
            record["place"] = f"{name}, {grid.name}!{number}"
        records.append(record)
    return records


def _cards(grid: Any) -> list[dict[str, Any]]:
    """One card a column of values; the keys stand in the first column."""
    rows = [(str(cells[0]), cells[1:]) for _, cells in _rows(grid) if cells[0] is not None]
    rows = [(key, values) for key, values in rows if key.casefold() not in ("key", "keys")]
    width = max((len(values) for _, values in rows), default=0)
    cards = []
    for column in range(width):
        card: dict[str, Any] = {}
        for key, values in rows:
            if column < len(values) and values[column] is not None:
                _put(card, key, values[column])
        if card:
            cards.append(card)
    return cards


def _put(card: dict[str, Any], key: str, value: Any) -> None:
    """Put one line of a card: lists apart by ";", "undersizes main journal" into its table."""
    holds = {each.key: each.holds for each in _core_table.card_keys()}
    name = _key(key)
    if name in holds:
        card[name] = _held(holds[name], value)
        return
    for known in sorted(holds, key=len, reverse=True):
        if name.startswith(known + "_") and (
            "by" in holds[known].split() or "table" in holds[known]
        ):
            word = " ".join(key.split()[len(known.split("_")) :])
            card.setdefault(known, {})[word] = _held(holds[known], value)
            return
    card[name] = value


def _held(holds: str, value: Any) -> Any:
    if "pieces" in holds:
        return _pieces(value)
    if holds.startswith("list") or (isinstance(value, str) and ";" in value):
        return _listed(value)
    return value


def _listed(value: Any) -> list[Any]:
    parts: Sequence[Any] = value.split(";") if isinstance(value, str) else [value]
    return [_whole(part.strip()) if isinstance(part, str) else part for part in parts if part != ""]


def _whole(text: str) -> Any:
    return int(text) if text.isdecimal() else text


def _pieces(value: Any) -> Any:
    """Read "2.20 mm = 2; 2.25 mm = 5" as pieces by size."""
    pieces: dict[str, Any] = {}
    for part in _listed(value):
        size, equals, count = str(part).partition("=")
        if not equals:
            return value
        pieces[size.strip()] = _whole(count.strip())
    return pieces
