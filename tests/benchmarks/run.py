"""Run the benchmarks: all subjects, or those that are named.

    python tests/benchmarks/run.py [SUBJECT...] [--write]

`--write` puts the table into DEVELOPERS.md.
"""

from __future__ import annotations

import importlib
import re
import sys
from pathlib import Path

from harness import Table

ROOT = Path(__file__).parent.parent.parent
HERE = Path(__file__).parent
SUBJECTS = tuple(sorted(path.stem.removeprefix("bench_") for path in HERE.glob("bench_*.py")))


def main(words: list[str]) -> None:
    """Run the subjects and write the results."""
    named = [word for word in words if not word.startswith("-")]
    for word in named:
        if word not in SUBJECTS:
            raise SystemExit(f"subject must be one of {', '.join(SUBJECTS)}; got {word!r}")
    table = Table()
    for subject in named or SUBJECTS:
        importlib.import_module(f"bench_{subject}").run(table)
    table.write(ROOT / "build" / "benchmarks.json")
    print("\n" + table.markdown())
    if "--write" in words:
        page = ROOT / "DEVELOPERS.md"
        text = page.read_text(encoding="utf-8")
        block = "<!-- benchmarks -->\n" + table.markdown() + "<!-- end -->"
        text = re.sub(r"<!-- benchmarks -->(.*<!-- end -->)?", lambda _: block, text, flags=re.S)
        page.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
