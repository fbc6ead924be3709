"""Side by side: the same work done by the library and by what a user would pick instead.

Answers are compared first. Runs are interleaved after a warm-up; the row says the median ratio of
the pairs, its least and its greatest.
"""

from __future__ import annotations

import json
import platform
import statistics
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any


@dataclass
class Row:
    """One case of the table: seconds of both sides and the ratio peer / ours."""

    case: str
    peer: str
    goal: str
    ours: float
    theirs: float
    ratio: float
    least: float
    greatest: float
    note: str = ""
    unit: str = "s"


@dataclass
class Table:
    """The rows of one run."""

    rows: list[Row] = field(default_factory=list)

    def add(
        self,
        case: str,
        peer: str,
        goal: str,
        ours: Callable[[], Any],
        theirs: Callable[[], Any],
        same: Callable[[Any, Any], bool],
        pairs: int = 7,
        note: str = "",
    ) -> None:
        """Compare the answers, then time the pairs in turn."""
        if not same(ours(), theirs()):
            raise SystemExit(f"{case}: the answers differ, there is nothing to time")
        seconds = [(timed(ours), timed(theirs)) for _ in range(pairs)]
        ratios = sorted(b / a for a, b in seconds)
        self.rows.append(
            Row(
                case,
                peer,
                goal,
                statistics.median(a for a, _ in seconds),
                statistics.median(b for _, b in seconds),
                statistics.median(ratios),
                ratios[0],
                ratios[-1],
                note,
            )
        )
        print(line(self.rows[-1]), flush=True)

    def write(self, path: Path) -> None:
        """Write the rows as JSON."""
        path.parent.mkdir(parents=True, exist_ok=True)
        content = {
            "schema": "enginewright.benchmarks/1",
            "machine": machine(),
            "date": time.strftime("%Y-%m-%d"),
            "rows": [asdict(row) for row in self.rows],
        }
        path.write_text(json.dumps(content, indent=1) + "\n", encoding="utf-8")

    def markdown(self) -> str:
        """Table for DEVELOPERS.md."""
        head = (
            f"{time.strftime('%Y-%m-%d')}, {machine()}; peer's time over ours, median of pairs.\n\n"
        )
        lines = ["| case | peer | goal | reached | least .. greatest |", "|---|---|---|---|---|"]
        lines += [
            f"| {r.case} | {r.peer} | {r.goal} | {r.ratio:.3g}x"
            f" ({amount(r.ours, r.unit)} / {amount(r.theirs, r.unit)})"
            f"{' ' + r.note if r.note else ''} | {r.least:.3g} .. {r.greatest:.3g} |"
            for r in self.rows
        ]
        return head + "\n".join(lines) + "\n"


def timed(work: Callable[[], Any]) -> float:
    """Seconds of one run."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def span(seconds: float) -> str:
    """Seconds for people."""
    if seconds >= 1:
        return f"{seconds:.2f} s"
    return f"{seconds * 1e3:.3g} ms" if seconds >= 1e-3 else f"{seconds * 1e6:.3g} µs"


def amount(figure: float, unit: str) -> str:
    """Figure of a row for people."""
    return span(figure) if unit == "s" else f"{figure:,.0f} {unit}"


def machine() -> str:
    """Name of the machine, as far as a reader needs it."""
    import os

    return f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}"


def line(row: Row) -> str:
    """One row on the terminal."""
    return (
        f"{row.case:58} {span(row.ours):>9} {row.peer:>24} {span(row.theirs):>9}"
        f"  {row.ratio:8.3g}x  (goal {row.goal})"
    )
