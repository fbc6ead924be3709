"""Two invented jobs for the papers: the Linnet 2.0 as it came, and as it left.

Tables here are bare columns with the access that papers use. So these tests say what a paper makes
of findings, whatever made the findings.
"""

from __future__ import annotations

import datetime
import json
from dataclasses import dataclass
from typing import Any

CARD = "Linnet 2.0 data card, line {} (invented)"
HEAD = {
    "number": "2417",
    "engine": "Linnet 2.0",
    "customer": "J. Bramley",
    "received": datetime.date(2026, 3, 2),
    "promised": datetime.date(2026, 3, 20),
    "asked": "Knocks when warm; bottom end to be made good",
    "found": ["Number two main bearing picked up."],
    "done": ["Mains ground 0.50 mm under.", "Bored and honed 0.50 mm over."],
    "signed_by": "A. Turner",
    "shop": {
        "name": "Hollow Lane Engine Works",
        "address": ["3 Hollow Lane", "Fenbridge"],
        "phone": "0100 555 010",
    },
}
LIMITS = {
    "limit": [
        {
            "feature": "main journal", "quantity": "diameter", "kind": "new",
            "lower": "59.970 mm", "upper": "59.990 mm", "source": CARD.format(6),
            "provenance": "common practice",
        },
        {
            "feature": "bore", "quantity": "diameter", "kind": "wear", "upper": "86.10 mm",
            "source": CARD.format(12), "provenance": "published",
        },
    ],
    "engine": [
        {
            "name": "Linnet 2.0",
            "undersizes": {"main journal": ["0.25 mm", "0.50 mm", "0.75 mm"]},
            "oversizes": ["0.25 mm", "0.50 mm", "1.00 mm"],
            "grinding_allowance": "0.03 mm", "hone_allowance": "0.06 mm", "clean_up": "0.05 mm",
        }
    ],
}  # fmt: skip


class Card:
    """Limits as far as a paper asks for them."""

    def to_json(self) -> str:
        return json.dumps(LIMITS)


class Column:
    def __init__(self, values: list[Any]) -> None:
        self.values = values
        self.missing = [value is None for value in values]


@dataclass(frozen=True)
class NotChecked:
    job: str
    check: str
    missing: str


class Columns:
    """A table: rows as mappings, columns by name."""

    names: tuple[str, ...] = ()

    def __init__(
        self, rows: list[dict[str, Any]], not_checked: tuple[NotChecked, ...] = ()
    ) -> None:
        self.rows = rows
        self.not_checked = not_checked

    def __len__(self) -> int:
        return len(self.rows)

    def __getitem__(self, name: str) -> Column:
        if name not in self.names:
            raise KeyError(name)
        return Column([row.get(name) for row in self.rows])


class Readings(Columns):
    names = tuple(
        [
            "job",
            "engine",
            "stage",
            "feature",
            "number",
            "part",
            "station",
            "axis",
            "position",
            "position_unit",
            "repeat",
            "quantity",
            "value",
            "unit",
            "observation",
            "uncertainty",
            "gauge",
            "by",
            "temperature",
            "date",
            "note",
            "file",
            "sheet",
            "row",
            "column",
        ]
    )


class Findings(Columns):
    names = tuple(
        [
            "finding",
            "job",
            "stage",
            "feature",
            "number",
            "part",
            "station",
            "axis",
            "position",
            "quantity",
            "repeat",
            "check",
            "value",
            "uncertainty",
            "lower",
            "upper",
            "target",
            "unit",
            "kind",
            "margin",
            "probability",
            "verdict",
            "next",
            "amount",
            "amount_unit",
            "reason",
            "limit_source",
            "file",
            "sheet",
            "row",
            "column",
        ]
    )

    def readings_of(self, index: int) -> tuple[int, ...]:
        return self.rows[index].get("basis", ())


class Bench:
    """Writes readings down and findings beside them."""

    def __init__(self, stage: str) -> None:
        self.stage = stage
        self.readings: list[dict[str, Any]] = []
        self.findings: list[dict[str, Any]] = []

    def read(self, feature: str, number: int | None, quantity: str, value: Any, **more: Any) -> int:
        row = len(self.readings)
        self.readings.append(
            {
                "job": "2417", "engine": "Linnet 2.0", "stage": self.stage, "feature": feature,
                "number": number, "quantity": quantity, "value": value, "unit": "mm",
                "gauge": "micrometer 2", "by": "Nobody Atall", "file": "received.xlsx",
                "sheet": "Block", "row": 6 + row, "column": 3, "date": datetime.date(2026, 3, 3),
                **more,
            }
        )  # fmt: skip
        return row

    def find(
        self, check: str, feature: str, number: int | None, quantity: str, value: float | None,
        verdict: str, *basis: int, lower: float | None = None, upper: float | None = None,
        line: int = 1, **more: Any,
    ) -> None:  # fmt: skip
        margins = [] if value is None else [
            *([value - lower] if lower is not None else []),
            *([upper - value] if upper is not None else []),
        ]  # fmt: skip
        self.findings.append(
            {
                "job": "2417", "stage": self.stage, "feature": feature, "number": number,
                "quantity": quantity, "check": check, "value": value, "uncertainty": 0.004,
                "lower": lower, "upper": upper, "unit": "mm", "verdict": verdict, "basis": basis,
                "margin": min(margins, default=None),
                "limit_source": CARD.format(line) if margins or lower or upper else None,
                **more,
            }
        )  # fmt: skip

    def size(
        self, feature: str, number: int, station: str, axis: str, value: float, verdict: str,
        **limits: Any,
    ) -> int:  # fmt: skip
        place = {"station": station, "axis": axis}
        row = self.read(feature, number, "diameter", value, **place)
        self.find("limits", feature, number, "diameter", value, verdict, row, **place, **limits)
        return row


def received() -> tuple[dict[str, Any], Readings, Findings]:
    """The job as it came: a crankshaft to grind, bores to bore, rings to file."""
    bench = Bench("as received")
    journals = [
        bench.size("main journal", number, station, axis, value, verdict, lower=59.945, line=7)
        for number, low, verdict in ((1, 59.955, "within"), (2, 59.921, "outside"),
                                     (3, 59.948, "unproven"))
        for station, axis, value in (("front", "x", low), ("front", "y", low + 0.006),
                                     ("back", "x", low + 0.002), ("back", "y", low + 0.009))
    ]  # fmt: skip
    bores = [
        bench.size("bore", number, station, axis, value, verdict, upper=86.10, line=12)
        for number, wear in ((1, 0.111), (2, 0.062))
        for station, share in (("top", 1.0), ("bottom", 0.3))
        for axis, value in (("thrust", 86.0 + wear * share), ("along", 86.0 + wear * share * 0.8))
        for verdict in ("outside" if value > 86.1 else "within",)
    ]
    for number, gap, verdict in ((1, 0.305, "outside"), (2, 0.432, "within"), (3, 0.71, "outside")):
        row = bench.read("ring", number, "gap", round(gap / 0.0254, 1), unit="thou",
                         part="top ring", station="bottom", gauge="feelers")  # fmt: skip
        bench.find(
            "ring gap", "ring", number, "gap", gap, verdict, row, lower=0.35, upper=0.6, line=21,
            part="top ring", station="bottom",
            next="File 1.8 thou (0.045 mm) off the ends of the top ring." if gap < 0.35 else
            "Find a ring with a smaller gap." if gap > 0.6 else None,
            amount={0.305: 0.045, 0.71: -0.11}.get(gap), amount_unit="mm",
        )  # fmt: skip
    for number, value in ((1, 0.111), (2, 0.062)):
        bench.find("wear", "bore", number, "wear", value, "outside" if value > 0.1 else "within",
                   *(row for row in bores if bench.readings[row]["number"] == number),
                   upper=0.1, line=12)  # fmt: skip
    bench.find("regrind", "main journal", None, "undersize", 0.25, "unlimited", *journals,
               lower=59.72, upper=59.74, target=59.73, uncertainty=None,
               limit_source=CARD.format(6),
               next="Grind all three main journals to 59.720-59.740 mm (0.25 under); journal 2 "
               "decides; 0.161 mm to spare.")  # fmt: skip
    bench.find(
        "rebore",
        "bore",
        None,
        "oversize",
        0.25,
        "unlimited",
        *bores,
        target=86.255,
        uncertainty=None,
        next="Bore both cylinders to 86.195 mm and hone to 86.255 mm.",
    )
    row = bench.read("flywheel", None, "run-out", 0.21, gauge="dial gauge", sheet="Clutch")
    bench.find("limits", "flywheel", None, "run-out", 0.21, "outside", row, upper=0.1, line=40,
               next="Skim the face by at least 0.110 mm.")  # fmt: skip
    row = bench.read("valve guide", 3, "diameter", 8.062, part="exhaust", sheet="Head")
    bench.find("limits", "valve guide", 3, "diameter", 8.062, "outside", row, lower=8.0, upper=8.03,
               line=33, part="exhaust", next="Fit a new guide.")  # fmt: skip
    row = bench.read("bolt", 7, "depth", None, unit=None, observation="ok", part="main cap bolt")
    bench.find("limits", "bolt", 7, "depth", None, "unproven", row, upper=80.0, line=41,
               part="main cap bolt", reason="only the word 'ok' was written",
               next="Measure main cap bolt 7.")  # fmt: skip
    lacking = (NotChecked("2417", "piston clearance", "the diameters of the pistons"),)
    job = {
        "head": HEAD, "limits": Card(), "files": {"received.xlsx": "9f86d081884c7d65" * 4},
        "problems": [
            {
                "severity": "error", "sheet": "Block", "row": 14, "column": 3, "found": "86,O1",
                "message": "holds the letter O", "suggestion": "86,01",
            }
        ],
        "account": {"total": {"cells": {"rejected": 1}}},
    }  # fmt: skip
    return job, Readings(bench.readings), Findings(bench.findings, lacking)


def finished(*, open_gap: bool = False) -> tuple[dict[str, Any], Readings, Findings]:
    """The job as it left, with what it was like before; `open_gap`: one ring is too tight."""
    job, came, judged = received()
    bench = Bench("finished")
    start = len(came)
    for number in (1, 2, 3):
        for station, axis, value in (("front", "x", 59.731), ("back", "x", 59.728)):
            bench.size("main journal", number, station, axis, value, "within", lower=59.72,
                       upper=59.74, line=6)  # fmt: skip
        gap = 0.31 if open_gap and number == 2 else 0.41
        row = bench.read("ring", number, "gap", gap, part="top ring", station="bottom")
        bench.find("ring gap", "ring", number, "gap", gap, "within" if gap > 0.35 else "outside",
                   row, lower=0.35, upper=0.6, line=21, part="top ring", station="bottom",
                   next=None if gap > 0.35 else "File 0.040 mm off the ends of the top ring.",
                   amount=None if gap > 0.35 else 0.04, amount_unit="mm")  # fmt: skip
        bench.find("bearing clearance", "main bearing", number, "clearance", 0.045, "within",
                   lower=0.03, upper=0.06, line=17)  # fmt: skip
    for number in (1, 2):
        bench.size("bore", number, "top", "thrust", 86.256, "within", lower=86.245, upper=86.265,
                   line=12)  # fmt: skip
        bench.find("wear", "bore", number, "wear", 0.006, "within", upper=0.1, line=12)
    row = bench.read("flywheel", None, "run-out", 0.03)
    bench.find("limits", "flywheel", None, "run-out", 0.03, "within", row, upper=0.1, line=40)
    row = bench.read("valve guide", 3, "diameter", 8.012, part="exhaust")
    bench.find("limits", "valve guide", 3, "diameter", 8.012, "within", row, lower=8.0, upper=8.03,
               line=33, part="exhaust")  # fmt: skip
    row = bench.read("bolt", 7, "depth", 79.6, part="main cap bolt")
    bench.find("limits", "bolt", 7, "depth", 79.6, "within", row, upper=80.0, line=41,
               part="main cap bolt")  # fmt: skip
    row = bench.read("bolt", 7, "torque", 82.0, part="main cap bolt", unit="N·m")
    bench.find("limits", "bolt", 7, "torque", 82.0, "within", row, lower=78.0, upper=86.0, line=42,
               part="main cap bolt", unit="N·m", uncertainty=2.0)  # fmt: skip
    for finding in bench.findings:
        finding["basis"] = tuple(start + row for row in finding["basis"])
    job = {**job, "problems": [], "account": {}}
    return job, Readings(came.rows + bench.readings), Findings(judged.rows + bench.findings)
