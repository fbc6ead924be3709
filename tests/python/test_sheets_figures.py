"""Figures: what is a number, in which unit, and how well it was written."""

import datetime as dt
import math

import numpy as np
import pytest
from sheet_making import column, csv_file, readings, rewritten, tidy, told, workbook

import enginewright as ew


def read_bores(folder, *values, unit="mm", quantity="diameter"):
    """Read one bore a value from a CSV with semicolons."""
    rows = tidy(*(["bore", str(i), quantity, v, unit] for i, v in enumerate(values, 1)))
    return ew.sheets.read(csv_file(folder, rows, mark=";"))


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("86.012", 86.012, "mm"),
        (" 86.012 ", 86.012, "mm"),
        ("86", 86.0, "mm"),
        ("0,250", 0.25, "mm"),
        ("12,5", 12.5, "mm"),
        ("1 234.5", 1234.5, "mm"),
        ("1.234,5", 1234.5, "mm"),
        ("86.012 mm", 86.012, "mm"),
        ("12.5\u00a0mm", 12.5, "mm"),
        ("8.6e1", 86.0, "mm"),
    ],
)
def test_a_figure_may_be_written_in_every_usual_way(tmp_path, text, value, unit):
    read = read_bores(tmp_path, text)
    assert readings(read, "value", "unit") == [(value, unit)]
    assert not read.problems


def test_a_minus_sign_of_print_is_a_minus(tmp_path):
    read = read_bores(tmp_path, "\u22120.02", quantity="protrusion")
    assert column(read, "value") == [-0.02]


@pytest.mark.parametrize(
    ("text", "unit", "value", "read_unit"),
    [
        ("12.5 thou", "mm", 12.5, "thou"),
        ("1 1/4 in", "mm", 1.25, "in"),
        ("1 1/4", "in", 1.25, "in"),
    ],
)
def test_a_wide_cell_may_bring_its_own_unit(tmp_path, text, unit, value, read_unit):
    path = csv_file(tmp_path, f"Cyl;Gap\n1;{text}\n")
    text = f"""
        version = 1
        [[table]]
        job = "1"
        stage = "as received"
        feature = "ring"
        number = {{ heading = "Cyl" }}
        [[table.column]]
        heading = "Gap"
        quantity = "gap"
        unit = "{unit}"
    """
    assert readings(ew.sheets.read(path, map=text), "value", "unit") == [(value, read_unit)]


def test_a_cells_unit_must_be_that_of_its_row(tmp_path):
    read = read_bores(tmp_path, "12.5 thou")
    assert told(read) == [("sheet!F2", "two units"), ("sheet", "no reading")]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("<0.05", "bound for a number"),
        ("12..5", "unreadable number"),
        ("86,O1", "unreadable number"),
        ("good", "unknown word"),
        ("--", "unknown word"),
        ("86.1 86.2", "unreadable number"),
        ("5 g", "unsuitable unit"),
        ("#DIV/0!", "error cell"),
        ("#REF!", "error cell"),
        ("0", "impossible size"),
        ("-86", "impossible size"),
        ("860000", "impossible size"),
        ("nan", "unknown word"),
        ("inf", "unknown word"),
        ("1e999", "unreadable number"),
    ],
)
def test_what_is_no_reading_is_refused_by_its_cell(tmp_path, text, code):
    read = read_bores(tmp_path, text, "86.01")
    assert told(read) == [("sheet!F2", code)]
    assert read.account.total.rows["rejected"] == 1
    assert column(read, "value") == [86.01]


def test_a_slip_of_letters_is_told_with_what_may_have_been_meant(tmp_path):
    (problem,) = read_bores(tmp_path, "86,O1", "86,02").problems
    assert problem.found == "86,O1"
    assert problem.suggestion == "if 86,01 was meant, type it again"


def test_nothing_and_less_are_sizes_where_they_can_be(tmp_path):
    read = read_bores(tmp_path, "0", "-0.02", "0.00", quantity="protrusion")
    assert column(read, "value") == [0.0, -0.02, 0.0]


class TestDecimalMark:
    def test_the_clear_cells_of_a_column_decide_for_the_others(self, tmp_path):
        assert column(read_bores(tmp_path, "82,005", "82,01"), "value") == [82.005, 82.01]

    def test_a_column_with_nothing_clear_is_refused_and_asks(self, tmp_path):
        read = read_bores(tmp_path, "82,005", "82,010")
        assert told(read)[:2] == [
            ("sheet!F2", "undecided decimal mark"),
            ("sheet!F3", "undecided decimal mark"),
        ]
        assert "82.005 or 82 005" in read.problems[0].message
        assert "decimal" in read.problems[0].suggestion

    def test_the_map_settles_it(self, tmp_path):
        path = csv_file(tmp_path, "Cyl;Bore (mm)\n1;82,005\n2;82,010\n")
        text = """
            version = 1
            [file]
            decimal = "comma"
            [[table]]
            job = "1"
            stage = "as received"
            feature = "bore"
            number = { heading = "Cyl" }
            [[table.column]]
            heading = "Bore (mm)"
            quantity = "diameter"
        """
        assert column(ew.sheets.read(path, map=text), "value") == [82.005, 82.01]

    def test_two_clear_cells_that_disagree_are_both_named(self, tmp_path):
        read = read_bores(tmp_path, "82,01", "82.02", "83")
        assert told(read) == [
            ("sheet!F2", "two decimal marks"),
            ("sheet!F3", "two decimal marks"),
        ]
        assert "sheet!F3 holds '82.02'" in read.problems[0].message
        assert "sheet!F2 holds '82,01'" in read.problems[1].message
        assert column(read, "value") == [83.0]

    def test_a_point_that_may_group_beside_a_comma_that_may_group_is_refused(self, tmp_path):
        read = read_bores(tmp_path, "82.005", "82,005")
        assert {code for _, code in told(read)} == {"two decimal marks", "no reading"}

    def test_columns_decide_each_for_itself(self, tmp_path):
        text = "Cyl;Bore (mm);Gap (mm)\n1;86,01;0.35\n2;86,02;0.40\n"
        map_text = """
            version = 1
            [[table]]
            job = "1"
            stage = "as received"
            number = { heading = "Cyl" }
            [[table.column]]
            heading = "Bore (mm)"
            feature = "bore"
            quantity = "diameter"
            [[table.column]]
            heading = "Gap (mm)"
            feature = "ring"
            quantity = "gap"
        """
        read = ew.sheets.read(csv_file(tmp_path, text), map=map_text)
        assert column(read, "value") == [86.01, 0.35, 86.02, 0.4]

    def test_number_cells_of_a_workbook_need_no_decision(self, tmp_path):
        rows = tidy(["bore", 1, "diameter", 82.005, "mm"], ["bore", 2, "diameter", "82,01", "mm"])
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}))
        assert column(read, "value") == [82.005, 82.01]


class TestCellsOfAWorkbook:
    def test_a_date_in_a_readings_place_is_named(self, tmp_path):
        rows = tidy(["bore", 1, "diameter", dt.datetime(2026, 1, 2), "mm"])
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}))
        assert "2 Jan 2026" in read.problems[0].message
        assert told(read)[0] == ("Block!F2", "date for a number")

    def test_a_percentage_needs_a_percent_unit(self, tmp_path):
        rows = tidy(["bore", 1, "diameter", 0.86, "mm"])
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}, formats=[("F2", "0.0%")]))
        assert told(read)[0] == ("Block!F2", "percent")

    def test_a_formula_without_its_value_is_named_and_not_blank(self, tmp_path):
        import openpyxl

        path = workbook(tmp_path, {"Block": tidy(["bore", 1, "diameter", 86.01, "mm"])})
        book = openpyxl.load_workbook(path)
        book["Block"]["F2"] = "=43*2"
        book.save(path)
        read = ew.sheets.read(path)
        assert told(read)[0] == ("Block!F2", "uncalculated formula")
        assert read.account.total.rows["rejected"] == 1

    def test_truth_values_are_no_readings(self, tmp_path):
        rows = tidy(["bore", 1, "diameter", True, "mm"], ["bore", True, "diameter", 86.01, "mm"])
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}))
        assert [place for place, _ in told(read)] == ["Block!F2", "Block!D3", "Block"]

    def test_a_number_beyond_all_numbers_is_refused(self, tmp_path):
        path = workbook(tmp_path, {"Block": tidy(["bore", 1, "diameter", 86.25, "mm"])})
        sheet = "xl/worksheets/sheet1.xml"
        for written in (b"1e999", b"1" + b"0" * 400):
            changed = rewritten(path, sheet, b"86.25", written)
            assert told(ew.sheets.read(changed))[0] == ("Block!F2", "unreadable number")


class TestWrittenResolution:
    """Half of the last digit either way, evenly spread: its standard doubt is 1/sqrt(12) digits."""

    def test_the_digits_state_the_doubt_where_no_gauge_does(self, tmp_path):
        read = read_bores(tmp_path, "86.012")
        assert column(read, "uncertainty") == [pytest.approx(2 * 0.001 / math.sqrt(12), rel=1e-12)]

    def test_in_the_unit_of_the_row(self, tmp_path):
        read = read_bores(tmp_path, "14.5", unit="thou", quantity="gap")
        assert column(read, "uncertainty") == [pytest.approx(2 * 0.1 / math.sqrt(12), rel=1e-12)]

    def test_a_spreadsheet_drops_closing_zeros_so_the_finest_of_a_kind_counts(self, tmp_path):
        rows = tidy(
            ["bore", 1, "diameter", 86.012, "mm"],
            ["bore", 2, "diameter", 86.01, "mm"],
            ["bore", 3, "diameter", 86, "mm"],
            ["rod", 1, "length", 145.5, "mm"],
        )
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}))
        fine, coarse = 2 * 0.001 / math.sqrt(12), 2 * 0.1 / math.sqrt(12)
        assert column(read, "uncertainty") == pytest.approx([fine, fine, fine, coarse], rel=1e-12)

    def test_a_number_format_shows_the_zeros(self, tmp_path):
        rows = tidy(["bore", 1, "diameter", 86, "mm"])
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}, formats=[("F2", "0.000")]))
        assert column(read, "uncertainty") == [pytest.approx(2 * 0.001 / math.sqrt(12), rel=1e-12)]

    def test_a_calculated_number_shows_no_digits_that_count(self, tmp_path):
        rows = tidy(["bore", 1, "diameter", 1000 / 3, "mm"])
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}))
        assert column(read, "value") == [1000 / 3]
        assert "uncertainty" not in told_columns(read)

    def test_a_gauge_takes_its_place(self, tmp_path):
        rows = tidy(
            ["bore", "1", "diameter", "86.012", "mm", "bore gauge 2"],
            ["bore", "2", "diameter", "86.012", "mm", ""],
            heads=["gauge"],
        )
        read = ew.sheets.read(csv_file(tmp_path, rows))
        assert [doubt is None for doubt in column(read, "uncertainty")] == [True, False]

    def test_a_stated_doubt_stands(self, tmp_path):
        rows = tidy(["bore", "1", "diameter", "86.012", "mm", "0.004"], heads=["uncertainty"])
        read = ew.sheets.read(csv_file(tmp_path, rows))
        assert column(read, "uncertainty") == [0.004]

    def test_a_stated_doubt_may_bring_its_unit(self, tmp_path):
        rows = tidy(["bore", "1", "diameter", "86.012", "mm", "4 µm"], heads=["uncertainty"])
        read = ew.sheets.read(csv_file(tmp_path, rows))
        assert column(read, "uncertainty") == [pytest.approx(0.004)]

    def test_a_default_doubt_holds_where_nothing_else_is_said(self, tmp_path):
        path = csv_file(tmp_path, "Cyl,Bore (mm)\n1,86.012\n")
        text = """
            version = 1
            [defaults]
            job = "1"
            stage = "as received"
            uncertainty = "0.01 mm"
            [[table]]
            feature = "bore"
            number = { heading = "Cyl" }
            [[table.column]]
            heading = "Bore (mm)"
            quantity = "diameter"
        """
        assert column(ew.sheets.read(path, map=text), "uncertainty") == [0.01]


def told_columns(read):
    """Columns that hold anything."""
    return {
        name
        for name in ("uncertainty", "gauge")
        if any(value is not None for value in column(read, name))
    }


def test_a_word_kept_as_a_reading_has_no_value(tmp_path):
    path = csv_file(tmp_path, "Cyl,Bore (mm)\n1,OK\n2,86.01\n3,N/M\n")
    text = """
        version = 1
        [words]
        "ok" = "observation"
        "n/m" = "not measured"
        [[table]]
        job = "1"
        stage = "as received"
        feature = "bore"
        number = { heading = "Cyl" }
        [[table.column]]
        heading = "Bore (mm)"
        quantity = "diameter"
    """
    read = ew.sheets.read(path, map=text)
    assert readings(read, "number", "value", "observation", "unit") == [
        (1, None, "ok", None),
        (2, 86.01, None, "mm"),
    ]
    assert read.account.total.cells["ignored"] == 1
    assert read.account.total.rows["used"] == 3


def test_temperatures_come_in_degrees_celsius(tmp_path):
    rows = tidy(["bore", "1", "diameter", "86.012", "mm", "68 °F"], heads=["temperature"])
    read = ew.sheets.read(csv_file(tmp_path, rows))
    assert column(read, "temperature") == [pytest.approx(20.0)]


def test_a_column_of_many_plain_figures_is_the_column_itself(tmp_path):
    values = np.round(np.random.default_rng(5).uniform(0.1, 99, 3000), 4)
    read = read_bores(tmp_path, *map(repr, values.tolist()))
    assert column(read, "value") == values.tolist()
