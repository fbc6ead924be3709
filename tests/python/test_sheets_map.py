"""The map file: every fault at once, with its line and what was probably meant."""

import pytest
from sheet_making import column, csv_file, workbook

import enginewright as ew

GOOD = """version = 1
[file]
decimal = "auto"
[defaults]
job = "1042"
stage = "as received"
[words]
"n/m" = "not measured"
[[table]]
sheet = "Block"
layout = "wide"
header_rows = [1]
feature = "bore"
number = { heading = "Cyl" }
[[table.column]]
heading = "{station} (mm)"
quantity = "diameter"
station = { Top = "top", Bot = "bottom" }
"""
ROWS = [["Cyl", "Top (mm)", "Bot (mm)"], [1, "86.01", "86.02"]]


@pytest.fixture
def block(tmp_path):
    """One small sheet that the map fits."""
    return workbook(tmp_path, {"Block": ROWS})


def faults(path, text):
    """The lines of the refusal that a map meets."""
    with pytest.raises(ew.SheetError) as refused:
        ew.sheets.read(path, map=text)
    head, *lines = str(refused.value).splitlines()
    assert head == "the map is not a valid map:"
    return [line.strip() for line in lines]


def test_the_map_of_these_tests_is_good(block):
    assert len(ew.sheets.read(block, map=GOOD).readings) == 2


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("version = 1", "version = 2", "line 1: version must be 1, got 2"),
        ("version = 1", "", "a map begins with version = 1"),
        ("[words]", "[wrds]", "line 7: the map has no key 'wrds'; did you mean 'words'?"),
        (
            'decimal = "auto"',
            'decimal = "komma"',
            "line 3: decimal must be one of auto, point, comma; got 'komma'; did you mean 'comma'?",
        ),
        (
            'decimal = "auto"',
            'dates = "d-m-y"',
            "line 3: dates must be one of day-month-year, month-day-year, year-month-day; "
            "got 'd-m-y'",
        ),
        ('decimal = "auto"', "encoding = 7", "line 3: encoding must be a text, got 7"),
        (
            'decimal = "auto"',
            'separator = "xx"',
            "line 3: separator must be one mark such as ';', got 'xx'",
        ),
        (
            'job = "1042"',
            'jobb = "1042"',
            "line 5: [defaults] has no key 'jobb'; did you mean 'job'?",
        ),
        (
            '"n/m" = "not measured"',
            '"n/m" = "ignore"',
            "line 8: 'n/m' must be one of not measured, observation; got 'ignore'",
        ),
        (
            'layout = "wide"',
            'layout = "broad"',
            "line 11: layout must be one of wide, long; got 'broad'",
        ),
        (
            "header_rows = [1]",
            "header_rows = [2, 1]",
            "line 12: header_rows must be rising row numbers, got [2, 1]",
        ),
        (
            "header_rows = [1]",
            "header_rows = 1",
            "line 12: header_rows must be rising row numbers, got 1",
        ),
        (
            'feature = "bore"',
            'feature = "boer"',
            "line 13: feature 'boer' is not known; did you mean 'bore'?",
        ),
        ('feature = "bore"', "", "line 15: nothing says the feature: name it here, in [[table]]"),
        (
            "number = { heading",
            "number = { haeding",
            "line 14: number has no key 'haeding'; did you mean 'heading'?",
        ),
        (
            'quantity = "diameter"',
            'quantity = "diametre"',
            "line 17: quantity 'diametre' is not known; did you mean 'diameter'?",
        ),
        (
            'quantity = "diameter"',
            'qantity = "diameter"',
            "line 17: [[table.column]] has no key 'qantity'; did you mean 'quantity'?",
        ),
        (
            'heading = "{station} (mm)"',
            'heading = "{statoin} (mm)"',
            "line 16: {statoin} is no column of the readings; did you mean {station}?",
        ),
        (
            'heading = "{station} (mm)"',
            'heading = "{station}{axis}"',
            "line 16: '{station}{axis}' needs something between two braces to tell them apart",
        ),
        (
            'heading = "{station} (mm)"',
            "",
            "line 15: [[table.column]] needs either heading or column",
        ),
        (
            'heading = "{station} (mm)"',
            'column = "7"',
            "line 16: column must be the letters of a column, A to XFD; got '7'",
        ),
        (
            'feature = "bore"',
            'feature = "bore"\nunit = "furlong"',
            "line 14: unit 'furlong'",
        ),
        (
            'feature = "bore"',
            'feature = "bore"\nignore_rows = "total*"',
            "line 14: ignore_rows must be a list of texts, got 'total*'",
        ),
        (
            'feature = "bore"',
            'feature = "bore"\nnote_columns = [7]',
            "line 14: note_columns must be a heading",
        ),
        (
            'feature = "bore"',
            'feature = "bore"\nkeys = { heading = "Cyl" }',
            "line 14: keys must be { heading",
        ),
        (
            'feature = "bore"',
            'feature = "bore"\ncolumns = { value = "x" }',
            "line 14: columns does not belong to the layout 'wide'",
        ),
        (
            'feature = "bore"',
            'feature = "bore"\noptional = "yes"',
            "line 14: optional must be true or false, got 'yes'",
        ),
        (
            'feature = "bore"',
            'feature = "bore"\ndate = "2.3.2026"',
            "line 14: date must be written like 2026-03-02, got '2.3.2026'",
        ),
        ('job = "1042"', 'job = { cell = "1B" }', "line 5: job must name a cell"),
        (
            'job = "1042"',
            "number = 0",
            "line 5: number must be a whole number of at least 1, got 0",
        ),
        ('job = "1042"', 'job = ""', "line 5: job must not be empty"),
        ('job = "1042"', "job = true", "line 5: job must be a word or a number, got True"),
        (
            'quantity = "diameter"\n',
            'quantity = "diameter"\n[table.values.feature]\nMain = "mian journal"\n',
            "line 19: feature 'mian journal' is not known; did you mean 'main journal'",
        ),
        (
            "station = {",
            'heading = "Middle (mm)"\n#{',
            "(at line 18, column",
        ),
    ],
)
def test_a_fault_is_told_with_its_line(block, old, new, fault):
    text = GOOD.replace(old, new)
    assert text != GOOD
    if fault.startswith("(at"):
        with pytest.raises(ew.SheetError, match=r"not a valid map: .*at line 18, column"):
            ew.sheets.read(block, map=text)
        return
    assert any(line.startswith(fault) for line in faults(block, text)), faults(block, text)


def test_all_faults_are_told_at_once(block):
    text = GOOD.replace('"bore"', '"boer"').replace('"diameter"', '"diametre"')
    text = text.replace("[words]", "[wrds]")
    assert len(faults(block, text)) == 3


def test_a_pattern_that_matches_no_column_is_a_fault_with_the_sheets_headings(block):
    (fault,) = faults(block, GOOD.replace("{station} (mm)", "{station} (left)"))
    assert fault.startswith("line 15: no heading matches '{station} (left)'")
    assert "'Top (mm)'" in fault


def test_a_key_that_matches_no_column_is_a_fault_with_the_nearest(block):
    (fault,) = faults(block, GOOD.replace('heading = "Cyl"', 'heading = "Cyll"'))
    assert fault == "line 9: no heading matches 'Cyll'; the sheet has 'Cyl'"


def test_what_a_map_calls_optional_may_be_missing(block):
    text = (
        GOOD
        + """
[[table.column]]
heading = "Mid (mm)"
quantity = "diameter"
optional = true
[[table]]
sheet = "Crank"
optional = true
feature = "main journal"
[[table.column]]
heading = "Main (mm)"
quantity = "diameter"
"""
    )
    assert not ew.sheets.read(block, map=text).problems


def test_a_column_missing_on_one_of_several_sheets_is_a_problem_of_that_sheet(tmp_path):
    sheets = {"Block 1": [[*ROWS[0], "Mid (mm)"], [1, 86.01, 86.02, 86.03]], "Block 2": ROWS}
    text = (
        GOOD.replace('"Block"', '"Block*"')
        + """
[[table.column]]
heading = "Mid (mm)"
quantity = "diameter"
"""
    )
    read = ew.sheets.read(workbook(tmp_path, sheets), map=text)
    problem = next(p for p in read.problems if p.code == "missing heading")
    assert (problem.severity, problem.sheet) == ("warning", "Block 2")


def test_a_cell_on_a_sheet_that_is_not_there_is_a_fault(tmp_path):
    path = workbook(tmp_path, {"Block": ROWS, "Head": [["Job", 1]]})
    (fault,) = faults(path, GOOD.replace('"1042"', '{ sheet = "Haed", cell = "B1" }'))
    assert fault == "the file has no sheet 'Haed' for cell B1; did you mean 'Head'?"


def test_a_long_table_needs_a_value_or_an_observation(tmp_path):
    text = GOOD[: GOOD.index("[[table]]")] + '[[table]]\ncolumns = { number = "Cyl" }\n'
    lines = faults(csv_file(tmp_path, ROWS), text)
    assert "line 10: columns of a long table must name value or observation" in lines


def test_a_map_may_be_a_file_a_text_or_a_mapping(tmp_path, block):
    import tomllib

    path = tmp_path / "map.toml"
    path.write_text(GOOD, encoding="utf-8")
    for given in (path, str(path), GOOD, tomllib.loads(GOOD)):
        assert column(ew.sheets.read(block, map=given), "value") == [86.01, 86.02]


def test_a_map_that_cannot_be_opened_is_refused_by_name(tmp_path, block):
    with pytest.raises(ew.SheetError, match=r"nowhere.toml: cannot be opened"):
        ew.sheets.read(block, map=tmp_path / "nowhere.toml")


def test_a_map_is_looked_at_before_the_file(tmp_path):
    with pytest.raises(ew.SheetError, match="not a valid map"):
        ew.sheets.read(tmp_path / "nowhere.xlsx", map=GOOD.replace("bore", "boer"))


EVERY = {
    "job": ("7", "7"),
    "engine": ("Linnet 2.0", "Linnet 2.0"),
    "stage": ("finished", "finished"),
    "feature": ("liner", "liner"),
    "number": (3, 3),
    "part": ("inlet", "inlet"),
    "station": ("top", "top"),
    "axis": ("thrust", "thrust"),
    "position": (12, 12.0),
    "position_unit": ("mm", None),
    "repeat": (2, 2),
    "quantity": ("depth", "depth"),
    "unit": ("in", "in"),
    "observation": ("scored", "scored"),
    "uncertainty": (0.002, 0.002),
    "gauge": ("bore gauge 1", "bore gauge 1"),
    "by": ("J.W.", "J.W."),
    "temperature": (23.5, 23.5),
    "note": ("warm", "warm"),
}


@pytest.mark.parametrize("key", EVERY)
@pytest.mark.parametrize("place", ["defaults", "table", "column", "heading"])
def test_every_column_of_the_readings_may_stand_in_every_place(tmp_path, key, place):
    """The nearest place that names it wins: the others hold what must be there."""
    given, expected = EVERY[key]
    needed = {"job": "1", "stage": "as received", "feature": "bore", "quantity": "diameter"}
    needed["unit"] = "mm"
    needed.pop(key, None)
    lines = {"defaults": [f"{name} = {value!r}" for name, value in needed.items()]}
    heads, row = ["Size"], ["86.01"]
    if place == "heading":
        heads, row = ["Size", "Extra"], ["86.01", str(given)]
        lines["table"] = [f'{key} = {{ heading = "Extra" }}']
    else:
        lines.setdefault(place, []).append(f"{key} = {given!r}")
    if key == "position_unit":
        lines["defaults"].append("position = 4")
        expected = "mm"
    text = "\n".join(
        [
            "version = 1",
            "[file]",
            'separator = ";"',
            "[defaults]",
            *lines["defaults"],
            "[[table]]",
            *lines.get("table", []),
            "[[table.column]]",
            'heading = "Size"',
            *lines.get("column", []),
        ]
    )
    read = ew.sheets.read(csv_file(tmp_path, [heads, row], mark=";"), map=text)
    assert not read.problems.errors, read.problems
    assert column(read, key) == [expected]
    assert sum(read.account.total.cells.values()) == len(row)
