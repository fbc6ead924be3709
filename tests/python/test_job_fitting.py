"""End float, liners, deck and shells as a job's findings, each figure worked out by hand."""

import json

import numpy as np
import pandas as pd
import pytest

import enginewright as ew

CARD = {
    "name": "Linnet 2.0",
    "shelf": {
        "thrust washer": {"2.31 mm": 2, "2.36 mm": 2, "2.41 mm": 2},
        "liner shim": {"0.05 mm": 2, "0.08 mm": 2},
        "main shell": {
            "red": {"wall": "1.985 mm", "pieces": 4},
            "blue": {"wall": "1.990 mm", "pieces": 4},
        },
    },
}


def limit(feature, quantity, **figures):
    row = {"feature": feature, "quantity": quantity, "source": "sheet 4 (invented)"}
    return row | {key: f"{value} mm" for key, value in figures.items()}


LIMITS = [
    limit("crankshaft", "end float", lower=0.05, upper=0.20, target=0.12),
    limit("liner", "protrusion", lower=0.03, upper=0.08),
    limit("liner", "tilt", upper=0.02),
    limit("liner", "step", upper=0.03),
    limit("block deck", "depth", lower=0.10, upper=0.40, target=0.20),
    limit("block deck", "spread", upper=0.05),
    limit("main bearing", "clearance", lower=0.020, upper=0.050, target=0.030),
]


def inspected(rows, limits=LIMITS, card=CARD, **options):
    columns = ["feature", "number", "part", "position", "quantity", "value"]
    frame = pd.DataFrame(rows, columns=columns)
    frame["job"], frame["engine"], frame["stage"] = "L-1", "Linnet 2.0", "as received"
    frame["unit"], frame["uncertainty"] = "mm", 0.002
    frame["number"] = frame["number"].astype("Int32")
    if frame["position"].notna().any():
        frame["position_unit"] = "°"
    else:
        frame = frame.drop(columns="position")
    given = ew.Limits.from_json(json.dumps({"limit": limits, "engine": [card]}))
    return ew.inspect(ew.Readings.from_frame(frame), given, **options).to_pandas()


def of(findings, check, quantity=None):
    found = findings[findings["check"] == check]
    return found if quantity is None else found[found["quantity"] == quantity]


FLOAT = ("crankshaft", None, "", None, "end float", 0.32)
WASHERS = [
    ("thrust washer", None, "front", None, "thickness", 2.31),
    ("thrust washer", None, "rear", None, "thickness", 2.31),
]


def test_too_much_end_float_names_the_washers_to_fit():
    findings = inspected([FLOAT, *WASHERS])
    found = of(findings, "end float").iloc[0]
    assert (found["verdict"], found["value"]) == ("outside", 0.32)
    # 0.32 + 4.62 - 4.82 = 0.12: two washers of 2.41.
    assert found["next"] == (
        "Fit 2.410 mm at the front and 2.410 mm at the rear: end float 0.120 mm."
    )
    limits = of(findings, "limits")
    assert "end float" not in set(limits["quantity"])
    assert len(findings) == 1


def test_end_float_without_washers_says_what_is_missing():
    card = {key: value for key, value in CARD.items() if key != "shelf"}
    findings = inspected([FLOAT], card=card)
    assert of(findings, "end float").iloc[0]["verdict"] == "outside"


def test_end_float_within_needs_no_washers():
    findings = inspected([("crankshaft", None, "", None, "end float", 0.12)])
    assert of(findings, "end float").iloc[0]["verdict"] == "within"


def liners(means, tilts):
    rows = []
    for number, (mean, tilt) in enumerate(zip(means, tilts, strict=True), 1):
        for angle in (0, 90, 180, 270):
            height = mean + tilt / 2 * np.cos(np.radians(angle))
            rows.append(("liner", number, "", float(angle), "protrusion", height))
    return rows


def test_liners_give_mean_tilt_step_and_shims():
    findings = inspected(liners([-0.03, 0.01], [0.0, 0.05]))
    means = of(findings, "liner standing", "protrusion")
    assert list(means["verdict"]) == ["outside", "outside"]
    tilt = of(findings, "liner standing", "tilt")
    assert list(tilt["value"]) == pytest.approx([0.0, 0.05])
    assert tilt.iloc[1]["next"].startswith("Clean the seat of liner 2")
    # A tilt is the difference of two places opposite: root 2 of a reading, which is stated with
    # a coverage factor of 2 and found again at 95 %.
    assert tilt.iloc[1]["uncertainty"] == pytest.approx(1.96 * 0.001 * np.sqrt(2), rel=1e-3)
    step = of(findings, "liner standing", "step").iloc[0]
    assert (step["number"], step["value"]) == (1, pytest.approx(0.04))
    assert step["next"].startswith("The step from liner 1 to 2 is 0.010 mm over its limit")
    plan = of(findings, "liner standing", "shim deviation").iloc[0]
    # -0.03 + 0.08 = 0.05 and 0.01 + 0.05 = 0.06; the middle of the limits is 0.055.
    assert plan["value"] == pytest.approx(0.005)
    assert plan["next"] == ("Fit liner 1: 0.080 mm (0.050 mm); liner 2: 0.050 mm (0.060 mm).")
    assert plan["verdict"] == "unlimited"


def test_liners_that_stand_right_ask_for_no_shims():
    findings = inspected(liners([0.055, 0.050], [0.0, 0.0]))
    assert len(of(findings, "liner standing", "shim deviation")) == 0
    always = inspected(liners([0.055, 0.050], [0.0, 0.0]), plans="always")
    assert len(of(always, "liner standing", "shim deviation")) == 1


def test_a_liner_too_high_is_cut():
    findings = inspected(liners([0.10, 0.05], [0.0, 0.0]))
    plan = of(findings, "liner standing", "shim deviation").iloc[0]
    assert plan["verdict"] == "outside"
    assert plan["next"].startswith("Cut 0.020 mm off the counterbore of liner 1 at least")


def test_every_reading_stands_in_the_basis_of_a_finding():
    rows = [FLOAT, *WASHERS, *liners([0.05, 0.06], [0, 0])]
    rows += [("block deck", n, "", None, "depth", 0.3) for n in (1, 2)]
    frame_rows = len(rows)
    findings = inspected(rows)
    assert of(findings, "end float").iloc[0]["verdict"] == "outside"
    assert frame_rows == 13


def test_a_deep_piston_says_what_comes_off_the_deck():
    depths = [0.45, 0.44, 0.36, 0.45]
    findings = inspected([("block deck", n, "", None, "depth", d) for n, d in enumerate(depths, 1)])
    each = of(findings, "deck clearance", "depth")
    assert list(each["verdict"]) == ["outside", "outside", "within", "outside"]
    assert each.iloc[0]["amount"] == pytest.approx(0.25)
    assert each.iloc[0]["next"].startswith("Take 0.250 mm off the deck at block deck 1 for 0.200")
    spread = of(findings, "deck clearance", "spread").iloc[0]
    assert (spread["value"], spread["verdict"]) == (pytest.approx(0.09), "outside")
    assert "cylinder 3 stands highest" in spread["next"]


def test_shells_are_chosen_from_the_shelf_of_the_card():
    housings, journals = [54.000, 54.006], [50.000, 49.996]
    rows = []
    for n, (housing, journal) in enumerate(zip(housings, journals, strict=True), 1):
        rows.append(("main bearing", n, "housing", None, "diameter", housing))
        rows.append(("main journal", n, "", None, "diameter", journal))
    found = of(inspected(rows), "shell choice").iloc[0]
    # 54.000 - 50.000 - 1.985 - 1.985 = 0.030; 54.006 - 49.996 - 2 * 1.990 = 0.030.
    assert found["value"] == pytest.approx(0.0, abs=1e-9)
    assert found["next"] == (
        "Fit journal 1: red and red (0.030 mm); journal 2: blue and blue (0.030 mm)."
    )
    assert (found["feature"], found["verdict"]) == ("main bearing", "unlimited")


def test_the_list_of_checks_says_what_each_needs():
    known = {each.check: each for each in ew.job.checks()}
    assert "shelf" in known["shell choice"].card
    assert known["end float"].limits == "feature 'crankshaft', quantity 'end float'"
    assert known["liner standing"].rows.endswith("position = angle")
