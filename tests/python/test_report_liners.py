"""Liners on paper: drawn as the findings have them, on the shims that were chosen."""

from __future__ import annotations

from math import cos, radians
from typing import Any

import paper_jobs
import pytest

import enginewright as ew
from enginewright.report import Drawing

TITLE = "How the liners stand over the deck"
CARD = {
    "name": "Linnet 2.0", "bore": "86.00 mm",
    "shelf": {"liner shim": {"0.05 mm": 2, "0.08 mm": 2}},
}  # fmt: skip


class Card:
    def to_json(self) -> str:
        import json

        return json.dumps({"limit": [], "engine": [CARD]})


def job(
    means: list[float], tilts: list[float], *, shift: float = 0.0, angles: int = 4
) -> tuple[dict[str, Any], Any, Any]:
    """Liners read all round, with the findings a job makes of them; `shift` spoils one mean."""
    bench = paper_jobs.Bench("as received")
    for number, (mean, tilt) in enumerate(zip(means, tilts, strict=True), start=1):
        rows = [
            bench.read("liner", number, "protrusion", mean + tilt / 2 * cos(radians(angle)),
                       position=float(angle), position_unit="°")
            for angle in range(0, 360, 360 // angles)
        ]  # fmt: skip
        verdict = "within" if 0.03 <= mean <= 0.08 else "outside"
        bench.find("liner standing", "liner", number, "protrusion", mean + shift, verdict, *rows,
                   lower=0.03, upper=0.08)  # fmt: skip
        bench.find("liner standing", "liner", number, "tilt", tilt, "within", *rows, upper=0.06)
    bench.find("liner standing", "liner", None, "shim deviation", 0.005, "unlimited",
               next="Fit liner 1: 0.080 mm (0.050 mm); liner 2: 0.050 mm (0.060 mm).")  # fmt: skip
    tables = paper_jobs.Readings(bench.readings), paper_jobs.Findings(bench.findings)
    return {"head": paper_jobs.HEAD, "limits": Card()}, *tables


def drawn(*made: Any) -> list[Drawing]:
    document = ew.report.build_sheet(*made)
    return [b for b in document.blocks if isinstance(b, Drawing) and b.title == TITLE]


def test_liners_read_all_round_are_drawn_on_their_shims() -> None:
    (picture,) = drawn(*job([-0.03, 0.01], [0.0, 0.05]))
    told = picture.description.replace("\u00a0", " ")
    assert "Liner 2: mean 0.010 mm, tilt 0.050 mm." in told
    # By hand: -0.030 + 0.080 = 0.050, 0.010 + 0.050 = 0.060.
    assert "On its shims liner 1 stands 0.050 mm." in told
    assert "On its shims liner 2 stands 0.060 mm." in told


def test_each_question_about_a_liner_has_its_own_name() -> None:
    document = ew.report.build_sheet(*job([-0.03, 0.01], [0.0, 0.05]), figures=False)
    asked = {
        row[1].text for block in document.blocks
        if isinstance(block, ew.report.Table) and block.style == "results" for row in block.rows
    }  # fmt: skip
    assert asked == {"mean protrusion", "tilt", "shim deviation"}


@pytest.mark.parametrize("more", [{"shift": 0.001}, {"angles": 2}])
def test_what_does_not_come_to_the_findings_is_not_drawn(more: dict[str, Any]) -> None:
    assert drawn(*job([-0.03, 0.01], [0.0, 0.05], **more)) == []
    assert drawn(*job([0.05], [0.0])) == []
