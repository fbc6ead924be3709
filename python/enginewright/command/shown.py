"""What a check says on the screen: counts, what needs doing, what was not checked, the account."""

from __future__ import annotations

import os
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from enginewright._counts import counted, told
from enginewright._lines import Line, is_plan, lines, part_name, question
from enginewright._numbers import band, with_doubt
from enginewright._rows import FindingRow, finding_rows, not_checked_rows
from enginewright._words import load

if TYPE_CHECKING:
    from enginewright._job_file import Job

__all__ = ["Counts", "account_lines", "count", "job_lines", "outcome_line"]

Counts = Counter[str]


def count(jobs: Iterable[Job]) -> Counts:
    """Count the findings of all jobs by verdict, the plans apart."""
    return counted(row for job in jobs for row in finding_rows(job.findings))


def outcome_line(jobs: Sequence[Job], counts: Counts, rejected: int) -> str:
    """Say how a run went, in one line."""
    names = [job.head.number for job in jobs]
    which = ", ".join(names) if len(names) <= 3 else f"{len(names)} jobs"
    line = f"{which or 'no job'}: {_sums(counts)}"
    return line + (f"; {_many(rejected, 'cell')} not understood" if rejected else "")


def job_lines(job: Job) -> Iterator[str]:
    """Say what one job came to: counts, then what is outside, unproven, planned, not checked."""
    rows = finding_rows(job.findings)
    engine = job.engine.get("name") or job.head.engine
    stages = dict.fromkeys(row.stage for row in rows)
    title = ", ".join(filter(None, (f"job {job.head.number}", engine, *stages)))
    yield f"{_bold(title)}: {_sums(counted(rows))}"
    grouped = lines(rows)
    plans = [line for line in grouped if is_plan(line.worst)]
    for verdict in ("outside", "unproven"):
        chosen = [line for line in grouped if line.verdict == verdict and line not in plans]
        if chosen:
            yield ""
            yield _bold(verdict)
            for line in chosen:
                yield from _needs_doing(line)
    if plans:
        yield ""
        yield _bold("plans")
        for line in plans:
            row = line.worst
            yield f"  {row.check}, {row.feature}s: {row.next or row.reason}"
            if row.next and row.reason:
                yield f"      {row.reason}"
    missing = not_checked_rows(job.findings)
    if missing:
        yield ""
        yield _bold("not checked")
        for each in missing:
            yield f"  {each.check}: {each.missing}"


def account_lines(account: Any) -> list[str]:
    """Say where every row and cell of the exports went."""
    return [f"  {line}" for line in str(account).splitlines()]


def _needs_doing(line: Line) -> Iterator[str]:
    """One part and one question: the worst figure, its limits and cell, then what to do."""
    words = load("en")
    row = line.worst
    where = ", ".join(filter(None, (row.station, row.axis)))
    name = f"{part_name(row, words)}, {question(row, words)}{f' ({where})' if where else ''}"
    figure = with_doubt(row.value, row.uncertainty, row.unit).first if row.value is not None else ""
    limits = _limits(row)
    place = f"[{row.place}]" if row.place else ""
    more = f"and {len(line.findings) - 1} more" if _others(line) else ""
    yield "  " + "  ".join(filter(None, (f"{name}:", figure, limits, place, more)))
    if row.next:
        yield f"      {row.next}"
    if row.reason:
        yield f"      {row.reason}"


def _others(line: Line) -> bool:
    return sum(row.verdict == line.verdict for row in line.findings) > 1


def _limits(row: FindingRow) -> str:
    if row.lower is None and row.upper is None:
        return ""
    kind = f"{row.kind}: " if row.kind else ""
    return f"({kind}{band(row.lower, row.upper, row.unit, load('en')).first})"


def _sums(counts: Counts) -> str:
    return told(counts, load("en"), zeros=True)


def _many(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _bold(text: str) -> str:
    if os.environ.get("NO_COLOR") or not sys.stdout.isatty():
        return text
    return f"\x1b[1m{text}\x1b[0m"
