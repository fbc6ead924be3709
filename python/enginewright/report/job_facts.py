"""What a paper knows of its job besides readings and findings, whatever it was handed in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from enginewright._head import JobHead, head_from
from enginewright._rows import AnyRow, FindingRow, ReadingRow, column_letters

__all__ = ["JobFacts", "Problem", "job_facts"]


@dataclass(frozen=True, slots=True)
class Problem:
    """Something in an export that could not be read, and what would make it readable."""

    severity: str
    place: str
    found: str
    message: str
    suggestion: str


@dataclass(frozen=True, slots=True)
class JobFacts:
    """One job: its head and what it was judged by."""

    head: JobHead
    engine: str
    limits: Any
    gauges: Any
    problems: tuple[Problem, ...]
    rejected: int
    files: tuple[tuple[str, str], ...]
    program: str
    rule: str
    level: float


def job_facts(
    job: Any, readings: tuple[ReadingRow, ...], findings: tuple[FindingRow, ...], engine: str
) -> JobFacts:
    """Gather the facts of a job from a mapping, a job file that was read, or a head alone.

    Raises
    ------
    ValueError
        When readings and findings are of several jobs, or of another than the head's.
    """
    if isinstance(job, JobHead) or (isinstance(job, Mapping) and "number" in job):
        job = {"head": job}
    given = _get(job, "head")
    number = _one_job(readings, findings)
    if given in (None, {}):
        given = {"number": number or "-"}
    head = head_from(given)
    if number and head.number != number:
        raise ValueError(
            f"job must be {number!r}, as its readings say; the head says {head.number!r}"
        )
    return JobFacts(
        head=head,
        engine=head.engine or _engine_name(_get(job, "engine")) or engine,
        limits=_get(job, "limits"),
        gauges=_get(job, "gauges"),
        problems=tuple(_problem(each) for each in _get(job, "problems") or ()),
        rejected=_rejected(_get(job, "account")),
        files=tuple(sorted((str(k), str(v)) for k, v in dict(_get(job, "files") or {}).items())),
        program=str(_get(job, "program") or _version()),
        rule=str(_get(job, "rule") or "guarded"),
        level=float(_get(job, "level") or 0.95),
    )


def _get(source: Any, name: str) -> Any:
    if isinstance(source, Mapping):
        return source.get(name)
    return getattr(source, name, None)


def _one_job(readings: tuple[ReadingRow, ...], findings: tuple[FindingRow, ...]) -> str:
    rows: tuple[AnyRow, ...] = (*readings, *findings)
    jobs = list(dict.fromkeys(row.job for row in rows if row.job))
    if len(jobs) > 1:
        listed = ", ".join(repr(name) for name in jobs[:5]) + (", ..." if len(jobs) > 5 else "")
        raise ValueError(f"a paper is for one job, got {len(jobs)}: {listed}; select one first")
    return jobs[0] if jobs else ""


def _engine_name(engine: Any) -> str:
    if isinstance(engine, str):
        return engine
    return str(_get(engine, "name") or "")


def _problem(given: Any) -> Problem:
    place = str(_get(given, "place") or "")
    if not place:
        sheet, row, column = (_get(given, name) for name in ("sheet", "row", "column"))
        place = str(sheet or _get(given, "file") or "")
        if row and column:
            place += f"!{column_letters(int(column))}{int(row)}"
        elif row:
            place += f"!{int(row)}"
    texts = {name: str(_get(given, name) or "") for name in ("found", "message", "suggestion")}
    return Problem(str(_get(given, "severity") or "error"), place, **texts)


def _rejected(account: Any) -> int:
    """Give the number of cells that could not be read, as the account counts them."""
    cells = _get(_get(account, "total"), "cells")
    rejected = _get(cells, "rejected")
    return int(rejected) if rejected else 0


def _version() -> str:
    import enginewright

    return str(getattr(enginewright, "__version__", ""))
