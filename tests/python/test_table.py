"""Tables as a user of NumPy meets them: columns, rows, refusals, how they show themselves."""

import copy
import datetime as dt
import decimal
import gc
import math
import pickle
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from table_samples import columns

import enginewright as ew

BORES = {
    "job": ["J1", "J1", "J1", "J2"],
    "stage": "as received",
    "feature": "bore",
    "number": [1, 2, None, 1],
    "axis": ["thrust", "along", "thrust", ""],
    "quantity": "diameter",
    "value": [86.04, 86.11, math.nan, 86.02],
    "unit": "mm",
    "observation": [None, None, "scored", None],
    "date": [dt.date(2026, 3, 2), None, "2026-03-04", np.datetime64("2026-03-05")],
    "note": ["first", None, "", "<b>bold</b>"],
}


def bores(**more):
    return ew.Readings(**{**BORES, **more})


def refused(error, **more):
    with pytest.raises(error) as caught:
        bores(**more)
    return str(caught.value)


def test_columns_come_back_as_read_only_arrays():
    readings = bores()
    value = readings["value"]
    assert value.values.dtype == np.float64
    assert value.missing.tolist() == [False, False, True, False]
    assert value.tolist() == [86.04, 86.11, None, 86.02]
    with pytest.raises(ValueError, match="read-only"):
        value.values[0] = 1.0
    assert readings["number"].values.dtype == np.int32
    assert readings["number"].tolist() == [1, 2, None, 1]
    assert readings["date"].tolist() == [
        dt.date(2026, 3, 2), None, dt.date(2026, 3, 4), dt.date(2026, 3, 5)
    ]  # fmt: skip
    assert readings["note"].tolist() == ["first", None, "", "<b>bold</b>"]


def test_words_have_codes_and_an_empty_word_is_none():
    axis = bores()["axis"]
    assert axis.words == ("thrust", "along")
    assert axis.codes.tolist() == [0, 1, 0, -1]
    assert axis.values.tolist() == ["thrust", "along", "thrust", None]
    assert axis.missing.tolist() == [False, False, False, True]
    with pytest.raises(TypeError, match="words belong to a column of words, value holds numbers"):
        bores()["value"].words  # noqa: B018


def test_a_column_that_was_not_given_is_there_and_wholly_missing():
    readings = bores()
    assert "temperature" in readings
    assert readings["temperature"].missing.all()
    assert np.isnan(readings["temperature"].values).all()
    assert readings["gauge"].codes.tolist() == [-1] * 4
    assert readings["repeat"].values.tolist() == [0] * 4


def test_numpy_float64_and_int32_are_taken_as_they_lie():
    value = np.array([86.0, 86.1, 86.2, 86.3])
    number = np.array([1, 2, 3, 4], dtype=np.int32)
    readings = bores(value=value, number=number, observation=None)
    assert np.shares_memory(readings["value"].values, value)
    assert np.shares_memory(readings["number"].values, number)
    assert np.shares_memory(readings[1:3]["value"].values, value)
    strided = bores(value=np.arange(8.0)[::2] + 1, observation=None)
    assert strided["value"].tolist() == [1.0, 3.0, 5.0, 7.0]


@pytest.mark.parametrize(
    "given",
    [
        np.array([1, 2, 3, 4], dtype=np.int8),
        np.array([1, 2, 3, 4], dtype=np.uint64),
        np.array([1, 2, 3, 4], dtype=">i4"),
        np.array([1, 2, 3, 4], dtype=np.float16),
        np.array([1, 2, 3, 4], dtype=">f8"),
        np.array([1, 2, 3, 4], dtype=np.longdouble),
        np.ma.array([1, 2, 3, 4], mask=[False] * 4),
        np.array([1, 2.0, decimal.Decimal(3), np.int16(4)], dtype=object),
        (1, 2, 3, 4),
        range(1, 5),
    ],
)
def test_any_width_of_number_is_taken(given):
    readings = bores(value=given, number=given, observation=None)
    assert readings["value"].tolist() == [1.0, 2.0, 3.0, 4.0]
    assert readings["number"].tolist() == [1, 2, 3, 4]


def test_masked_arrays_keep_what_they_mask():
    readings = bores(
        number=np.ma.array([1, 2, 3, 4], mask=[0, 1, 0, 0]),
        axis=np.ma.array(["a", "b", "a", "b"], mask=[1, 0, 0, 0]),
    )
    assert readings["number"].tolist() == [1, None, 3, 4]
    assert readings["axis"].tolist() == [None, "b", "a", "b"]


def test_a_job_number_may_be_a_number():
    assert bores(job=[2041, 2041, 2042, 2041])["job"].words == ("2041", "2042")


def test_a_single_value_fills_every_row():
    readings = bores(temperature=21.5, by="KM", date=dt.date(2026, 3, 2))
    assert readings["temperature"].tolist() == [21.5] * 4
    assert readings["by"].words == ("KM",)
    assert len(ew.Readings(job="J1", stage="s", feature="bore", quantity="gap", value=1.0,
                           unit="mm")) == 1  # fmt: skip


@pytest.mark.parametrize(
    ("column", "given", "said"),
    [
        ("value", ["86"] * 4, "column value must hold numbers, got str (row 0)"),
        ("value", [1.0, 2.0, True, 3.0], "column value must hold numbers, got bool (row 2)"),
        ("value", np.ones(4, dtype=bool), "column value must hold numbers, got bool"),
        ("value", np.ones(4, dtype=complex), "column value must hold numbers, got complex128"),
        ("value", [1.0, 2.0, [3.0], 4.0], "column value must hold numbers, got list (row 2)"),
        ("job", np.ones(4), "column job must hold words, got float64"),
        ("job", ["J1", b"J1", "J1", "J1"], "column job must hold words, got bytes (row 1)"),
        ("date", [1, 2, 3, 4], "column date must hold dates, got int (row 0)"),
        ("note", [1, 2, 3, 4], "column note must hold texts, got int (row 0)"),
        (
            "value",
            [1.0, 2.0, np.complex64(3), 4.0],
            "column value must hold numbers, got numpy.complex64 (row 2)",
        ),
        ("value", {"a": 1}, "column value must hold numbers, got str (row 0)"),
    ],
)
def test_a_wrong_type_is_refused_by_column_and_type(column, given, said):
    assert refused(TypeError, **{column: given}) == said


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"value": [1.0, math.inf, 1.0, 1.0]}, "value must be a finite number, got inf (row 1)"),
        ({"value": [1.0, -math.inf, 1.0, 1.0]}, "value must be a finite number, got -inf (row 1)"),
        ({"temperature": [20, 20, 20, math.inf]},
         "temperature must be a finite number, got inf (row 3)"),
        ({"observation": None}, "value or observation must be given, both are missing (row 2)"),
        ({"unit": ["mm", "", "mm", "mm"]},
         "unit must be given with a value, it is missing (row 1)"),
        ({"stage": ["as received", None, "x", "y"]}, "stage must be given, it is missing (row 1)"),
        ({"number": [1, 2.5, 1, 1]},
         "number must be a whole number below 2147483648, got 2.5 (row 1)"),
        ({"number": [1, 2, 3, 2**31]},
         "number must be a whole number below 2147483648, got 2147483648.0 (row 3)"),
        ({"number": [1, 0, 1, 1]}, "number must be at least 1, got 0 (row 1)"),
        ({"repeat": [1, -1, 1, 1]}, "repeat must be at least 1, got -1 (row 1)"),
        ({"uncertainty": [0, 0.1, -0.1, 0]}, "uncertainty must be at least 0, got -0.1 (row 2)"),
        ({"date": ["2026-03-02", "2 March", None, None]},
         "date must be a date like 2027-02-01, got '2 March'"),
        ({"value": np.ones((2, 2))}, "column value must have one dimension, got 2"),
        ({"number": [1, 2]}, "column number must have 4 rows, got 2"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_with_its_row(more, said):
    assert refused(ValueError, **more) == said


@pytest.mark.parametrize("unit", ["furlong", "g", "mPa", "°C"])
def test_a_unit_must_be_known_and_suit_its_quantity(unit):
    said = refused(ValueError, unit=["mm", "mm", "mm", unit])
    assert said.startswith(f"unit must suit diameter, a length, got '{unit}'")
    assert said.endswith("(row 3)")


def test_the_unit_of_a_reading_without_a_value_may_be_missing():
    assert bores(unit=["mm", "mm", None, "mm"])["unit"].tolist() == ["mm", "mm", None, "mm"]


def test_the_shop_may_have_features_and_quantities_of_its_own():
    readings = bores(feature="reed block", quantity="petal gap", unit="thou")
    assert readings["quantity"].words == ("petal gap",)
    assert readings.canonical()["unit"].words == ("mm",)


def test_a_columns_name_is_a_text():
    with pytest.raises(TypeError, match="a column's name must be a text, got int 1"):
        ew.Readings.from_frame({1: [1.0]})
    with pytest.raises(ValueError, match="readings must hold the column job"):
        ew.Readings()


def test_a_missing_column_is_named_with_the_nearest_one():
    given = dict(BORES)
    given["stag"] = given.pop("stage")
    with pytest.raises(ValueError, match="readings must hold the column stage; did you mean stag?"):
        ew.Readings(**given)


def test_a_second_reading_of_the_same_thing_is_numbered_on():
    readings = bores(number=[1, 1, 1, 1], axis="thrust")
    assert readings["repeat"].tolist() == [1, 2, 3, None]
    assert readings.numbered.tolist() == [1, 2]
    assert bores().numbered.tolist() == []


def test_the_same_repeat_twice_is_refused_with_both_cells():
    said = refused(ValueError, number=1, axis="x", repeat=[1, 2, 2, 1], sheet="Block",
                   row=[5, 6, 7, 8], column=3)  # fmt: skip
    assert said == (
        "repeat must tell readings of the same thing apart, got 2 in both Block!C6 and Block!C7 "
        "(bore diameter)"
    )


def test_rows_are_chosen_by_slices_numbers_and_truth_values():
    readings = bores()
    assert readings[1:3]["number"].tolist() == [2, None]
    assert readings[::2]["number"].tolist() == [1, None]
    assert readings[::-1]["number"].tolist() == [1, None, 2, 1]
    assert readings[[3, 0]]["value"].tolist() == [86.02, 86.04]
    assert readings[[-1]]["job"].tolist() == ["J2"]
    assert readings[readings["job"] == "J1"]["number"].tolist() == [1, 2, None]
    assert readings[readings["value"] > 86.03]["number"].tolist() == [1, 2]
    assert len(readings[[]]) == 0
    assert len(readings[5:2]) == 0
    assert readings[-1].value == 86.02
    assert readings[2]["value"] is None
    assert [row.number for row in readings] == [1, 2, None, 1]


@pytest.mark.parametrize(
    ("index", "error"),
    [(4, IndexError), (-5, IndexError), ([4], ValueError), ([True], ValueError), (1.5, TypeError),
     ("nothing", KeyError), (None, TypeError)],
)  # fmt: skip
def test_an_index_that_does_not_fit_is_refused(index, error):
    with pytest.raises(error):
        bores()[index]


def test_a_missing_row_equals_nothing():
    readings = bores()
    assert (readings["number"] == 1).tolist() == [True, False, False, True]
    assert (readings["number"] != 1).tolist() == [False, True, True, False]
    assert (readings["number"] < 5).tolist() == [True, True, False, True]
    assert (readings["axis"] == "thrust").tolist() == [True, False, True, False]
    assert (readings["axis"] == "nowhere").tolist() == [False] * 4
    assert (readings["axis"] == readings["axis"]).tolist() == [True, True, True, False]
    assert (readings["axis"] < "b").tolist() == [False, True, False, False]
    assert (readings["date"] >= dt.date(2026, 3, 4)).tolist() == [False, False, True, True]
    assert (readings["value"] == None).tolist() == [False] * 4  # noqa: E711
    assert readings["number"].isin((2, 3)).tolist() == [False, True, False, False]


def test_where_selects_by_column():
    readings = bores()
    assert len(readings.where(job="J1", axis="thrust")) == 2
    assert len(readings.where(number=(1, 2))) == 3
    assert len(readings.where(number=None)) == 1
    assert readings.where() is readings


def test_a_column_is_an_array_when_numpy_asks():
    readings = bores()
    assert np.asarray(readings["value"]).dtype == np.float64
    counts = np.asarray(readings["number"])
    assert np.isnan(counts[2]), "a missing count is never a silent 0"
    assert np.nanmax(readings["value"]) == 86.11
    masked = readings.as_dict()["number"]
    assert isinstance(masked, np.ma.MaskedArray)
    assert masked.sum() == 4


def test_a_table_is_equal_copied_and_pickled():
    readings = bores(shop_mark=["red", None, "blue", "red"], shop_flag=[True, False, True, None])
    for again in (
        copy.copy(readings),
        copy.deepcopy(readings),
        pickle.loads(pickle.dumps(readings)),
    ):
        assert again == readings
    part = pickle.loads(pickle.dumps(readings[1:3]))
    assert part == readings[1:3]
    assert part["shop_flag"].tolist() == [False, True]
    assert readings != bores()
    assert bores() != bores(value=[86.04, 86.11, math.nan, 86.020001])
    assert bores() != bores(axis=["thrust", "along", "thrust", "along"])
    assert bores() != "readings"
    with pytest.raises(TypeError, match="unhashable"):
        hash(readings)


@given(columns())
@settings(max_examples=60, deadline=None)
def test_any_readings_come_back_from_their_own_arrays_and_from_pickle(given_columns):
    readings = ew.Readings(**given_columns)
    assert ew.Readings.from_frame(readings.as_dict()) == readings
    assert pickle.loads(pickle.dumps(readings)) == readings
    assert ew.Readings.from_frame(readings) == readings


@given(columns(least=1), st.data())
@settings(max_examples=40, deadline=None)
def test_choosing_rows_is_choosing_from_every_column(given_columns, data):
    readings = ew.Readings(**given_columns)
    chosen = data.draw(st.lists(st.integers(0, len(readings) - 1), max_size=8))
    part = readings[chosen]
    for name in readings.columns:
        listed = readings[name].tolist()
        assert part[name].tolist() == [listed[row] for row in chosen], name


def test_a_table_shows_itself_as_text_and_html():
    readings = bores()
    text = repr(readings)
    assert text.splitlines()[0] == "Readings: 4 rows"
    assert "temperature" not in text, "columns that say nothing stay out"
    html = readings._repr_html_()
    assert "&lt;b&gt;bold&lt;/b&gt;" in html
    assert "<b>" not in html
    many = ew.Readings(job="J1", stage="s", feature="bore", quantity="gap", unit="mm",
                       value=np.arange(1.0, 101.0), number=np.arange(1, 101))  # fmt: skip
    assert many._repr_html_().count("<tr>") == 1 + 20
    assert "80 rows more" in many._repr_html_()
    assert repr(ew.Readings.empty()) == "Readings: 0 rows"


def test_an_empty_table_has_every_column():
    empty = ew.Readings.empty()
    assert len(empty) == 0
    assert empty.columns == tuple(name for name in bores().columns)
    assert empty["value"].values.dtype == np.float64
    assert pickle.loads(pickle.dumps(empty)) == empty
    assert ew.Readings.from_frame(empty.as_dict()) == empty
    assert len(ew.Findings.empty()) == 0
    assert ew.Findings.empty()["verdict"].words == ("within", "outside", "unproven", "unlimited")


def test_readings_in_canonical_units_keep_what_is_canonical():
    readings = ew.Readings(
        job="J1", stage="s", feature=["bore", "bore", "crankshaft"],
        quantity=["diameter", "diameter", "temperature"],
        value=[86.1, 3.5, 212.0], unit=["mm", "in", "°F"], uncertainty=[0.004, 0.0001, 1.8],
        number=[1, 2, 1],
    )  # fmt: skip
    canonical = readings.canonical()
    assert canonical["value"].values.tolist() == [86.1, pytest.approx(88.9), pytest.approx(100.0)]
    assert canonical["uncertainty"].values[1:].tolist() == pytest.approx([0.00254, 1.0])
    assert canonical["unit"].tolist() == ["mm", "mm", "°C"]


def lift(**more):
    given = {
        "job": "J1", "stage": "finished", "feature": "cam", "part": "inlet", "quantity": "lift",
        "number": 1, "position": [20, 0, 10], "position_unit": "deg", "value": [0.1, 0.3, 0.2],
        "unit": "in",
    }  # fmt: skip
    return ew.Readings(**{**given, **more})


def test_a_series_is_sorted_by_position_and_named():
    curve = lift().series(feature="cam")
    assert curve.name == "cam 1 inlet lift"
    assert curve.position.tolist() == [0, 10, 20]
    assert curve.values.tolist() == pytest.approx([7.62, 5.08, 2.54])
    assert (curve.unit, curve.position_unit) == ("mm", "°")
    assert np.asarray(curve).sum() == pytest.approx(15.24)
    assert len(curve) == 3


def test_a_series_must_be_of_one_thing_with_positions():
    with pytest.raises(ValueError, match="a series must be of one number, got 1, 2; give number="):
        lift(number=[1, 1, 2]).series()
    with pytest.raises(ValueError, match="position must be given in a series, missing in row 1"):
        lift(position=[20, None, 10]).series()
    with pytest.raises(ValueError, match="a series needs at least one reading, there is none"):
        lift().series(number=7)


def test_a_grid_has_labels_and_says_what_is_there():
    readings = ew.Readings(
        job="J1", stage="s", feature="bore", quantity="diameter", unit="mm",
        number=[2, 1, 1, 1], station=["top", "top", "middle", "middle"],
        value=[86.02, 86.01, 86.04, 86.06],
    )  # fmt: skip
    grid = readings.grid(rows="number", columns="station")
    assert grid.rows == (1, 2)
    assert grid.columns == ("top", "middle")
    assert grid.present.tolist() == [[True, True], [True, False]]
    assert grid.values[0].tolist() == pytest.approx([86.01, 86.05])
    assert np.isnan(grid.values[1, 1])
    assert grid.unit == "mm"


def test_a_grid_refuses_readings_that_differ_otherwise():
    with pytest.raises(
        ValueError, match="a grid must be of one axis, got along, thrust; give axis="
    ):
        bores().grid(rows="number", columns="station", job="J1")


def test_amounts_and_phases_come_as_vectors_and_half_a_pair_is_a_problem():
    readings = ew.Readings(
        job="J1", stage="bare crank", feature="rotor",
        station=["left plane", "left plane", "right plane", "right plane", "left plane"],
        repeat=[1, 1, 1, 1, 2],
        quantity=["amount", "phase", "phase", "amount", "amount"],
        value=[20, 90, 180, 1, 7], unit=["g mm", "deg", "deg", "g cm", "g mm"],
        sheet="Spin", row=[2, 3, 4, 5, 6], column=2,
    )  # fmt: skip
    vectors = readings.vectors(stage="bare crank")
    assert vectors.values.tolist() == pytest.approx([20j, -10])
    assert vectors.readings["station"].tolist() == ["left plane", "right plane"]
    assert vectors.unit == "g·mm"
    assert vectors.problems == ("Spin!B6: amount without a phase",)
    assert len(readings.vectors(stage="flywheel")) == 0


def test_the_vocabulary_names_features_and_quantities():
    words = {(each.kind, each.word): each for each in ew.table.vocabulary()}
    assert words["quantity", "gap"].dimension == "length"
    assert words["quantity", "mass"].unit == "g"
    assert ("feature", "big-end journal") in words
    assert words["derived quantity", "ovality"].unit == "mm"
    for each in ew.table.vocabulary():
        if each.dimension:
            assert ew.units.unit(each.unit, each.dimension).symbol == each.unit


def test_findings_name_their_cells_and_readings():
    readings = bores(sheet="Block", row=[6, 7, 8, 9], column=3, axis="x", number=[1, 2, 3, 1])
    limits = ew.Limits.from_json(
        '{"limit": [{"feature": "bore", "quantity": "diameter", "upper": "86.1 mm",'
        ' "source": "invented"}]}'
    )
    findings = ew.inspect(readings, limits)
    outside = findings[findings["verdict"] == "outside"]
    assert outside["basis"].tolist() == ["Block!C7"]
    assert outside.readings_of(0).tolist() == [1]
    assert outside.readings is readings
    seen = {row for i in range(len(findings)) for row in findings.readings_of(i).tolist()}
    assert seen == set(range(4))
    assert pickle.loads(pickle.dumps(findings)) == findings
    assert findings[::-1][::-1] == findings
    assert "✗ outside" in findings._repr_html_()
    assert findings.with_problems(["x"]).problems == ("x",)
    assert findings.with_problems(["x"]) != findings
    again = ew.Findings.from_frame(
        findings.to_pandas(), readings=readings,
        readings_of=[findings.readings_of(i) for i in range(len(findings))],
        not_checked=findings.not_checked,
    )  # fmt: skip
    assert again == findings
    with pytest.raises(IndexError):
        findings.readings_of(len(findings))


def test_arrays_live_as_long_as_anything_points_into_them():
    value = np.arange(1.0, 1001.0)
    readings = ew.Readings(job="J1", stage="s", feature="bore", quantity="gap", unit="mm",
                           value=value, number=np.arange(1, 1001))  # fmt: skip
    column = readings[10:20]["value"].values
    del readings
    del value
    gc.collect()
    assert column.tolist() == list(range(11, 21))


def test_what_a_table_holds_on_to_is_let_go_with_it():
    gc.collect()
    value = np.arange(1.0, 101.0)
    before = sys.getrefcount(value)
    for _ in range(10):
        readings = ew.Readings(job="J1", stage="s", feature="bore", quantity="gap", unit="mm",
                               value=value, number=np.arange(1, 101))  # fmt: skip
        view = readings[5:]["value"].values
        assert sys.getrefcount(value) > before
        del readings, view
        gc.collect()
    assert sys.getrefcount(value) == before


def test_importing_tables_imports_no_frame_library():
    code = (
        "import sys, enginewright as ew; ew.Readings.empty(); ew.Limits.empty(); "
        "heavy = {'pandas', 'pyarrow', 'polars', 'openpyxl', 'matplotlib'}; "
        "print(sorted(heavy & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


# --- One thing through many jobs ----------------------------------------------------------------


def many_cranks(**changes):
    columns = {
        "job": ["J3", "J1", "J2", "J2"],
        "stage": "finished",
        "feature": "main journal",
        "number": 1,
        "quantity": "diameter",
        "value": [59.994, 59.990, 59.991, 59.993],
        "unit": "mm",
        "date": ["2025-03-01", "2025-01-01", "2025-02-01", "2025-02-01"],
    }
    return ew.Readings(**(columns | changes))


def test_a_history_is_sorted_by_date_and_one_value_a_job():
    got = many_cranks().history(feature="main journal")
    assert got.name == "main journal 1 diameter" and got.unit == "mm"
    assert got.jobs == ("J1", "J2", "J3")
    assert got.days.tolist() == [0.0, 31.0, 59.0]
    assert got.values.tolist() == pytest.approx([59.990, 59.992, 59.994])
    assert str(got.date_of(31.0)) == "2025-02-01" and str(got.dates[-1]) == "2025-03-01"
    assert not got.values.flags.writeable and len(got) == 3
    assert got.to_pandas()["job"].tolist() == ["J1", "J2", "J3"]


def test_a_history_is_of_one_thing_with_dates():
    with pytest.raises(ValueError, match="a history must be of one number, got 1, 2"):
        many_cranks(number=[1, 1, 2, 2]).history()
    with pytest.raises(ValueError, match="date must be given in a history"):
        many_cranks(date=["2025-03-01", None, "2025-02-01", "2025-02-01"]).history()
    with pytest.raises(ValueError, match="a history needs at least one reading"):
        many_cranks().history(feature="bore")
