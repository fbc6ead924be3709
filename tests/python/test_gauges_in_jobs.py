"""Gauges over many jobs: past due, and studied from the readings that are there anyway."""

import datetime as dt
import json

import numpy as np
import pytest

import enginewright as ew

LIMITS = """{"limit": [
  {"feature": "bore", "quantity": "diameter", "upper": "86.05 mm", "source": "invented"},
  {"feature": "bore", "quantity": "ovality", "upper": "0.05 mm", "source": "invented"}
]}"""


def gauges(due="2026-06-30"):
    card = {
        "name": "bore gauge 2",
        "resolution": "0.001 mm",
        "calibration_uncertainty": "0.002 mm",
        "due": due,
    }
    other = {"name": "bore gauge 3", "resolution": "0.001 mm"}
    return ew.Gauges.from_json(json.dumps({"gauge": [card, other]}))


def bores(dates, gauge="bore gauge 2", values=(86.01, 86.02)):
    days = [None if day is None else (day - dt.date(1970, 1, 1)).days for day in dates]
    return ew.Readings.from_frame(
        {
            "job": ["J1"] * 2,
            "stage": ["finished"] * 2,
            "feature": ["bore"] * 2,
            "number": [1, 1],
            "station": ["top", "top"],
            "axis": ["thrust", "along"],
            "quantity": ["diameter"] * 2,
            "value": list(values),
            "unit": ["mm"] * 2,
            "gauge": [gauge] * 2 if isinstance(gauge, str) else gauge,
            "date": np.array(
                ["NaT" if day is None else f"{day.isoformat()}" for day in dates],
                dtype="datetime64[D]",
            ),
        }
        if any(days)
        else {
            "job": ["J1"] * 2, "stage": ["finished"] * 2, "feature": ["bore"] * 2,
            "number": [1, 1], "station": ["top", "top"], "axis": ["thrust", "along"],
            "quantity": ["diameter"] * 2, "value": list(values), "unit": ["mm"] * 2,
            "gauge": [gauge] * 2,
        }
    )  # fmt: skip


def reasons(readings, cards=None):
    findings = ew.inspect(readings, ew.Limits.from_json(LIMITS), cards or gauges())
    return {(row["check"], row["axis"]): row["reason"] for row in findings}, findings[
        "verdict"
    ].tolist()


SAID = "gauge 'bore gauge 2' was due for calibration on 2026-06-30"


def test_every_finding_made_with_a_gauge_past_due_says_so():
    found, verdicts = reasons(bores([dt.date(2026, 7, 1)] * 2))
    assert found[("limits", "thrust")] == SAID
    assert found[("limits", "along")] == SAID
    assert found[("ovality", None)] == SAID
    assert set(verdicts) == {"within"}  # it is said, and does not change the verdict


def test_it_stands_behind_the_reason_of_the_verdict():
    found, _ = reasons(bores([dt.date(2026, 7, 1)] * 2, values=(86.01, 86.10)))
    assert found[("limits", "along")].endswith("; " + SAID)
    assert found[("limits", "along")].startswith("0.050 mm above the upper limit")
    # Once, however many readings it made.
    assert found[("ovality", None)].count("was due") == 1


@pytest.mark.parametrize(
    "dates",
    [
        [dt.date(2026, 6, 30)] * 2,  # the day itself is still good
        [dt.date(2026, 1, 2)] * 2,
        [None, None],  # without a date nothing is known
    ],
)
def test_a_gauge_in_date_says_nothing(dates):
    found, _ = reasons(bores(dates))
    assert not any("due for calibration" in reason for reason in found.values())


def test_only_the_readings_after_the_day_say_so():
    found, _ = reasons(bores([dt.date(2026, 7, 1), dt.date(2026, 6, 1)]))
    assert found[("limits", "thrust")] == SAID
    assert found[("limits", "along")] == ""
    assert found[("ovality", None)] == SAID


def test_a_gauge_without_a_day_is_never_past_due():
    found, _ = reasons(bores([dt.date(2036, 7, 1)] * 2, gauge="bore gauge 3"))
    assert not any("due for calibration" in reason for reason in found.values())


def test_a_check_of_the_shop_says_so_too():
    @ew.check("shop.spread", needs={"feature": "bore"})
    def spread(readings, limits):
        del limits
        for _, group in readings.split("number"):
            values = [row.value for row in group]
            yield ew.finding(group, value=max(values) - min(values), upper=0.05, unit="mm",
                             next="", reason="kept only outside")  # fmt: skip

    for day, wanted in ((dt.date(2026, 7, 1), SAID), (dt.date(2026, 6, 1), "")):
        findings = ew.inspect(
            bores([day] * 2), ew.Limits.from_json(LIMITS), gauges(), checks=[spread]
        )
        own = [row["reason"] for row in findings if row["check"] == "shop.spread"]
        assert own == [wanted]


# --- A study from the readings of many jobs -------------------------------------------------------


def study_rows(people=("Ann", "Bob", "Cis"), jobs=5, repeats=2, seed=3):
    random = np.random.default_rng(seed)
    rows = []
    for job in range(jobs):
        size = 59.98 + random.normal(0, 0.01)
        for p, person in enumerate(people):
            rows += [
                (f"J{job}", 1, person, round(size + 0.001 * p + random.normal(0, 0.0005), 4))
                for _ in range(repeats)
            ]
    return rows


def readings_of(rows):
    return ew.Readings(
        stage="finished", feature="main journal", quantity="diameter", unit="mm",
        gauge="micrometer 2", job=[r[0] for r in rows], number=[r[1] for r in rows],
        by=[r[2] for r in rows], value=[r[3] for r in rows],
    )  # fmt: skip


def test_readings_of_many_jobs_make_a_study():
    rows = study_rows()
    crossed = readings_of(rows).crossed(gauge="micrometer 2")
    assert crossed.values.shape == (5, 3, 2)
    assert crossed.people == ("Ann", "Bob", "Cis")
    assert crossed.parts == tuple(f"J{k} main journal 1" for k in range(5))
    assert (crossed.unit, crossed.left_out) == ("mm", 0)
    by_hand = np.array([row[3] for row in rows]).reshape(5, 3, 2)
    np.testing.assert_array_equal(crossed.values, by_hand)
    study = ew.measure.gauge_study(crossed, tolerance=0.02)
    assert study == ew.measure.gauge_study(by_hand, tolerance=0.02)
    assert (study.parts, study.operators, study.repeats) == (5, 3, 2)


def test_the_order_of_the_rows_does_not_matter_to_the_study():
    rows = study_rows()
    shuffled = [rows[i] for i in np.random.default_rng(1).permutation(len(rows))]
    one = ew.measure.gauge_study(readings_of(rows).crossed())
    other = ew.measure.gauge_study(readings_of(shuffled).crossed())
    assert other.gauge == pytest.approx(one.gauge, rel=1e-9)


def test_parts_that_not_everybody_measured_are_left_out_and_counted():
    rows = [*study_rows(), ("J9", 1, "Ann", 59.97), ("J9", 1, "Ann", 59.97), ("J0", 1, "Bob", 59.9)]
    crossed = readings_of(rows).crossed()
    assert crossed.values.shape == (5, 3, 2)
    assert crossed.left_out == 3


@pytest.mark.parametrize(
    "rows, text",
    [
        (study_rows(people=("Ann",)), "by must name at least 2 people in a gauge study, got Ann"),
        (study_rows(jobs=1), "at least 2 parts must be measured by everybody in a gauge study"),
        (study_rows(repeats=1), "everybody must measure each part at least 2 times in a gauge"),
    ],
)
def test_too_little_for_a_study_is_said(rows, text):
    with pytest.raises(ValueError, match=text):
        readings_of(rows).crossed()


def test_two_gauges_are_two_studies():
    readings = ew.Readings(
        job="J1", stage="finished", feature="bore", quantity="diameter", unit="mm",
        gauge=["a", "b"], by=["Ann", "Bob"], value=[1.0, 2.0], number=1,
    )  # fmt: skip
    with pytest.raises(ValueError, match="a gauge study must be of one gauge, got a, b"):
        readings.crossed()
