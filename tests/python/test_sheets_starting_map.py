"""The first map of an export: it reads the sheet it was made from, and marks what it guessed."""

import tomllib

import pytest
from sheet_making import column, csv_file, readings, workbook

import enginewright as ew

GERMAN = [
    ["Auftrag", "K-88", "", "", "", ""],
    ["Motor", "Curlew V8", "", "", "", ""],
    ["", "", "", "", "", ""],
    ["Zylinder", "Oben längs (mm)", "Oben quer (mm)", "Unten längs (mm)", "Unten quer (mm)",
     "Notiz"],
    ["1", "96,012", "96,02", "96,008", "96,011", ""],
    ["2", "96,014", "96,021", "96,009", "n/m", "Riefe"],
    ["3", "96,013", "96,019", "96,01", "96,012", ""],
    ["Mittel", "96,013", "96,02", "96,009", "96,0115", ""],
]  # fmt: skip


def test_an_export_with_semicolons_and_decimal_commas_goes_through_unedited(tmp_path):
    path = csv_file(tmp_path, GERMAN, mark=";")
    text = ew.sheets.starting_map(path)
    read = ew.sheets.read(path, map=text)
    assert not read.problems
    assert len(read.readings) == 11
    assert readings(read, "job", "engine", "number", "station", "axis", "value", "unit")[0] == (
        "K-88", "Curlew V8", 1, "top", "along", 96.012, "mm",
    )  # fmt: skip
    assert read.account.total.rows["ignored"] == 1
    assert read.account.total.cells["ignored"] == 6  # five of the mean row, and one n/m


def test_every_guess_is_marked(tmp_path):
    text = ew.sheets.starting_map(csv_file(tmp_path, GERMAN, mark=";"))
    lines = {line.partition(" = ")[0]: line for line in text.splitlines() if " = " in line}
    for key in ("feature", "quantity", "station", "axis", "stage"):
        assert lines[key].endswith("# guess"), lines[key]
    for key in ("version", "decimal", "job", "number", "heading"):
        assert not lines[key].endswith("# guess"), lines[key]


def test_a_long_list_is_known_by_its_headings_and_its_words_are_translated(tmp_path):
    rows = [
        ["Job", 7],
        ["Stage", "as received"],
        ["Part", "No.", "Piece", "Place", "Dir", "What", "Reading", "Unit", "Checked"],
        ["Main", 1, None, "F", "X", "Dia", 59.958, "mm", "yes"],
        ["Pin", 2, None, "B", "Y", "Dia", 47.95, "mm", "yes"],
        ["Ring", 1, "Top", None, None, "Gap", 14.5, "thou", "yes"],
        ["Total", 3],
    ]
    path = workbook(tmp_path, {"List": rows})
    read = ew.sheets.read(path, map=ew.sheets.starting_map(path))
    assert not read.problems.errors
    assert readings(read, "job", "stage", "feature", "part", "station", "axis", "quantity") == [
        ("7", "as received", "main journal", None, "front", "x", "diameter"),
        ("7", "as received", "big-end journal", None, "back", "y", "diameter"),
        ("7", "as received", "ring", "top ring", None, None, "gap"),
    ]


def test_a_sheet_without_units_gets_one_guessed_and_marked(tmp_path):
    path = csv_file(tmp_path, "Cyl,Bore\n1,86.01\n2,86.02\n")
    text = ew.sheets.starting_map(path)
    assert 'unit = "mm"  # guess' in text
    assert column(ew.sheets.read(path, map=text), "value") == [86.01, 86.02]


def test_only_ambiguous_commas_behind_semicolons_are_taken_for_decimals_as_a_guess(tmp_path):
    path = csv_file(tmp_path, "Cyl;Bore (mm)\n1;86,012\n2;86,015\n")
    text = ew.sheets.starting_map(path)
    assert 'decimal = "comma"  # guess' in text
    assert column(ew.sheets.read(path, map=text), "value") == [86.012, 86.015]


def test_sheets_of_a_workbook_are_named_and_those_without_a_table_said(tmp_path):
    sheets = {
        "Head": [["Job", 12], ["Customer", "invented"]],
        "Bores": [["Cyl", "Top (mm)", "Bottom (mm)"], [1, 86.01, 86.02], [2, 86.02, 86.03]],
    }
    path = workbook(tmp_path, sheets)
    text = ew.sheets.starting_map(path)
    assert '# sheet "Head": no table was found on it' in text
    assert 'job = { sheet = "Head", cell = "B1" }' in text
    read = ew.sheets.read(path, map=text)
    assert readings(read, "job", "number", "station") == [
        ("12", 1, "top"), ("12", 1, "bottom"), ("12", 2, "top"), ("12", 2, "bottom"),
    ]  # fmt: skip


@pytest.mark.parametrize("name", ['quo"te\\.csv', "new\tline.csv", "ünïcode.csv"])
def test_whatever_a_file_holds_its_map_is_toml(tmp_path, name):
    text = 'Cyl;"Bore ""A""\\ (mm)";#x = 1\n1;86,01;a\n2;86,02;"b ""c"""\n'
    made = ew.sheets.starting_map(csv_file(tmp_path, text, name=name))
    assert tomllib.loads(made)["version"] == 1


def test_a_file_without_a_table_gives_a_map_that_says_so(tmp_path):
    made = ew.sheets.starting_map(csv_file(tmp_path, "some,words\nand,more\n"))
    assert "no table was found" in made
    with pytest.raises(ew.SheetError, match="a map needs at least one"):
        ew.sheets.read(csv_file(tmp_path, "some,words\nand,more\n"), map=made)


def test_one_column_of_figures_beside_units_is_the_readings(tmp_path):
    text = (
        "Teil;Nr;Stelle;Mass;Einheit\n"
        "Zylinder;1;oben;101,62;mm\n"
        "Zylinder;1;unten;101,58;mm\n"
        "Hauptzapfen;1;;69,985;mm\n"
    )
    path = csv_file(tmp_path, text, name="liste.csv")
    made = ew.sheets.starting_map(path)
    assert 'value = "Mass"' in made
    read = ew.sheets.read(path, map=made, defaults={"engine": "Curlew V8"})
    assert readings(read, "feature", "quantity", "station", "value") == [
        ("bore", "diameter", "top", 101.62),
        ("bore", "diameter", "bottom", 101.58),
        ("main journal", "diameter", None, 69.985),
    ]


def test_a_wide_list_with_a_column_of_features_makes_a_valid_map(tmp_path):
    text = (
        "Teil;Nr;Durchmesser A;Durchmesser B\nZylinder;1;101,62;101,60\nZylinder;2;101,58;101,57\n"
    )
    path = csv_file(tmp_path, text, name="liste.csv")
    made = ew.sheets.starting_map(path)
    assert len(ew.sheets.read(path, map=made, defaults={"engine": "Curlew V8"}).readings) == 4
