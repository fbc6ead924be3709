"""Limits, engine cards and gauges: from TOML, workbooks and frames, and what is refused."""

import datetime as dt
import json
import pickle

import numpy as np
import openpyxl
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import enginewright as ew

TOML = """
[[limit]]
engine = "Linnet 2.0"
feature = "bore"
quantity = "diameter"
kind = "wear"
upper = "86.10 mm"
source = "Linnet 2.0 data card, line 12 (invented)"
provenance = "common practice"

[[limit]]
feature = "ring"
part = "top ring"
number = 2
quantity = "gap"
lower = "12 thou"
upper = "0.5 mm"
target = 0.016
unit = "in"
source = "shop"

[[engine]]
name = "Linnet 2.0"
cylinders = 4
firing_order = [1, 3, 4, 2]
bore = "86.00 mm"
gasket_thickness = "47 thou"
altitude = "120 m"
undersizes = { "main journal" = ["0.25 mm", "0.50 mm"] }
materials = { piston = "cast aluminium" }
journals = { "main journal" = 5 }
[engine.shelf]
"tappet shim" = { "2.20 mm" = 2, "2.25 mm" = 5 }
"main shell" = { red = { wall = "1.985 mm", pieces = 4 } }
[engine.adjuster]
sprocket_teeth = 36
[[engine.site]]
name = "web 1"
kind = "drill"
"""

GAUGES = """
[[gauge]]
name = "bore gauge 2"
resolution = "0.001 mm"
calibration_uncertainty = "0.004 mm"
due = 2027-02-01
setting = "86 mm ring"
setting_uncertainty = "0.0015 mm"
"""


@pytest.fixture
def limits(tmp_path):
    path = tmp_path / "limits.toml"
    path.write_text(TOML, encoding="utf-8")
    return ew.Limits.read(path)


def said(text):
    with pytest.raises(ValueError) as caught:  # noqa: PT011 - the text is looked at below
        ew.Limits.from_json(text if isinstance(text, str) else json.dumps(text))
    return str(caught.value)


def test_limits_are_read_from_toml_in_canonical_units(limits):
    assert len(limits) == 2
    assert limits["upper"].tolist() == [86.1, 0.5]
    assert limits["lower"].tolist() == [None, pytest.approx(0.3048)]
    assert limits["target"].tolist() == [None, pytest.approx(0.4064)]
    assert limits["unit"].tolist() == ["mm", "mm"]
    assert limits["given_unit"].tolist() == ["mm", "in"]
    assert limits[1].part == "top ring"
    assert limits.rows[1].place == "limits.toml, limit 2"
    assert "Limits: 2 rows" in repr(limits)


def test_an_engine_card_has_every_key_as_an_attribute(limits):
    card = limits.cards["Linnet 2.0"]
    assert card.bore == 86.0
    assert card.cylinders == 4
    assert card.firing_order == (1, 3, 4, 2)
    assert card.undersizes == {"main journal": (0.25, 0.5)}
    assert card.gasket_thickness == pytest.approx(1.1938)
    assert card.altitude == 120.0
    assert card.shelf["tappet shim"] == {2.2: 2, 2.25: 5}
    assert card.shelf["main shell"]["red"] == {"wall": 1.985, "pieces": 4}
    assert card.adjuster == {"sprocket_teeth": 36}
    assert card.site == ({"name": "web 1", "kind": "drill"},)
    assert card.stroke is None
    assert card.units["bore"] == "mm"
    assert card.written["gasket_thickness"] == "47 thou"
    with pytest.raises(AttributeError, match="no key 'stroek'; did you mean stroke"):
        card.stroek  # noqa: B018
    assert "bore=86.0 mm" in repr(card)
    assert "<table>" in card._repr_html_()
    assert pickle.loads(pickle.dumps(card)) == card


def test_limits_come_back_from_json_pickle_and_frames(limits):
    assert ew.Limits.from_json(limits.to_json()) == limits
    assert pickle.loads(pickle.dumps(limits)) == limits
    again = ew.Limits.from_frame(limits.to_pandas())
    assert again.to_pandas().equals(limits.to_pandas())
    assert ew.Limits.from_frame(limits) is limits
    assert limits[1:].cards == limits.cards
    assert limits[limits["feature"] == "ring"]["number"].tolist() == [2]


def test_limits_come_from_a_frame_with_a_unit_column():
    frame = pd.DataFrame({
        "feature": ["ring", "bore"], "number": [np.nan, 2], "quantity": ["gap", "diameter"],
        "lower": [12, np.nan], "upper": [np.nan, 86.1], "unit": ["thou", "mm"],
        "source": ["shop", "card"],
    })  # fmt: skip
    limits = ew.Limits.from_frame(frame)
    assert limits["lower"].tolist() == [pytest.approx(0.3048), None]
    assert limits["number"].tolist() == [None, 2]
    frame["unit"] = ["thou", None]
    with pytest.raises(ValueError, match="limit 2: upper must have its unit"):
        ew.Limits.from_frame(frame)


def test_all_faults_of_a_file_are_named_at_once(tmp_path):
    path = tmp_path / "shop limits.toml"
    path.write_text(
        '[[limit]]\nquantity = "gap"\nlower = "0.5 mm"\nupper = "0.3 mm"\nsource = "x"\n'
        '[[limit]]\nquantity = "gap"\ncolour = "red"\nlower = "1 g"\n'
        '[[engine]]\nname = "A"\nstroek = "1 mm"\n',
        encoding="utf-8",
    )
    with pytest.raises(ValueError) as caught:  # noqa: PT011 - the text is looked at below
        ew.Limits.read(path)
    lines = str(caught.value).splitlines()
    assert len(lines) == 5
    assert lines[0] == (
        "shop limits.toml, limit 1: upper must be at least lower, 0.5 mm, got 0.3 mm"
    )
    assert lines[-1] == "shop limits.toml, engine A: unknown key 'stroek'; did you mean stroke?"


def test_two_limits_for_the_same_readings_must_agree():
    row = {"feature": "bore", "quantity": "diameter", "upper": "86.1 mm", "source": "a"}
    text = said({"limit": [row, {**row, "upper": "86.2 mm"}]})
    assert "limit 2" in text
    assert "limit 1" in text
    assert len(ew.Limits.from_json(json.dumps({"limit": [row, row]}))) == 2


@pytest.mark.parametrize(
    "content",
    [b"", b"\x00\x01\x02", b"PK\x03\x04 cut off", b"[[limit]\n", b"\xff\xfe", b"limits = 3\n",
     b"%PDF-1.7"],
)  # fmt: skip
def test_a_file_that_is_neither_toml_nor_a_workbook_is_refused_in_one_sentence(tmp_path, content):
    path = tmp_path / "limits.toml"
    path.write_bytes(content)
    with pytest.raises(ValueError) as caught:  # noqa: PT011 - the text is looked at below
        ew.Limits.read(path)
    assert "limits.toml" in str(caught.value)
    assert len(str(caught.value).splitlines()) == 1


@pytest.mark.parametrize(
    ("line", "said_of_it"),
    [
        ("lower = nan", "limits.toml, limit, lower must be a finite number, got nan"),
        ("upper = inf", "limits.toml, limit, upper must be a finite number, got inf"),
        ("source = 07:30:00", "limits.toml, limit, source must be a figure, a text or a date"),
    ],
)
def test_a_value_that_json_cannot_hold_is_refused_by_its_key(tmp_path, line, said_of_it):
    path = tmp_path / "limits.toml"
    path.write_text(f"[[limit]]\n{line}\n", encoding="utf-8")
    with pytest.raises(ValueError, match=said_of_it):
        ew.Limits.read(path)


def test_a_file_that_is_not_there_is_named(tmp_path):
    with pytest.raises((ValueError, OSError), match="nowhere.toml"):
        ew.Limits.read(tmp_path / "nowhere.toml")


@pytest.fixture
def workbook(tmp_path):
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Limits"
    sheet.append(["Feature", "Quantity", "Kind", "Upper", "Unit", "Source", "Number"])
    sheet.append(["bore", "diameter", "wear", 86.1, "mm", "card, line 12", None])
    sheet.append([])
    sheet.append(["ring", "gap", None, "20 thou", None, "shop", 2])
    card = book.create_sheet("Engine")
    for row in (
        ["Key", "Value"], ["name", "Linnet 2.0"], ["cylinders", 4], ["bore", "86.00 mm"],
        ["firing order", "1; 3; 4; 2"], ["oversizes", "0.25 mm; 0.50 mm"],
        ["undersizes main journal", "0.25 mm; 0.50 mm"], ["undersizes big-end journal", "0.25 mm"],
        ["materials piston", "cast aluminium"], ["journals main journal", 5],
        ["shelf tappet shim", "2.20 mm = 2; 2.25 mm = 5"],
    ):  # fmt: skip
        card.append(row)
    gauges = book.create_sheet("Gauges")
    gauges.append(["Name", "Resolution", "Due", "Same place", "Correction"])
    gauges.append(["bore gauge 2", "0.001 mm", dt.date(2027, 2, 1), True, "-2 µm"])
    # Its ending lies: what is in it decides.
    path = tmp_path / "limits.toml"
    book.save(path)
    return path


def test_a_workbook_needs_no_toml(workbook):
    limits = ew.Limits.read(workbook)
    assert limits["upper"].tolist() == [86.1, pytest.approx(0.508)]
    assert limits["number"].tolist() == [None, 2]
    assert limits.rows[1].place == "limits.toml, Limits!4"
    card = limits.cards["Linnet 2.0"]
    assert card.firing_order == (1, 3, 4, 2)
    assert card.oversizes == (0.25, 0.5)
    assert card.undersizes == {"main journal": (0.25, 0.5), "big-end journal": (0.25,)}
    assert card.materials == {"piston": "cast aluminium"}
    assert card.journals == {"main journal": 5}
    assert card.shelf == {"tappet shim": {2.2: 2, 2.25: 5}}
    gauges = ew.Gauges.read(workbook)
    assert gauges[0].resolution == 0.001
    assert gauges[0].due == dt.date(2027, 2, 1)
    assert gauges[0].correction == pytest.approx(-0.002)


def test_faults_of_a_workbook_name_the_row(workbook):
    with workbook.open("rb") as stream:
        book = openpyxl.load_workbook(stream)
    book["Limits"]["D2"] = -1
    book["Limits"]["E2"] = "g"
    book["Limits"]["H4"] = "stray"
    book.save(workbook)
    with pytest.raises(ValueError, match="Limits!4: a cell stands under no heading"):
        ew.Limits.read(workbook)
    book["Limits"]["H4"] = None
    book.save(workbook)
    with pytest.raises(ValueError, match="limits.toml, Limits!2: upper"):
        ew.Limits.read(workbook)


def test_gauges_are_read_and_come_back(tmp_path):
    path = tmp_path / "gauges.toml"
    path.write_text(GAUGES, encoding="utf-8")
    gauges = ew.Gauges.read(path)
    assert len(gauges) == 1
    assert gauges[0].due == dt.date(2027, 2, 1)
    assert gauges[0].setting == "86 mm ring"
    assert gauges[0].setting_uncertainty == 0.0015
    assert gauges["unit"].words == ("mm",)
    assert gauges.rows[0].calibration_uncertainty == 0.004
    assert ew.Gauges.from_json(gauges.to_json()) == gauges
    assert ew.Gauges.from_frame(gauges.to_pandas()) == gauges
    assert pickle.loads(pickle.dumps(gauges)) == gauges
    assert len(ew.Gauges.empty()) == 0


def test_a_schema_of_another_table_or_time_is_refused():
    assert "newer version" in said({"schema": "enginewright.limits/2"})
    assert "must be enginewright.limits/1" in said({"schema": "enginewright.gauges/1"})
    assert said("{").startswith("limits must be JSON, it is damaged near line 1")
    assert "unknown key 'limts'; did you mean limit" in said({"limts": []})


def test_every_example_file_is_read():
    limits = ew.Limits.read("examples/linnet/limits.toml")
    assert len(limits) > 10
    assert limits.cards["Linnet 2.0"].bore == 86.0
    assert ew.Limits.from_json(limits.to_json()) == limits
    assert len(ew.Gauges.read("examples/linnet/gauges.toml")) == 10


KEYS = st.sampled_from(
    [each.key for each in ew.table.card_keys()]
    + ["limit", "engine", "gauge", "schema", "lower", "upper", "target", "unit", "quantity", "kind"]
    + ["source", "resolution", "due", "coverage_factor", "setting", "place", "number", "wall"]
)
LEAVES = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=8),
    st.sampled_from(["86.1 mm", "-3 thou", "1e400 mm", "gap", "new", "°", "2 g", "0 K", "1/0 in"]),
)  # fmt: skip
THINGS = st.recursive(
    LEAVES, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=4)
)


@given(
    st.dictionaries(KEYS, st.lists(st.dictionaries(KEYS, THINGS, max_size=5), max_size=3) | THINGS)
)
@settings(max_examples=300, deadline=None)
def test_anything_is_read_or_refused_in_words(content):
    for kind in (ew.Limits, ew.Gauges):
        try:
            read = kind.from_json(json.dumps(content))
        except ValueError as refused:
            assert str(refused).strip()
        else:
            assert kind.from_json(read.to_json()) == read


# --- Classes of ISO 286 instead of figures -------------------------------------------------------

CLASSES = """
[[limit]]
feature = "main journal"
quantity = "diameter"
tolerance_class = "60 h6"
target = "59.990 mm"
source = "drawing (invented)"
[[limit]]
feature = "pin"
quantity = "clearance"
tolerance_class = "22 H6/g5"
source = "drawing (invented)"
"""


def test_a_class_stands_for_its_figures(tmp_path):
    (tmp_path / "limits.toml").write_text(CLASSES, encoding="utf-8")
    limits = ew.Limits.read(tmp_path / "limits.toml")
    size, clearance = limits.rows
    # published: ISO 286-1:2010, table 1: IT6 over 50 to 80 mm is 19 µm, and h lies below zero
    assert (size.lower, size.upper, size.target, size.unit) == (59.981, 60.0, 59.99, "mm")
    assert size.tolerance_class == "60 h6"
    fit = ew.fits.fit("22 H6/g5")
    assert (clearance.lower, clearance.upper) == (fit.minimum_clearance, fit.maximum_clearance)
    assert limits["upper"].tolist()[0] == 60.0


def test_a_class_survives_its_json():
    limits = ew.Limits.from_json(json.dumps(_toml(CLASSES)))
    text = limits.to_json()
    assert '"tolerance_class":"60 h6"' in text.replace(": ", ":")
    assert ew.Limits.from_json(text) == limits
    assert pickle.loads(pickle.dumps(limits)) == limits


def test_a_workbook_has_a_column_of_classes(tmp_path):
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Limits"
    sheet.append(["Feature", "Quantity", "Tolerance class", "Source"])
    sheet.append(["main journal", "diameter", "60 h6", "drawing (invented)"])
    book.save(tmp_path / "limits.xlsx")
    (row,) = ew.Limits.read(tmp_path / "limits.xlsx").rows
    assert (row.lower, row.upper, row.tolerance_class) == (59.981, 60.0, "60 h6")


def test_a_reading_is_judged_by_its_class():
    limits = ew.Limits.from_json(json.dumps(_toml(CLASSES)))
    readings = ew.Readings.from_frame(
        {
            "job": ["J1", "J1"],
            "stage": ["finished"] * 2,
            "feature": ["main journal"] * 2,
            "number": [1, 2],
            "quantity": ["diameter"] * 2,
            "value": [59.990, 60.004],
            "unit": ["mm"] * 2,
            "uncertainty": [0.002] * 2,
        }
    )
    found = ew.inspect(readings, limits)
    judged = found[found["check"] == "limits"]
    assert judged["verdict"].tolist() == ["within", "outside"]
    assert judged["upper"].tolist() == [60.0, 60.0]


@pytest.mark.parametrize(
    "change, text",
    [
        ({"tolerance_class": "60 Hh6"}, "letters all in capitals"),
        ({"tolerance_class": "h6"}, "size must be given, or stand in the designation"),
        ({"tolerance_class": "900 h6"}, "size must be at most 500 mm"),
        ({"upper": "60.0 mm"}, "lower and upper must be left out beside tolerance_class"),
        ({"quantity": "mass"}, "tolerance_class must be one class, as '60 h6', for a size"),
        ({"quantity": "clearance"}, "a fit, as '40 H7/p6', for a clearance"),
        ({"tolerance_class": "60 H7/h6"}, "must be one class, as '60 h6', for a size"),
        ({"target": "61 mm"}, "target must be at most upper, 60.0 mm, got 61.0 mm"),
    ],
)
def test_a_class_that_cannot_be_is_refused_by_its_row(change, text):
    row = {
        "feature": "main journal",
        "quantity": "diameter",
        "tolerance_class": "60 h6",
        "source": "drawing (invented)",
    }
    with pytest.raises(ValueError, match=f"limits, limit 1: .*{text}"):
        ew.Limits.from_json(json.dumps({"limit": [row | change]}))


def _toml(text):
    import tomllib

    return tomllib.loads(text)
