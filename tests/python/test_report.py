"""The papers: whole, plain, the same every time, and readable by everybody."""

from __future__ import annotations

import io
import json
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import paper_jobs
import pypdf
import pytest
import typst

import enginewright as ew
from enginewright.report import Caution, Drawing, Facts, Heading, Paragraph, SignOff, Table

TEMPLATES = Path(ew.report.__file__).parents[1] / "templates"


@pytest.fixture(scope="module")
def work_list() -> Any:
    return ew.report.build_sheet(*paper_jobs.received())


@pytest.fixture(scope="module")
def sheet() -> Any:
    return ew.report.build_sheet(*paper_jobs.finished())


@pytest.fixture(scope="module", params=["work list", "build sheet"])
def paper(request: pytest.FixtureRequest, work_list: Any, sheet: Any) -> Any:
    return work_list if request.param == "work list" else sheet


class Page(HTMLParser):
    """Texts, tags and ids of a page, as a browser finds them."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    @property
    def all(self) -> str:
        return squeezed(" ".join(self.texts))


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def pdf_text(data: bytes) -> str:
    """Everything a reader of the PDF is given: its text, its title, what its pictures show."""
    read = pypdf.PdfReader(io.BytesIO(data))
    texts = [page.extract_text() for page in read.pages]
    return squeezed(" ".join([*texts, *alternatives(read)]))


def alternatives(read: pypdf.PdfReader) -> Iterator[str]:
    for number in range(1, int(read.trailer["/Size"])):
        found = read.get_object(number)
        if isinstance(found, pypdf.generic.DictionaryObject) and "/Alt" in found:
            yield str(found["/Alt"])


def tables(document: Any, style: str) -> list[Table]:
    return [b for b in document.blocks if isinstance(b, Table) and b.style == style]


def under(document: Any, heading: str) -> list[Any]:
    """Blocks of one section."""
    found: list[Any] = []
    inside = False
    for block in document.blocks:
        if isinstance(block, Heading) and block.level == 2:
            inside = block.text == heading
        elif inside:
            found.append(block)
    return found


# What stands on a paper stands on both


def test_every_text_is_on_the_page_and_in_the_pdf(paper: Any) -> None:
    page, pdf = Page(paper.to_html()).all, pdf_text(paper.to_pdf())
    texts = [squeezed(text) for text in paper.texts()]
    assert len(texts) > 150
    assert [text for text in texts if text not in page] == []
    assert [text for text in texts if text not in pdf] == []


def test_the_same_job_gives_the_same_bytes(paper: Any) -> None:
    make = paper_jobs.received if paper.stem == "work_list" else paper_jobs.finished
    again = ew.report.build_sheet(*make())
    assert again.to_html() == paper.to_html()
    assert again.to_pdf() == paper.to_pdf()


def test_neither_hash_seed_nor_language_of_the_machine_changes_a_byte(tmp_path: Path) -> None:
    script = (
        "import sys, hashlib, enginewright as ew, paper_jobs\n"
        "d = ew.report.build_sheet(*paper_jobs.received())\n"
        "print(hashlib.sha256(d.to_html().encode() + d.to_pdf()).hexdigest())\n"
    )
    said = set()
    for seed, language in (("0", "C"), ("77", "de_DE.UTF-8")):
        run = subprocess.run(
            [sys.executable, "-c", script], capture_output=True, text=True, timeout=120,
            env={"PYTHONHASHSEED": seed, "LC_ALL": language, "PATH": "/usr/bin:/bin",
                 "PYTHONPATH": f"{Path(__file__).parent}:{Path(ew.report.__file__).parents[2]}",
                 "HOME": str(tmp_path), "MPLCONFIGDIR": str(tmp_path)},
        )  # fmt: skip
        assert run.returncode == 0, run.stderr
        said.add(run.stdout)
    assert len(said) == 1


# The work list


def test_before_finished_the_paper_is_the_work_list(work_list: Any) -> None:
    assert (work_list.title, work_list.stem) == ("Work list", "work_list")


def test_work_is_grouped_by_machine_in_the_order_of_the_shop(work_list: Any) -> None:
    sections = [b.text for b in work_list.blocks if isinstance(b, Heading) and b.level == 2]
    assert sections == [
        "Grinder", "Boring bar and hone", "Balancer", "Head bench", "Fitting", "Not proven yet",
        "Not checked", "Not read", "Findings", "Readings as written", "How it was judged",
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


def test_a_rebore_is_bored_and_then_honed(work_list: Any) -> None:
    bore, hone = (b for b in under(work_list, "Boring bar and hone") if isinstance(b, Table))
    # By hand: 86.255 finished less 0.060 to hone is 86.195; less the largest, 86.111, is 0.084.
    assert squeezed(bore.rows[0][2].text + bore.rows[0][3].text) == "86.195mm0.084mm"
    assert squeezed(hone.rows[0][2].text + hone.rows[0][3].text) == "86.255mm0.060mm"


def test_a_task_names_part_reading_band_and_amount_in_the_unit_the_shop_wrote(
    work_list: Any,
) -> None:
    ring = next(b for b in under(work_list, "Fitting") if isinstance(b, Table)).rows[0]
    assert ring[0].text == "top ring, cylinder 1: gap"
    assert ring[0].under == "File 1.8 thou (0.045 mm) off the ends of the top ring."
    assert (squeezed(ring[1].text), squeezed(ring[1].under)) == ("12.0thou", "0.305mm")
    assert squeezed(ring[3].text) == "1.8thou"


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
    assert [cell.text for cell in rows[0]] == ["clearance", "the diameters of the pistons"]
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


# Nothing acts


HOSTILE = (
    "<script>alert(1)</script>",
    "</style><img src=x onerror=alert(1)>",
    '#include <x> #read("/")',
    "{{ 7 * 7 }} {% raw %}",
    "$x^2$ \\frac{1}{2}",
    "*bold* _it_ `raw` @ref <label>",
    "=cmd()",
    "a & b &amp; c",
    "{count} {number}",
    "%s %d",
)


def test_hostile_names_come_out_as_plain_text() -> None:
    job, readings, findings = paper_jobs.received()
    read, found = (
        next(dict(row) for row in rows if row["feature"] == "flywheel")
        for rows in (readings.rows, findings.rows)
    )
    for name in HOSTILE:
        own = {"feature": name, "part": name, "station": name, "gauge": name}
        readings.rows.append({**read, **own})
        row = len(readings.rows) - 1
        findings.rows.append({**found, **own, "limit_source": name, "next": name, "basis": (row,)})
    everything = " ".join(HOSTILE)
    job = {**job, "head": {**paper_jobs.HEAD, "customer": everything, "asked": everything}}
    document = ew.report.build_sheet(job, readings, findings)
    page = Page(document.to_html())
    pdf = pdf_text(document.to_pdf())
    for name in HOSTILE:
        assert page.all.count(squeezed(name)) >= 5, name
        assert pdf.count(squeezed(name)) >= 5, name
    tags = {tag for tag, _ in page.tags}
    assert not tags & {"script", "img", "iframe", "object", "embed", "link", "base", "form"}
    assert any(squeezed(HOSTILE[0]) in squeezed(b.description) for b in document.blocks
               if isinstance(b, Drawing))  # fmt: skip


def test_a_mark_that_turns_the_writing_around_is_spelled_out() -> None:
    job, *tables = paper_jobs.received()
    job = {**job, "head": {**paper_jobs.HEAD, "customer": "Smith\u202egnp.exe\x00\u2066"}}
    document = ew.report.build_sheet(job, *tables, figures=False)
    said = "Smith[U+202E]gnp.exe[U+0000][U+2066]"
    assert said in set(document.texts())
    assert said in document.to_html() and "\u202e" not in document.to_html()
    assert said in pdf_text(document.to_pdf())


def test_a_name_in_letters_that_the_fonts_lack_leaves_a_trace() -> None:
    job, *tables = paper_jobs.received()
    job = {**job, "head": {**paper_jobs.HEAD, "customer": "山田 \U0001f527 Łódź Ωμέγα"}}
    document = ew.report.build_sheet(job, *tables, figures=False)
    assert "山田 \U0001f527 Łódź Ωμέγα" in document.to_html()
    assert squeezed("[U+5C71][U+7530] [U+1F527] Łódź Ωμέγα") in pdf_text(document.to_pdf())


def test_the_page_loads_nothing_and_runs_nothing(paper: Any) -> None:
    html = paper.to_html()
    page = Page(html)
    policy = next(a["content"] for tag, a in page.tags if a.get("http-equiv"))
    assert policy == (
        "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; "
        "form-action 'none'"
    )
    assert not any(key.startswith("on") for _, found in page.tags for key in found)
    links = [
        v for _, found in page.tags for k, v in found.items() if k in ("href", "src", "xlink:href")
    ]
    assert all(link and link.startswith("#") for link in links)
    assert "@import" not in html and not re.search(r"url\((?!#)", html)
    addresses = set(re.findall(r"https?://[^\"'<> ]+", html))
    assert addresses <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}


def test_no_id_stands_twice_on_a_page(paper: Any) -> None:
    ids = [found["id"] for _, found in Page(paper.to_html()).tags if "id" in found]
    assert len(ids) > 20 and len(ids) == len(set(ids))


# For everybody


def test_the_pdf_is_for_archives_and_for_screen_readers(paper: Any) -> None:
    read = pypdf.PdfReader(io.BytesIO(paper.to_pdf()))
    about = read.trailer["/Root"]["/Metadata"].get_data().decode()
    assert re.search(r"pdfaid:part>2<.*pdfaid:conformance>A<", about, re.S)
    assert "pdfuaid:part>1<" in about
    assert read.trailer["/Root"]["/MarkInfo"]["/Marked"] and read.trailer["/Root"]["/Lang"] == "en"
    assert read.metadata.title == f"{paper.title} {paper.subject}"
    figures = [block for block in paper.blocks if isinstance(block, Drawing)]
    shown = list(alternatives(read))
    assert len(figures) >= 2 and all(block.description in shown for block in figures)


def test_the_compiler_refuses_a_picture_without_words() -> None:
    bare = b'#set document(title: "x", date: auto)\n#image(bytes(sys.inputs.svg), format: "svg")'
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><path d="M0 0h9"/></svg>'
    with pytest.raises(typst.TypstError, match="alt"):
        typst.compile(
            bare, format="pdf", pdf_standards=["ua-1"], sys_inputs={"svg": svg}, timestamp=0
        )


def luminance(colour: str) -> float:
    # published: WCAG 2.1, definition of relative luminance
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    # published: WCAG 2.1, definition of contrast ratio
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def style_pairs() -> Iterator[tuple[str, str, str]]:
    """Colours of letters and what they stand on, from the style sheet and the PDF template."""
    css = (TEMPLATES / "print.css").read_text(encoding="utf-8")
    for rule, body in re.findall(r"([^{}]+)\{([^{}]*)\}", css):
        ink = re.search(r"(?<![-\w])color: (#[0-9a-f]{6})", body)
        ground = re.search(r"background: (#[0-9a-f]{6})", body)
        if ink:
            yield rule.strip(), ink[1], ground[1] if ground else "#ffffff"
    typ = (TEMPLATES / "paper.typ").read_text(encoding="utf-8")
    named = dict(re.findall(r'#let (\w+) = rgb\("(#[0-9a-f]{6})"\)', typ))
    for line in typ.splitlines():
        ground = re.search(r'box\(fill: rgb\("(#[0-9a-f]{6})"\)', line)
        for ink in re.findall(r'text\([^)]*?fill: (rgb\("#[0-9a-f]{6}"\)|\w+)', line):
            given = re.search(r"#[0-9a-f]{6}", ink)
            colour = given[0] if given else {"white": "#ffffff", **named}[ink]
            yield line.strip(), colour, ground[1] if ground else "#ffffff"


def test_letters_stand_out_from_what_they_stand_on() -> None:
    pairs = list(style_pairs())
    assert len(pairs) >= 15
    # published: WCAG 2.1, success criterion 1.4.3: at least 4.5 to 1
    assert [p for p in pairs if contrast(p[1], p[2]) < 4.5] == []
    # Cells to write in are grey: what is written beside them must still read.
    assert contrast("#565656", "#f2f2f2") >= 4.5


# Language


def disguised(text: str) -> str:
    """Turn every Latin letter outside the braces into a Cyrillic one."""
    return "".join(
        part if part.startswith("{")
        else "".join(chr(0x430 + (ord(c.lower()) - 97) % 26) if c.isascii() and c.isalpha() else c
                     for c in part)
        for part in re.split(r"(\{[a-z_]+\})", text)
    )  # fmt: skip


def in_disguise(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: in_disguise(each) for key, each in value.items()}
    if isinstance(value, list):
        return [in_disguise(each) for each in value]
    return disguised(value)


def test_a_made_up_language_leaves_no_english_word() -> None:
    words = in_disguise(tomllib.loads((TEMPLATES / "words.en.toml").read_text(encoding="utf-8")))
    words["language"] = "ru"
    data: set[str] = set()
    for make in (paper_jobs.received, paper_jobs.finished):
        job, readings, findings = make()
        for row in (*readings.rows, *findings.rows):
            data |= {v for k, v in row.items() if isinstance(v, str) and k != "check"}
            data |= {row.get("check") or ""}
        for each in (job["head"], *job["problems"], *paper_jobs.LIMITS["limit"]):
            data |= {str(v) for v in each.values() if isinstance(v, str)}
            data |= {s for v in each.values() if isinstance(v, list) for s in v}
        data |= set(job["head"]["shop"]["address"]) | {job["head"]["shop"]["name"]}
        data |= {row.missing for row in findings.not_checked} | {"piston clearance"}
        data |= set(job["files"]) | set(job["files"].values()) | {ew.__version__, "Block!C14"}
    units = {"mm", "in", "thou", "N·m", "lbf·ft"}
    known = sorted(data | units, key=len, reverse=True)
    for make in (paper_jobs.received, paper_jobs.finished):
        document = ew.report.build_sheet(*make(), words=words)
        assert document.language == "ru"
        left = []
        for text in document.texts():
            rest = text
            for word in known:
                rest = rest.replace(word, "")
            if re.search(r"[A-Za-z]", rest):
                left.append((text, rest))
        assert left == []
        assert document.to_pdf().startswith(b"%PDF")


def test_a_language_with_a_hole_in_it_is_refused(tmp_path: Path) -> None:
    text = (TEMPLATES / "words.en.toml").read_text(encoding="utf-8")
    holed = text.replace('grinder = "Grinder"\n', "").replace("{count} outside", "some outside")
    path = tmp_path / "words.xx.toml"
    path.write_text(holed.replace('fitting = "Fitting"', 'fiting = "Fitting"'), encoding="utf-8")
    with pytest.raises(ValueError) as refused:
        ew.report.build_sheet(*paper_jobs.received(), figures=False, words=str(path))
    said = str(refused.value)
    assert "machines.grinder is missing" in said
    assert "did you mean machines.fitting" in said
    assert "outcome.outside must hold the places {count}" in said
    with pytest.raises(ValueError, match="words must be one of en"):
        ew.report.build_sheet(*paper_jobs.received(), figures=False, words="xx")


# To a file


def test_the_ending_says_how_a_paper_is_written(work_list: Any, tmp_path: Path) -> None:
    assert work_list.write(tmp_path / "a.pdf").read_bytes() == work_list.to_pdf()
    assert (work_list.write(tmp_path / "a.html")).read_text(encoding="utf-8") == work_list.to_html()
    work_list.write(tmp_path)
    assert {p.name for p in tmp_path.iterdir()} == {
        "a.pdf",
        "a.html",
        "work_list.html",
        "work_list.pdf",
    }
    with pytest.raises(ValueError, match=r"path must end in \.html or \.pdf, got 'a\.doc'"):
        work_list.write(tmp_path / "a.doc")


def test_a_paper_without_figures_needs_no_matplotlib() -> None:
    script = (
        "import sys, enginewright as ew, paper_jobs\n"
        "ew.report.build_sheet(*paper_jobs.received(), figures=False).to_html()\n"
        "print('matplotlib' in sys.modules, 'typst' in sys.modules)"
    )
    path = f"{Path(__file__).parent}:{Path(ew.report.__file__).parents[2]}"
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60,
                         env={"PYTHONPATH": path, "PATH": "/usr/bin:/bin"})  # fmt: skip
    assert run.stdout.split() == ["False", "False"], run.stderr


def test_what_is_not_installed_is_named_with_the_command(monkeypatch: pytest.MonkeyPatch) -> None:
    from enginewright.report.needs import need

    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(
        ImportError, match=r"the PDF needs typst; .*pip install 'enginewright\[shop\]'"
    ):
        need("typst", "the PDF")


def test_a_notebook_shows_the_paper_in_a_frame_in_which_nothing_runs(work_list: Any) -> None:
    frame = Page(work_list._repr_html_())
    (tag, found), *more = frame.tags
    assert (tag, more) == ("iframe", [])
    assert "sandbox" in found and found["srcdoc"] == work_list.to_html()
    assert repr(work_list) == f"<Document 'Work list', Job 2417, {len(work_list.blocks)} blocks>"


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
