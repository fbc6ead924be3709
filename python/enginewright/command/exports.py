"""Exports in: each with the map beside it, whatever can be read of them, sorted by job."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from enginewright.command.files import beside
from enginewright.command.progress import Progress

if TYPE_CHECKING:
    from enginewright.sheets import SheetRead

__all__ = ["Export", "Exports", "read_exports"]


@dataclass(frozen=True)
class Export:
    """One file and what it said."""

    path: Path
    read: SheetRead


@dataclass
class Exports:
    """All files of a run: those that were read, and why the others were not."""

    read: list[Export] = field(default_factory=list)
    unreadable: list[str] = field(default_factory=list)
    used: list[Path] = field(default_factory=list)
    """Maps that were used."""


def read_exports(
    files: Sequence[Path], given_map: str | None, defaults: Mapping[str, Any], progress: Progress
) -> Exports:
    """Read every file; one that cannot be read is named and the others are read all the same."""
    from enginewright.sheets import SheetError, read

    exports = Exports()
    for number, path in enumerate(files, 1):
        count = f" ({number} of {len(files)})" if len(files) > 1 else ""
        progress.now(f"reading {path.name}{count}")
        map_file = beside("map.toml", given_map, [path])
        if map_file is not None and map_file not in exports.used:
            exports.used.append(map_file)
            if given_map is None:
                print(f"using {map_file}", file=sys.stderr)
        try:
            exports.read.append(Export(path, read(path, map=map_file, defaults=defaults)))
        except SheetError as refused:
            exports.unreadable.append(str(refused))
    return exports
