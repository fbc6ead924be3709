"""Weights on the work list: what comes off each part, to work down at the balance."""

from __future__ import annotations

import json
from typing import Any

from paper_reading import Page, pdf_text, squeezed, under

import enginewright as ew
from enginewright.report import Table

RODS = [(430.2, 170.1), (430.6, 169.8), (433.9, 170.8), (430.4, 170.0)]
PISTONS = [412.4, 411.8, 413.0, 412.1]
CARD = {
    "name": "Linnet 2.0", "cylinders": 4, "rod_length": "145.00 mm",
    "rod_pads": ["-27 mm", "160 mm"],
}  # fmt: skip


def limit(feature: str, part: str, upper: str) -> dict[str, Any]:
    own = {"part": part} if part else {}
    return {"feature": feature, "quantity": "spread", "upper": upper, "source": "card", **own}


def work_list(*, rods: bool = False, pistons: bool = False) -> Any:
    rows: list[tuple[str, str, int, float]] = []
    if rods:
        for number, ends in enumerate(RODS, start=1):
            named = zip(("big end", "small end"), ends, strict=True)
            rows += [("rod", part, number, mass) for part, mass in named]
    if pistons:
        rows += [("piston", "", number, mass) for number, mass in enumerate(PISTONS, start=1)]
    count = len(rows)
    readings = ew.Readings(
        job=["7"] * count, engine=["Linnet 2.0"] * count, stage=["as received"] * count,
        feature=[row[0] for row in rows], part=[row[1] for row in rows],
        number=[row[2] for row in rows], quantity=["mass"] * count,
        value=[row[3] for row in rows], unit=["g"] * count, uncertainty=[0.05] * count,
    )  # fmt: skip
    limits = [limit("rod", "big end", "1.5 g"), limit("rod", "small end", "1.5 g"),
              limit("piston", "", "0.5 g")]  # fmt: skip
    given = ew.Limits.from_json(json.dumps({"limit": limits, "engine": [CARD]}))
    return ew.report.build_sheet({"limits": given}, readings, ew.inspect(readings, given))


def cuts(document: Any, caption: str) -> list[list[str]]:
    table = next(
        b for b in under(document, "Scales") if isinstance(b, Table) and b.caption == caption
    )
    assert [cell.form for cell in table.rows[0][-3:]] == ["tick", "blank", "blank"]
    return [[squeezed(cell.text) for cell in row[:-3]] for row in table.rows]


def test_rods_are_listed_with_what_comes_off_each_pad() -> None:
    rows = cuts(work_list(rods=True), "Take off, rod by rod")
    # By hand, weight at the big-end pad: (433.9 * 160 + 170.8 * 15) / 187 = 384.952 for rod 3,
    # 381.730 for rod 1, the lightest. The rest of each whole at the other pad: 219.748, and 218.352
    # for rod 2, the lightest. The others lie within 0.4 and 0.3 g, and near enough the targets.
    assert rows == [["rod3", "3.2g", "1.4g"]]


def test_pistons_are_listed_with_what_they_weigh_before_and_after() -> None:
    document = work_list(pistons=True)
    # By hand: the lightest, 411.8 g, stays as it is, and so does piston 4, 0.3 g of 0.5 g above it.
    assert cuts(document, "Take off, part by part") == [
        ["piston1", "412.4g", "411.8g", "0.6g"], ["piston3", "413.0g", "411.8g", "1.2g"],
    ]  # fmt: skip
    page, pdf = Page(document.to_html()).all, pdf_text(document.to_pdf())
    assert all(squeezed(text) in page and squeezed(text) in pdf for text in document.texts())
