"""One sheet as CSV and as a workbook: equal readings, problems and account."""

import pytest
from sheet_making import csv_file, workbook

import enginewright as ew

HEAD = """
version = 1
[defaults]
job = "1042"
stage = "as received"
[words]
"n/m" = "not measured"
"ok" = "observation"
"""
WIDE = (
    HEAD
    + """
[[table]]
sheet = "sheet"
header_rows = [2]
feature = "bore"
number = { heading = "Cyl" }
ignore_rows = ["average*"]
note_columns = ["Notes"]
ignore_columns = ["Initials"]
[[table.column]]
heading = "{station} (mm)"
quantity = "diameter"
station = { Top = "top", Bot = "bottom" }
"""
)
WIDE_ROWS = [
    ["Block of a Linnet 2.0"],
    ["Cyl", "Top (mm)", "Bot (mm)", "Notes", "Initials"],
    [1, 86.012, 86.004, "", "J.W."],
    [2, 86.01, "n/m", "=SUM(B3:B4)", ""],
    [3, "86,O1", 86.003, "", "J.W."],
    [4, "ok", "12.5 thou", "", ""],
    ["", "", "", "", ""],
    ["Average", 86.011, 86.0035, "", ""],
    ["Cyl", "Top (mm)", "Bot (mm)", "Notes", "Initials"],
    [5, 0, 86.002, "", ""],
    ["five", 86.1, 86.2, "", ""],
]
LONG = (
    HEAD
    + """
[[table]]
sheet = "sheet"
columns = { feature = "Part", number = "No.", quantity = "What", value = "Reading", unit = "Unit" }
[table.values.feature]
Main = "main journal"
"""
)
LONG_ROWS = [
    ["Part", "No.", "What", "Reading", "Unit"],
    ["Main", 1, "diameter", 59.958, "mm"],
    ["Main", 1, "diameter", 59.957, "mm"],
    ["Mian", 2, "diameter", 59.958, "mm"],
    ["bore", 2, "diamter", 86.01, "mm"],
    ["bore", 2, "diameter", 86.01, "furlong"],
    ["bore", 2, "diameter", 86.01, "g"],
    ["bore", 3, "diameter", "", "mm"],
    ["", 3, "diameter", 86.01, "mm"],
    ["rod", 1, "mass", 412.5, "g"],
]


@pytest.mark.parametrize(
    ("text", "rows"), [(WIDE, WIDE_ROWS), (LONG, LONG_ROWS)], ids=["wide", "long"]
)
def test_a_csv_and_a_workbook_say_the_same(tmp_path, text, rows):
    blank = [[None if cell == "" else cell for cell in row] for row in rows]
    of_csv = ew.sheets.read(csv_file(tmp_path, rows, mark=";"), map=text)
    of_book = ew.sheets.read(workbook(tmp_path, {"sheet": blank}), map=text)
    one, other = (columns(read) for read in (of_csv, of_book))
    assert one == other
    assert len(of_csv.readings) > 0
    assert [(p.place, p.code, p.message) for p in of_csv.problems] == [
        (p.place, p.code, p.message) for p in of_book.problems
    ]
    assert of_csv.account.as_dict() == of_book.account.as_dict()


def columns(read):
    """All columns of the readings but the name of the file."""
    from sheet_making import column

    names = ["job", "stage", "feature", "number", "part", "station", "axis", "position", "repeat",
             "quantity", "value", "unit", "observation", "uncertainty", "note", "sheet", "row",
             "column"]  # fmt: skip
    return {name: column(read, name) for name in names}
