"""Memory of a year of jobs: what `inspect` takes beside the readings, and what it gives."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from harness import Row, Table

CHILD = """
import json, sys
sys.path.insert(0, sys.argv[1])
import enginewright as ew
from bench_jobs import LIMITS, ROWS, limits_of, year

def status(name):
    for line in open("/proc/self/status"):
        if line.startswith(name):
            return int(line.split()[1]) * 1024

readings, limits = year(ROWS), limits_of(LIMITS)
open("/proc/self/clear_refs", "w").write("5")
before = status("VmRSS")
found = ew.inspect(readings, limits, threads=1)
peak = status("VmHWM") - before
columns = 0
for name in found.columns:
    if name == "basis":
        continue
    column = found[name]
    if column.missing.all():
        continue
    if column.kind == "text":
        columns += sum(len(t.encode()) for t in column.values if t) + 8 * len(found)
    elif column.kind == "word":
        columns += column.codes.nbytes
    else:
        columns += column.values.nbytes + len(found) // 8
offsets, rows = found._core.offsets, found._core.rows
columns += offsets.nbytes + rows.nbytes
print(json.dumps({"peak": peak, "columns": columns, "rows": len(readings), "found": len(found)}))
"""


def run(table: Table) -> None:
    """Add the row; Linux only, where the peak of a process can be set back."""
    if not Path("/proc/self/clear_refs").exists():
        return
    child = [sys.executable, "-c", CHILD, str(Path(__file__).parent)]
    said = json.loads(subprocess.run(child, capture_output=True, check=True, text=True).stdout)
    mega = 1e6
    ratio = said["columns"] / said["peak"]
    table.rows.append(
        Row(
            f"memory of inspect, {said['rows']:,} readings, {said['found']:,} findings",
            "the findings' own columns",
            ">= 0.9x",
            said["peak"] / mega,
            said["columns"] / mega,
            ratio,
            ratio,
            ratio,
            unit="MB",
        )
    )
