"""The workbook that goes back: the shop's own sheets, judged, and readable by the same map."""

import datetime as dt
import shutil
import subprocess
import zipfile
from pathlib import Path

import openpyxl
import pytest
from sheet_making import column, csv_file, readings, workbook

import enginewright as ew

LIMITS = """
[[limit]]
feature = "bore"
quantity = "diameter"
kind = "wear"
lower = "86.000 mm"
upper = "86.100 mm"
source = "Linnet 2.0 data card (invented)"
provenance = "common practice"
"""
MAP = """
version = 1
[defaults]
job = { sheet = "Head", cell = "B1" }
stage = "as received"
uncertainty = "0.004 mm"
[words]
"n/m" = "not measured"
[[table]]
sheet = "Block"
header_rows = [2, 3]
feature = "bore"
number = { heading = "Cyl" }
note_columns = ["Notes"]
ignore_rows = ["average*"]
[[table.column]]
heading = "{station} / {axis} (mm)"
quantity = "diameter"
"""
BLOCK = [
    ["Block, from the front"],
    ["Cyl", "Top", None, "Bot", None, "Notes"],
    [None, "A (mm)", "B (mm)", "A (mm)", "B (mm)", None],
    [1, 86.062, 86.081, 86.031, 86.038, '=HYPERLINK("x")'],
    [2, 86.071, 86.099, 86.033, "n/m", "<b>bold</b>"],
    [3, 86.112, 86.172, 86.048, 86.055, None],
    [4, "86,O5", 86.076, 86.029, 86.031, None],
    [None, None, None, None, None, None],
    ["Average", 86.08, 86.1, 86.03, 86.04, None],
]


@pytest.fixture
def job(tmp_path):
    """A read job, its findings, and the workbook that goes back."""
    path = workbook(
        tmp_path,
        {"Block": BLOCK, "Head": [["Job", "=1042"], ["Summary", 5]], "Summary": [["own"]]},
        name="received.xlsx",
        merged=["B2:C2", "D2:E2", "A2:A3", "F2:F3"],
        formats=[("B4", "0.000")],
    )
    book = openpyxl.load_workbook(path)
    book["Block"].column_dimensions["F"].width = 31
    book["Block"]["A1"].font = openpyxl.styles.Font(bold=True)
    book["Head"]["B1"].data_type = "s"
    book.save(path)
    limits = tmp_path / "limits.toml"
    limits.write_text(LIMITS, encoding="utf-8")
    read = ew.sheets.read(path, map=MAP)
    findings = ew.inspect(read.readings, ew.Limits.read(limits))
    target = tmp_path / "findings.xlsx"
    ew.sheets.annotate(path, read, findings, target, date=dt.date(2026, 3, 6))
    return path, read, findings, target


def spaced(text):
    """A text whose figures are held to their units by no-break spaces, with plain ones."""
    return text.replace("\u00a0", " ")


def test_reading_it_with_the_same_map_gives_the_same_readings_and_account(job):
    _, read, _, target = job
    again = ew.sheets.read(target, map=MAP)
    names = ["job", "stage", "feature", "number", "station", "axis", "quantity", "value", "unit",
             "uncertainty", "note", "sheet", "row", "column"]  # fmt: skip
    assert readings(again, *names) == readings(read, *names)
    assert again.account.as_dict() == read.account.as_dict()
    assert [(p.place, p.code) for p in again.problems] == [(p.place, p.code) for p in read.problems]


def test_the_sheets_stand_in_order_and_the_shops_keep_their_names(job):
    book = openpyxl.load_workbook(job[3])
    assert book.sheetnames == ["Summary (2)", "Block", "Head", "Summary", "Findings", "Problems"]


def test_values_formats_widths_and_merges_are_kept(job):
    sheet = openpyxl.load_workbook(job[3])["Block"]
    assert sheet["B4"].value == 86.062
    assert sheet["B4"].number_format == "0.000"
    assert sheet.column_dimensions["F"].width == 31
    assert {str(area) for area in sheet.merged_cells.ranges} == {"B2:C2", "D2:E2", "A2:A3", "F2:F3"}
    assert sheet["A1"].font.b


def test_four_columns_stand_behind_the_last_one(job):
    sheet = openpyxl.load_workbook(job[3])["Block"]
    assert [sheet.cell(3, place).value for place in range(7, 11)] == [
        "Verdict",
        "Margin (mm)",
        "Limit",
        "Do next",
    ]
    assert [sheet.cell(row, 7).value for row in range(4, 8)] == [
        "✓ within",
        "? unproven",
        "✗ outside",
        "? unproven",  # one place of this bore could not be read
    ]
    assert sheet["H6"].value == pytest.approx(-0.072, abs=1e-9)
    assert "86.100 mm" in spaced(sheet["I6"].value)
    assert "86,O5" in sheet["J7"].value


def test_the_row_is_judged_by_its_worst_cell_and_the_cells_show_which(job):
    sheet = openpyxl.load_workbook(job[3])["Block"]
    fills = {place: sheet[place].fill.fgColor.rgb for place in ("B6", "C6", "D6", "C5", "B4")}
    assert fills["B6"] == fills["C6"]
    assert len({fills["C6"], fills["C5"], fills["D6"]}) == 3
    assert fills["D6"] == fills["B4"]


def lightness(rgb):
    """Relative luminance of a fill, published: WCAG 2.2, definition of relative luminance."""
    channels = [int(rgb[-6:][place : place + 2], 16) / 255 for place in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_fills_differ_in_lightness_and_their_text_stands_out(job):
    sheet = openpyxl.load_workbook(job[3])["Block"]
    fills = [lightness(sheet[place].fill.fgColor.rgb) for place in ("C6", "C5", "B4")]
    inks = [lightness(sheet[place].font.color.rgb) for place in ("C6", "C5", "B4")]
    assert fills[0] + 0.3 < fills[1] < fills[2] - 0.15
    for fill, ink in zip(fills, inks, strict=True):
        light, dark = max(fill, ink), min(fill, ink)
        assert (light + 0.05) / (dark + 0.05) > 4.5


def test_a_comment_tells_value_doubt_limit_and_source(job):
    sheet = openpyxl.load_workbook(job[3])["Block"]
    text = spaced(sheet["C6"].comment.text)
    assert "86.172" in text and "±" in text
    assert "86.100 mm" in text
    assert "Linnet 2.0 data card (invented)" in text
    assert "✗ outside" in text
    assert "is no number" in sheet["B7"].comment.text


def test_a_text_stays_a_text_whatever_it_begins_with(job):
    book = openpyxl.load_workbook(job[3])
    note = book["Block"]["F4"]
    assert (note.data_type, note.value) == ("s", '=HYPERLINK("x")')
    assert book["Head"]["B1"].data_type == "s"
    for sheet in book.worksheets:
        assert not [c for row in sheet.iter_rows() for c in row if c.data_type == "f"]


def test_nothing_in_the_package_leads_out_of_it(job):
    with zipfile.ZipFile(job[3]) as package:
        for name in package.namelist():
            if name.endswith(".rels"):
                assert b"External" not in package.read(name)
            assert "vba" not in name.lower() and "externalLink" not in name


def test_it_prints_on_one_width_with_its_heading_numbered(job):
    sheet = openpyxl.load_workbook(job[3])["Block"]
    assert sheet.page_setup.orientation == "landscape"
    assert sheet.sheet_properties.pageSetUpPr.fitToPage
    assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
    assert sheet.print_title_rows == "$2:$3"
    assert sheet.freeze_panes == "B4"
    assert sheet.auto_filter.ref == "A3:J9"
    assert "&P" in sheet.oddFooter.center.text and "&N" in sheet.oddFooter.center.text
    assert "=1042" in sheet.oddFooter.left.text
    assert sheet.oddFooter.right.text == "2026-03-06"
    assert "✗ outside" in sheet.oddHeader.right.text


def test_a_legend_stands_on_each_judged_sheet(job):
    sheet = openpyxl.load_workbook(job[3])["Block"]
    signs = [sheet.cell(row, 7).value for row in range(11, 17)]
    assert signs == ["✗ outside", "? unproven", "✓ within", "– no limit", "→ plan", "! not read"]


def test_the_summary_counts_accounts_and_names_file_and_program(job):
    path, read, findings, target = job
    sheet = openpyxl.load_workbook(target)["Summary (2)"]
    texts = [str(c.value) for row in sheet.iter_rows() for c in row if c.value is not None]
    assert read.sha256 in texts
    assert any(ew.__version__ in text for text in texts)
    assert any("1 rejected" in text for text in texts)
    counts = {}
    for row in sheet.iter_rows():
        counts.setdefault(row[0].value, row[1].value)
    verdicts = [str(verdict) for verdict in findings["verdict"].values]
    assert counts["✗ outside"] == verdicts.count("outside")
    assert counts["✓ within"] == verdicts.count("within")


def test_every_finding_and_every_problem_is_listed(job):
    _, read, findings, target = job
    book = openpyxl.load_workbook(target)
    numbers = [row[0].value for row in book["Findings"].iter_rows(min_row=2)]
    assert numbers == list(range(1, len(findings) + 1))
    cells = [row[1].value for row in book["Problems"].iter_rows(min_row=2)]
    assert cells == [problem.place for problem in read.problems]


def test_a_csv_comes_back_as_a_workbook_that_the_same_map_reads(tmp_path):
    rows = [[cell if cell is not None else "" for cell in row] for row in BLOCK]
    text = MAP.replace('{ sheet = "Head", cell = "B1" }', '"1042"')
    text = text.replace('sheet = "Block"\n', "").replace('uncertainty = "0.004 mm"\n', "")
    path = csv_file(tmp_path, [[str(cell) for cell in row] for row in rows], name="the bores.csv")
    read = ew.sheets.read(path, map=text)
    limits = tmp_path / "limits.toml"
    limits.write_text(LIMITS, encoding="utf-8")
    findings = ew.inspect(read.readings, ew.Limits.read(limits))
    target = tmp_path / "findings.xlsx"
    ew.sheets.annotate(path, read, findings, target)
    book = openpyxl.load_workbook(target)
    assert book.sheetnames == ["Summary", "the bores", "Findings", "Problems"]
    again = ew.sheets.read(target, map=text)
    names = ["number", "station", "axis", "value", "unit", "uncertainty", "note", "row", "column"]
    assert readings(again, *names) == readings(read, *names)
    assert column(again, "sheet") == column(read, "sheet")


def test_a_plan_answers_what_is_outside_on_its_parts_and_a_served_cell_points_on(tmp_path):
    linnet = Path(__file__).parents[2] / "examples" / "linnet"
    read = ew.sheets.read(linnet / "received.xlsx", map=linnet / "map.toml")
    findings = ew.inspect(
        read.readings,
        ew.Limits.read(linnet / "limits.toml"),
        ew.Gauges.read(linnet / "gauges.toml"),
    )
    target = tmp_path / "findings.xlsx"
    ew.sheets.annotate(linnet / "received.xlsx", read, findings, target)
    sheet = openpyxl.load_workbook(target)["Crank"]
    verdict = next(c.column for c in sheet[3] if c.value == "Verdict")
    rows = {
        row: [sheet.cell(row, verdict + place).value for place in range(4)]
        for row in range(4, sheet.max_row)
    }
    plan = next(r for r, cells in rows.items() if str(cells[3]).startswith("Grind all five main"))
    answered = [
        r for r, cells in rows.items() if cells[3] == f"Answered by the plan: see Crank!G{plan}."
    ]
    assert answered
    assert {rows[r][0] for r in answered} == {"✗ outside"}
    shells = [
        cells for cells in rows.values() if str(cells[2]).startswith("clearance: see Crank!G")
    ]
    assert len(shells) == 4
    assert sheet.print_title_rows == "$3:$3"


def test_each_stretched_bolt_is_marked_at_its_own_cell_and_its_neighbours_are_not(tmp_path):
    linnet = Path(__file__).parents[2] / "examples" / "linnet"
    read = ew.sheets.read(linnet / "received.xlsx", map=linnet / "map.toml")
    limits, gauges = (linnet / name for name in ("limits.toml", "gauges.toml"))
    findings = ew.inspect(read.readings, ew.Limits.read(limits), ew.Gauges.read(gauges))
    target = tmp_path / "findings.xlsx"
    ew.sheets.annotate(linnet / "received.xlsx", read, findings, target)
    book = openpyxl.load_workbook(target)
    sheet = book["Bolts"]
    head = next(row for row in sheet.iter_rows() if any(c.value == "Verdict" for c in row))
    verdict = next(c.column for c in head if c.value == "Verdict")
    said = [sheet.cell(head[0].row + place, verdict).value for place in range(1, 9)]
    assert said == ["» elsewhere"] * 4 + ["✗ outside"] * 2 + ["» elsewhere"] * 2
    fills = {sheet[place].fill.fgColor.rgb for place in ("C6", "C7", "C8", "C9", "C12", "C13")}
    assert len(fills) == 1
    assert not {sheet[place].fill.fgColor.rgb for place in ("C10", "C11")} & fills
    # What a plan could not reckon with stands beside it.
    told = " ".join(str(c.value) for row in book["Summary"].iter_rows() for c in row)
    assert "Note: big-end journal 3 is written 'scored'" in told
    assert "finer gauge" not in told
    # Seven rings are too wide for the new bores: one order, not seven.
    assert told.count("Order ") == 1
    assert "top ring: 4 (cylinders 1, 2, 3, 4), second ring: 3 (cylinders 1, 2, 3)." in told


def test_the_source_is_never_touched_and_never_the_target(job):
    path, read, findings, _ = job
    before = path.read_bytes()
    with pytest.raises(ew.SheetError, match="is the file that was read"):
        ew.sheets.annotate(path, read, findings, path)
    link = path.with_name("link.xlsx")
    link.symlink_to(path)
    with pytest.raises(ew.SheetError, match="is the file that was read"):
        ew.sheets.annotate(path, read, findings, link)
    assert path.read_bytes() == before


def test_a_source_that_has_changed_is_refused(job, tmp_path):
    path, read, findings, _ = job
    book = openpyxl.load_workbook(path)
    book["Block"]["B4"] = 85.0
    book.save(path)
    with pytest.raises(ew.SheetError, match="has changed since it was read"):
        ew.sheets.annotate(path, read, findings, tmp_path / "other.xlsx")
    assert not (tmp_path / "other.xlsx").exists()


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_another_program_opens_it_and_saves_it_and_it_still_reads_the_same(job, tmp_path):
    _, read, _, target = job
    folder = tmp_path / "saved"
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{tmp_path}/profile", "--headless",
         "--convert-to", "xlsx", "--outdir", str(folder), str(target)],
        check=True, capture_output=True, timeout=180,
    )  # fmt: skip
    again = ew.sheets.read(folder / target.name, map=MAP)
    names = [
        "job",
        "feature",
        "number",
        "station",
        "axis",
        "value",
        "unit",
        "note",
        "row",
        "column",
    ]
    assert readings(again, *names) == readings(read, *names)
    assert again.account.total.cells == read.account.total.cells
