"""Whole jobs: one cold, one warm, a year of them."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pandas as pd
import polars as pl
from harness import Table

import enginewright as ew

EXAMPLE = Path(__file__).parent.parent.parent / "examples" / "linnet"
ROWS = int(os.environ.get("BENCH_ROWS", "5000000"))


def year(rows: int) -> ew.Readings:
    """Bores of many jobs: four cylinders, three stations, two axes."""
    jobs = max(1, rows // 24)
    rows = jobs * 24
    index = np.arange(rows)
    place = index % 24
    stations, axes = np.array(["top", "middle", "bottom"]), np.array(["thrust", "along"])
    names = np.array([f"J{i}" for i in range(jobs)])
    frame = pd.DataFrame(
        {
            "job": pd.Categorical.from_codes((index // 24).astype(np.int32), names),
            "engine": pd.Categorical.from_codes(np.zeros(rows, np.int8), ["Linnet 2.0"]),
            "stage": pd.Categorical.from_codes(np.zeros(rows, np.int8), ["as received"]),
            "feature": pd.Categorical.from_codes(np.zeros(rows, np.int8), ["bore"]),
            "number": (place // 6 + 1).astype(np.int32),
            "station": pd.Categorical.from_codes(((place % 6) // 2).astype(np.int8), stations),
            "axis": pd.Categorical.from_codes((place % 2).astype(np.int8), axes),
            "quantity": pd.Categorical.from_codes(np.zeros(rows, np.int8), ["diameter"]),
            "value": 86.05 + np.random.default_rng(2).normal(0, 0.03, rows),
            "unit": pd.Categorical.from_codes(np.zeros(rows, np.int8), ["mm"]),
            "uncertainty": np.full(rows, 0.004),
        }
    )
    return ew.Readings.from_frame(frame)


LIMITS = """
[[limit]]
feature = "bore"
quantity = "diameter"
kind = "wear"
upper = "86.10 mm"
source = "Linnet 2.0 data card (invented)"
[[limit]]
feature = "bore"
quantity = "ovality"
upper = "0.05 mm"
source = "Linnet 2.0 data card (invented)"
[[limit]]
feature = "bore"
quantity = "taper"
upper = "0.05 mm"
source = "Linnet 2.0 data card (invented)"
"""


def limits_of(text: str) -> ew.Limits:
    """Limits from the text of a file."""
    import json
    import tomllib

    return ew.Limits.from_json(json.dumps(tomllib.loads(text)))


def with_pandas(frame: pd.DataFrame) -> int:
    """Same verdicts of reading, ovality and taper in pandas: how many are outside at face value."""
    guard = 1.6448536 * frame["uncertainty"] / 2
    outside = int((frame["value"] - 86.10 > guard).sum())
    by_station = frame.groupby(["job", "number", "station"], observed=True)["value"]
    oval = (by_station.max() - by_station.min()).groupby(["job", "number"], observed=True).max()
    by_axis = frame.groupby(["job", "number", "axis"], observed=True)["value"]
    taper = (by_axis.max() - by_axis.min()).groupby(["job", "number"], observed=True).max()
    two = 1.6448536 * 0.002 * 2**0.5
    return outside + int((oval - 0.05 > two).sum()) + int((taper - 0.05 > two).sum())


def with_polars(frame: pl.DataFrame) -> int:
    """The same in polars expressions."""
    guard = 1.6448536 * pl.col("uncertainty") / 2
    outside = frame.select((pl.col("value") - 86.10 > guard).sum()).item()
    span = pl.col("value").max() - pl.col("value").min()
    two = 1.6448536 * 0.002 * 2**0.5
    for key in ("station", "axis"):
        ranges = frame.group_by(["job", "number", key]).agg(span.alias("range"))
        worst = ranges.group_by(["job", "number"]).agg(pl.col("range").max())
        outside += worst.select((pl.col("range") - 0.05 > two).sum()).item()
    return outside


def outside_of(findings: ew.Findings) -> int:
    """How many readings, ovalities and tapers are outside."""
    check, verdict = findings["check"], findings["verdict"]
    outside = check.codes[verdict.codes == list(verdict.words).index("outside")]
    words = list(check.words)
    return sum(int(np.sum(outside == words.index(w))) for w in ("limits", "ovality", "taper"))


def run(table: Table) -> None:
    """Add the rows."""
    cold(table)
    warm(table)
    limits = limits_of(LIMITS)
    readings = year(ROWS)
    frame = readings.to_pandas()
    table.add(
        f"year of {len(readings):,} readings, one thread",
        "pandas groupby",
        ">= 20x",
        lambda: outside_of(ew.inspect(readings, limits, threads=1)),
        lambda: with_pandas(frame),
        lambda a, b: abs(a - b) <= 2,
        pairs=3,
    )
    lazy = pl.DataFrame(readings)
    table.add(
        "the same",
        f"polars, {pl.thread_pool_size()} threads",
        ">= 3x a thread",
        lambda: outside_of(ew.inspect(readings, limits, threads=pl.thread_pool_size())),
        lambda: with_polars(lazy),
        lambda a, b: abs(a - b) <= 2,
        pairs=3,
    )
    table.add(
        "two threads against one",
        "one thread of ours",
        ">= 1.7x",
        lambda: ew.inspect(readings, limits, threads=2),
        lambda: ew.inspect(readings, limits, threads=1),
        lambda a, b: len(a) == len(b),
        pairs=3,
    )


def started(command: list[str], check: bool = True) -> int:
    """Status of a command in a fresh process, modules compiled once as on anybody's machine."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return subprocess.run(command, capture_output=True, check=check, env=environment).returncode


def cold(table: Table) -> None:
    """One job from the command line against opening the same workbook."""
    source = EXAMPLE / "received.xlsx"
    check = [sys.executable, "-m", "enginewright", "check", str(source), "--quiet"]
    opening = "import openpyxl,sys; openpyxl.load_workbook(sys.argv[1], data_only=True)"

    def ours() -> int:
        return started(check, check=False)

    def theirs() -> int:
        command = [sys.executable, "-c", opening, str(source)]
        return started(command)

    table.add(
        "one job, cold, from the command line",
        "openpyxl opens it",
        ">= 0.67x",
        ours,
        theirs,
        lambda a, b: a in (0, 1, 3, 4) and b == 0,
    )
    table.add(
        "import enginewright",
        "import numpy",
        "<= + 0.1 s",
        lambda: started([sys.executable, "-c", "import enginewright.rings"]),
        lambda: started([sys.executable, "-c", "import numpy"]),
        lambda a, b: a == b,
    )


def warm(table: Table) -> None:
    """One job in memory, looked at again and again, against the same limit checks in pandas."""
    again = range(50)
    readings = year(24)
    limits = limits_of(LIMITS)
    frame = readings.to_pandas()
    table.add(
        "one job, warm (50 calls)",
        "pandas groupby",
        ">= 50x",
        lambda: [outside_of(ew.inspect(readings, limits, threads=1)) for _ in again][0],
        lambda: [with_pandas(frame) for _ in again][0],
        lambda a, b: abs(a - b) <= 2,
    )
