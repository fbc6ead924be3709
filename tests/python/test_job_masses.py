"""Masses and bolts of a job: the spread of a set, what comes off, which bolts go in again."""

import json

import pytest

import enginewright as ew

SOURCE = {"source": "data card (invented)", "provenance": "common practice"}


def limits(*rows, **card):
    """Limits from rows of feature, quantity and figures, with an engine card."""
    given = {"limit": [{**row, **SOURCE} for row in rows]}
    if card:
        given["engine"] = [{"name": "Linnet 2.0", **card}]
    return ew.Limits.from_json(json.dumps(given))


def readings(*rows, stage="as received", **common):
    """Readings from rows of feature, number, part, station, quantity, value."""
    names = ("feature", "number", "part", "station", "quantity", "value")
    columns = {name: [row[i] for row in rows] for i, name in enumerate(names)}
    unit = ["g" if row[4] == "mass" else "mm" for row in rows]
    return ew.Readings(
        job="L-1", engine="Linnet 2.0", stage=stage, unit=unit, **{**columns, **common}
    )


def masses(feature, *values, part=""):
    return [(feature, i, part, "", "mass", value) for i, value in enumerate(values, 1)]


def only(findings, check, **keys):
    """Index of the one finding of a check."""
    rows = [
        i
        for i in range(len(findings))
        if findings["check"][i] == check and all(findings[k][i] == v for k, v in keys.items())
    ]
    assert len(rows) == 1, rows
    return rows[0]


def row_of(findings, check, **keys):
    i = only(findings, check, **keys)
    return {
        name: findings[name][i]
        for name in ("value", "unit", "upper", "verdict", "next", "reason", "number", "basis")
    }


def test_pistons_that_differ_come_down_to_the_lightest_unless_they_are_near_enough():
    job = readings(*masses("piston", 412.4, 410.1, 411.0, 415.2), uncertainty=0.2)
    found = ew.inspect(job, limits({"feature": "piston", "quantity": "spread", "upper": "2 g"}))
    row = row_of(found, "mass match")
    assert row["value"] == pytest.approx(5.1) and row["unit"] == "g"
    assert row["verdict"] == "outside"
    # By hand: piston 3 lies 0.9 g above the lightest, proven within 2 g by 2 - 0.3.
    assert row["next"] == (
        "Take 2.3 g off piston 1, 5.1 g off piston 4: down to the lightest; "
        "the others are near enough."
    )
    assert row["reason"] == "3.1 g outside the upper limit 2.0 g, known to ±0.3 g"


def test_a_spread_too_near_its_limit_is_unproven():
    job = readings(*masses("pin", 98.0, 100.0), uncertainty=0.4)
    found = ew.inspect(job, limits({"feature": "pin", "quantity": "spread", "upper": "2.1 g"}))
    assert row_of(found, "mass match")["verdict"] == "unproven"


def test_a_spread_without_a_limit_is_shown():
    found = ew.inspect(readings(*masses("piston", 412.4, 410.1)), limits())
    row = row_of(found, "mass match")
    assert (row["verdict"], row["next"]) == ("unlimited", "")
    assert len(found) == 1  # it stands for both readings
    alone = ew.inspect(readings(*masses("piston", 412.4)), limits())
    assert list(alone["check"]) == ["limits"]


def test_a_spread_of_lengths_is_no_limit_of_masses():
    job = readings(*masses("piston", 412.4, 410.1))
    found = ew.inspect(job, limits({"feature": "piston", "quantity": "spread", "upper": "1 mm"}))
    assert row_of(found, "mass match")["verdict"] == "unlimited"


RODS = [
    *masses("rod", 432.0, 430.0, 431.0, part="big end"),
    *masses("rod", 166.0, 167.0, 165.0, part="small end"),
]
SPREAD = {"feature": "rod", "quantity": "spread", "upper": "1 g"}


def test_rods_are_ground_at_their_pads_and_the_plan_is_said_once():
    card = {"rod_length": "140 mm", "rod_pads": ["-28 mm", "154 mm"]}
    found = ew.inspect(readings(*RODS), limits(SPREAD, **card))
    plan = ew.matching.match_rods(
        [432.0, 430.0, 431.0], [166.0, 167.0, 165.0], 140, pad_big=-28, pad_small=154,
        tolerance_big=1, tolerance_small=1,
    )  # fmt: skip
    big = row_of(found, "mass match", part="big end")
    small = row_of(found, "mass match", part="small end")
    for i, removal in enumerate(plan.remove_big, 1):
        assert (f"{removal:.1f} g off rod {i}" in big["next"]) == (removal > 1e-9)
    assert f"big ends weigh {plan.target_big:.1f} g" in big["next"]
    assert "at the small-end pad" in big["next"]
    assert small["next"] == (
        "The plan of the other end brings this end down too: weigh both again after it."
    )


def test_rods_without_pads_are_ground_at_their_centres():
    found = ew.inspect(readings(*RODS), limits(SPREAD))
    # Rod 3 stays: its small end is the lightest, its big end 1 g over it, as is allowed.
    assert row_of(found, "mass match", part="big end")["next"] == (
        "Take 2.0 g off rod 1 at the big-end; 1.0 g off rod 1, 2.0 g off rod 2 at the small-end: "
        "then their big ends weigh 430.0 g, small ends 165.0 g; the other rods are near enough."
    )


def test_ends_that_contradict_the_whole_are_weighed_again():
    whole = masses("rod", 598.0, 600.5, 596.0)
    job = readings(*RODS, *whole, uncertainty=0.4)
    found = ew.inspect(job, limits(SPREAD))
    row = row_of(found, "mass match", part="big end")
    assert row["verdict"] == "unproven"
    assert row["next"] == (
        "Level the fixture and weigh rod 2 again: ends and whole differ by 3.5 g."
    )


def test_a_rod_with_one_end_weighed_is_named():
    found = ew.inspect(readings(*RODS[:5]), limits(SPREAD))
    row = row_of(found, "mass match", part="big end")
    assert row["verdict"] == "unproven"
    assert row["next"] == "Weigh the small end of rod 3."


def test_a_cracked_rod_is_not_matched():
    job = ew.Readings(
        job="L-1", stage="as received", feature="rod", number=[1, 2, 2], quantity="mass",
        value=[600.0, 600.1, None], unit=["g", "g", ""], observation=["", "", "cracked"],
    )  # fmt: skip
    row = row_of(ew.inspect(job, limits(SPREAD)), "mass match")
    assert row["verdict"] == "unproven" and "cracked" in row["reason"]


def bolt(number, new, used, *shank, part="rod bolt"):
    rows = [
        ("bolt", number, part, "new", "length", new),
        ("bolt", number, part, "", "length", used),
    ]
    places = ("head", "middle", "thread")
    return rows + [
        ("bolt", number, part, places[i], "diameter", size) for i, size in enumerate(shank)
    ]


STRETCH = {"feature": "bolt", "quantity": "stretch", "upper": "0.025 mm"}
SHANK = {"feature": "bolt", "quantity": "diameter", "lower": "7.90 mm"}


def test_the_worst_bolt_speaks_for_its_set():
    job = readings(*bolt(1, 60.0, 60.01), *bolt(2, 60.0, 60.04), *bolt(3, 60.01, 60.04))
    row = row_of(ew.inspect(job, limits(STRETCH)), "bolt reuse")
    assert (row["number"], row["verdict"]) == (2, "outside")
    assert row["value"] == pytest.approx(0.04)
    assert row["reason"] == "0.040 mm longer than new, 0.025 mm allowed"
    assert row["next"] == "Replace rod bolts 2, 3."


def test_a_necked_bolt_is_replaced_and_a_sound_set_goes_in_again():
    sound = readings(*bolt(1, 60.0, 60.01, 7.95, 7.93), *bolt(2, 60.0, 60.0, 7.95, 7.95))
    row = row_of(ew.inspect(sound, limits(STRETCH, SHANK)), "bolt reuse")
    assert (row["verdict"], row["next"], row["number"]) == ("within", "", 1)
    necked = readings(*bolt(1, 60.0, 60.01, 7.95, 7.85), *bolt(2, 60.0, 60.0, 7.95, 7.95))
    row = row_of(ew.inspect(necked, limits(STRETCH, SHANK)), "bolt reuse")
    assert row["next"] == "Replace rod bolt 1."
    assert row["reason"] == "shank 7.850 mm, 7.900 mm at least"


def test_unproven_bolts_are_replaced_or_proved():
    job = readings(*bolt(1, 60.0, 60.02), uncertainty=0.008)
    row = row_of(ew.inspect(job, limits(STRETCH)), "bolt reuse")
    assert row["verdict"] == "unproven"
    assert row["next"] == "Replace rod bolt 1, or prove it with a better gauge."


def test_a_bolt_shorter_than_new_is_measured_again():
    row = row_of(ew.inspect(readings(*bolt(4, 60.0, 59.9)), limits(STRETCH)), "bolt reuse")
    assert row["verdict"] == "unproven"
    assert row["next"] == "Measure rod bolt 4 again and look up its length when new."


def test_the_length_when_new_may_stand_on_the_card():
    used = [("bolt", 1, "rod bolt", "", "free length", 60.03)]
    missing = ew.inspect(readings(*used), limits(STRETCH))
    assert [line.missing for line in missing.not_checked] == ["the lengths of the bolts when new"]
    new = {"feature": "bolt", "quantity": "free length", "kind": "new", "target": "60.00 mm"}
    row = row_of(ew.inspect(readings(*used), limits(STRETCH, new)), "bolt reuse")
    assert row["value"] == pytest.approx(0.03) and row["verdict"] == "outside"


def test_pads_of_the_card_are_two_and_in_order():
    with pytest.raises(ValueError, match="rod_pads must hold the small-end pad above"):
        limits(rod_pads=["154 mm", "-28 mm"])
    with pytest.raises(ValueError, match="rod_pads must hold the big-end and the small-end pad"):
        limits(rod_pads=["-28 mm"])
