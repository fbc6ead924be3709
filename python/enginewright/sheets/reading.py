"""From a file to readings: every table of the map on every sheet it names, and the account."""

from __future__ import annotations

import fnmatch
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from enginewright.sheets.account import Account
from enginewright.sheets.benches import bench_map
from enginewright.sheets.binding import bind, missing_told, unclaimed
from enginewright.sheets.closing import Group, close_account
from enginewright.sheets.context import Context
from enginewright.sheets.gathering import Gathering
from enginewright.sheets.grid import Grid
from enginewright.sheets.guards import Guards
from enginewright.sheets.map_faults import Faults
from enginewright.sheets.map_file import read_map
from enginewright.sheets.map_tables import braces
from enginewright.sheets.mapping import Cell, Heading, SheetMap, TableRule, fold
from enginewright.sheets.problems import Problem, Problems, SheetError, counted
from enginewright.sheets.region import Region
from enginewright.sheets.source import Source, open_source
from enginewright.sheets.table_reading import TableReading
from enginewright.sheets.tidy import tidy_map
from enginewright.sheets.vocabulary import near
from enginewright.table import Readings

__all__ = ["SheetRead", "Span", "read"]


@dataclass(frozen=True)
class Span:
    """Where one table stands: its sheet, its heading rows, and its rows, 1-based and inclusive."""

    sheet: str
    header_rows: tuple[int, ...]
    first_row: int
    last_row: int


@dataclass(frozen=True)
class SheetRead:
    """What a file said: its readings, what could not be read, and where every row and cell went."""

    readings: Readings
    problems: Problems
    account: Account
    file: str = ""
    sha256: str = ""
    spans: tuple[Span, ...] = ()
    encoding: str | None = None
    separator: str | None = None
    """How the map says that a CSV is written."""

    def require_clean(self) -> SheetRead:
        """Return this reading when nothing was rejected; refuse it, with every error, otherwise."""
        errors = self.problems.errors
        if errors:
            head = f"{self.file}: {counted(len(errors), 'error')}:"
            raise SheetError("\n".join([head, *(f"  {problem}" for problem in errors)]))
        return self

    def __repr__(self) -> str:
        return (
            f"SheetRead of {self.file}: {counted(len(self.readings), 'reading')}, "
            f"{counted(len(self.problems.errors), 'error')}\n{self.account}"
        )


def read(
    path: str | os.PathLike[str],
    map: str | os.PathLike[str] | Mapping[str, Any] | None = None,
    *,
    defaults: Mapping[str, Any] | None = None,
    guards: Guards | None = None,
) -> SheetRead:
    r"""Read a shop's spreadsheet into readings.

    Parameters
    ----------
    path : str or path
        A workbook (.xlsx) or a CSV file; its content decides, not its ending.
    map : str, path or mapping, optional
        The map file, its text, or its content. Filled-in bench sheets (`blank`) need none; of any
        other file the headings must then be the names of the columns of `Readings`.
    defaults : mapping, optional
        Columns of the readings for what neither the map nor the sheet says: a job number, a stage.
    guards : Guards, optional
        What the file may ask for.

    Returns
    -------
    SheetRead
        `readings`, `problems` and `account`. Whatever the cells hold, nothing is raised for it.

    Raises
    ------
    SheetError
        The file cannot be read at all, or the map is not valid.

    Examples
    --------
    >>> import tempfile, pathlib
    >>> file = pathlib.Path(tempfile.mkdtemp()) / "bores.csv"
    >>> _ = file.write_text(
    ...     "job,stage,feature,number,quantity,value,unit\n"
    ...     "1042,as received,bore,1,diameter,86.012,mm\n"
    ...     "1042,as received,bore,2,diameter,86.O15,mm\n"
    ... )
    >>> got = ew.sheets.read(file)
    >>> len(got.readings), str(got.account).splitlines()[0]
    (1, 'rows 3 = 1 heading + 1 used + 1 rejected')
    >>> print(got.problems[0].place, got.problems[0].message)
    bores!F3 '86.O15' is no number: it holds letters
    """
    sheet_map, faults = read_map(map) if map is not None else (None, None)
    source = open_source(
        path,
        guards,
        encoding=sheet_map.encoding if sheet_map else None,
        separator=sheet_map.separator if sheet_map else None,
    )
    if sheet_map is None:
        benches = bench_map(source.grids)
        sheet_map = tidy_map(source.grids) if benches is None else read_map(benches)[0]
    gathering = Gathering(source.name)
    context = Context(
        source.name, source.grids, sheet_map or SheetMap(()), defaults or {}, gathering
    )
    context.problems.extend(source.problems)
    groups = _groups(source, context.sheet_map, context.problems)
    _bind_all(groups, context, faults)
    for group in groups:
        for bound in group.bounds:
            TableReading(context, group.region, bound).read()
    readings, counts = gathering.finish()
    account = close_account(source, groups, counts, context)
    problems = [*context.problems, *gathering.problems]
    if sheet_map is None:
        problems.append(_no_layout(source))
    spans = tuple(
        Span(g.grid.name, g.region.header_rows, *_rows(g.region)) for g in groups if g.bounds
    )
    return SheetRead(
        readings,
        Problems(_sorted(problems, source)),
        account,
        source.name,
        source.sha256,
        spans,
        context.sheet_map.encoding,
        context.sheet_map.separator,
    )


def _rows(region: Region) -> tuple[int, int]:
    numbers = region.grid.numbers
    if region.end <= region.first:
        return (0, 0)
    return int(numbers[region.first]), int(numbers[region.end - 1])


def _sorted(problems: Sequence[Problem], source: Source) -> list[Problem]:
    """Put the problems in the order of the file."""
    order = {grid.name: place for place, grid in enumerate(source.grids)}
    return sorted(
        problems,
        # What concerns a whole sheet stands behind its cells.
        key=lambda p: (order.get(p.sheet, -1), p.row or 1 << 30, p.column or 0, p.code),
    )


def _groups(source: Source, sheet_map: SheetMap, problems: list[Problem]) -> list[Group]:
    """Find the sheets of each table, and the rows down to the next table of the sheet."""
    by_sheet: dict[int, list[TableRule]] = {}
    for rule in sheet_map.tables:
        hits = [place for place, grid in enumerate(source.grids) if _names(rule, grid, source)]
        for place in hits:
            by_sheet.setdefault(place, []).append(rule)
        if not hits and not rule.optional:
            problems.extend(_no_sheet(rule, source, sheet_map))
    groups = []
    for place in sorted(by_sheet):
        grid, rules = source.grids[place], by_sheet[place]
        starts = sorted({rule.header_rows for rule in rules})
        for index, header_rows in enumerate(starts):
            here = [rule for rule in rules if rule.header_rows == header_rows]
            last = None
            if index + 1 < len(starts) and starts[index + 1]:
                last = starts[index + 1][0] - 1
            ignored = [pattern for rule in here for pattern in rule.ignore_rows]
            groups.append(Group(grid, Region(grid, header_rows, last, ignored), here))
    return groups


def _names(rule: TableRule, grid: Grid, source: Source) -> bool:
    """Tell whether a table of the map is on a sheet."""
    if rule.sheet is None:
        return len(source.grids) == 1
    if fnmatch.fnmatchcase(fold(grid.name), fold(rule.sheet)):
        return True
    return source.kind == "csv" and fold(rule.sheet) == fold(source.name)


def _no_sheet(rule: TableRule, source: Source, sheet_map: SheetMap) -> list[Problem]:
    """Say that a table's sheet is missing; a CSV is one sheet, so its map's others never matter."""
    names = [grid.name for grid in source.grids]
    if rule.sheet is None:
        return [
            Problem(
                severity="error",
                code="sheet missing",
                message=f"a table of the map names no sheet, and the file has {', '.join(names)}",
                file=source.name,
                suggestion="name its sheet in the map",
            )
        ]
    alone = not any(
        _names(other, grid, source) for other in sheet_map.tables for grid in source.grids
    )
    if source.kind == "csv" and not alone:
        return []
    hits = near(rule.sheet, names)
    hint = f"did you mean {' or '.join(map(repr, hits))}?" if hits else f"it has {', '.join(names)}"
    return [
        Problem(
            severity="error" if hits or alone else "warning",
            code="sheet missing",
            message=f"the file has no sheet {rule.sheet!r}, which the map names",
            file=source.name,
            found=rule.sheet,
            suggestion=hint,
        )
    ]


def _bind_all(groups: Sequence[Group], context: Context, faults: Faults | None) -> None:
    """Find every column, on every sheet, before any cell is read: the map's faults come first."""
    default_headings = [b for b in context.sheet_map.defaults.values() if isinstance(b, Heading)]
    missing: dict[tuple[int | None, str, bool], list[Group]] = {}
    covered: dict[int, int] = {}
    for group in groups:
        region = group.region
        row = region.header_rows[-1] if region.header_rows else None
        group.bounds, problems = bind(region.heads, group.rules, default_headings, row)
        filled = [bool(region.filled(head.column).any()) for head in region.heads]
        problems += unclaimed(region.heads, group.bounds, filled, row)
        context.problems.extend(_placed(problem, context.file, group.grid) for problem in problems)
        for bound in group.bounds:
            covered[id(bound.rule)] = covered.get(id(bound.rule), 0) + 1
            for entry in bound.missing:
                missing.setdefault((id(bound.rule), *entry), []).append(group)  # type: ignore[arg-type]
    for (rule, line, text, is_key), where in missing.items():  # type: ignore[misc]
        if faults is not None and len(where) == covered[rule]:
            faults.add_at(line, missing_told(text, where[0].region.heads))
            continue
        for group in where:
            context.problems.append(_missing_heading(group, text, is_key, context.file))
    if faults is not None:
        _check_cells(context, faults)
        _check_required(context, groups, faults)
        faults.raise_any()


def _placed(problem: Problem, file: str, grid: Grid) -> Problem:
    return replace(problem, file=file, sheet=grid.name)


def _missing_heading(group: Group, text: str, is_key: bool, file: str) -> Problem:
    return Problem(
        severity="error" if is_key else "warning",
        code="missing heading",
        message=missing_told(text, group.region.heads),
        file=file,
        sheet=group.grid.name,
        found=text,
    )


def _check_cells(context: Context, faults: Faults) -> None:
    """Fault cells of the map on sheets that the file does not have."""
    names = [grid.name for grid in context.grids]
    if len(names) == 1:
        return
    bindings = [*context.sheet_map.defaults.values()]
    for rule in context.sheet_map.tables:
        bindings += [*rule.fixed.values(), *(b for c in rule.columns for b in c.fixed.values())]
    for binding in bindings:
        if isinstance(binding, Cell) and binding.sheet is not None and binding.sheet not in names:
            hits = near(binding.sheet, names)
            hint = f"did you mean {hits[0]!r}?" if hits else f"it has {', '.join(names)}"
            faults.add_at(
                None, f"the file has no sheet {binding.sheet!r} for cell {binding.name}; {hint}"
            )


def _check_required(context: Context, groups: Sequence[Group], faults: Faults) -> None:
    """Fault tables that never say what every reading must have."""
    sheet_map = context.sheet_map
    for group in groups:
        for bound in group.bounds:
            rule = bound.rule
            general = {*rule.fixed, *sheet_map.defaults, *context.outside}
            general |= {k for entry in rule.keys for text in entry.texts for k in braces(text)}
            for column in rule.columns:
                has = general | set(column.fixed) | set(braces(column.where.text or ""))
                for key in ("job", "stage", "feature", "quantity"):
                    if key not in has:
                        faults.add_at(
                            column.line,
                            f"nothing says the {key}: name it here, in [[table]] or in [defaults]",
                        )


def _no_layout(source: Source) -> Problem:
    return Problem(
        severity="error",
        code="unknown layout",
        message="no sheet has the column names of readings as its heading, and no map was given",
        file=source.name,
        suggestion=f"write a starting map: enginewright map {source.name}",
    )
