"""Which files belong to a check: those named, else those beside the export, else in this folder."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from pathlib import Path

from enginewright.command.outcome import Refusal, Status

__all__ = ["beside", "folder_name", "require_apart"]


def beside(name: str, given: str | None, exports: Iterable[Path]) -> Path | None:
    """Find a companion of the exports.

    Parameters
    ----------
    name
        what it is called when nobody names it: "limits.toml"
    given
        what the command line names; taken as it is
    exports
        the files to check; the folder of the first that has such a companion counts

    Returns
    -------
    Path or None
        None when there is none anywhere
    """
    if given is not None:
        path = Path(given)
        if not path.exists():
            raise Refusal(f"{given}: no such file", Status.TROUBLE)
        return path
    folders = [export.parent for export in exports]
    for folder in (*folders, Path()):
        path = folder / name
        if path.is_file():
            return path
    return None


def folder_name(job: str) -> str:
    """Return a job number as the name of one folder, whatever was typed into it.

    >>> folder_name("L-1047")
    'L-1047'
    >>> folder_name("../../x")
    'x'
    >>> folder_name("...")
    'job'
    """
    name = re.sub(r"[^\w.-]+", "_", job, flags=re.ASCII if job.isascii() else 0)
    return name.strip("._")[:80] or "job"


def require_apart(outputs: Iterable[Path], inputs: Iterable[Path]) -> None:
    """Refuse to write over anything that was read, by whatever name or link it is reached."""
    read = {os.path.realpath(path): path for path in inputs}
    for path in outputs:
        real = os.path.realpath(path)
        if real in read:
            raise Refusal(
                f"{path} would overwrite {read[real]}, which was read; name another --out folder",
                Status.TROUBLE,
            )
