"""The papers: what a machinist is told to do, and what a customer is told was done."""

from __future__ import annotations

import dataclasses
import json
import re
import tomllib
from typing import Any

import paper_jobs
import pytest
from paper_reading import TEMPLATES, Page, made, pdf_text, squeezed, tables, under

import enginewright as ew
from enginewright.report import Caution, Drawing, Facts, Heading, Paragraph, SignOff, Table


@pytest.fixture
def work_list() -> Any:
    return made("work list")


@pytest.fixture
def sheet() -> Any:
    return made("build sheet")


@pytest.fixture(params=["work list", "build sheet"])
def paper(request: pytest.FixtureRequest) -> Any:
    return made(request.param)


# The work list


def test_before_finished_the_paper_is_the_work_list(work_list: Any) -> None:
    assert (work_list.title, work_list.stem) == ("Work list", "work_list")


def test_work_is_grouped_by_machine_in_the_order_of_the_shop(work_list: Any) -> None:
    sections = [b.text for b in work_list.blocks if isinstance(b, Heading) and b.level == 2]
    assert sections == [
        "Parts to order", "Grinder", "Boring bar and hone", "Lathe or flywheel grinder",
        "Head bench", "Fitting", "Not proven yet", "Not checked", "Not read", "Cautions",
        "Findings", "Readings as written", "How it was judged",
    ]  # fmt: skip


def test_a_regrind_says_what_comes_off_each_journal(work_list: Any) -> None:
    grind = next(b for b in under(work_list, "Grinder") if isinstance(b, Table))
    part, read, bring, off, *blanks = grind.rows[1]
    assert (part.text, part.under) == ("main journal 2", "decides")
    assert squeezed(read.text) == "59.921–59.930mm"
    assert squeezed(bring.text) == "59.720–59.740mm"
    # 59.930 is the largest reading of journal 2, 59.730 the middle of the band: by hand.
    assert squeezed(off.text) == "0.200mm"
    assert [cell.form for cell in blanks] == ["tick", "blank", "blank"]


def test_a_plan_is_for_a_whole_set_and_says_so(work_list: Any) -> None:
    titles = [b.text for b in work_list.blocks if isinstance(b, Heading) and b.level == 3]
    assert titles[:2] == ["Regrind: main journals", "Rebore: bores"]


def test_a_rebore_is_bored_and_then_honed(work_list: Any) -> None:
    bore, hone = (b for b in under(work_list, "Boring bar and hone") if isinstance(b, Table))
    # By hand: 86.255 finished less 0.060 to hone is 86.195; less the smallest, 86.027, is 0.168.
    assert squeezed(bore.rows[0][2].text + bore.rows[0][3].text) == "86.195mm0.168mm"
    assert squeezed(hone.rows[0][2].text + hone.rows[0][3].text) == "86.255mm0.060mm"


def test_a_task_names_part_reading_band_and_amount_in_the_unit_the_shop_wrote(
    work_list: Any,
) -> None:
    ring = next(b for b in under(work_list, "Fitting") if isinstance(b, Table)).rows[0]
    assert ring[0].text == "top ring, cylinder 1: gap"
    assert ring[0].under == "File 1.8 thou (0.045 mm) off the ends of the top ring."
    assert (squeezed(ring[1].text), squeezed(ring[1].under)) == ("12.0thou", "0.305mm")
    assert squeezed(ring[3].text) == "1.8thou"


def test_rings_that_a_rebore_makes_too_wide_are_one_order(work_list: Any) -> None:
    fitting = next(b for b in under(work_list, "Fitting") if isinstance(b, Table))
    assert [row[0].text for row in fitting.rows] == ["top ring, cylinder 1: gap"]
    table = next(b for b in under(work_list, "Parts to order") if isinstance(b, Table))
    titles = [squeezed(row[0].text) for row in table.rows]
    assert titles == [
        "Ordermainbearingshells0.25mmunder", "Orderpistons0.25mmover",
        "Orderringsforboresof86.255mm",
    ]  # fmt: skip
    do, read, limits, much, *blanks = table.rows[-1]
    assert do.under.startswith("top ring: 1 (cylinder 3). Read: the gaps")
    assert squeezed(read.text + read.under) == "28.0thou0.710mm"
    assert limits.text.startswith("13.8")
    assert much.text == "1 ring"
    assert [cell.form for cell in blanks] == ["tick", "blank", "blank"]


def test_without_a_rebore_each_ring_is_a_task_of_its_own() -> None:
    job, readings, findings = paper_jobs.received()
    findings.rows = [row for row in findings.rows if row["check"] != "rebore"]
    document = ew.report.build_sheet(job, readings, findings, figures=False)
    table = next(b for b in under(document, "Fitting") if isinstance(b, Table))
    assert [row[0].text for row in table.rows] == [
        "top ring, cylinder 1: gap", "top ring, cylinder 3: gap",
    ]  # fmt: skip


def test_rings_of_several_kinds_are_counted_by_kind() -> None:
    job, readings, findings = paper_jobs.received()
    wide = next(r for r in findings.rows if r["check"] == "ring gap" and r["number"] == 3)
    findings.rows += [
        {**wide, "number": number, "part": part, "value": 0.8}
        for part, number in (("second ring", 1), ("second ring", 2), ("top ring", 2))
    ]
    document = ew.report.build_sheet(job, readings, findings, figures=False)
    table = next(b for b in under(document, "Parts to order") if isinstance(b, Table))
    order = next(row for row in table.rows if row[0].text.startswith("Order rings"))
    assert order[0].under.startswith(
        "top ring: 2 (cylinders 2, 3), second ring: 2 (cylinders 1, 2)."
    )
    assert order[3].text == "4 rings"


def test_what_is_fitted_new_after_a_cut_is_answered_by_its_plan() -> None:
    job, readings, findings = paper_jobs.received()
    wear = next(row for row in findings.rows if row["check"] == "wear")
    findings.rows += [
        {**wear, "check": check, "feature": feature, "quantity": "clearance", "number": 2,
         "verdict": "outside", "next": f"Look at the {feature}."}
        for check, feature in (
            ("piston clearance", "piston"), ("bearing clearance", "main bearing"),
            ("bearing clearance", "big-end bearing"),
        )
    ]  # fmt: skip
    document = ew.report.build_sheet(job, readings, findings, figures=False)
    told = " ".join(document.texts())
    settled = next(
        b.text for b in under(document, "Not proven yet")
        if isinstance(b, Paragraph) and b.style == "note"
    )  # fmt: skip
    assert "piston 2 clearance" in settled and "main bearing 2 clearance" in settled
    # No plan of this job grinds the big-end journals: that clearance is a task of its own.
    assert "Look at the big-end bearing." in told
    assert "Look at the piston." not in told and "Look at the main bearing." not in told


def test_a_flywheel_goes_to_the_lathe_and_a_housing_to_the_hone() -> None:
    from enginewright._rows import finding_rows
    from enginewright.report.benches import machine_of

    _, _, findings = paper_jobs.received()
    row = next(r for r in finding_rows(findings) if r.feature == "flywheel")
    at = [
        machine_of(dataclasses.replace(row, **changed))
        for changed in (
            {}, {"check": "balance", "quantity": "amount"}, {"quantity": "mass"},
            {"feature": "big-end bearing", "part": "housing", "quantity": "diameter"},
        )
    ]  # fmt: skip
    assert at == ["lathe", "balancer", "balancer", "boring"]


def test_paper_screen_and_workbook_count_alike(work_list: Any) -> None:
    from enginewright._counts import counted, told
    from enginewright._rows import finding_rows
    from enginewright._words import load

    _, _, findings = paper_jobs.received()
    line = told(counted(finding_rows(findings)), load("en"))
    # By hand, of the rows of the job: 2 plans, no other finding without a limit.
    assert line.endswith(", 2 plans") and "no limit" not in line
    assert f"Findings: {line}." in set(work_list.texts())


def test_findings_of_earlier_stages_are_counted_apart(sheet: Any) -> None:
    counts = next(b.text for b in sheet.blocks if isinstance(b, Paragraph) and "Find" in b.text)
    now, before = counts.split(". At earlier stages: ")
    assert "outside" not in now and "outside" in before
    _, _, findings = paper_jobs.finished()
    assert sum(map(int, re.findall(r"\d+", counts))) == len(findings)


def test_what_a_plan_answers_is_not_asked_again(work_list: Any) -> None:
    tasks = [row[0].text for table in tables(work_list, "tasks") for row in table.rows]
    assert not any(text.endswith(": diameter") and "journal" in text for text in tasks)
    settled = next(
        b.text for b in under(work_list, "Not proven yet")
        if isinstance(b, Paragraph) and b.style == "note"
    )  # fmt: skip
    assert "main journal 2 diameter" in settled and "main journal 3 diameter" in settled


def test_a_plan_that_cannot_be_kept_leaves_its_parts_on_the_list() -> None:
    job, readings, findings = paper_jobs.received()
    plan = next(row for row in findings.rows if row["check"] == "regrind")
    plan.update(
        verdict="outside",
        value=None,
        lower=None,
        upper=None,
        target=None,
        reason="no undersize left",
        next="Weld up journal 2 or find another crankshaft.",
    )
    document = ew.report.build_sheet(job, readings, findings, figures=False)  # fmt: skip
    section = under(document, "Grinder")
    assert any(getattr(b, "text", "") == plan["next"] for b in section)
    parts = [row[0].text for b in section if isinstance(b, Table) for row in b.rows]
    assert "main journal 2: diameter" in parts


def test_what_is_not_proven_says_what_would_settle_it(work_list: Any) -> None:
    table = next(b for b in under(work_list, "Not proven yet") if isinstance(b, Table))
    bolt = table.rows[0]
    assert bolt[0].text == "bolt 7, main cap bolt"
    assert bolt[1].text == "ok"
    assert bolt[4].text == "only the word 'ok' was written"
    assert bolt[5].text == "Measure main cap bolt 7."


def test_what_was_not_checked_and_not_read_is_said(work_list: Any) -> None:
    rows = next(b for b in under(work_list, "Not checked") if isinstance(b, Table)).rows
    assert [cell.text for cell in rows[0]] == [
        "piston clearance", "the diameters of the pistons",
    ]  # fmt: skip
    rows = next(b for b in under(work_list, "Not read") if isinstance(b, Table)).rows
    assert [cell.text for cell in rows[0]] == ["Block!C14", "86,O1", "holds the letter O", "86,01"]


def test_every_reading_stands_on_the_work_list(work_list: Any) -> None:
    _, readings, _ = paper_jobs.received()
    shown = [
        cell.text
        for block in under(work_list, "Readings as written")
        if isinstance(block, Table)
        for row in block.rows
        for cell in row
    ]
    for row in readings.rows:
        number = row["observation"] if row["value"] is None else f"{row['value']:.10g}"
        assert any(number in text for text in shown), row


def test_cautions_stand_beside_the_machine_they_are_for(work_list: Any) -> None:
    for machine, words in (
        ("Grinder", "crack"), ("Boring bar and hone", "wall"), ("Fitting", "File inwards"),
        ("Not proven yet", "Unproven does not mean good"),
    ):  # fmt: skip
        first = next(b for b in under(work_list, machine) if not isinstance(b, Heading))
        assert isinstance(first, Caution)
        assert any(words in item for item in first.items)
    everything = " ".join(work_list.texts())
    assert "local codes and licensed practice" in everything.lower()


def test_a_later_stage_takes_the_place_of_an_earlier_one() -> None:
    job, readings, findings = paper_jobs.finished()
    again = paper_jobs.Findings(
        [{**row, "stage": row["stage"].replace("finished", "as machined")} for row in findings.rows]
    )
    read = paper_jobs.Readings(
        [{**row, "stage": row["stage"].replace("finished", "as machined")} for row in readings.rows]
    )
    document = ew.report.build_sheet(job, read, again, figures=False)
    assert document.stem == "work_list"
    assert "Nothing to do" in next(b.text for b in document.blocks if isinstance(b, Paragraph))
    assert under(document, "Findings of earlier stages")


# The build sheet


def test_at_finished_the_paper_is_the_build_sheet(sheet: Any) -> None:
    assert (sheet.title, sheet.stem) == ("Build sheet", "build_sheet")
    lead = next(b for b in sheet.blocks if isinstance(b, Paragraph))
    assert lead.text == "Every judged figure is proven to lie within its limits."


def test_found_and_done_are_told_and_signed_for(sheet: Any) -> None:
    assert under(sheet, "What we found")[0].items == ("Number two main bearing picked up.",)
    assert len(under(sheet, "What we did")[0].items) == 2
    sign = next(b for b in sheet.blocks if isinstance(b, SignOff))
    assert sign.places[0] == ("Name", "A. Turner")


def test_sizes_made_stand_beside_sizes_found(sheet: Any) -> None:
    table = next(b for b in under(sheet, "Sizes made") if isinstance(b, Table))
    assert [c.title for c in table.columns][2:4] == ["As found", "As made"]
    journal = table.rows[1]
    assert squeezed(journal[2].text) == "59.921–59.930mm"
    assert squeezed(journal[3].text) == "59.728–59.731mm"
    assert journal[-1].text == "✓ within"


def test_clearances_and_torques_have_their_own_places(sheet: Any) -> None:
    cells = [
        row[1].text for b in under(sheet, "Clearances") if isinstance(b, Table) for row in b.rows
    ]
    assert cells == ["clearance"] * 3 + ["gap"] * 3
    torque = next(b for b in under(sheet, "Torques") if isinstance(b, Table)).rows[0]
    assert squeezed(torque[2].text) == "82.0N·m" and "lbf·ft" in torque[2].under


def test_an_engine_that_is_not_ready_says_so_before_anything_else() -> None:
    sheet = ew.report.build_sheet(*paper_jobs.finished(open_gap=True), figures=False)
    lead = next(b for b in sheet.blocks if isinstance(b, Paragraph))
    assert lead.text == "Not ready to hand over. Still open: 1."
    row = next(b for b in under(sheet, "Still open") if isinstance(b, Table)).rows[0]
    assert row[0].text == "top ring, cylinder 2"
    assert row[4].text == "File 0.040 mm off the ends of the top ring."


def test_the_paper_can_be_chosen() -> None:
    job = paper_jobs.finished()
    assert ew.report.build_sheet(*job, figures=False, paper="work list").stem == "work_list"
    with pytest.raises(ValueError, match="paper must be one of auto, work list, build sheet"):
        ew.report.build_sheet(*job, paper="invoice")


# Both papers


def test_limits_bear_their_source_and_how_well_it_is_founded(paper: Any) -> None:
    notes = {k: v for b in paper.blocks if isinstance(b, Facts) for k, v in b.rows}
    numbers = set(re.findall(r"\[(\d+)\]", " ".join(paper.texts())))
    assert numbers and all(f"[{number}]" in notes for number in numbers)
    assert "Linnet 2.0 data card, line 12 (invented); published" in notes.values()


def test_rule_temperature_hash_and_version_are_stated(paper: Any) -> None:
    everything = " ".join(paper.texts())
    assert "guarded, after ISO 14253-1" in everything
    assert "20 °C is assumed" in everything
    assert "SHA-256 " + "9f86d081884c7d65" * 4 in everything
    assert ew.__version__ in everything


@pytest.mark.parametrize("rule", ["guarded", "expanded", "simple"])
def test_each_decision_rule_has_its_own_sentence(rule: str) -> None:
    job, *tables = paper_jobs.received()
    document = ew.report.build_sheet({**job, "rule": rule}, *tables, figures=False)
    words = tomllib.loads((TEMPLATES / "words.en.toml").read_text(encoding="utf-8"))
    assert words["foot"][rule].replace("{level}", "95") in set(document.texts())


def test_nobody_is_named_whom_the_job_record_does_not_name(paper: Any) -> None:
    assert "Nobody Atall" not in " ".join(paper.texts())


def test_both_systems_stand_side_by_side(paper: Any) -> None:
    for table in tables(paper, "results"):
        for row in table.rows:
            for cell in row:
                if re.search(r"\d\s?mm$", cell.text):
                    assert re.search(r"(in|thou)( \[\d+\])?$", cell.under), cell


def test_a_verdict_is_a_sign_and_a_word(paper: Any) -> None:
    badges = {
        cell.verdict: cell.text
        for table in tables(paper, "results")
        for row in table.rows
        for cell in row
        if cell.verdict
    }
    assert badges["within"] == "✓ within"
    assert badges.get("outside", "✗ outside") == "✗ outside"
    assert badges.get("unproven", "? unproven") == "? unproven"


def test_a_job_with_nothing_in_it_is_a_paper_all_the_same() -> None:
    job = ({"number": "9"}, paper_jobs.Readings([]), paper_jobs.Findings([]))
    document = ew.report.build_sheet(*job)
    assert "Nothing to do" in " ".join(document.texts())
    assert document.to_pdf().startswith(b"%PDF") and "Job 9" in document.to_html()


def test_a_paper_is_for_one_job() -> None:
    job, readings, findings = paper_jobs.received()
    readings.rows[0]["job"] = "2418"
    with pytest.raises(ValueError, match=r"a paper is for one job, got 2: '2418', '2417'"):
        ew.report.build_sheet(job, readings, findings)
    with pytest.raises(ValueError, match=r"job must be '2417', as its readings say; .*'7'"):
        ew.report.build_sheet({"number": "7"}, *paper_jobs.received()[1:])


def test_a_figure_of_ones_own_follows_the_papers_own() -> None:
    from matplotlib.figure import Figure

    mine = Figure(figsize=(2, 1))
    mine.add_subplot().set_title("Wear over the years")
    document = ew.report.build_sheet(*paper_jobs.received(), figures=[mine])
    assert isinstance(document.blocks[-1], Drawing)
    assert document.blocks[-1].title == "Wear over the years"
    assert squeezed("Wear over the years") in pdf_text(document.to_pdf())


def test_a_check_of_the_shops_own_that_failed_is_not_passed_over() -> None:
    job, readings, findings = paper_jobs.received()
    findings.problems = ["shop.top_gap, job 2417, Rings!C4: division by zero"]
    document = ew.report.build_sheet(job, readings, findings, figures=False)
    rows = next(b for b in under(document, "Not checked") if isinstance(b, Table)).rows
    assert [cell.text for cell in rows[1]] == [
        "shop.top_gap", "job 2417, Rings!C4: division by zero",
    ]  # fmt: skip


def test_a_size_that_was_not_taken_again_is_not_called_made() -> None:
    job, readings, findings = paper_jobs.finished()
    for row in (*readings.rows, *findings.rows):
        if row["feature"] == "main journal" and row["number"] == 1 and row["stage"] == "finished":
            row["number"] = 4
    document = ew.report.build_sheet(job, readings, findings, figures=False)
    rows = [
        [cell.text + cell.under for cell in row][:2]
        for b in under(document, "Sizes made") if isinstance(b, Table) for row in b.rows
    ]  # fmt: skip
    assert ["main journal 1as received", "diameter"] in rows
    assert ["main journal 4", "diameter"] in rows


# With findings as the library makes them


def inspected(stage: str, wear: float) -> tuple[Any, Any, Any]:
    """A crankshaft and its card through the library itself; written in inches."""
    rows = [
        (number, station, axis, round((59.98 - wear * (number == 2) - out) / 25.4, 5))
        for number in (1, 2, 3)
        for station in ("front", "back")
        for axis, out in (("x", 0.0), ("y", 0.004))
    ]
    count = len(rows)
    readings = ew.Readings(
        job=["2417"] * count, engine=["Linnet 2.0"] * count, stage=[stage] * count,
        feature=["main journal"] * count, number=[row[0] for row in rows],
        station=[row[1] for row in rows], axis=[row[2] for row in rows],
        quantity=["diameter"] * count, value=[row[3] for row in rows], unit=["in"] * count,
        uncertainty=[0.0001] * count,
    )  # fmt: skip
    wear_limit = {
        "feature": "main journal", "quantity": "diameter", "kind": "wear", "lower": "59.945 mm",
        "source": paper_jobs.CARD.format(7), "provenance": "common practice",
    }  # fmt: skip
    limits = ew.Limits.from_json(
        json.dumps({**paper_jobs.LIMITS, "limit": [*paper_jobs.LIMITS["limit"], wear_limit]})
    )
    return {"limits": limits}, readings, ew.inspect(readings, limits)


def test_a_plan_of_the_library_is_cut_up_part_by_part() -> None:
    job, readings, findings = inspected("as received", wear=0.06)
    document = ew.report.build_sheet(job, readings, findings)
    section = under(document, "Grinder")
    order = next(b.text for b in section if isinstance(b, Paragraph) and b.style == "order")
    assert "59.720-59.740 mm" in order
    cuts = next(b for b in section if isinstance(b, Table))
    assert [row[0].text for row in cuts.rows] == [f"main journal {n}" for n in (1, 2, 3)]
    assert cuts.rows[1][0].under == "decides"
    # The shop writes inches, so inches come first; 59.72 mm and 59.74 mm are these, by hand.
    assert squeezed(cuts.rows[0][2].text) == "2.3512–2.3520in"
    assert squeezed(cuts.rows[0][2].under) == "59.720–59.740mm"
    assert any(isinstance(b, Drawing) for b in section)
    assert document.to_pdf().startswith(b"%PDF")


def test_findings_of_the_library_at_finished_become_the_build_sheet() -> None:
    document = ew.report.build_sheet(*inspected("finished", wear=0.0))
    assert document.stem == "build_sheet"
    names = [row[0].text for b in under(document, "Sizes made") if isinstance(b, Table)
             for row in b.rows]  # fmt: skip
    assert {f"main journal {n}" for n in (1, 2, 3)} <= set(names)
    page, pdf = Page(document.to_html()).all, pdf_text(document.to_pdf())
    assert all(squeezed(text) in page and squeezed(text) in pdf for text in document.texts())


def test_two_sizes_that_agree_on_paper_are_written_once_in_each_system() -> None:
    from enginewright._numbers import spread

    shown = spread(59.7300, 59.7311, "mm")
    assert (squeezed(shown.first), squeezed(shown.second)) == ("59.730–59.731mm", "2.3516in")
    assert squeezed(spread(59.7300, 59.7301, "mm").first) == "59.730mm"


def test_each_section_of_the_build_sheet_draws_its_own_lines() -> None:
    job, readings, findings = paper_jobs.finished()
    for row in findings.rows:
        # A strip names what is not within.
        if row["stage"] == "finished" and row["number"] == 2:
            row["verdict"] = "unproven"
    sheet = ew.report.build_sheet(job, readings, findings)
    told = {
        title: " ".join(b.description for b in under(sheet, title) if isinstance(b, Drawing))
        for title in ("Sizes made", "Clearances")
    }
    assert "main journal 2, diameter" in told["Sizes made"]
    assert "clearance" not in told["Sizes made"]
    assert "main bearing 2, clearance" in told["Clearances"]
    assert "diameter" not in told["Clearances"]


def test_what_was_measured_within_a_month_names_it_once() -> None:
    import datetime

    job, readings, findings = paper_jobs.received()
    readings.rows[0]["date"] = datetime.date(2026, 3, 5)
    document = ew.report.build_sheet(job, readings, findings, figures=False)
    facts = dict(next(b for b in document.blocks if isinstance(b, Facts)).rows)
    assert facts["Measured"] == "3 to 5 March 2026"
    readings.rows[0]["date"] = datetime.date(2026, 4, 1)
    document = ew.report.build_sheet(job, readings, findings, figures=False)
    facts = dict(next(b for b in document.blocks if isinstance(b, Facts)).rows)
    assert facts["Measured"] == "3 March 2026 to 1 April 2026"


def test_what_would_be_rounded_to_nothing_shows_the_digit_that_counts() -> None:
    from enginewright._numbers import figure, row_of

    # By hand: 0.001 mm is 0.0394 thou.
    assert squeezed(figure(0.001, "mm").line()) == "0.001mm(0.04thou)"
    assert squeezed(figure(0.0, "mm").line()) == "0.000mm(0.0thou)"
    assert squeezed(figure(0.064, "mm").line()) == "0.064mm(2.5thou)"
    assert row_of(["0.036\u00a0mm", "0.148\u00a0mm"]) == "0.036; 0.148\u00a0mm"
    assert row_of(["0.036\u00a0mm", "1.5\u00a0thou"]) == "0.036\u00a0mm; 1.5\u00a0thou"
