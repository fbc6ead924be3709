"""Blank bench sheets: drawn for an engine, filled in, and read back without a map."""

import datetime
import random
import shutil
import subprocess

import openpyxl
import pytest

import enginewright as ew
from enginewright.sheets.benches import BENCHES, FIRST_ROW, HEADING_ROWS, JOB

LINNET = {
    "name": "Linnet 2.0", "cylinders": 4, "journals": {"main journal": 5, "big-end journal": 4},
}  # fmt: skip
GAUGES = ("bore gauge 2", "micrometer 25-50")


def made(folder, engine=LINNET, benches=None, **how):
    file = folder / "bench.xlsx"
    ew.sheets.blank(file, engine, benches, gauges=GAUGES, **how)
    return file, openpyxl.load_workbook(file)


def fill(book, seed, share=1.0):
    """Fill entry cells with figures of their own; return what was written, cell by cell."""
    draw = random.Random(seed)
    written = {}
    book["Instructions"].cell(JOB["job"], 2).value = "L-1047"
    for bench in BENCHES.values():
        if bench.sheet not in book.sheetnames:
            continue
        sheet = book[bench.sheet]
        sheet["B2"].value = datetime.date(2026, 3, 3)
        sheet["B3"].value = "TM"
        last = sheet.max_row - bench.spare
        for row in range(FIRST_ROW, last + 1):
            for place, entry in enumerate(bench.entries, len(bench.keys) + 1):
                if draw.random() < share:
                    value = round(draw.uniform(entry.least, entry.greatest), 3)
                    sheet.cell(row, place).value = value
                    written[f"{bench.sheet}!{sheet.cell(row, place).coordinate}"] = value
    return written


def read_back(book, file):
    book.save(file)
    return ew.sheets.read(file)


@pytest.mark.parametrize("seed", range(4))
def test_every_entry_comes_back_without_a_map(tmp_path, seed):
    file, book = made(tmp_path)
    written = fill(book, seed)
    got = read_back(book, file)
    assert not got.problems.errors, got.problems.errors
    readings = got.readings
    places = [
        f"{readings['sheet'][i]}!{openpyxl.utils.get_column_letter(readings['column'][i])}"
        f"{readings['row'][i]}"
        for i in range(len(readings))
    ]
    assert dict(zip(places, readings["value"], strict=True)) == pytest.approx(written)
    # What was bolted on last is the stage of a spin; every other reading has that of the job.
    stages = {"rotor": set(), "": set()}
    for i in range(len(readings)):
        own = "rotor" if readings["feature"][i] == "rotor" else ""
        stages[own].add(readings["stage"][i])
    assert stages[""] == {"as received"}
    assert stages["rotor"] >= {"bare crank", "pulley", "flywheel", "clutch"}
    assert set(readings["job"]) == {"L-1047"}
    assert set(readings["engine"]) == {"Linnet 2.0"} and set(readings["by"]) == {"TM"}


@pytest.mark.parametrize("seed", range(4))
def test_half_filled_sheets_of_random_engines_come_back(tmp_path, seed):
    draw = random.Random(seed)
    engine = {"name": "Dunlin", "cylinders": draw.randint(1, 12)}
    benches = draw.sample(list(BENCHES), draw.randint(1, len(BENCHES)))
    file, book = made(tmp_path, engine, benches)
    written = fill(book, seed, share=0.5)
    got = read_back(book, file)
    assert not got.problems.errors, got.problems.errors
    assert sorted(got.readings["value"]) == pytest.approx(sorted(written.values()))


def test_each_column_means_what_its_heading_says(tmp_path):
    file, book = made(tmp_path)
    book["Instructions"]["B3"].value = "7"
    book["Bores"].cell(FIRST_ROW + 2, 5).value = 86.012
    book["Rings"].cell(FIRST_ROW, 3).value = 0.41
    book["Pistons"].cell(FIRST_ROW + 1, 4).value = 98.2
    book["Rods"].cell(FIRST_ROW + 3, 3).value = 430.2
    book["Bolts"].cell(FIRST_ROW + 1, 3).value = 60.0
    readings = read_back(book, file).readings
    names = ("feature", "number", "part", "station", "axis", "quantity", "value", "unit")
    rows = {tuple(readings[name][i] or "" for name in names) for i in range(len(readings))}
    assert rows == {
        ("bore", 3, "", "middle", "thrust", "diameter", 86.012, "mm"),
        ("ring", 1, "second ring", "", "", "gap", 0.41, "mm"),
        ("pin", 2, "", "", "", "mass", 98.2, "g"),
        ("rod", 4, "big end", "", "", "mass", 430.2, "g"),
        ("bolt", 2, "rod bolt", "new", "", "length", 60.0, "mm"),
    }


def test_spins_with_a_trial_mass_come_back_as_vectors(tmp_path):
    file, book = made(tmp_path, benches=["balance"])
    book["Instructions"]["B3"].value = "C-2031"
    sheet = book["Balance"]
    for column, value in enumerate((600, 20, 90, 5, 0, 12.0, 80, 45), 3):
        sheet.cell(FIRST_ROW + 1, column).value = value
    got = read_back(book, file)
    assert not got.problems.errors, got.problems.errors
    readings = got.readings
    assert set(readings["stage"]) == {"bare crank"} and set(readings["repeat"]) == {2}
    found = readings.vectors(station=("left plane", "right plane"))
    assert found.values == pytest.approx([20j, 5])
    trial = {
        readings["quantity"][i]: readings["value"][i]
        for i in range(len(readings))
        if readings["part"][i] == "trial left"
    }
    assert trial == {"mass": 12.0, "radius": 80.0, "phase": 45.0}


def test_a_bolt_of_another_kind_goes_into_an_open_row(tmp_path):
    file, book = made(tmp_path, benches=["bolts"])
    sheet = book["Bolts"]
    book["Instructions"]["B3"].value = "7"
    row = sheet.max_row - BENCHES["bolts"].spare + 1
    for column, value in ((1, "head bolt"), (2, 3), (4, 101.23), (7, "calliper"), (8, "rusty")):
        sheet.cell(row, column).value = value
    readings = read_back(book, file).readings
    assert (readings["part"][0], readings["number"][0]) == ("head bolt", 3)
    assert (readings["gauge"][0], readings["note"][0]) == ("calliper", "rusty")


def test_a_word_in_place_of_a_figure_is_kept(tmp_path):
    file, book = made(tmp_path, benches=["rods"])
    book["Instructions"]["B3"].value = "7"
    book["Rods"].cell(FIRST_ROW, 2).value = "cracked"
    got = read_back(book, file)
    assert list(got.readings["observation"]) == ["cracked"]


def test_a_sheet_in_thou_comes_back_in_thou(tmp_path):
    file, book = made(tmp_path, benches=["rings"], units="thou")
    book["Instructions"]["B3"].value = "7"
    assert book["Rings"].cell(HEADING_ROWS[1], 2).value == "Gap (thou)"
    book["Rings"].cell(FIRST_ROW, 2).value = 14.5
    readings = read_back(book, file).readings
    assert (readings["value"][0], readings["unit"][0]) == (14.5, "thou")


def test_a_missing_job_number_is_named(tmp_path):
    file, book = made(tmp_path, benches=["bores"])
    book["Bores"].cell(FIRST_ROW, 2).value = 86.0
    got = read_back(book, file)
    told = " ".join(str(problem) for problem in got.problems.errors)
    assert "job" in told and "Instructions" in told


def test_an_empty_bench_sheet_has_nothing_to_read(tmp_path):
    file, book = made(tmp_path)
    got = read_back(book, file)
    assert len(got.readings) == 0


def test_only_entries_are_open(tmp_path):
    _, book = made(tmp_path)
    for bench in BENCHES.values():
        sheet = book[bench.sheet]
        assert sheet.protection.sheet and not sheet.protection.password
        assert sheet.cell(HEADING_ROWS[0], 1).protection.locked
        assert sheet.cell(FIRST_ROW, 1).protection.locked
        assert not sheet.cell(FIRST_ROW, len(bench.keys) + 1).protection.locked
        kinds = {check.type for check in sheet.data_validations.dataValidation}
        assert kinds >= {"decimal", "list"}
        # A figure that looks odd is questioned, never refused.
        assert all(
            check.errorStyle == "warning"
            for check in sheet.data_validations.dataValidation
            if check.type == "decimal"
        )


def test_the_filled_sheet_is_judged_like_any_other(tmp_path):
    file, book = made(tmp_path, benches=["pistons", "bolts"])
    book["Instructions"]["B3"].value = "7"
    for row, mass in enumerate((412.4, 410.1, 411.0, 415.2)):
        book["Pistons"].cell(FIRST_ROW + row, 3).value = mass
    for row, (new, used) in enumerate(((60.0, 60.01), (60.0, 60.04))):
        book["Bolts"].cell(FIRST_ROW + row, 3).value = new
        book["Bolts"].cell(FIRST_ROW + row, 4).value = used
    found = ew.inspect(read_back(book, file).readings, ew.Limits.from_json('{"limit": []}'))
    value = dict(zip(found["check"], found["value"], strict=True))
    assert value["mass match"] == pytest.approx(5.1)
    assert value["bolt reuse"] == pytest.approx(0.04)


@pytest.mark.parametrize(
    "engine, how, text",
    [
        ({"name": "x"}, {}, "engine must say how many cylinders"),
        (LINNET, {"benches": ["boars"]}, "benches must be of bores, journals"),
        (LINNET, {"units": "furlong"}, "units must be one of mm, thou, in"),
        (LINNET, {"units": {"boars": "mm"}}, "units must name benches"),
        (LINNET, {"benches": []}, "benches must name at least one"),
    ],
)
def test_what_cannot_be_drawn_is_refused(tmp_path, engine, how, text):
    with pytest.raises(ValueError, match=text):
        ew.sheets.blank(tmp_path / "bench.xlsx", engine, **how)
    assert not list(tmp_path.iterdir())


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_a_sheet_saved_by_another_program_comes_back(tmp_path):
    file, book = made(tmp_path)
    written = fill(book, 1)
    book.save(file)
    out = tmp_path / "saved"
    subprocess.run(
        ["soffice", "--headless", "--convert-to", "xlsx", "--outdir", str(out), str(file)],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    got = ew.sheets.read(out / file.name)
    assert not got.problems.errors, got.problems.errors
    assert sorted(got.readings["value"]) == pytest.approx(sorted(written.values()))


def test_a_printed_sheet_has_room_for_a_hand_and_says_whose_engine_it_is(tmp_path):
    _, book = made(tmp_path)
    for bench in BENCHES.values():
        sheet = book[bench.sheet]
        heights = {sheet.row_dimensions[row].height for row in range(FIRST_ROW, sheet.max_row + 1)}
        # Common practice, no source: 8 mm a line for a pencil; 24 points are 8.5 mm.
        assert min(heights) >= 24
        # A heading that breaks in two has room for both lines.
        assert sheet.row_dimensions[HEADING_ROWS[1]].height >= 30
        assert sheet.oddHeader.left.text == "Linnet 2.0"
        assert sheet.oddHeader.right.text.startswith("Job ___")
    assert book["Instructions"].page_setup.fitToHeight == 1
