"""Jobs: the readings of several exports parted by job, and what is written of each."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from enginewright._rows import column

if TYPE_CHECKING:
    from enginewright._job_file import Job
    from enginewright.command.exports import Export

__all__ = ["engine_of", "files_of", "readings_by_job", "write_job"]


def readings_by_job(exports: Sequence[Export]) -> dict[str, Any]:
    """Part the readings of all exports by job; jobs stand in the order in which they come."""
    import numpy as np

    from enginewright.table import Readings

    tables = [export.read.readings for export in exports if len(export.read.readings)]
    if not tables:
        return {}
    readings = tables[0]
    if len(tables) > 1:
        names = dict.fromkeys(name for table in tables for name in table.columns)
        joined = {name: [v for table in tables for v in column(table, name)] for name in names}
        readings = Readings.from_frame(joined)
    owners = np.array(column(readings, "job"), dtype=object)
    jobs = list(dict.fromkeys(owners))
    if len(jobs) == 1:
        return {jobs[0]: readings}
    return {job: readings[owners == job] for job in jobs}


def files_of(readings: Any) -> set[str]:
    """Names of the files that readings came from."""
    return {str(name) for name in column(readings, "file") if name}


def engine_of(readings: Any, limits: Any) -> dict[str, Any]:
    """Return the engine card of a job, every key as the shop wrote it; empty without one."""
    names = [name for name in dict.fromkeys(column(readings, "engine")) if name]
    cards = json.loads(limits.to_json()).get("engine", [])
    for card in cards:
        if card.get("name") in names:
            return dict(card)
    return {"name": names[0]} if names else {}


def write_job(
    job: Job, exports: Sequence[Export], folder: Path, allow: Callable[[Iterable[Path]], None]
) -> None:
    """Write the workbook of each export, the paper and the job file of one job.

    Parameters
    ----------
    allow
        refuses outputs that may not be written, before the first is
    """
    from enginewright import _job_file
    from enginewright.command.papers import document_of, named, write_papers
    from enginewright.sheets import annotate

    mine = [export for export in exports if export.read.file in job.files]
    books = {
        folder / ("findings.xlsx" if len(mine) == 1 else f"findings_{each.path.stem}.xlsx"): each
        for each in mine
    }
    document = document_of(job)
    papers = [folder / f"{document.stem}.{ending}" for ending in ("html", "pdf")]
    allow([*books, *papers, folder / "job.json"])
    for target, export in books.items():
        with named(target):
            annotate(export.path, replace(export.read, readings=job.readings), job.findings, target)
    write_papers(document, folder)
    with named(folder / "job.json"):
        _job_file.write(folder / "job.json", job)
