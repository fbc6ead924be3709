"""`enginewright map`: a starting map for an export that has none."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from enginewright.command.outcome import Refusal, Status

__all__ = ["run"]


def run(given: argparse.Namespace) -> Status:
    """Write the map, or show it; a map that is there already is never lost."""
    from enginewright._files import write_whole
    from enginewright.sheets import SheetError, starting_map

    target = None if given.output is None else Path(given.output)
    if target is not None and target.exists():
        raise Refusal(f"{target} is there already; name another file with -o, or move it away")
    try:
        text = starting_map(given.file)
    except SheetError as refused:
        raise Refusal(str(refused)) from None
    if target is None:
        sys.stdout.write(text)
        return Status.GOOD
    write_whole(target, text.encode("utf-8"))
    print(
        f"wrote {target}; correct what is marked as a guess, then: enginewright check {given.file}"
    )
    return Status.GOOD
