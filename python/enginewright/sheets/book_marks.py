"""What the findings say about each row and cell of a sheet, in the order of their weight."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from enginewright import _answers
from enginewright._bolts import bolts_out
from enginewright._counts import counted
from enginewright._lines import is_plan
from enginewright._numbers import band, figure, with_doubt
from enginewright._rows import FindingRow, column, finding_rows, has_column, reading_rows
from enginewright._words import Words, load
from enginewright.sheets.book_style import MARKS, NOT_READ, POINTS_ON, Look, mark_of
from enginewright.sheets.grid import column_number
from enginewright.sheets.problems import Problem

__all__ = [
    "Marks",
    "RowMark",
    "answered_by",
    "cell_of",
    "comment_of",
    "limit_of",
    "look_of",
    "order_of",
    "served_look",
    "to_do",
    "weight",
]

_CELL = re.compile(r"(.*)!([A-Z]{1,3})(\d+)", re.DOTALL)
_ORDER = ("outside", "unproven", "plan", "within", "unlimited")


def cell_of(row: FindingRow) -> tuple[str, int, int] | None:
    """Return sheet, row and column of the cell that a finding marks."""
    return cell_of_place(row.place)


def cell_of_place(place: str) -> tuple[str, int, int] | None:
    """Return sheet, row and column of "Block!C6"; None for what names no cell."""
    found = _CELL.fullmatch(place)
    return None if found is None else (found[1], int(found[3]), column_number(found[2]))


def look_of(row: FindingRow) -> Look:
    """Return how a finding is marked."""
    return mark_of(row.verdict, is_plan(row))


def served_look(row: FindingRow) -> Look:
    """Return how a cell is marked that went into a finding marked elsewhere.

    One stretched bolt makes its set bad, not its seven neighbours: they only point there.
    """
    look = look_of(row)
    return POINTS_ON if look.word in ("outside", "unproven") else look


def weight(row: FindingRow) -> tuple[int, float]:
    """Return what comes first in a row: the worst verdict, then the least margin."""
    word = "plan" if look_of(row) is MARKS["plan"] else row.verdict
    return _ORDER.index(word), float("inf") if row.margin is None else row.margin


def limit_of(row: FindingRow, words: Words) -> str:
    """Return the limits of a finding as a person writes them."""
    if row.lower is None and row.upper is None:
        return ""
    return band(row.lower, row.upper, row.unit, words).first


def comment_of(rows: Sequence[FindingRow], words: Words) -> str:
    """Return what stands behind a cell: value with doubt, limits with their source, verdict."""
    lines = []
    for row in rows:
        name = row.quantity if row.check == "limits" else row.check
        lines.append(f"{name}: {with_doubt(row.value, row.uncertainty, row.unit).first}")
        limit = limit_of(row, words)
        if limit:
            kind = f" ({row.kind})" if row.kind else ""
            lines.append(f"limit{kind}: {limit}")
        if row.limit_source:
            lines.append(f"from: {row.limit_source}")
        margin = "" if row.margin is None else f", margin {figure(row.margin, row.unit).first}"
        lines.append(f"{look_of(row).text}{margin}")
        if row.reason:
            lines.append(row.reason)
        lines.append("")
    return "\n".join(lines).strip()


def plans_of(rows: Iterable[FindingRow]) -> dict[tuple[str, str], FindingRow]:
    """Return the plans that solve the matter, by job and feature."""
    return {(row.job, row.feature): row for row in rows if look_of(row) is MARKS["plan"]}


def answered_by(row: FindingRow, plans: Mapping[tuple[str, str], FindingRow]) -> FindingRow | None:
    """Return the plan that answers a finding: what will be machined, and what is fitted to it."""
    feature = _answers.answered_by(row)
    return None if feature is None else plans.get((row.job, feature))


def order_of(row: FindingRow) -> str:
    """Return what a finding asks for; of a plan also what it could not reckon with."""
    if is_plan(row) and row.reason:
        return f"{row.next} Note: {row.reason}."
    return row.next


def to_do(rows: Iterable[FindingRow]) -> list[FindingRow]:
    """Return the findings that ask for something, plans first, then by weight."""
    wanted = [
        row for row in rows if row.next and (is_plan(row) or row.verdict in ("outside", "unproven"))
    ]
    return sorted(wanted, key=lambda row: (not is_plan(row), *weight(row)))


@dataclass
class RowMark:
    """One row of a sheet: its findings, heaviest first, and the cells that were not read."""

    findings: list[FindingRow] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    serves: list[FindingRow] = field(default_factory=list)
    """Findings marked elsewhere that a reading of this row went into."""

    @property
    def look(self) -> Look:
        """The mark of the row: that of its heaviest finding."""
        if self.findings:
            return look_of(self.findings[0])
        return served_look(self.serves[0]) if self.serves else NOT_READ

    def next(self, plans: Mapping[tuple[str, str], FindingRow]) -> list[str]:
        """Return what to do, each thing once and plans first; what is good needs nothing."""
        told = []
        for row in to_do(self.findings):
            plan = answered_by(row, plans)
            if plan is None:
                told.append(order_of(row))
            elif plan not in self.findings:
                told.append(f"Answered by the plan: see {plan.place}.")
        for problem in self.problems:
            cell = problem.place.rpartition("!")[2]
            told.append(f"{cell}: {problem.message}; {problem.suggestion}")
        return list(dict.fromkeys(told))


class Marks:
    """The findings and problems of one file, by sheet, row and cell."""

    def __init__(
        self, findings: Any, problems: Iterable[Problem], file: str, readings: Any = ()
    ) -> None:
        self.words = load("en")
        self.findings = _of_file(findings, file)
        self.plans = plans_of(self.findings)
        self.rows: dict[tuple[str, int], RowMark] = {}
        self.cells: dict[tuple[str, int, int], list[FindingRow]] = {}
        self.unread: dict[tuple[str, int, int], list[Problem]] = {}
        read = reading_rows(readings) if len(readings) else ()
        # A bolt that is out is marked where it was read, though another speaks for its set.
        bolts = [bolt for row in self.findings for bolt in bolts_out(row, read)]
        for row in sorted((*self.findings, *bolts), key=weight):
            cell = cell_of(row)
            if cell is not None:
                self.cells.setdefault(cell, []).append(row)
                self.rows.setdefault(cell[:2], RowMark()).findings.append(row)
        self.places = [row.place for row in read]
        self._serve()
        for problem in problems:
            if problem.severity == "error" and problem.row and problem.column:
                place = (problem.sheet, problem.row, problem.column)
                self.unread.setdefault(place, []).append(problem)
                self.rows.setdefault(place[:2], RowMark()).problems.append(problem)

    def _serve(self) -> None:
        """Mark the cells that bear no finding of their own by what they went into."""
        own = set(self.cells)
        self.own = frozenset(own)
        for row in sorted(self.findings, key=weight):
            for index in row.readings:
                cell = cell_of_place(self.places[index]) if index < len(self.places) else None
                if cell is not None and cell not in own:
                    self.cells.setdefault(cell, []).append(row)
                    self.rows.setdefault(cell[:2], RowMark()).serves.append(row)

    def counts(self) -> list[tuple[Look, int]]:
        """Return how many findings bear each mark, worst first."""
        total = counted(self.findings)
        return [(look, total[mark]) for mark, look in MARKS.items()]


def _of_file(findings: Any, file: str) -> tuple[FindingRow, ...]:
    """Return the findings whose cell is in this file; a finding without a file counts as its."""
    rows = finding_rows(findings)
    if not len(rows) or isinstance(findings, tuple) or not has_column(findings, "file"):
        return rows
    files = column(findings, "file")
    return tuple(row for row, name in zip(rows, files, strict=True) if name in (None, "", file))
