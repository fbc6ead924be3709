"""The work list as the shop walks it: order, parts to send for, remarks, cautions."""

from __future__ import annotations

from typing import Any

import paper_jobs
import pytest
from paper_reading import squeezed, under

import enginewright as ew
from enginewright.report import Caution, Heading, Table


def paper(job: Any, readings: Any, findings: Any) -> Any:
    return ew.report.build_sheet(job, readings, findings, figures=False)


def groups(document: Any) -> list[str]:
    titles = [b.text for b in document.blocks if isinstance(b, Heading) and b.level == 2]
    return titles[: next(i for i, title in enumerate(titles) if title.startswith("Not "))]


def rows_under(document: Any, title: str) -> list[Any]:
    return [row for b in under(document, title) if isinstance(b, Table) for row in b.rows]


def test_the_rotor_is_balanced_after_all_that_is_weighed_or_cut_and_before_assembly() -> None:
    job, readings, findings = paper_jobs.received()
    outside = next(row for row in findings.rows if row["feature"] == "flywheel")
    findings.rows += [
        {**outside, "check": check, "feature": feature, "part": part, "quantity": quantity}
        for check, feature, part, quantity in (
            ("limits", "flywheel", "", "mass"), ("mass match", "piston", "", "spread"),
            ("bolt reuse", "bolt", "rod bolt", "stretch"), ("limits", "bolt", "", "torque"),
        )
    ]  # fmt: skip
    assert groups(paper(job, readings, findings)) == [
        "Parts to order", "Scales", "Bolts", "Grinder", "Boring bar and hone",
        "Lathe or flywheel grinder", "Head bench", "Balancer", "Fitting",
    ]  # fmt: skip


def test_new_sizes_order_their_pistons_and_shells_a_line_each() -> None:
    document = paper(*paper_jobs.received())
    told = [(row[0].text, row[3].text) for row in rows_under(document, "Parts to order")]
    assert [(squeezed(text), much) for text, much in told] == [
        ("Ordermainbearingshells0.25mmunder", "for 3 journals"),
        ("Orderpistons0.25mmover", "2 pistons"),
        ("Orderringsforboresof86.255mm", "1 ring"),
    ]
    first = rows_under(document, "Parts to order")[0][0].under
    assert squeezed(first).startswith("Forasizeof59.720–59.740mm.Settlethewornside")


def test_pistons_come_with_rings_where_no_ring_was_measured() -> None:
    job, readings, findings = paper_jobs.received()
    findings.rows = [row for row in findings.rows if row["feature"] != "ring"]
    told = [row[0].text for row in rows_under(paper(job, readings, findings), "Parts to order")]
    assert squeezed(told[1]) == "Orderpistonsandrings0.25mmover"


def test_a_plan_that_finds_no_size_orders_nothing() -> None:
    job, readings, findings = paper_jobs.received()
    for row in findings.rows:
        if row["check"] in ("regrind", "rebore"):
            row |= {"verdict": "outside", "value": None}
    assert "Parts to order" not in groups(paper(job, readings, findings))


def test_a_bore_is_honed_into_the_band_of_its_plan() -> None:
    job, readings, findings = paper_jobs.received()
    plan = next(row for row in findings.rows if row["check"] == "rebore")
    plan |= {"lower": 86.245, "upper": 86.265}
    tables = [
        b
        for b in under(paper(job, readings, findings), "Boring bar and hone")
        if isinstance(b, Table)
    ]
    assert [squeezed(row[2].text) for row in tables[1].rows] == ["86.245–86.265mm"] * 2
    assert squeezed(tables[1].caption).startswith("Hone,aimingfor86.255mm")


def test_metal_is_counted_from_the_reading_that_the_tool_meets_first() -> None:
    document = paper(*paper_jobs.received())
    grind = rows_under(document, "Grinder")
    # Largest of each journal (59.964, 59.930, 59.957) less 59.730, the middle of the band.
    assert [squeezed(row[3].text) for row in grind] == ["0.234mm", "0.200mm", "0.227mm"]
    bore = [row for row in rows_under(document, "Boring bar and hone") if row[1].under != ""
            or "–" in row[1].text]  # fmt: skip
    # 86.195 less the smallest of each bore: 86.0266 and 86.0149, by hand.
    assert [squeezed(row[3].text) for row in bore] == ["0.168mm", "0.180mm"]


def test_a_remark_is_told_once_where_its_part_is_worked_on() -> None:
    job, readings, findings = paper_jobs.received()
    for row in readings.rows:
        if (row["feature"], row["number"]) == ("main journal", 2):
            row["note"] = "blued  at the\nfillet"
    long = "scuffed over the whole skirt, oil burnt on, grooves from the second ring to the pin"
    ring = next(row for row in readings.rows if row["feature"] == "ring" and row["number"] == 1)
    ring["note"] = long + " and beyond"
    document = paper(job, readings, findings)
    second = rows_under(document, "Grinder")[1][0]
    assert second.under == "decides · written beside it: blued at the fillet"
    work = [b for title in groups(document) for b in under(document, title)]
    cells = [cell for b in work if isinstance(b, Table) for row in b.rows for cell in row]
    assert sum("blued" in cell.under for cell in cells) == 1
    results = [b for b in under(document, "Findings") if isinstance(b, Table)]
    assert not any("blued" in cell.under for b in results for row in b.rows for cell in row)
    (cut,) = (cell.under for cell in cells if "scuffed" in cell.under)
    remark = cut.partition("written beside it: ")[2]
    assert remark.endswith("…") and long.startswith(remark[:-1]) and len(remark) <= 80


def test_the_customer_is_not_told_how_to_work_a_grinder() -> None:
    sheet = paper(*paper_jobs.finished())
    told = " ".join(i for b in sheet.blocks if isinstance(b, Caution) for i in b.items)
    assert "local codes and licensed practice" in told.lower()
    for shop in ("Ring-test the wheel", "spindle", "File inwards", "trial masses", "Grind"):
        assert shop not in told
    for bench in ("Each shell goes into", "Each piston goes", "Each ring goes", "maker's torque"):
        assert bench in told


def test_the_shop_is_told_all_of_it() -> None:
    document = paper(*paper_jobs.received())
    told = " ".join(i for b in document.blocks if isinstance(b, Caution) for i in b.items)
    for shop in ("Ring-test the wheel", "near the spindle", "File inwards"):
        assert shop in told
    assert "Each shell goes into the place where it was measured" not in told


@pytest.mark.parametrize(
    ("feature", "part", "quantity", "title"),
    [
        ("crankshaft", "", "run-out", "Before you straighten a crankshaft"),
        ("crankshaft", "", "end float", "Before you fit thrust washers or cut a thrust face"),
        ("main bearing", "housing", "diameter", "Before you bore or hone a main tunnel"),
    ],
)
@pytest.mark.parametrize("verdict", ["outside", "within"])
def test_straightness_thrust_faces_and_tunnel_bring_their_cautions(
    feature: str, part: str, quantity: str, title: str, verdict: str
) -> None:
    job, readings, findings = paper_jobs.received()
    row = next(row for row in findings.rows if row["feature"] == "flywheel")
    assert title not in [b.title for b in paper(job, readings, findings).blocks
                         if isinstance(b, Caution)]  # fmt: skip
    read = next(row for row in readings.rows if row["feature"] == "flywheel")
    new = {"feature": feature, "part": part, "quantity": quantity, "number": 2}
    readings.rows.append({**read, **new})
    findings.rows.append({**row, **new, "verdict": verdict, "basis": (len(readings) - 1,)})
    document = paper(job, readings, findings)
    titles = [b.title for b in document.blocks if isinstance(b, Caution)]
    assert titles.count(title) == 1
    last = [b.title for b in under(document, "Cautions") if isinstance(b, Caution)]
    # Beside the machine that puts it right, else with those of the other benches.
    assert (title in last) == (verdict == "within")
