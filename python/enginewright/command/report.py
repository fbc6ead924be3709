"""`enginewright report`: the paper of a finished check, made again from its job file."""

from __future__ import annotations

import argparse
from pathlib import Path

from enginewright.command.outcome import Refusal, Status

__all__ = ["run"]


def run(given: argparse.Namespace) -> Status:
    """Read the job file and write the page, the PDF, or both beside it."""
    from enginewright import _job_file
    from enginewright.command.papers import document_of, write_papers

    place = Path(given.job)
    folder = place if place.is_dir() else place.parent
    try:
        job = _job_file.read(place)
    except _job_file.JobFileError as refused:
        raise Refusal(str(refused)) from None
    if given.output is None:
        targets = None
    else:
        target = Path(given.output)
        if target.suffix.lower() not in (".html", ".pdf"):
            raise Refusal(f"-o must end in .html or .pdf, got {given.output}", Status.USAGE)
        targets = [target]
    for written in write_papers(document_of(job), folder, targets):
        print(f"wrote {written}")
    return Status.GOOD
