"""Which column of a sheet is which: the headings found, matched with what a map names.

Keys are matched first, then columns of readings named in full, then patterns with braces, then
notes, then what is to be ignored. What no rule claims is an unknown heading.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from enginewright.sheets.grid import column_letters
from enginewright.sheets.headings import ColumnHead, Pattern, near_pattern
from enginewright.sheets.mapping import ColumnRule, Heading, TableRule, fold
from enginewright.sheets.problems import Problem
from enginewright.sheets.vocabulary import near

__all__ = ["Bound", "ValueColumn", "bind", "missing_told", "unclaimed"]


@dataclass
class ValueColumn:
    """One column of readings: where, by which rule, and what its heading says."""

    column: int
    rule: ColumnRule
    caught: Mapping[str, Any] = field(default_factory=dict)
    heading_unit: str | None = None
    pattern_unit: str | None = None
    heading_note: str | None = None
    """What stands in the heading's bracket and is no unit of the table: the scale of a meter."""


@dataclass
class Bound:
    """A table of the map, with its columns found on one sheet."""

    rule: TableRule
    values: list[ValueColumn] = field(default_factory=list)
    places: dict[Heading, int] = field(default_factory=dict)
    """Column of each heading that holds keys."""
    notes: list[int] = field(default_factory=list)
    ignored: list[int] = field(default_factory=list)
    missing: list[tuple[int | None, str, bool]] = field(default_factory=list)
    """(line of the map, text, whether a key) of headings that the sheet does not have."""
    twice: list[int] = field(default_factory=list)
    """Columns whose heading stands more than once."""
    broken: set[Heading] = field(default_factory=set)
    """Headings of keys that were not found, or not once."""


class _Heads:
    """The headings of a sheet, and the problems they make."""

    def __init__(self, heads: Sequence[ColumnHead], row: int | None) -> None:
        self.heads = heads
        self.row = row
        self.problems: list[Problem] = []

    def find(self, where: Heading, bound: Bound) -> int | None:
        """Return the column of a heading; 0 when it stands twice, and is nobody's."""
        if where.column is not None:
            return where.column
        pattern = Pattern(where)
        hits = [head.column for head in self.heads if pattern.match(head) is not None]
        if len(hits) > 1:
            self.twice(hits, where.text or "", bound)
            return 0
        return hits[0] if hits else None

    def twice(self, columns: Sequence[int], text: str, bound: Bound) -> None:
        letters = " and ".join(column_letters(column) for column in columns)
        if set(columns) <= set(bound.twice):
            return
        bound.twice.extend(columns)
        for column in columns:
            self.problems.append(
                Problem(
                    severity="error",
                    code="heading twice",
                    message=f"the heading {text!r} stands in columns {letters}",
                    row=self.row,
                    column=column,
                    found=text,
                    suggestion=f'name it by column = "{column_letters(column)}" in the map',
                )
            )


def bind(
    heads: Sequence[ColumnHead],
    rules: Sequence[TableRule],
    defaults: Iterable[Heading],
    row: int | None,
) -> tuple[list[Bound], list[Problem]]:
    """Find the columns of all tables that share one heading.

    Parameters
    ----------
    heads : sequence of ColumnHead
        The headings of the sheet.
    rules : sequence of TableRule
        The tables of the map under this heading.
    defaults : iterable of Heading
        Headings that the defaults of the map name.
    row : int
        Last heading row, for messages.

    Returns
    -------
    list of Bound
        One for each rule.
    list of Problem
        Headings that stand twice.
    """
    sheet = _Heads(heads, row)
    bounds = [Bound(rule) for rule in rules]
    defaults = list(defaults)
    for bound in bounds:
        _bind_keys(sheet, bound, defaults)
    keys = {column for bound in bounds for column in bound.places.values()}
    taken: set[int] = set()
    for bound in bounds:
        _bind_exact(sheet, bound, taken)
    for bound in bounds:
        _bind_patterns(sheet, bound, taken, keys)
    for bound in bounds:
        bound.values.sort(key=lambda value: value.column)
        _bind_rest(sheet, bound, taken | keys)
    return bounds, sheet.problems


def _bind_keys(sheet: _Heads, bound: Bound, defaults: Sequence[Heading]) -> None:
    rule = bound.rule
    wanted = [(b, rule.line) for b in rule.fixed.values() if isinstance(b, Heading)]
    wanted += [(entry.where, rule.line) for entry in rule.keys]
    for column in rule.columns:
        wanted += [(b, column.line) for b in column.fixed.values() if isinstance(b, Heading)]
    for where, line in wanted:
        if where in bound.places:
            continue
        found = sheet.find(where, bound)
        if found:
            bound.places[where] = found
            continue
        if found is None:
            bound.missing.append((line, where.text or "", True))
        bound.broken.add(where)
    for where in defaults:
        found = sheet.find(where, bound)
        if found:
            bound.places.setdefault(where, found)


def _bind_exact(sheet: _Heads, bound: Bound, taken: set[int]) -> None:
    for rule in bound.rule.columns:
        if rule.where.text is None and rule.where.column is None:
            bound.values.append(ValueColumn(0, rule))
            continue
        pattern = Pattern(rule.where)
        if not pattern.exact:
            continue
        found = sheet.find(rule.where, bound)
        if found is None and not rule.optional:
            bound.missing.append((rule.line, rule.where.text or "", False))
        if found and found not in taken:
            taken.add(found)
            bound.values.append(_value(sheet, found, rule, {}, pattern))


def _bind_patterns(sheet: _Heads, bound: Bound, taken: set[int], keys: set[int]) -> None:
    for rule in bound.rule.columns:
        pattern = Pattern(rule.where, rule.words)
        if rule.where.text is None or pattern.exact:
            continue
        hits: dict[tuple[tuple[str, str], ...], list[int]] = {}
        for head in sheet.heads:
            if head.column in taken or head.column in keys:
                continue
            caught = pattern.match(head)
            if caught is not None:
                same = tuple(sorted((key, fold(word)) for key, word in caught.items()))
                hits.setdefault(same, []).append(head.column)
        if not hits and not rule.optional:
            bound.missing.append((rule.line, rule.where.text, False))
        for columns in hits.values():
            taken.update(columns)
            if len(columns) > 1:
                sheet.twice(columns, sheet.heads[columns[0] - 1].text, bound)
                continue
            caught = pattern.match(sheet.heads[columns[0] - 1]) or {}
            bound.values.append(_value(sheet, columns[0], rule, caught, pattern))


def _value(
    sheet: _Heads, column: int, rule: ColumnRule, caught: Mapping[str, str], pattern: Pattern
) -> ValueColumn:
    heads = sheet.heads
    head = heads[column - 1] if column <= len(heads) else None
    unit = None if head is None or "unit" in caught else head.unit
    note = None if head is None else head.note
    return ValueColumn(column, rule, caught, unit, pattern.unit, note)


def _bind_rest(sheet: _Heads, bound: Bound, taken: set[int]) -> None:
    """Find notes, then what is to be ignored; a star never takes what another rule names."""
    for wheres, target in ((bound.rule.notes, bound.notes), (bound.rule.ignored, bound.ignored)):
        for where in wheres:
            pattern = Pattern(where)
            for head in sheet.heads:
                if head.column not in taken and pattern.match(head, stars=True) is not None:
                    target.append(head.column)
        taken = taken | set(target)


def unclaimed(
    heads: Sequence[ColumnHead], bounds: Sequence[Bound], filled: Sequence[bool], row: int | None
) -> list[Problem]:
    """Name the columns that no rule of the map claims.

    Parameters
    ----------
    heads : sequence of ColumnHead
        The headings.
    bounds : sequence of Bound
        The tables under this heading.
    filled : sequence of bool
        Whether a column holds anything below its heading.
    row : int
        Last heading row.
    """
    claimed: set[int] = set()
    for bound in bounds:
        claimed.update(value.column for value in bound.values)
        claimed.update(bound.places.values())
        claimed.update((*bound.notes, *bound.ignored, *bound.twice))
    strange = [head for head in heads if head.text and head.column not in claimed]
    bare = [h for h in heads if not h.text and h.column not in claimed and filled[h.column - 1]]
    known = _known(bounds)
    found = [_unknown_heading(head, known, row) for head in strange[:10]]
    if len(strange) > 10:
        found.append(_many("unknown heading", "are not in the map", strange[10:], row))
    found += [_no_heading(head, row) for head in bare[:10]]
    if len(bare) > 10:
        found.append(_many("no heading", "have no heading", bare[10:], row))
    return found


def _known(bounds: Sequence[Bound]) -> list[str]:
    """Return the headings that the map knows, for near matches."""
    texts: list[str] = []
    for bound in bounds:
        rule = bound.rule
        wheres = [*bound.places, *rule.notes, *rule.ignored, *(c.where for c in rule.columns)]
        texts += [where.text for where in wheres if where.text is not None]
        for column in rule.columns:
            words = {key: list(listed.entries) for key, listed in column.words.items()}
            texts += _spelled_out(column.where.text or "", words)
    return list(dict.fromkeys(texts))


def _spelled_out(text: str, words: Mapping[str, list[str]]) -> list[str]:
    """Write a pattern out with every word of its lists, so that a slip finds its neighbour."""
    texts = [text]
    for key, listed in words.items():
        brace = f"{{{key}}}"
        if brace in text:
            texts = [t.replace(brace, word) for t in texts for word in listed[:30]][:200]
    return texts


def _unknown_heading(head: ColumnHead, known: Sequence[str], row: int | None) -> Problem:
    hits = near(head.text, known)
    hint = f"did you mean {' or '.join(map(repr, hits))}? " if hits else ""
    return Problem(
        severity="error",
        code="unknown heading",
        message=f"the heading {head.text!r} is not in the map",
        row=row,
        column=head.column,
        found=head.text,
        suggestion=f"{hint}name it in the map, under ignore_columns if it holds no readings",
    )


def _no_heading(head: ColumnHead, row: int | None) -> Problem:
    letters = column_letters(head.column)
    return Problem(
        severity="error",
        code="no heading",
        message=f"column {letters} has no heading, and cells below",
        row=row,
        column=head.column,
        suggestion=f'name it by column = "{letters}" in the map',
    )


def _many(code: str, what: str, heads: Sequence[ColumnHead], row: int | None) -> Problem:
    first, last = column_letters(heads[0].column), column_letters(heads[-1].column)
    return Problem(
        severity="error",
        code=code,
        message=f"{len(heads)} more columns from {first} to {last} {what}",
        row=row,
        column=heads[0].column,
        suggestion='name them in the map, or ignore_columns = ["*"]',
    )


def missing_told(text: str, heads: Sequence[ColumnHead]) -> str:
    """Say that a heading of the map is not on the sheet, and what comes near."""
    hits = near_pattern(text, heads)
    return f"no heading matches {text!r}; the sheet has {', '.join(map(repr, hits)) or 'none'}"
