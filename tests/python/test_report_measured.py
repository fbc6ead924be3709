"""Blocks for one question of measurement, by themselves and on a paper."""

from __future__ import annotations

import doctest
import json
from typing import Any

import paper_jobs
import pytest
from paper_reading import Page, pdf_text, squeezed, under

import enginewright as ew
from enginewright.report import Caution, Drawing, Facts, Heading, Paragraph

#: Honed bores of an invented run: 0.003 mm larger after the twelfth.
BORES = [
    86.4996, 86.5004, 86.5009, 86.4991, 86.5001, 86.4999, 86.5006, 86.4994, 86.5002, 86.4998,
    86.5005, 86.4995, 86.5031, 86.5035, 86.5032, 86.5036,
]  # fmt: skip
GUIDE = {
    "outer_diameter": 30.0, "inner_bore": 8.0, "inner": "phosphor bronze",
    "outer": "cast aluminium", "hot": 150.0,
}  # fmt: skip


def size() -> ew.Quantity:
    ring = ew.Quantity(0, 0.0004, source="setting ring")
    return ew.Quantity(59.986, 0.0012) + ring


MAKE = {
    "budget": lambda **more: ew.report.budget_block(size(), title="main journal 2", **more),
    "fit": lambda **more: ew.report.fit_block("40 H7/p6", 40.012, size() - 19.95, **more),
    "class": lambda **more: ew.report.fit_block("60 h6", source="data card, line 6", **more),
    "press": lambda **more: ew.report.press_fit_block(14.0, 0.04, 30.0, **GUIDE, **more),
    "process": lambda **more: ew.report.process_block(BORES, lower=86.49, upper=86.51, **more),
}


@pytest.fixture(params=list(MAKE))
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def facts(blocks: tuple[Any, ...]) -> dict[str, str]:
    found = next(block for block in blocks if isinstance(block, Facts))
    return {name: squeezed(text) for name, text in found.rows}


def test_a_block_has_heading_sense_figures_caution_and_source(kind: str) -> None:
    blocks = MAKE[kind]()
    assert isinstance(blocks[0], Heading) and blocks[0].level == 2
    assert isinstance(blocks[1], Paragraph) and blocks[1].style == "order"
    assert isinstance(blocks[2], Facts)
    assert sum(isinstance(block, Drawing) for block in blocks) == (kind != "class")
    assert isinstance(blocks[-2], Caution) and blocks[-2].items
    assert isinstance(blocks[-1], Paragraph) and "after" in blocks[-1].text


def test_every_text_of_the_blocks_is_on_the_page_and_in_the_pdf() -> None:
    job = paper_jobs.finished()
    paper = ew.report.build_sheet(*job, figures=False)
    document = ew.report.with_blocks(paper, [make() for make in MAKE.values()])
    page, pdf = Page(document.to_html()).all, pdf_text(document.to_pdf())
    texts = [squeezed(text) for text in document.texts()]
    assert len(texts) > len(list(paper.texts())) + 80
    assert [text for text in texts if text not in page] == []
    assert [text for text in texts if text not in pdf] == []


def test_lengths_stand_in_mm_and_inch_and_the_shops_own_first() -> None:
    metric, inch = facts(MAKE["class"]()), facts(MAKE["class"](inch=True))
    # By hand: 59.981 / 25.4 = 2.36146, 60 / 25.4 = 2.36220.
    assert metric["Limits of size"] == "59.981–60.000mm(2.3615–2.3622in)"
    assert inch["Limits of size"] == "2.3615–2.3622in(59.981–60.000mm)"


def test_a_budget_names_what_to_work_on_first() -> None:
    blocks = MAKE["budget"]()
    assert blocks[0].text == "Where the doubt comes from: main journal 2"
    # By hand: 0.0012² / (0.0012² + 0.0004²) is 90 % of the variance; u = 0.001265, times 1.96.
    assert blocks[1].text.startswith("Largest part of the doubt:") and "90 %" in blocks[1].text
    assert facts(blocks)["Value, ± expanded"].startswith("59.986±0.002mm")
    assert facts(blocks)["Sources counted"] == "2"
    with pytest.raises(ValueError, match="quantity must have an uncertainty, got none"):
        ew.report.budget_block(ew.Quantity(1.0))


@pytest.mark.parametrize(
    ("fit", "words"),
    [
        # published: ISO 286-2, tables for 40 mm: H7 0/+25, p6 +26/+42, f7 -25/-50, k6 +2/+18
        ("40 H7/p6", "A fit that grips: 0.001–0.042mm of interference."),
        ("40 H7/f7", "A fit with room: 0.025–0.075mm between the two parts."),
        ("40 H7/k6", "A fit that may do either: from 0.018mm of interference to 0.023mm of room."),
    ],
)
def test_a_fit_says_what_the_parts_do_in_each_other(fit: str, words: str) -> None:
    assert squeezed(ew.report.fit_block(fit, figures=False)[1].text) == squeezed(words)


def test_measured_parts_stand_beside_their_limits() -> None:
    found = facts(MAKE["fit"]())
    assert found["Hole as measured"].startswith("40.012mm")
    assert found["Shaft as measured"].startswith("40.036±0.002mm")
    with pytest.raises(ValueError, match="fit must be a fit"):
        ew.report.fit_block("60 h6", 60.0)


def test_the_source_of_a_class_stands_before_the_standard() -> None:
    note = MAKE["class"]()[-1].text
    assert note == "data card, line 6. Limits of size after ISO 286-1 and ISO 286-2."


def test_a_pressed_joint_says_how_it_holds_cold_and_hot() -> None:
    blocks = MAKE["press"](title="exhaust guide")
    assert blocks[0].text == "Pressed joint: exhaust guide"
    cold = ew.fits.press_fit(14.0, 0.04, 30.0, **{k: v for k, v in GUIDE.items() if k != "hot"})
    assert squeezed(blocks[1].text).startswith(f"At20°Cthejoint{cold.status};")
    pressure = facts(blocks)["Pressure, cold → hot"]
    assert pressure.startswith(f"{cold.pressure:.1f}MPa") and "→" in pressure and "psi" in pressure


def test_a_process_that_changed_says_where_before_any_share() -> None:
    blocks = MAKE["process"](title="bore, honed")
    chart = ew.stats.chart(BORES)
    first = min(signal.index for signal in chart.signals) + 1
    assert blocks[1].text.startswith(f"Something changed at point {first}:")
    assert facts(blocks)["Points"] == "16"
    steady = ew.report.process_block(BORES[:12], figures=False)
    assert steady[1].text.startswith("No signal among 12 points")
    assert "Ppk" not in facts(steady)


def test_blocks_stand_before_how_it_was_judged_and_leave_the_paper_as_it_was() -> None:
    paper = ew.report.build_sheet(*paper_jobs.received(), figures=False)
    single = Paragraph("Seen by the customer.")
    document = ew.report.with_blocks(paper, [MAKE["class"](), single])
    sections = [b.text for b in document.blocks if isinstance(b, Heading) and b.level == 2]
    assert sections[-2:] == ["Class: 60 h6", "How it was judged"]
    assert single in document.blocks and single not in paper.blocks
    assert (document.stem, document.day) == (paper.stem, paper.day)
    with pytest.raises(TypeError, match="blocks must be blocks of a paper, got str"):
        ew.report.with_blocks(paper, ["a word"])


# Where a job uses them of its own accord

CLASS = {
    "feature": "main journal", "quantity": "diameter", "tolerance_class": "60 h6",
    "source": "data card, line 3 (invented)",
}  # fmt: skip
FIT = {
    "feature": "main bearing", "quantity": "clearance", "tolerance_class": "60 F7/h6",
    "source": "data card, line 4 (invented)",
}  # fmt: skip
MICROMETER = {
    "name": "micrometer 2", "resolution": "0.001 mm", "calibration_uncertainty": "0.002 mm",
}  # fmt: skip


def crank(stage: str, sizes: list[float]) -> tuple[Any, Any, Any]:
    """Main journals, and bearings of 60.045 mm, judged by classes of ISO 286."""
    count = len(sizes)
    readings = ew.Readings(
        job=["7"] * 2 * count, stage=[stage] * 2 * count, quantity=["diameter"] * 2 * count,
        feature=["main journal"] * count + ["main bearing"] * count,
        number=[*range(1, count + 1)] * 2, value=[*sizes, *[60.045] * count],
        unit=["mm"] * 2 * count, gauge=["micrometer 2"] * 2 * count,
    )  # fmt: skip
    limits = ew.Limits.from_json(json.dumps({"limit": [CLASS, FIT]}))
    gauges = ew.Gauges.from_json(json.dumps({"gauge": [MICROMETER]}))
    findings = ew.inspect(readings, limits, gauges)
    return {"limits": limits, "gauges": gauges}, readings, findings


@pytest.mark.parametrize("stage", ["as received", "finished"])
def test_limits_by_class_have_a_section_that_says_class_limits_and_source(stage: str) -> None:
    document = ew.report.build_sheet(*crank(stage, [59.990, 59.991, 59.992]))
    blocks = under(document, "Sizes by class")
    titles = [block.text for block in blocks if isinstance(block, Heading)]
    assert titles == ["Class: main journal: diameter", "Fit: main bearing: clearance"]
    one, fit = (block for block in blocks if isinstance(block, Facts))
    # published: ISO 286-2, tables for 60 mm: h6 0/-19, F7 +30/+60
    assert squeezed(dict(one.rows)["Limits of size"]).startswith("59.981–60.000mm")
    assert squeezed(dict(fit.rows)["Least clearance"]).startswith("0.030mm")
    assert squeezed(dict(fit.rows)["Greatest clearance"]).startswith("0.079mm")
    notes = [block.text for block in blocks if isinstance(block, Paragraph)]
    assert any(text.startswith("data card, line 3 (invented). ") for text in notes)
    assert sum(isinstance(block, Caution) for block in blocks) == 1
    assert sum(isinstance(block, Drawing) for block in blocks) == 1
    page, pdf = Page(document.to_html()).all, pdf_text(document.to_pdf())
    assert all(squeezed(text) in page and squeezed(text) in pdf for text in document.texts())


def test_a_class_that_judged_nothing_is_not_explained() -> None:
    job, readings, findings = paper_jobs.received()
    limits = ew.Limits.from_json(json.dumps({"limit": [CLASS]}))
    document = ew.report.build_sheet({**job, "limits": limits}, readings, findings)
    assert under(document, "Sizes by class") == []


def test_what_keeps_a_finished_job_open_shows_its_doubt() -> None:
    # 59.982 is 0.001 above the least size, with ± 0.002: the second journal is not proven.
    document = ew.report.build_sheet(*crank("finished", [59.990, 59.982, 59.992]))
    blocks = under(document, "Still open")
    titles = [block.text for block in blocks if isinstance(block, Heading)]
    assert titles == ["Where the doubt comes from: main journal 2: diameter"]
    found = facts(tuple(blocks))
    assert found["Value, ± expanded"].startswith("59.982±0.002mm")
    assert found["Largest source"] == squeezed("micrometer 2: certificate")
    assert sum(isinstance(block, Drawing) for block in blocks) == 1


def test_a_job_that_is_proven_or_not_finished_has_no_budget() -> None:
    for stage, sizes in (("finished", [59.990, 59.991]), ("as received", [59.990, 59.982])):
        document = ew.report.build_sheet(*crank(stage, sizes), figures=False)
        assert not any("doubt comes from" in text for text in document.texts())


@pytest.mark.parametrize("name", [
    "budget_block", "fit_block", "press_fit_block", "process_block", "with_blocks",
])  # fmt: skip
def test_the_examples_in_the_pages_are_true(name: str) -> None:
    page = getattr(ew.report, name).__doc__
    example = doctest.DocTestParser().get_doctest(page, {"ew": ew}, name, None, 0)
    assert example.examples
    assert doctest.DocTestRunner().run(example).failed == 0
