"""The first job that a shop brings: two tables, two heading rows, and the mess that sheets have."""

import datetime as dt

import numpy as np
import openpyxl
import pytest

import enginewright as ew

MAP = """
version = 1
[file]
decimal = "auto"
dates = "day-month-year"
[defaults]
job = { sheet = "Block", cell = "B1" }
stage = "as received"
gauge = "bore gauge 2"
[words]
"n/m" = "not measured"
"ok" = "observation"
[[table]]
sheet = "Block"
layout = "wide"
header_rows = [4, 5]
feature = "bore"
number = { heading = "Cyl" }
ignore_rows = ["total*", "average*"]
note_columns = ["Remarks"]
ignore_columns = ["Initials"]
[[table.column]]
heading = "{station} / {axis} (mm)"
quantity = "diameter"
station = { Top = "top", Mid = "middle", Bot = "bottom" }
axis = { A = "along", B = "thrust" }
[[table.column]]
heading = "Top ring / Gap (thou)"
feature = "ring"
part = "top ring"
quantity = "gap"
[[table]]
sheet = "Crank"
layout = "long"
header_rows = [1]
[table.columns]
feature = "Part"
number = "No."
axis = "Dir"
quantity = "What"
value = "Reading"
unit = "Unit"
date = "Date"
note = "Notes"
[table.values.feature]
"Main" = "main journal"
"Pin" = "big-end journal"
"""


@pytest.fixture
def first_job(tmp_path):
    """4 cylinders with 7 readings each, 5 crank rows: the cells are counted in the tests below."""
    book = openpyxl.Workbook()
    block = book.active
    block.title = "Block"
    block["A1"], block["B1"] = "Job", 1042
    block["A2"], block["B2"] = "Customer", "invented"
    heads = ["Cyl", "Top", None, "Mid", None, "Bot", None, "Top ring", "Remarks", "Initials"]
    below = [None, "A (mm)", "B (mm)", "A (mm)", "B (mm)", "A (mm)", "B (mm)", "Gap (thou)"]
    for column, text in enumerate(heads, 1):
        block.cell(4, column, text)
    for column, text in enumerate(below, 1):
        block.cell(5, column, text)
    for merged in ("B4:C4", "D4:E4", "F4:G4", "A4:A5", "I4:I5", "J4:J5"):
        block.merge_cells(merged)
    rows = [
        [1, 86.013, 86.021, 86.010, 86.018, 86.006, 86.009, 14.5, None, "J.W."],
        [2, 86.015, "86,O1", 86.011, 86.017, "n/m", 86.008, 15, "scored near the top", None],
        [3, 86.012, 86.022, "#DIV/0!", 86.019, 86.007, 86.010, "ok", None, None],
        [4, 86.014, 86.020, 86.012, 86.016, 86.005, 86.009, dt.datetime(2026, 1, 2), None, None],
    ]
    for number, row in enumerate(rows, 6):
        for column, value in enumerate(row, 1):
            block.cell(number, column, value)
    block["A11"], block["B11"], block["C11"] = "Average", 86.0135, 86.021
    crank = book.create_sheet("Crank")
    for row in (
        ["Part", "No.", "Dir", "What", "Reading", "Unit", "Date", "Notes"],
        ["Main", 1, "x", "diameter", 54.982, "mm", dt.date(2026, 3, 2), None],
        ["Main", 2, "x", "diameter", 54.979, "mm", dt.date(2026, 3, 2), "oil hole burred"],
        ["Pin", 1, "x", "diameter", "47.991", "mm", "2.3.2026", None],
        ["Mian", 3, "x", "diameter", 54.981, "mm", None, None],
        ["Pin", 2, "x", "diameter", 47.988, "mm", None, None],
    ):
        crank.append(row)
    path = tmp_path / "received.xlsx"
    book.save(path)
    (tmp_path / "map.toml").write_text(MAP, encoding="utf-8")
    return ew.sheets.read(path, map=tmp_path / "map.toml")


def test_the_first_job_gives_every_reading_that_can_be_read(first_job):
    assert len(first_job.readings) == 28
    values = np.asarray(first_job.readings["value"].values)
    assert np.count_nonzero(~np.isnan(values)) == 27  # one is the word "ok"


def test_the_first_job_accounts_for_every_row(first_job):
    assert first_job.account.total.rows == {
        "above the table": 2,
        "heading": 3,
        "blank": 2,
        "used": 8,
        "ignored": 1,
        "rejected": 1,
    }
    assert sum(first_job.account.total.rows.values()) == 17
    assert first_job.account.total.used_in_part == 3


def test_the_first_job_accounts_for_every_cell(first_job):
    assert first_job.account.total.cells == {
        "readings": 28,
        "keys": 27,
        "notes": 2,
        "ignored": 5,
        "rejected": 9,
    }
    assert sum(first_job.account.total.cells.values()) == 71
    block, crank = (first_job.account.sheets[name] for name in ("Block", "Crank"))
    assert block.rows["rejected"] == 0
    assert crank.cells["rejected"] == 6


def test_the_first_job_has_four_problems_each_named_by_its_cell(first_job):
    told = {problem.place: problem for problem in first_job.problems}
    assert list(told) == ["Block!C7", "Block!D8", "Block!H9", "Crank!A5"]
    assert "86,O1" in told["Block!C7"].message
    assert "#DIV/0!" in told["Block!D8"].message
    assert told["Block!H9"].message == (
        "this cell holds the date 2 Jan 2026; spreadsheets turn 1-2 into a date"
    )
    assert told["Block!H9"].suggestion == "format the column as text and type it again"
    assert "Mian" in told["Crank!A5"].message
    assert "'Main'" in told["Crank!A5"].suggestion
    assert {problem.severity for problem in first_job.problems} == {"error"}


def test_the_first_job_keeps_what_was_written(first_job):
    rows = first_job.readings.as_dict()
    at = [
        i
        for i in range(28)
        if rows["sheet"][i] == "Block" and (rows["row"][i], rows["column"][i]) == (6, 8)
    ]
    (ring,) = at
    assert rows["job"][ring] == "1042"
    assert (rows["feature"][ring], rows["part"][ring], rows["number"][ring]) == (
        "ring",
        "top ring",
        1,
    )
    assert (rows["value"][ring], rows["unit"][ring]) == (14.5, "thou")
    assert rows["gauge"][ring] == "bore gauge 2"


def test_a_reading_that_is_not_clean_is_refused_when_a_clean_one_is_asked_for(first_job):
    with pytest.raises(ew.SheetError, match=r"(?s)received.xlsx: 4 errors:.*Block!C7.*Crank!A5"):
        first_job.require_clean()
