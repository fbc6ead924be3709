"""The account: whatever a sheet holds, every row and every cell is counted once."""

import datetime as dt

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sheet_making import csv_file, workbook

import enginewright as ew
from enginewright.sheets.account import Tally, require_balance

MAP = """
version = 1
[file]
separator = ";"
[defaults]
job = { cell = "B1" }
stage = "as received"
[words]
"n/m" = "not measured"
"ok" = "observation"
[[table]]
header_rows = [3, 4]
feature = "bore"
number = { heading = "Cyl" }
date = { heading = "Date" }
ignore_rows = ["average*"]
note_columns = ["Notes"]
ignore_columns = ["Initials"]
[[table.column]]
heading = "{station} / {axis} (mm)"
quantity = "diameter"
station = { Top = "top", Bot = "bottom" }
[[table.column]]
heading = "Gap"
feature = "ring"
quantity = "gap"
unit = "in cells"
optional = true
"""
UPPER = ["Cyl", "Top", "Top", "Bot", "Bot", "Gap", "Notes", "Initials", "Date"]
LOWER = ["", "A (mm)", "B (mm)", "A (mm)", "B (mm)", "", "", "", ""]

texts = st.sampled_from(
    ["", "", "86.01", "86,02", "86,O1", "n/m", "OK", "82,005", "1.234,5", "-3", "12.5 thou",
     "1/4 in",
     "5 g", "#DIV/0!", "Average", "Cyl", "A (mm)", "Top", "2.3.2026", "=1+1", "<b>", "x" * 40, " ",
     "1", "2", "3", "99", "0", "1e999", "\u22120.5", "\u00a086.01"]
)  # fmt: skip
cells = st.one_of(
    st.none(),
    texts,
    texts,
    st.integers(-5, 200),
    st.floats(-1e6, 1e6, allow_nan=False),
    st.booleans(),
    st.dates(dt.date(1990, 1, 1), dt.date(2040, 1, 1)),
)
headings = st.permutations(list(zip(UPPER, LOWER, strict=True)))
odd_columns = st.lists(st.tuples(texts, texts), max_size=2)
quiet = settings(
    deadline=None,
    max_examples=60,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


def sheet(heads, odd, rows):
    """A sheet of random cells below a heading with the columns in random order."""
    columns = [*heads, *odd]
    top = [["Job", "1042"], [], [c[0] for c in columns], [c[1] for c in columns]]
    return top, [row[: len(columns)] for row in rows]


def check(read, rows):
    """The two sums, sheet by sheet and in total, against counts of the sheet itself."""
    filled = [
        index for index, row in enumerate(rows) if any(cell not in (None, "") for cell in row)
    ]
    last = filled[-1] + 1 if filled else 0
    total = read.account.total
    assert sum(total.rows.values()) == last
    body = rows[4:]
    assert sum(total.cells.values()) == sum(cell not in (None, "") for row in body for cell in row)
    assert total.cells["readings"] == len(read.readings)
    errors = read.problems.errors
    assert bool(total.cells["rejected"]) <= bool(errors)
    for problem in errors:
        assert problem.message and problem.file


@quiet
@given(headings, odd_columns, st.lists(st.lists(texts, min_size=11, max_size=11), max_size=8))
def test_random_csv_files_always_balance(tmp_path, heads, odd, body):
    top, body = sheet(heads, odd, body)
    rows = [[cell if cell and cell.strip() else "" for cell in row] for row in (*top, *body)]
    read = ew.sheets.read(csv_file(tmp_path, rows, mark=";"), map=MAP)
    check(read, rows)


@quiet
@given(headings, odd_columns, st.lists(st.lists(cells, min_size=11, max_size=11), max_size=8))
def test_random_workbooks_always_balance(tmp_path, heads, odd, body):
    top, body = sheet(heads, odd, body)
    rows = [
        [None if isinstance(c, str) and not c.strip() else c for c in row] for row in (*top, *body)
    ]
    read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=MAP)
    check(read, rows)


@quiet
@given(st.lists(st.lists(texts, min_size=1, max_size=6), min_size=1, max_size=12))
def test_random_tidy_files_always_balance(tmp_path, body):
    heads = ["job", "feature", "quantity", "value", "unit", "observation"]
    filler = [["1", "bore", "diameter", "86.01", "mm", ""]]
    rows = [heads, *filler, *([*row, *[""] * (6 - len(row))] for row in body)]
    path = csv_file(tmp_path, rows, mark=";")
    read = ew.sheets.read(path, defaults={"stage": "as received"})
    assert sum(read.account.total.cells.values()) == sum(
        bool(cell.strip()) for row in rows[1:] for cell in row
    )
    assert read.account.total.cells["readings"] == len(read.readings)


def test_an_account_that_does_not_balance_is_never_given_out():
    tally = Tally()
    tally.rows["used"] = 2
    with pytest.raises(RuntimeError, match=r"sheet Block does not balance: rows 2 of 3"):
        require_balance("Block", tally, 3, 0, 0)
    with pytest.raises(RuntimeError, match="readings 1 of 0"):
        require_balance("Block", tally, 2, 0, 1)


def test_accounts_of_several_files_add_up(tmp_path):
    rows = [["job", "stage", "feature", "quantity", "value", "unit"]]
    rows.append(["1", "as received", "bore", "diameter", "86.01", "mm"])
    reads = [ew.sheets.read(csv_file(tmp_path, rows)) for _ in range(2)]
    both = ew.sheets.Account.together(read.account for read in reads)
    assert list(both.sheets) == ["sheet", "sheet (2)"]
    assert both.total.rows["used"] == 2
    assert not both.rejected
