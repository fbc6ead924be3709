"""The papers of a job: which document, and the files it becomes."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from enginewright._files import write_whole

if TYPE_CHECKING:
    from enginewright._job_file import Job
    from enginewright.report import Document

__all__ = ["document_of", "named", "write_papers"]


@contextmanager
def named(target: Path) -> Iterator[None]:
    """Call a file that could not be written by its own name, not by that of its unfinished half."""
    try:
        yield
    except OSError as trouble:
        text = f"could not be written: {(trouble.strerror or str(trouble)).lower()}"
        raise OSError(trouble.errno, text, str(target)) from None


def document_of(job: Job) -> Document:
    """Put the paper of a job together, with figures where they can be drawn."""
    from importlib.util import find_spec

    from enginewright.report import build_sheet

    figures = find_spec("matplotlib") is not None
    return build_sheet(job, job.readings, job.findings, figures=figures)


def write_papers(
    document: Document, folder: Path, targets: Sequence[Path] | None = None
) -> list[Path]:
    """Write the page and the PDF, both made before the first is written.

    Without the packages that a PDF needs the page alone is written and what is missing is said: it
    prints well from any browser.
    """
    wanted = targets or [folder / f"{document.stem}.html", folder / f"{document.stem}.pdf"]
    made: list[tuple[Path, bytes]] = []
    for target in wanted:
        if target.suffix.lower() != ".pdf":
            made.append((target, document.to_html().encode("utf-8")))
            continue
        try:
            made.append((target, document.to_pdf()))
        except ImportError as missing:
            if targets:
                raise
            print(f"note: no PDF: {missing}", file=sys.stderr)
    for target, data in made:
        with named(target):
            write_whole(target, data)
    return [target for target, _ in made]
