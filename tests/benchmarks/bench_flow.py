"""The flow around the core: sheets in, papers out."""

from __future__ import annotations

import csv
import random
import tempfile
import time
from pathlib import Path
from typing import Any

import openpyxl
import pandas as pd
from harness import Row, Table

import enginewright as ew

ROWS = 50_000
HEADINGS = [
    "job",
    "engine",
    "stage",
    "feature",
    "number",
    "station",
    "axis",
    "quantity",
    "value",
    "unit",
    "gauge",
    "note",
]


def rows() -> list[list[Any]]:
    """Bores of many jobs, a row each."""
    draw = random.Random(1)
    return [
        [
            f"J{i // 24}",
            "Linnet 2.0",
            "as received",
            "bore",
            i % 24 // 6 + 1,
            ("top", "middle", "bottom")[i % 3],
            ("thrust", "along")[i % 2],
            "diameter",
            round(86 + draw.gauss(0, 0.02), 3),
            "mm",
            "bore gauge",
            "",
        ]
        for i in range(ROWS)
    ]


def run(table: Table) -> None:
    """Add the rows."""
    with tempfile.TemporaryDirectory() as folder:
        sheets(table, Path(folder))
    papers(table)


def sheets(table: Table, folder: Path) -> None:
    """Checked readings with every cell accounted for, against reading alone."""
    text, book = folder / "year.csv", folder / "year.xlsx"
    content = [HEADINGS, *rows()]
    with text.open("w", newline="") as file:
        csv.writer(file).writerows(content)
    made = openpyxl.Workbook(write_only=True)
    sheet = made.create_sheet("Readings")
    for row in content:
        sheet.append(row)
    made.save(book)

    def opened() -> int:
        workbook = openpyxl.load_workbook(book, read_only=True, data_only=True)
        return sum(1 for _ in workbook.active.iter_rows(values_only=True)) - 1

    table.add(
        f"sheets.read of a CSV of {ROWS:,} rows",
        "pandas.read_csv",
        ">= 0.33x",
        lambda: len(ew.sheets.read(text).readings),
        lambda: len(pd.read_csv(text)),
        lambda a, b: a == b,
        pairs=5,
    )
    table.add(
        f"sheets.read of a workbook of {ROWS:,} rows",
        "openpyxl, read only",
        ">= 0.77x",
        lambda: len(ew.sheets.read(book).readings),
        opened,
        lambda a, b: a == b,
        pairs=3,
    )


def papers(table: Table) -> None:
    """The finished Linnet's build sheet, in the time of its check without papers."""
    linnet = Path(__file__).parent.parent.parent / "examples" / "linnet"

    def command(*words: str) -> float:
        start = time.perf_counter()
        main(list(words))
        return time.perf_counter() - start

    from enginewright.command import main

    with tempfile.TemporaryDirectory() as out:
        book = str(linnet / "finished.xlsx")
        command("check", book, "--out", out, "--quiet")
        checked = command("check", book, "--quiet")
        for form in ("html", "pdf"):
            took = command("report", out, "-o", str(Path(out) / f"sheet.{form}"))
            ratio = checked / took
            name = f"build sheet of one job, {form}"
            table.rows.append(
                Row(name, "check without papers", "printed only", took, checked, *[ratio] * 3)
            )
