"""The papers as page and PDF: whole, plain, the same every time, and readable by everybody."""

from __future__ import annotations

import io
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import paper_jobs
import pypdf
import pytest
import typst
from paper_reading import TEMPLATES, Page, alternatives, contrast, made, pdf_text, squeezed

import enginewright as ew
from enginewright.report import Drawing


@pytest.fixture
def work_list() -> Any:
    return made("work list")


@pytest.fixture(params=["work list", "build sheet"])
def paper(request: pytest.FixtureRequest) -> Any:
    return made(request.param)


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
