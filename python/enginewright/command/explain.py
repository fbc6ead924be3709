"""`enginewright explain`: the rule behind a word, or the figures behind one finding."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING, Any

from enginewright.command.outcome import Refusal, Status

if TYPE_CHECKING:
    from enginewright._job_file import Job

__all__ = ["run"]


def run(given: argparse.Namespace) -> Status:
    """Explain a word, or a finding as JOB#14; without a word list the checks."""
    what = " ".join(given.what).strip()
    if not what:
        _list_checks()
        return Status.GOOD
    finding = re.fullmatch(r"(.+)#(\d+)", what)
    if finding:
        print(_of_finding(finding[1], int(finding[2])))
        return Status.GOOD
    from enginewright import job

    try:
        print(job.explain(what))
    except ValueError as refused:
        raise Refusal(str(refused), Status.USAGE) from None
    return Status.GOOD


def _list_checks() -> None:
    from enginewright import job

    known = job.checks()
    width = max(len(each.check) for each in known)
    for each in known:
        print(f"{each.check.ljust(width)}  {each.value}")


def _of_finding(place: str, number: int) -> str:
    from enginewright import _job_file
    from enginewright._rows import finding_rows

    try:
        job = _job_file.read(place)
    except _job_file.JobFileError as refused:
        raise Refusal(str(refused)) from None
    rows = finding_rows(job.findings)
    if not 1 <= number <= len(rows):
        raise Refusal(
            f"{place} has findings 1 to {len(rows)}, got {number}"
            if rows
            else f"{place}: no findings",
            Status.USAGE,
        )
    return "\n".join(_lines(job, rows[number - 1], number))


def _lines(job: Job, row: Any, number: int) -> list[str]:
    """Say what a finding is about, the figures put into it, how it was judged, its source."""
    from enginewright import _explain
    from enginewright._lines import part_name, question
    from enginewright._numbers import band, with_doubt
    from enginewright._rows import reading_rows
    from enginewright._words import load

    words = load("en")
    where = ", ".join(text for text in (row.station, row.axis) if text)
    title = f"finding {number}: {part_name(row, words)}, {question(row, words)}"
    lines = [f"{title}{f' ({where})' if where else ''}, {row.stage}: {row.verdict}"]
    if row.value is not None:
        lines.append(f"figure   {with_doubt(row.value, row.uncertainty, row.unit).line()}")
    if row.lower is not None or row.upper is not None:
        limits = band(row.lower, row.upper, row.unit, words).line()
        lines.append(f"limits   {limits} ({', '.join(filter(None, (row.kind, row.limit_source)))})")
    if row.target is not None:
        lines.append(f"target   {with_doubt(row.target, None, row.unit).line()}")
    if row.margin is not None:
        lines.append(f"margin   {with_doubt(row.margin, None, row.unit).line()}")
    lines += [f"reason   {row.reason}"] if row.reason else []
    lines += [f"next     {row.next}"] if row.next else []
    lines.append("made from")
    all_readings = reading_rows(job.readings)
    for index in row.readings:
        lines.append("  " + _reading(all_readings[index]))
    lines += ["", *_explain.text_of_finding(row.check, row.verdict).splitlines()]
    return lines


def _reading(row: Any) -> str:
    what = " ".join(
        str(part)
        for part in (row.feature, row.number, row.part, row.station, row.axis, row.quantity)
        if part not in (None, "")
    )
    figure = f"{row.value:.10g} {row.unit}" if row.value is not None else f"'{row.observation}'"
    gauge = f", {row.gauge}" if row.gauge else ""
    return f"{row.place or 'reading'}: {what} {figure}{gauge}"
