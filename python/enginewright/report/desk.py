"""The desk at which a paper is put together: its job, its rows, its words, its footnotes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from enginewright import _numbers as numbers
from enginewright._lines import Line, current, lines, part_name, question
from enginewright._numbers import Shown
from enginewright._rows import FindingRow, NotCheckedRow, ReadingRow
from enginewright._words import Words
from enginewright.report.blocks import Cell
from enginewright.report.job_facts import JobFacts

__all__ = ["Desk", "NOTHING"]

NOTHING = "–"
SIGNS = {"within": "✓", "outside": "✗", "unproven": "?", "unlimited": "–"}


@dataclass
class Desk:
    """Everything that the rooms of a paper share while it is being made."""

    facts: JobFacts
    findings: Any
    readings: Any
    finding_rows: tuple[FindingRow, ...]
    reading_rows: tuple[ReadingRow, ...]
    not_checked: tuple[NotCheckedRow, ...]
    say: Words
    figures: bool
    sources: dict[str, int] = field(default_factory=dict)
    drawn: dict[str, int] = field(default_factory=dict)
    #: Remarks that the paper has told already.
    remarked: set[tuple[str, str, int | None, str]] = field(default_factory=set)
    #: The core's view of the readings and their limits; None: nobody has asked yet.
    sizes: Any = None

    def __post_init__(self) -> None:
        self.now, self.before = current(lines(self.finding_rows))
        self.inch = {
            row.index: numbers.inch_first(self.reading_rows[row.readings[0]].unit)
            for row in self.finding_rows
            if row.readings and row.readings[0] < len(self.reading_rows)
        }

    # Names

    def part(self, row: FindingRow) -> str:
        """Name the part of a finding."""
        return part_name(row, self.say)

    def named(self, row: FindingRow) -> str:
        """Name the part and the place on it: "main journal 2 (front, x)"."""
        where = ", ".join(
            word for word in (self.say.say("station", row.station), self.say.say("axis", row.axis))
            if word
        )  # fmt: skip
        part = self.part(row)
        return self.say("parts.placed", part=part, place=where) if where else part

    def parts(self, alike: Sequence[Line]) -> str:
        """Name several parts of one feature by their numbers: "main journal 1, 2, 3"."""
        if len(alike) == 1:
            return self.part(alike[0].worst)
        listed = self.say("outcome.join").join(str(line.worst.number) for line in alike)
        return part_name(alike[0].worst, self.say, number=listed)

    def asked(self, row: FindingRow) -> str:
        """Name what was asked of it."""
        return question(row, self.say)

    def day(self, when: date | str | None) -> str:
        """Write a date: "2 March 2026"."""
        if isinstance(when, date):
            month = self.say.all("months")[when.month - 1]
            return self.say("numbers.date", day=when.day, month=month, year=when.year)
        return when or ""

    # Figures

    def value(self, line: Line) -> Cell:
        """Show what was read: least to greatest of the line."""
        row = line.worst
        if row.value is None:
            return Cell(self._word(row) or NOTHING)
        shown = numbers.spread(line.least, line.greatest, row.unit, inch=self._inch(row))
        return _cell(shown, strong=True)

    def values(self, alike: Sequence[Line]) -> Cell:
        """Show what was read of several parts, one after the other."""
        if len(alike) == 1:
            return self.value(alike[0])
        # All in the unit of the first: a list that changes its unit on the way is misread.
        first = self._inch(alike[0].worst)
        shown = [
            numbers.spread(line.least, line.greatest, line.worst.unit, inch=first) for line in alike
        ]
        return Cell(
            numbers.row_of([each.first for each in shown]),
            numbers.row_of([each.second for each in shown if each.second]),
            strong=True,
        )

    def doubt(self, row: FindingRow) -> Cell:
        """Show the expanded uncertainty."""
        if not row.uncertainty:
            return Cell(NOTHING)
        return _cell(numbers.figure(row.uncertainty, row.unit, inch=self._inch(row)))

    def limits(self, row: FindingRow, *, source: bool = True) -> Cell:
        """Show the limits, with the number of the footnote that says where they are from."""
        shown = numbers.band(row.lower, row.upper, row.unit, self.say, inch=self._inch(row))
        noted = source and row.limit_source and (row.lower is not None or row.upper is not None)
        mark = f"[{self.source(row.limit_source)}]" if noted else ""
        if shown.second:
            return Cell(shown.first, f"{shown.second} {mark}")
        return Cell(f"{shown.first} {mark}")

    def margin(self, row: FindingRow) -> Cell:
        """Show how far inside the nearer limit, below 0 outside."""
        return _cell(numbers.figure(row.margin, row.unit, inch=self._inch(row)))

    def off(self, row: FindingRow) -> Cell:
        """Show the metal to take off, or what else the finding's amount is."""
        if row.amount is None:
            return Cell(NOTHING)
        return _cell(numbers.change(row.amount, row.amount_unit or row.unit, inch=self._inch(row)))

    def length(self, value: float, row: FindingRow, *, strong: bool = False) -> Cell:
        """Show one length beside a finding."""
        return _cell(numbers.figure(value, "mm", inch=self._inch(row)), strong=strong)

    def band(self, lower: float | None, upper: float | None, row: FindingRow) -> Cell:
        """Show a band of lengths beside a finding."""
        shown = numbers.band(lower, upper, "mm", self.say, inch=self._inch(row))
        return _cell(shown, strong=True)

    def doubt_title(self) -> str:
        """Give the title of the column of uncertainties: "± at 95 %"."""
        return self.say("columns.doubt", level=f"{100 * self.facts.level:g}")

    def verdict(self, verdict: str) -> Cell:
        """Give the badge of a verdict: its sign, then its word."""
        word = self.say.say("verdict", verdict)
        return Cell(f"{SIGNS.get(verdict, NOTHING)} {word}", verdict=verdict)

    def _inch(self, row: FindingRow) -> bool:
        return self.inch.get(row.index, False)

    def _word(self, row: FindingRow) -> str:
        words = [
            self.reading_rows[i].observation for i in row.readings if i < len(self.reading_rows)
        ]
        return ", ".join(dict.fromkeys(filter(None, words)))

    # Footnotes and figures

    def source(self, text: str) -> int:
        """Give the number of a source, the next one when it is new."""
        return self.sources.setdefault(text, len(self.sources) + 1)

    def figure_name(self, name: str) -> str:
        """Give a figure a name of its own within the paper."""
        self.drawn[name] = self.drawn.get(name, 0) + 1
        return f"{name} {self.drawn[name]}"

    def of_bench(self, bench: str, found: Iterable[Line]) -> tuple[Line, ...]:
        """Give the lines of one bench, in their order."""
        from enginewright.report.benches import bench_of

        return tuple(line for line in found if bench_of(line.worst.feature) == bench)


def _cell(shown: Shown, *, strong: bool = False) -> Cell:
    return Cell(shown.first, shown.second, strong=strong)
