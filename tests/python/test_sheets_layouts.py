"""Layouts: headings of several rows, several tables, keys in every place that a map can name."""

import datetime as dt

import pytest
from sheet_making import column, csv_file, readings, tidy, told, workbook

import enginewright as ew

HEAD = """
version = 1
[defaults]
job = "1042"
stage = "as received"
gauge = "bore gauge 2"
"""
WIDE = [
    ["Cyl", "Top", None, "Bot", None, "Notes"],
    [None, "A (mm)", "B (mm)", "A (mm)", "B (mm)", None],
    [1, 86.011, 86.012, 86.013, 86.014, None],
    [2, 86.021, 86.022, 86.023, 86.024, "worn"],
]
WIDE_MAP = (
    HEAD
    + """
[[table]]
header_rows = [1, 2]
feature = "bore"
number = { heading = "Cyl" }
note_columns = ["Notes"]
[[table.column]]
heading = "{station} / {axis} (mm)"
quantity = "diameter"
station = { Top = "top", Bot = "bottom" }
axis = { A = "along", B = "thrust" }
"""
)
WIDE_READINGS = [
    (1, "top", "along", 86.011, None),
    (1, "top", "thrust", 86.012, None),
    (1, "bottom", "along", 86.013, None),
    (1, "bottom", "thrust", 86.014, None),
    (2, "top", "along", 86.021, "worn"),
    (2, "top", "thrust", 86.022, "worn"),
    (2, "bottom", "along", 86.023, "worn"),
    (2, "bottom", "thrust", 86.024, "worn"),
]


def wide_readings(read):
    return readings(read, "number", "station", "axis", "value", "note")


def test_merged_headings_cover_their_columns(tmp_path):
    path = workbook(tmp_path, {"Block": WIDE}, merged=["B1:C1", "D1:E1", "A1:A2", "F1:F2"])
    assert wide_readings(ew.sheets.read(path, map=WIDE_MAP)) == WIDE_READINGS


def test_in_a_csv_a_blank_upper_heading_takes_the_text_on_its_left(tmp_path):
    read = ew.sheets.read(csv_file(tmp_path, WIDE), map=WIDE_MAP)
    assert wide_readings(read) == WIDE_READINGS
    assert not read.problems


def test_headings_do_not_mind_case_blanks_and_line_breaks(tmp_path):
    rows = [["CYL ", "top/a\n(mm)", "Top / B  (MM)"], [1, 86.011, 86.012]]
    text = WIDE_MAP.replace("[1, 2]", "[1]")
    read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=text)
    assert wide_readings(read) == WIDE_READINGS[:2]


def test_an_empty_heading_cell_is_left_out_of_the_join(tmp_path):
    rows = [[None, None], ["Cyl", "Gap (thou)"], [1, 14.5]]
    text = (
        HEAD
        + """
        [[table]]
        header_rows = [1, 2]
        feature = "ring"
        number = { heading = "Cyl" }
        [[table.column]]
        heading = "Gap (thou)"
        quantity = "gap"
    """
    )
    read = ew.sheets.read(workbook(tmp_path, {"Rings": rows}), map=text)
    assert readings(read, "value", "unit") == [(14.5, "thou")]


class TestUnitsOfColumns:
    ROWS = [["Cyl", "Gap (thou)"], [1, 14.5]]
    MAP = (
        HEAD
        + """
        [[table]]
        feature = "ring"
        number = { heading = "Cyl" }
        [[table.column]]
        heading = "Gap"
        quantity = "gap"
    """
    )

    def test_the_heading_names_the_unit_and_the_map_need_not(self, tmp_path):
        read = ew.sheets.read(workbook(tmp_path, {"Rings": self.ROWS}), map=self.MAP)
        assert readings(read, "value", "unit") == [(14.5, "thou")]

    def test_another_unit_in_the_map_is_an_error(self, tmp_path):
        text = self.MAP + 'unit = "mm"\n'
        read = ew.sheets.read(workbook(tmp_path, {"Rings": self.ROWS}), map=text)
        assert told(read)[0] == ("Rings!B1", "two units")
        assert read.account.total.cells["rejected"] == 2

    def test_another_unit_in_the_maps_heading_is_an_error(self, tmp_path):
        text = self.MAP.replace('"Gap"', '"Gap (mm)"')
        read = ew.sheets.read(workbook(tmp_path, {"Rings": self.ROWS}), map=text)
        assert told(read)[0] == ("Rings!B1", "two units")

    def test_the_same_unit_in_another_spelling_is_none(self, tmp_path):
        text = self.MAP + 'unit = "mil"\n'
        read = ew.sheets.read(workbook(tmp_path, {"Rings": self.ROWS}), map=text)
        assert readings(read, "value", "unit") == [(14.5, "thou")]

    def test_no_unit_in_either_place_is_an_error(self, tmp_path):
        rows = [["Cyl", "Gap"], [1, 14.5], [2, 15.0]]
        read = ew.sheets.read(workbook(tmp_path, {"Rings": rows}), map=self.MAP)
        assert told(read)[0] == ("Rings!B1", "no unit")
        assert "2 cells" in read.problems[0].message
        assert read.account.total.rows["rejected"] == 2

    def test_a_unit_of_another_dimension_is_an_error(self, tmp_path):
        rows = [["Cyl", "Gap (g)"], [1, 14.5]]
        read = ew.sheets.read(workbook(tmp_path, {"Rings": rows}), map=self.MAP)
        assert told(read)[0] == ("Rings!B1", "unsuitable unit")

    def test_each_cell_may_bring_its_own(self, tmp_path):
        rows = [["Cyl", "Gap"], [1, "14.5 thou"], [2, "0.35 mm"], [3, 0.4]]
        text = self.MAP + 'unit = "in cells"\n'
        read = ew.sheets.read(workbook(tmp_path, {"Rings": rows}), map=text)
        assert readings(read, "value", "unit") == [(14.5, "thou"), (0.35, "mm")]
        assert told(read) == [("Rings!B4", "no unit")]

    def test_a_spring_tester_marked_in_pounds_reads_force(self, tmp_path):
        rows = [["No.", "Load (lb)"], [1, 92.0]]
        text = (
            HEAD
            + """
            [[table]]
            feature = "valve spring"
            number = { heading = "No." }
            [[table.column]]
            heading = "Load"
            quantity = "force"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Springs": rows}), map=text)
        assert readings(read, "value", "unit") == [(92.0, "lbf")]

    def test_a_scale_that_no_dimension_has_is_kept_as_written(self, tmp_path):
        rows = [["Spin", "Left (mm/s)"], [1, 2.4]]
        text = (
            HEAD
            + """
            [[table]]
            feature = "rotor"
            repeat = { heading = "Spin" }
            [[table.column]]
            heading = "Left (mm/s)"
            quantity = "amplitude"
            station = "left plane"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Balance": rows}), map=text)
        assert readings(read, "value", "unit", "repeat") == [(2.4, "mm/s", 1)]


class TestUnknownHeadings:
    def test_an_unknown_heading_is_an_error_with_the_nearest_known_ones(self, tmp_path):
        rows = [["Cyl", "Top / A (mm)", "Topp / B (mm)"], [1, 86.011, 86.012]]
        text = WIDE_MAP.replace("[1, 2]", "[1]")
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=text)
        assert told(read) == [("Block!C1", "unknown heading")]
        assert "'Top / B (mm)'" in read.problems[0].suggestion
        assert read.account.total.cells == {
            "readings": 1,
            "keys": 1,
            "notes": 0,
            "ignored": 0,
            "rejected": 1,
        }

    def test_beyond_ten_they_are_one_problem(self, tmp_path):
        rows = [["Cyl", "Top / A (mm)", *(f"x{i}" for i in range(40))], [1, 86.011]]
        text = WIDE_MAP.replace("[1, 2]", "[1]")
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=text)
        assert len(read.problems) == 11
        assert "30 more columns from M to AP" in read.problems[-1].message

    def test_a_star_ignores_what_no_other_rule_names(self, tmp_path):
        rows = [["Cyl", "Top / A (mm)", "x", "Notes"], [1, 86.011, 5, "worn"]]
        text = WIDE_MAP.replace("[1, 2]", '[1]\nignore_columns = ["*"]')
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=text)
        assert not read.problems
        assert wide_readings(read) == [(1, "top", "along", 86.011, "worn")]
        assert read.account.total.cells["ignored"] == 1

    def test_cells_below_no_heading_are_named_by_their_column(self, tmp_path):
        rows = [["Cyl", "Top / A (mm)", None], [1, 86.011, 5]]
        text = WIDE_MAP.replace("[1, 2]", "[1]")
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=text)
        assert told(read) == [("Block!C1", "no heading")]
        assert 'column = "C"' in read.problems[0].suggestion

    def test_a_heading_that_stands_twice_is_nobodys_until_a_letter_names_it(self, tmp_path):
        rows = [["Cyl", "Gap (mm)", "Gap (mm)"], [1, 0.35, 0.40]]
        text = (
            HEAD
            + """
            [[table]]
            feature = "ring"
            number = { heading = "Cyl" }
            [[table.column]]
            heading = "Gap (mm)"
            part = "top ring"
            quantity = "gap"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Rings": rows}), map=text)
        assert [code for _, code in told(read)] == ["heading twice", "heading twice", "no reading"]
        text = (
            text.replace('heading = "Gap (mm)"', 'column = "B"')
            + """
            [[table.column]]
            column = "C"
            part = "second ring"
            quantity = "gap"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Rings": rows}), map=text)
        assert readings(read, "part", "value") == [("top ring", 0.35), ("second ring", 0.40)]
        assert not read.problems


class TestRows:
    def test_totals_and_repeated_headings_are_ignored_and_counted(self, tmp_path):
        rows = [*WIDE, *WIDE[:2], [3, 86.031, None, None, None, None], ["TOTAL", 5], ["Mean", 1]]
        text = WIDE_MAP.replace("note_columns", 'ignore_rows = ["total*", "mean"]\nnote_columns')
        path = workbook(tmp_path, {"Block": rows}, merged=["B1:C1", "D1:E1"])
        read = ew.sheets.read(path, map=text)
        assert not read.problems
        assert read.account.total.rows["ignored"] == 4
        assert len(read.readings) == 9

    def test_a_row_that_does_not_say_which_part_is_rejected_and_named(self, tmp_path):
        rows = [*WIDE, [None, 86.5, None, None, None, None]]
        read = ew.sheets.read(
            workbook(tmp_path, {"Block": rows}, merged=["B1:C1", "D1:E1"]), map=WIDE_MAP
        )
        assert told(read) == [("Block, row 5", "missing key")]
        assert read.account.total.rows["rejected"] == 1

    def test_a_row_whose_number_cannot_be_read_is_rejected_whole(self, tmp_path):
        rows = [*WIDE, ["three", 86.5, 86.6, None, None, "a note"]]
        read = ew.sheets.read(
            workbook(tmp_path, {"Block": rows}, merged=["B1:C1", "D1:E1"]), map=WIDE_MAP
        )
        assert told(read) == [("Block!A5", "unreadable count")]
        assert read.account.total.cells["rejected"] == 4
        assert "ignore_rows" in read.problems[0].suggestion

    def test_a_row_of_keys_without_a_reading_is_used_and_noted(self, tmp_path):
        rows = [*WIDE, [3], [4]]
        read = ew.sheets.read(
            workbook(tmp_path, {"Block": rows}, merged=["B1:C1", "D1:E1"]), map=WIDE_MAP
        )
        assert told(read) == [("Block, row 5", "row without reading")]
        assert "2 rows" in read.problems[0].message
        assert read.account.total.rows["used"] == 4

    def test_a_value_merged_over_rows_is_read_once_with_a_note(self, tmp_path):
        rows = [["Cyl", "Top / A (mm)"], [1, 86.011], [2, None]]
        text = WIDE_MAP.replace("[1, 2]", "[1]")
        path = workbook(tmp_path, {"Block": rows}, merged=["B2:B3"])
        read = ew.sheets.read(path, map=text)
        assert readings(read, "number", "value") == [(1, 86.011)]
        assert ("Block!B2", "merged value") in told(read)

    def test_a_key_merged_over_rows_stands_for_all_of_them(self, tmp_path):
        rows = [["Cyl", "Place", "Size (mm)"], [1, "top", 86.011], [None, "bottom", 86.012]]
        text = (
            HEAD
            + """
            [[table]]
            feature = "bore"
            number = { heading = "Cyl" }
            station = { heading = "Place" }
            [[table.column]]
            heading = "Size (mm)"
            quantity = "diameter"
        """
        )
        path = workbook(tmp_path, {"Block": rows}, merged=["A2:A3"])
        read = ew.sheets.read(path, map=text)
        assert readings(read, "number", "station") == [(1, "top"), (1, "bottom")]
        assert read.account.total.cells["keys"] == 3

    def test_hidden_rows_columns_and_sheets_are_read_with_a_warning(self, tmp_path):
        import openpyxl

        path = workbook(tmp_path, {"Block": WIDE, "Other": [["x"]]}, merged=["B1:C1", "D1:E1"])
        book = openpyxl.load_workbook(path)
        book["Block"].row_dimensions[3].hidden = True
        book["Block"].column_dimensions["C"].hidden = True
        book["Block"].sheet_state = "hidden"
        book.active = 1
        book.save(path)
        text = WIDE_MAP.replace("header_rows", 'sheet = "Block"\nheader_rows')
        read = ew.sheets.read(path, map=text)
        assert wide_readings(read) == WIDE_READINGS
        warnings = [problem.message for problem in read.problems.warnings]
        assert len(warnings) == 3
        assert any("rows" in told and "3" in told for told in warnings)
        assert any("columns" in told and "C" in told for told in warnings)


class TestSeveralTables:
    def test_one_pattern_covers_several_sheets(self, tmp_path):
        sheets = {"Block 1": WIDE, "Block 2": WIDE, "Notes": [["nothing"]]}
        text = WIDE_MAP.replace("header_rows", 'sheet = "block*"\nheader_rows')
        read = ew.sheets.read(csv_free(tmp_path, sheets), map=text)
        assert set(column(read, "sheet")) == {"Block 1", "Block 2"}
        assert ("Notes", "sheet not named") in told(read)
        assert read.account.sheets["Notes"].rows["ignored"] == 1
        assert read.account.sheets["Notes"].cells["ignored"] == 1

    def test_tables_one_below_the_other_end_where_the_next_begins(self, tmp_path):
        rows = [
            ["Cyl", "Bore (mm)"],
            [1, 86.01],
            [2, 86.02],
            [None, None],
            ["Ring", "Gap (mm)"],
            [1, 0.35],
        ]
        text = (
            HEAD
            + """
            [[table]]
            header_rows = [5]
            feature = "ring"
            number = { heading = "Ring" }
            [[table.column]]
            heading = "Gap (mm)"
            quantity = "gap"
            [[table]]
            header_rows = [1]
            feature = "bore"
            number = { heading = "Cyl" }
            [[table.column]]
            heading = "Bore (mm)"
            quantity = "diameter"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=text)
        assert not read.problems
        expected = [("bore", 86.01), ("bore", 86.02), ("ring", 0.35)]
        assert readings(read, "feature", "value") == expected
        assert read.account.total.rows["heading"] == 2
        assert read.account.total.rows["blank"] == 1

    def test_tables_side_by_side_share_their_rows(self, tmp_path):
        rows = [
            ["Cyl", "Bore (mm)", "Journal", "Main (mm)"],
            [1, 86.01, 1, 59.98],
            [2, "x", 2, 59.97],
        ]
        text = (
            HEAD
            + """
            [[table]]
            feature = "bore"
            number = { heading = "Cyl" }
            [[table.column]]
            heading = "Bore (mm)"
            quantity = "diameter"
            [[table]]
            feature = "main journal"
            number = { heading = "Journal" }
            [[table.column]]
            heading = "Main (mm)"
            quantity = "diameter"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=text)
        assert [place for place, _ in told(read)] == ["Block!B3"]
        assert readings(read, "feature", "number") == [
            ("bore", 1),
            ("main journal", 1),
            ("main journal", 2),
        ]
        assert read.account.total.rows["used"] == 2
        assert read.account.total.used_in_part == 1

    def test_a_sheet_that_is_not_there_is_named_with_its_neighbour(self, tmp_path):
        text = WIDE_MAP.replace("header_rows", 'sheet = "Blok"\nheader_rows')
        read = ew.sheets.read(workbook(tmp_path, {"Block": WIDE}), map=text)
        (problem,) = read.problems.errors
        assert problem.code == "sheet missing"
        assert "'Block'" in problem.suggestion


def csv_free(folder, sheets):
    """A workbook whose sheets all merge the upper headings alike."""
    import openpyxl

    path = workbook(folder, sheets)
    book = openpyxl.load_workbook(path)
    for sheet in book.worksheets[:2]:
        sheet.merge_cells("B1:C1")
        sheet.merge_cells("D1:E1")
    book.save(path)
    return path


class TestKeysInEveryPlace:
    def test_the_nearest_wins_and_a_blank_cell_passes_the_question_on(self, tmp_path):
        rows = [
            ["Cyl", "Gauge", "Bore (mm)", "Gap (mm)"],
            [1, "bore gauge 1", 86.01, 0.35],
            [2, None, 86.02, 0.36],
        ]
        text = (
            HEAD
            + """
            [[table]]
            feature = "bore"
            number = { heading = "Cyl" }
            gauge = { heading = "Gauge" }
            [[table.column]]
            heading = "Bore (mm)"
            quantity = "diameter"
            [[table.column]]
            heading = "Gap (mm)"
            feature = "ring"
            gauge = "feeler gauges"
            quantity = "gap"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=text)
        assert readings(read, "feature", "number", "gauge") == [
            ("bore", 1, "bore gauge 1"),
            ("ring", 1, "feeler gauges"),
            ("bore", 2, "bore gauge 2"),
            ("ring", 2, "feeler gauges"),
        ]

    def test_a_default_may_stand_in_a_cell_of_another_sheet(self, tmp_path):
        sheets = {
            "Head": [["Job", 1077], ["By", "J.W."], ["On", dt.date(2026, 3, 2)]],
            "Block": WIDE,
        }
        text = WIDE_MAP.replace('job = "1042"', 'job = { sheet = "Head", cell = "B1" }\n'
                                'by = { sheet = "Head", cell = "B2" }\n'
                                'date = { sheet = "Head", cell = "B3" }')  # fmt: skip
        text = text.replace("header_rows", 'sheet = "Block"\nheader_rows')
        read = ew.sheets.read(csv_free(tmp_path, dict(reversed(sheets.items()))), map=text)
        assert set(readings(read, "job", "by")) == {("1077", "J.W.")}
        assert not [problem for problem in read.problems if problem.sheet == "Head"]

    def test_an_empty_default_cell_is_named_once_and_its_rows_are_rejected(self, tmp_path):
        text = WIDE_MAP.replace('job = "1042"', 'job = { cell = "H1" }')
        read = ew.sheets.read(csv_file(tmp_path, WIDE), map=text)
        assert told(read)[0] == ("sheet!H1", "missing default")
        assert read.account.total.rows["rejected"] == 2
        assert len(read.readings) == 0

    def test_several_words_come_out_of_one_cell(self, tmp_path):
        rows = [
            ["Item", "Size (mm)"],
            ["cyl 1 top", 86.01],
            ["Cyl  2  bottom", 86.02],
            ["main 3", 59.98],
            ["sump", 1.0],
        ]
        text = (
            HEAD
            + """
            [[table]]
            feature = "bore"
            keys = { heading = "Item", text = ["cyl {number} {station}", "main {number}"] }
            [[table.column]]
            heading = "Size (mm)"
            quantity = "diameter"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=text)
        assert readings(read, "number", "station") == [(1, "top"), (2, "bottom"), (3, None)]
        assert told(read) == [("Block!A5", "unreadable key")]

    def test_words_of_a_text_are_translated_by_the_tables_values(self, tmp_path):
        rows = [["Item", "Gap (mm)"], ["1 T", 0.35], ["1 S", 0.4]]
        text = (
            HEAD
            + """
            [[table]]
            feature = "ring"
            keys = { heading = "Item", text = "{number} {part}" }
            [[table.column]]
            heading = "Gap (mm)"
            quantity = "gap"
            [table.values.part]
            T = "top ring"
            S = "second ring"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Rings": rows}), map=text)
        assert column(read, "part") == ["top ring", "second ring"]

    def test_braces_may_catch_a_number_or_a_unit(self, tmp_path):
        rows = [["Place", "Cyl 1 [mm]", "Cyl 2 [mm]"], ["top", 86.01, 86.02]]
        text = (
            HEAD
            + """
            [[table]]
            feature = "bore"
            station = { heading = "Place" }
            [[table.column]]
            heading = "Cyl {number} [{unit}]"
            quantity = "diameter"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=text)
        assert readings(read, "number", "unit", "value") == [(1, "mm", 86.01), (2, "mm", 86.02)]

    def test_a_series_has_positions_in_the_unit_of_their_heading(self, tmp_path):
        rows = [["Crank angle (°)", "Lift (mm)"], [0, 0.0], [10, 0.42], [20, 1.31]]
        text = (
            HEAD
            + """
            [[table]]
            feature = "cam"
            number = 1
            part = "inlet"
            position = { heading = "Crank angle (°)" }
            [[table.column]]
            heading = "Lift (mm)"
            quantity = "lift"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Cam": rows}), map=text)
        assert readings(read, "position", "position_unit", "value") == [
            (0.0, "°", 0.0),
            (10.0, "°", 0.42),
            (20.0, "°", 1.31),
        ]

    def test_a_position_may_stand_in_the_heading(self, tmp_path):
        rows = [["Valve", "after 10 s (kPa)", "after 30 s (kPa)"], [1, 60.0, 55.0]]
        text = (
            HEAD
            + """
            [[table]]
            feature = "valve"
            number = { heading = "Valve" }
            [[table.column]]
            heading = "after {position} (kPa)"
            quantity = "vacuum"
        """
        )
        read = ew.sheets.read(workbook(tmp_path, {"Leak": rows}), map=text)
        assert readings(read, "position", "position_unit", "value") == [
            (10.0, "s", 60.0),
            (30.0, "s", 55.0),
        ]

    def test_a_long_table_may_name_its_columns_by_letters(self, tmp_path):
        rows = [["", "", "Size"], ["bore", 1, "86,01"], ["bore", 2, "86,02"]]
        text = (
            HEAD
            + """
            [[table]]
            quantity = "diameter"
            unit = "mm"
            columns = { feature = { column = "A" }, number = { column = "B" }, value = "Size" }
        """
        )
        read = ew.sheets.read(csv_file(tmp_path, rows, mark=";"), map=text)
        assert readings(read, "feature", "number", "value") == [
            ("bore", 1, 86.01),
            ("bore", 2, 86.02),
        ]

    def test_several_columns_of_notes_are_joined(self, tmp_path):
        rows = [["Cyl", "Top / A (mm)", "Notes", "Comment"], [1, 86.011, "worn", "oily"]]
        text = WIDE_MAP.replace("[1, 2]", "[1]").replace('["Notes"]', '["Notes", "Comm*"]')
        read = ew.sheets.read(workbook(tmp_path, {"Block": rows}), map=text)
        assert column(read, "note") == ["worn; oily"]
        assert read.account.total.cells["notes"] == 2

    @pytest.mark.parametrize(
        ("order", "text", "day"),
        [
            ("day-month-year", "2.3.2026", dt.date(2026, 3, 2)),
            ("month-day-year", "2/3/26", dt.date(2026, 2, 3)),
            ("year-month-day", "2026-3-2", dt.date(2026, 3, 2)),
            ("day-month-year", "2026-03-02", dt.date(2026, 3, 2)),
        ],
    )
    def test_dates_as_texts_are_read_in_the_maps_order(self, tmp_path, order, text, day):
        rows = [["Cyl", "Bore (mm)", "Date"], [1, "86.01", text]]
        map_text = (
            HEAD.replace("[defaults]", f'[file]\ndates = "{order}"\n[defaults]')
            + """
            [[table]]
            feature = "bore"
            number = { heading = "Cyl" }
            date = { heading = "Date" }
            [[table.column]]
            heading = "Bore (mm)"
            quantity = "diameter"
        """
        )
        read = ew.sheets.read(csv_file(tmp_path, rows), map=map_text)
        (days,) = column(read, "date")
        assert as_date(days) == day

    def test_an_optional_key_that_cannot_be_read_costs_only_itself(self, tmp_path):
        rows = [["Cyl", "Bore (mm)", "Date"], [1, "86.01", "31.2.2026"]]
        text = (
            HEAD
            + """
            [[table]]
            feature = "bore"
            number = { heading = "Cyl" }
            date = { heading = "Date" }
            [[table.column]]
            heading = "Bore (mm)"
            quantity = "diameter"
        """
        )
        read = ew.sheets.read(csv_file(tmp_path, rows), map=text)
        assert told(read) == [("sheet!C2", "unreadable date")]
        assert column(read, "value") == [86.01]
        assert read.account.total.cells["rejected"] == 1
        assert read.account.total.used_in_part == 1


def as_date(value):
    """A date however the table gives it."""
    if isinstance(value, int | float):
        return dt.date(1970, 1, 1) + dt.timedelta(days=int(value))
    return dt.date.fromisoformat(str(value)[:10])


class TestTidyHeadings:
    def test_column_names_need_no_map_and_may_stand_below_a_title(self, tmp_path):
        rows = [["made by hand"], [], *tidy(["bore", "1", "diameter", "86.01", "mm"])]
        read = ew.sheets.read(csv_file(tmp_path, rows))
        assert readings(read, "job", "stage", "feature", "number", "value") == [
            ("1042", "as received", "bore", 1, 86.01)
        ]
        assert read.account.total.rows["above the table"] == 1

    def test_what_the_sheet_lacks_the_caller_may_give(self, tmp_path):
        text = "feature,quantity,value,unit\nbore,diameter,86.01,mm\n"
        read = ew.sheets.read(
            csv_file(tmp_path, text), defaults={"job": "1042", "stage": "as received"}
        )
        assert readings(read, "job", "stage") == [("1042", "as received")]

    def test_what_nobody_gives_is_said_once_for_the_table(self, tmp_path):
        text = "feature,quantity,value,unit\nbore,diameter,86.01,mm\nbore,diameter,86.02,mm\n"
        read = ew.sheets.read(csv_file(tmp_path, text), defaults={"stage": "as received"})
        assert told(read) == [("sheet", "missing key"), ("sheet", "no reading")]
        assert read.account.total.rows["rejected"] == 2

    def test_a_word_may_stand_under_its_own_heading(self, tmp_path):
        rows = tidy(
            ["bore", "1", "diameter", "", "", "scored"],
            ["bore", "2", "diameter", "86.01", "mm", "scored"],
            heads=["observation"],
        )
        read = ew.sheets.read(csv_file(tmp_path, rows))
        assert readings(read, "value", "observation", "column") == [
            (None, "scored", 8),
            (86.01, "scored", 6),
        ]
        assert read.account.total.cells["readings"] == 2

    def test_a_file_that_needs_a_map_says_how_to_get_one(self, tmp_path):
        read = ew.sheets.read(csv_file(tmp_path, "Cyl,Bore\n1,86.01\n"))
        (problem,) = read.problems
        assert problem.code == "unknown layout"
        assert "enginewright map sheet.csv" in problem.suggestion
        assert read.account.total.rows["rejected"] == 2
        assert len(read.readings) == 0


class TestRepeats:
    def rows(self, *repeats):
        rows = tidy(
            *(
                ["chamber", "1", "burette reading", f"{40 + i}.0", "cc", repeat]
                for i, repeat in enumerate(repeats)
            ),
            heads=["repeat"],
        )
        return [*rows, ["1042", "as received", "chamber", "2", "volume", "41.0", "cc", ""]]

    def test_the_same_thing_read_again_is_numbered_on_in_order_and_noted(self, tmp_path):
        read = ew.sheets.read(csv_file(tmp_path, self.rows("", "", "")))
        assert column(read, "repeat") == [1, 2, 3, None]
        assert told(read) == [("sheet!F3", "repeats numbered")]
        assert read.problems[0].severity == "note"

    def test_numbers_given_stand_and_the_rest_goes_on(self, tmp_path):
        read = ew.sheets.read(csv_file(tmp_path, self.rows("1", "", "5", "")))
        assert column(read, "repeat") == [1, 2, 5, 6, None]

    def test_an_equal_number_is_an_error_that_names_both_cells(self, tmp_path):
        read = ew.sheets.read(csv_file(tmp_path, self.rows("1", "2", "2")))
        (problem,) = read.problems
        assert (problem.place, problem.code) == ("sheet!F4", "same reading twice")
        assert "sheet!F3" in problem.message
        assert column(read, "value") == [40.0, 41.0, 41.0]
        assert read.account.total.rows["rejected"] == 1
