"""CSV: encoding and separator from the whole file, lines as they are counted, nothing lost."""

import pytest
from sheet_making import column, csv_file, readings, tidy, told

import enginewright as ew

ROWS = tidy(["bore", "1", "diameter", "86.012", "mm"], ["bore", "2", "diameter", "86.015", "mm"])


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_each_separator_is_found_by_the_rows_that_agree(tmp_path, mark):
    read = ew.sheets.read(csv_file(tmp_path, ROWS, mark=mark))
    assert column(read, "value") == [86.012, 86.015]


def test_decimal_commas_do_not_pass_for_separators(tmp_path):
    rows = tidy(["bore", "1", "diameter", "86,01", "mm"], ["bore", "2", "diameter", "86,1", "mm"])
    read = ew.sheets.read(csv_file(tmp_path, rows, mark=";"))
    assert column(read, "value") == [86.01, 86.1]


def test_two_separators_that_fit_equally_are_refused_with_what_was_tried(tmp_path):
    path = csv_file(tmp_path, "a;b,c\n1;2,3\n4;5,6\n")
    with pytest.raises(
        ew.SheetError, match=r"fit equally well \(semicolon: 3 rows of 2;.*comma: 3"
    ):
        ew.sheets.read(path)


def test_no_separator_at_all_is_refused(tmp_path):
    with pytest.raises(ew.SheetError, match="no separator makes a table of it"):
        ew.sheets.read(csv_file(tmp_path, "bore\n86.012\n"))


def test_a_map_settles_a_separator_that_the_file_cannot(tmp_path):
    path = csv_file(tmp_path, "Cyl;Bore, mm\n1;86,01\n2;86,02\n")
    text = """
        version = 1
        [file]
        separator = ";"
        [[table]]
        job = "1"
        stage = "as received"
        feature = "bore"
        number = { heading = "Cyl" }
        [[table.column]]
        heading = "Bore, mm"
        quantity = "diameter"
    """
    assert column(ew.sheets.read(path, map=text), "value") == [86.01, 86.02]


def test_a_line_that_names_the_separator_is_row_1_above_the_table(tmp_path):
    path = csv_file(tmp_path, "sep=|\n" + "\n".join("|".join(row) for row in ROWS))
    read = ew.sheets.read(path)
    assert read.account.total.rows["above the table"] == 1
    assert readings(read, "row", "column") == [(3, 6), (4, 6)]


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-8"])
def test_a_byte_order_mark_decides_the_encoding(tmp_path, encoding):
    rows = tidy(["bore", "1", "run-out", "12", "µm"])
    text = "\n".join(",".join(row) for row in rows)
    mark = "\ufeff" if encoding in ("utf-16-le", "utf-16-be") else ""
    read = ew.sheets.read(csv_file(tmp_path, mark + text, encoding=encoding))
    assert readings(read, "value", "unit") == [(12.0, "µm")]
    assert not read.problems


def test_what_is_not_utf_8_is_read_as_windows_1252_and_said_with_the_first_odd_cell(tmp_path):
    rows = tidy(
        ["bore", "1", "diameter", "86.012", "mm", ""],
        ["bore", "2", "diameter", "86.015", "mm", "Kühler"],
        heads=["note"],
    )
    read = ew.sheets.read(csv_file(tmp_path, rows, encoding="cp1252"))
    assert told(read) == [("sheet!H3", "not UTF-8")]
    assert read.problems[0].severity == "warning"
    assert column(read, "note") == [None, "Kühler"]


def test_the_map_names_another_encoding(tmp_path):
    path = csv_file(tmp_path, "Cyl;Bore (mm);Notiz\n1;86,01;ě\n", encoding="cp1250")
    text = """
        version = 1
        [file]
        encoding = "cp1250"
        [[table]]
        job = "1"
        stage = "as received"
        feature = "bore"
        number = { heading = "Cyl" }
        note_columns = ["Notiz"]
        [[table.column]]
        heading = "Bore (mm)"
        quantity = "diameter"
    """
    assert column(ew.sheets.read(path, map=text), "note") == ["ě"]


def test_a_line_break_in_quotes_keeps_the_true_line_numbers(tmp_path):
    rows = tidy(
        ["bore", "1", "diameter", "86.012", "mm", "worn\nat the top"],
        ["bore", "2", "diameter", "86.015", "mm", ""],
        heads=["note"],
    )
    read = ew.sheets.read(csv_file(tmp_path, rows))
    assert readings(read, "row", "note") == [(2, "worn\nat the top"), (4, None)]
    assert sum(read.account.total.rows.values()) == 3


def test_a_quote_never_closed_names_its_line_and_counts_what_it_swallowed(tmp_path):
    text = "\n".join(",".join(row) for row in ROWS) + '\n1042,as received,"bore,3\n1042,x,y,z\n'
    read = ew.sheets.read(csv_file(tmp_path, text))
    assert told(read) == [("sheet, row 4", "quote never closed")]
    assert "line 4" in read.problems[0].message
    assert read.account.total.rows == {
        "above the table": 0,
        "heading": 1,
        "blank": 0,
        "used": 2,
        "ignored": 0,
        "rejected": 2,
    }
    assert read.account.total.cells["rejected"] == 8
    assert column(read, "value") == [86.012, 86.015]


def test_inch_marks_do_not_open_quotes_inside_a_cell(tmp_path):
    text = 'job,stage,feature,quantity,value,unit\n1,as received,rod,length,5.7",in\n'
    read = ew.sheets.read(csv_file(tmp_path, text))
    assert readings(read, "value", "unit") == [(5.7, "in")]


def test_cells_of_blanks_are_blank(tmp_path):
    text = "job,stage,feature,quantity,value,unit,note\n1,as received,bore,diameter,86.01,mm,  \n"
    read = ew.sheets.read(csv_file(tmp_path, text + " , ,\t,,,,\u00a0\n"))
    assert read.account.total.cells["notes"] == 0
    assert sum(read.account.total.cells.values()) == 6


def test_rows_of_nothing_but_separators_are_blank(tmp_path):
    text = "\n".join([",".join(ROWS[0]), ",,,,,,", ",".join(ROWS[1]), ",,,,,,", ""])
    read = ew.sheets.read(csv_file(tmp_path, text))
    # Blank rows behind the last one in use are no rows of the sheet.
    assert read.account.total.rows["blank"] == 1


def test_the_sheet_of_a_csv_bears_the_files_name(tmp_path):
    read = ew.sheets.read(csv_file(tmp_path, ROWS, name="bores of 1042.csv"))
    assert set(column(read, "sheet")) == {"bores of 1042"}
    assert set(column(read, "file")) == {"bores of 1042.csv"}


def test_the_content_decides_and_not_the_ending(tmp_path):
    read = ew.sheets.read(csv_file(tmp_path, ROWS, name="export.xlsx"))
    assert column(read, "value") == [86.012, 86.015]
