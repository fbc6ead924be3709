"""Readings gathered from all tables of a file: repeats numbered, doubt filled in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from enginewright.sheets.grid import cell_name
from enginewright.sheets.keys import Pool
from enginewright.sheets.mapping import WORDS
from enginewright.sheets.problems import Problem
from enginewright.sheets.region import REJECTED, Region
from enginewright.table import Readings

__all__ = ["Gathering"]

Array: TypeAlias = npt.NDArray[Any]

_KEY_WORDS = ("job", "stage", "feature", "part", "station", "axis", "quantity")
_FLOATS = ("number", "position", "repeat", "value", "uncertainty", "temperature", "date")


@dataclass
class _Chunk:
    """The readings of one table: where they stand, and their columns."""

    region: Region
    rows: Array
    columns: Array
    data: Mapping[str, Array]
    notes: Array | None


class Gathering:
    """Collects the readings of a file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.pools = {word: Pool() for word in WORDS}
        self.problems: list[Problem] = []
        self._chunks: list[_Chunk] = []

    def add(
        self,
        region: Region,
        rows: Array,
        columns: Array,
        data: Mapping[str, Array],
        notes: Array | None,
    ) -> None:
        """Take the readings of one table: live rows and columns of their cells, and their data."""
        self._chunks.append(_Chunk(region, rows, columns, data, notes))

    def finish(self) -> tuple[Readings, dict[int, int]]:
        """Return the readings, and how many came from each sheet (by the grid's identity)."""
        columns = self._joined()
        keep = self._number_repeats(columns)
        columns = {name: values[keep] for name, values in columns.items()}
        self._fill_doubt(columns)
        counts: dict[int, int] = {}
        grids = [id(chunk.region.grid) for chunk in self._chunks]
        for chunk, count in enumerate(np.bincount(columns["_chunk"], minlength=len(grids))):
            counts[grids[chunk]] = counts.get(grids[chunk], 0) + int(count)
        return self._readings(columns), counts

    def _joined(self) -> dict[str, Array]:
        """Put the tables one below the other."""
        columns: dict[str, Array] = {}
        chunks = self._chunks
        for name in WORDS:
            columns[name] = _stacked([c.data.get(name) for c in chunks], chunks, -1, np.int32)
        for name in (*_FLOATS, "_resolution"):
            columns[name] = _stacked([c.data.get(name) for c in chunks], chunks, np.nan, np.float64)
        columns["_plain"] = _stacked([c.data["_plain"] for c in chunks], chunks, False, np.bool_)
        columns["_live"] = _stacked([c.rows for c in chunks], chunks, 0, np.int64)
        columns["_chunk"] = _stacked(
            [np.full(len(c.rows), place) for place, c in enumerate(chunks)], chunks, 0, np.int64
        )
        columns["row"] = _stacked([c.region.numbers[c.rows] for c in chunks], chunks, 0, np.int64)
        columns["column"] = _stacked([c.columns for c in chunks], chunks, 0, np.int64)
        columns["note"] = _stacked([c.notes for c in chunks], chunks, None, np.object_)
        return columns

    def _place(self, columns: Mapping[str, Array], reading: int) -> tuple[str, int, int]:
        region = self._chunks[int(columns["_chunk"][reading])].region
        return region.grid.name, int(columns["row"][reading]), int(columns["column"][reading])

    def _number_repeats(self, columns: dict[str, Array]) -> Array:
        """Give numbers to readings of the same thing; refuse the second of two with one number."""
        count = len(columns["value"])
        keep = np.ones(count, np.bool_)
        same = _groups([columns[w] for w in _KEY_WORDS], [columns["number"], columns["position"]])
        sizes = np.bincount(same) if count else np.zeros(0, np.int64)
        several = np.flatnonzero(sizes[same] > 1) if count else np.zeros(0, np.int64)
        if not several.size:
            return keep
        order = several[np.argsort(same[several], kind="stable")]
        starts = np.flatnonzero(np.diff(same[order], prepend=-1))
        lengths = np.diff(np.append(starts, len(order)))
        repeats = columns["repeat"]
        given = ~np.isnan(repeats[order])
        # Most sets bear no number at all: those are numbered in one go.
        mixed = np.logical_or.reduceat(given, starts)
        rank = np.arange(len(order)) - np.repeat(starts, lengths) + 1
        fresh = ~np.repeat(mixed, lengths)
        repeats[order[fresh]] = rank[fresh]
        firsts = starts[~mixed]
        pairs = np.stack([order[firsts], order[firsts + 1]], axis=1)
        more = []
        for place in np.flatnonzero(mixed).tolist():
            members = order[starts[place] : starts[place] + lengths[place]]
            pair = self._mixed_repeats(columns, members, keep)
            more += [pair] if pair is not None else []
        self._note_numbered(columns, np.concatenate([pairs, np.array(more, int).reshape(-1, 2)]))
        return keep

    def _mixed_repeats(
        self, columns: dict[str, Array], members: Array, keep: Array
    ) -> tuple[int, int] | None:
        """Give the rest of a set its numbers; return the first pair of readings that it joins."""
        repeats = columns["repeat"]
        holders: dict[int, int] = {}
        pair = None
        for reading in members.tolist():
            if np.isnan(repeats[reading]):
                repeats[reading] = max(holders, default=0) + 1
                pair = pair or (int(members[0]), reading)
            elif int(repeats[reading]) in holders:
                given = int(repeats[reading])
                self._refuse_second(columns, holders[given], reading, given)
                keep[reading] = False
                continue
            holders[int(repeats[reading])] = reading
        return pair

    def _refuse_second(
        self, columns: dict[str, Array], first: int, second: int, repeat: int
    ) -> None:
        sheet, row, column = self._place(columns, second)
        other = cell_name(*self._place(columns, first))
        self.problems.append(
            Problem(
                severity="error",
                code="same reading twice",
                message=f"this is the same thing as {other}, and both are repeat {repeat}",
                file=self.file,
                sheet=sheet,
                row=row,
                column=column,
                suggestion="give one of them another repeat, or take it out",
            )
        )
        region = self._chunks[int(columns["_chunk"][second])].region
        region.roles[int(columns["_live"][second]), column - 1] = REJECTED

    def _note_numbered(self, columns: dict[str, Array], pairs: Array) -> None:
        """Say once a table that repeats were numbered, with its first two cells."""
        chunks = columns["_chunk"][pairs[:, 0]]
        for chunk in np.unique(chunks):
            here = pairs[chunks == chunk]
            first, second = here[np.argmin(here[:, 0])].tolist()
            sheet, row, column = self._place(columns, second)
            things = "1 thing was" if len(here) == 1 else f"{len(here)} things were"
            self.problems.append(
                Problem(
                    severity="note",
                    code="repeats numbered",
                    message=f"{things} read more than once and numbered in order; the first in "
                    f"{cell_name(*self._place(columns, first))} and "
                    f"{cell_name(sheet, row, column)}",
                    file=self.file,
                    sheet=sheet,
                    row=row,
                    column=column,
                )
            )

    def _fill_doubt(self, columns: dict[str, Array]) -> None:
        """State the doubt that the written digits leave, where no gauge and no doubt is named.

        Half a digit either way, evenly spread, expanded by 2: twice the resolution over the root of
        twelve. A spreadsheet drops closing zeros, so of plain decimals the finest of the same thing
        on the same sheet counts.
        """
        open_rows = (
            np.isnan(columns["uncertainty"])
            & (columns["gauge"] == -1)
            & ~np.isnan(columns["value"])
        )
        if not open_rows.any():
            return
        resolution = columns["_resolution"].copy()
        plain = columns["_plain"]
        if plain.any():
            same = _groups([columns[n] for n in ("feature", "quantity", "unit", "_chunk")], [])
            finest = np.full(int(same.max()) + 1, np.inf)
            known = plain & ~np.isnan(resolution)
            np.minimum.at(finest, same[known], resolution[known])
            finest[np.isinf(finest)] = np.nan
            resolution[plain] = finest[same[plain]]
        doubt = 2 * resolution / np.sqrt(12)
        columns["uncertainty"] = np.where(open_rows, doubt, columns["uncertainty"])

    def _readings(self, columns: Mapping[str, Array]) -> Readings:
        count = len(columns["value"])
        given: dict[str, Any] = {}
        for name in WORDS:
            codes = columns[name]
            if name in ("job", "stage", "feature", "quantity") or (codes >= 0).any():
                words = np.array([*self.pools[name].words, None], dtype=object)
                given[name] = words[codes].tolist()
        for name in (*_FLOATS, "row", "column"):
            if name in ("value", "row", "column") or not np.isnan(columns[name]).all():
                given[name] = columns[name].astype(np.float64)
        if "date" in given:
            days = given["date"]
            day = np.where(np.isnan(days), 0, days).astype("datetime64[D]")
            given["date"] = np.where(np.isnan(days), np.datetime64("NaT", "D"), day)
        given["row"] = columns["row"]
        given["column"] = columns["column"]
        if any(note is not None for note in columns["note"]):
            given["note"] = columns["note"].tolist()
        sheets = np.array([c.region.grid.name for c in self._chunks] or [""], dtype=object)
        given["sheet"] = sheets[columns["_chunk"]].tolist()
        given["file"] = [self.file] * count
        return Readings(**given)


def _stacked(parts: list[Any], chunks: list[_Chunk], missing: Any, kind: Any) -> Array:
    """Put columns one below the other; a table without the column counts as missing."""
    full = [
        np.full(len(chunk.rows), missing, kind) if part is None else part.astype(kind)
        for part, chunk in zip(parts, chunks, strict=True)
    ]
    return np.concatenate(full) if full else np.zeros(0, kind)


def _groups(codes: list[Array], numbers: list[Array]) -> Array:
    """Return one number a row, the same for rows with equal entries in all columns."""
    count = len((codes or numbers)[0])
    same = np.zeros(count, np.int64)
    size = 1
    columns = [column.astype(np.int64) + 1 for column in codes]
    for column in numbers:
        if np.isnan(column).all():
            continue
        columns.append(np.unique(column, return_inverse=True)[1].astype(np.int64))
    for column in columns:
        span = int(column.max(initial=0)) + 1
        if span == 1 or not count:
            continue
        if size * span > 1 << 60:
            same = np.unique(same, return_inverse=True)[1].astype(np.int64)
            size = int(same.max(initial=0)) + 1
        same = same * span + column
        size *= span
    return np.unique(same, return_inverse=True)[1].astype(np.int64)
