"""Control charts, their constants and their signals, against other ways to the same figures."""

import csv
import math
import pickle
from pathlib import Path

import numpy as np
import pytest
import scipy.integrate
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

import enginewright as ew

DATA = Path(__file__).parent.parent / "data"


def piston_rings():
    with (DATA / "piston_rings.csv").open(encoding="utf-8") as file:
        rows = list(csv.reader(line for line in file if not line.startswith("#")))
    return np.array([[float(cell) for cell in row[1:]] for row in rows[1:]])


# --- Constants ----------------------------------------------------------------------------------


@pytest.mark.parametrize("count", [2, 3, 5, 10, 100, 1000])
def test_the_range_is_that_of_scipys_studentized_range(count):
    # oracle: with infinite degrees of freedom the studentized range is the range itself:
    # mean = integral of 1 - P, second moment = 2 integral of w (1 - P)
    def beyond(w):
        return scipy.stats.studentized_range.sf(w, count, np.inf)

    got = ew.stats.chart_constants(count)
    mean = scipy.integrate.quad(beyond, 0, 14, epsabs=1e-9, limit=200)[0]
    assert got.d2 == pytest.approx(mean, rel=1e-7)
    square = 2 * scipy.integrate.quad(lambda w: w * beyond(w), 0, 14, epsabs=1e-8, limit=200)[0]
    assert got.d3 == pytest.approx(math.sqrt(square - mean**2), rel=1e-5)


@pytest.mark.parametrize("count", [2, 3, 4, 7, 25, 200, 1000])
def test_the_deviation_factor_is_that_of_the_gamma_function(count):
    # oracle: SciPy's chi distribution: c4 = mean of chi / sqrt(n - 1)
    expected = scipy.stats.chi.mean(count - 1) / math.sqrt(count - 1)
    assert ew.stats.chart_constants(count).c4 == pytest.approx(expected, rel=1e-11)


def test_closed_forms_of_three_readings():
    # published: David & Nagaraja, Order Statistics, 3rd ed.: range of three: 3 / sqrt(pi)
    got = ew.stats.chart_constants(3)
    assert got.d2 == pytest.approx(3 / math.sqrt(math.pi), rel=1e-12)
    assert (got.B3, got.D3) == (0.0, 0.0)


def test_constants_come_in_columns():
    got = ew.stats.chart_constants([2, 5, 10])
    assert list(got.count) == [2, 5, 10]
    # published: Montgomery, appendix VI
    assert list(got.A2) == pytest.approx([1.880, 0.577, 0.308], abs=5e-4)


@pytest.mark.parametrize("wrong", [1, 1001, 2.5, math.nan])
def test_a_count_out_of_range_is_refused(wrong):
    with pytest.raises(ValueError, match=r"^count must be"):
        ew.stats.chart_constants(wrong)


# --- Charts -------------------------------------------------------------------------------------


def test_kinds_follow_the_dimensions():
    assert ew.stats.chart([1.0, 2.0, 1.5]).kind == "individuals"
    assert ew.stats.chart([[1.0, 2.0], [1.5, 1.2]]).kind == "mean and range"


@given(
    st.integers(1, 30).flatmap(
        lambda k: st.integers(2, 8).flatmap(
            lambda n: st.lists(
                st.lists(st.integers(-50, 50), min_size=n, max_size=n), min_size=k, max_size=k
            )
        )
    )
)
@settings(deadline=None)
def test_limits_are_those_of_their_formulas(rows):
    values = np.array(rows) / 1000 + 82
    if np.ptp(values, axis=1).max() == 0:
        with pytest.raises(ValueError, match="some spread in the baseline"):
            ew.stats.chart(values)
        return
    f = ew.stats.chart_constants(values.shape[1])
    means, ranges, deviations = values.mean(1), np.ptp(values, axis=1), values.std(1, ddof=1)
    by_range = ew.stats.chart(values)
    assert by_range.centre == pytest.approx(means.mean(), rel=1e-13)
    assert by_range.upper - by_range.centre == pytest.approx(f.A2 * ranges.mean(), rel=1e-8)
    assert by_range.spread_upper == pytest.approx(f.D4 * ranges.mean(), rel=1e-9)
    assert by_range.spread_points == pytest.approx(ranges, abs=1e-12)
    by_deviation = ew.stats.chart(values, "mean and deviation")
    assert by_deviation.sigma == pytest.approx(deviations.mean() / f.c4, rel=1e-8)
    assert by_deviation.lower == pytest.approx(means.mean() - f.A3 * deviations.mean(), rel=1e-12)
    assert by_deviation.spread_lower == pytest.approx(f.B3 * deviations.mean(), rel=1e-8)
    # A3 of the mean deviation is three standard deviations of a mean.
    half = 3 * by_deviation.sigma / math.sqrt(values.shape[1])
    assert by_deviation.upper - by_deviation.centre == pytest.approx(half, rel=1e-7)


def test_the_baseline_sets_limits_for_every_point():
    values = np.r_[np.random.default_rng(3).normal(10, 1, 40), np.full(5, 20.0)]
    got = ew.stats.chart(values, baseline=40)
    assert got.centre == pytest.approx(values[:40].mean())
    moving = np.abs(np.diff(values[:40])).mean()
    assert got.spread_centre == pytest.approx(moving)
    assert len(got.points) == 45 and len(got.spread_points) == 44
    assert {s.index for s in got.signals if s.rule == "one beyond three sigma"} >= set(
        range(40, 45)
    )
    assert not got.points.flags.writeable
    assert pickle.loads(pickle.dumps(got)) == got


def test_the_published_piston_rings_are_out_at_the_end():
    got = ew.stats.chart(piston_rings(), "mean and range", baseline=25)
    # published: Montgomery, 2nd ed. (1991), pp. 206-213; limits 73.98805 and 74.0143
    assert (got.lower, got.upper) == pytest.approx((73.98805, 74.0143), abs=5e-6)
    assert any(s.side == "upper" and s.index == 37 for s in got.signals)


@pytest.mark.parametrize(
    "arguments, named, text",
    [
        (([1.0],), {}, "values must hold at least 2"),
        (([1.0, 1.0, 1.0],), {}, "values must have some spread in the baseline, got none"),
        (([1.0, 2.0], "mean and range"), {}, "kind must be individuals where values have one"),
        (([[1.0, 2.0]], "individuals"), {}, "kind must be mean and range or mean and deviation"),
        (([1.0, 2.0], "ewma"), {}, "kind must be one of individuals"),
        (([1.0, 2.0, 3.0],), {"baseline": 1}, "baseline must be between 2 and 3, got 1.0"),
        (([1.0, 2.0, 3.0],), {"baseline": 4}, "baseline must be between 2 and 3, got 4.0"),
        (([1.0, 2.0],), {"rules": ["nine on one side"]}, r"rules\[0\] must be one of one beyond"),
        ((np.ones((2, 1001)),), {}, "2 to 1000 readings"),
    ],
)
def test_a_chart_refuses_what_it_cannot_draw(arguments, named, text):
    with pytest.raises(ValueError, match=text):
        ew.stats.chart(*arguments, **named)


# --- Signals ------------------------------------------------------------------------------------

ALL = (
    "one beyond three sigma",
    "two of three beyond two sigma",
    "four of five beyond one sigma",
    "eight on one side",
    "six trending",
    "fourteen alternating",
    "fifteen within one sigma",
    "eight outside one sigma",
)


def by_definition(points, rules):
    """Every pattern from its definition, window by window; centre 0, sigma 1."""
    found = []
    for i, last in enumerate(points):
        side = "upper" if last > 0 else "lower"

        def of_last(size, end=i):
            return points[max(0, end - size + 1) : end + 1]

        def same_side(size, line, last=last, window=of_last):
            return sum(abs(p) > line and p * last > 0 for p in window(size))

        full = {size: i + 1 >= size for size in (6, 8, 14, 15)}
        steps = np.diff(of_last(14))
        holds = {
            ALL[0]: (abs(last) > 3, side),
            ALL[1]: (abs(last) > 2 and same_side(3, 2) >= 2, side),
            ALL[2]: (abs(last) > 1 and same_side(5, 1) >= 4, side),
            ALL[3]: (full[8] and same_side(8, 0) == 8, side),
            ALL[4]: (
                full[6] and (all(np.diff(of_last(6)) > 0) or all(np.diff(of_last(6)) < 0)),
                "upper" if i and last > points[i - 1] else "lower",
            ),
            ALL[5]: (full[14] and all(steps[1:] * steps[:-1] < 0), "both"),
            ALL[6]: (full[15] and all(abs(p) <= 1 for p in of_last(15)), "both"),
            ALL[7]: (full[8] and all(abs(p) > 1 for p in of_last(8)), "both"),
        }
        found += [(rule, i, holds[rule][1]) for rule in ALL if rule in rules and holds[rule][0]]
    return found


@given(
    st.lists(st.integers(-14, 14).map(lambda x: x / 4), min_size=1, max_size=60),
    st.sets(st.sampled_from(ALL)),
)
def test_signals_are_those_of_their_definitions(points, rules):
    got = ew.stats.signals(points, 0.0, 1.0, rules=sorted(rules))
    assert [(s.rule, s.index, s.side) for s in got] == by_definition(points, rules)


@pytest.mark.parametrize(
    "points, rule, index, side",
    [
        ([1, 2, 3, 4, 5, 6], "six trending", 5, "upper"),
        ([0.1, -0.1] * 7, "fourteen alternating", 13, "both"),
        ([0.1] * 15, "fifteen within one sigma", 14, "both"),
        ([1.5, -1.5] * 4, "eight outside one sigma", 7, "both"),
        ([2.5, 2.5], "two of three beyond two sigma", 1, "upper"),
        ([-1.5, -1.5, 0.0, -1.5, -1.5], "four of five beyond one sigma", 4, "lower"),
    ],
)
def test_each_pattern_is_completed_by_its_last_point(points, rule, index, side):
    # published: ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2: the patterns by their names
    first = ew.stats.signals(points, 0.0, 1.0, rules=[rule])[0]
    assert (first.rule, first.index, first.side) == (rule, index, side)


def test_lines_themselves_are_not_beyond():
    assert ew.stats.signals([3.0, -3.0], 0.0, 1.0) == ()
    assert ew.stats.signals([0.0] * 20, 0.0, 1.0) == ()
    assert ew.stats.signals([9.0], 0.0, 1.0, rules=()) == ()
    assert tuple(ew.stats.DEFAULT) == ALL[:4]


@pytest.mark.parametrize("sigma", [0.0, -1.0, math.nan])
def test_signals_need_a_sigma(sigma):
    with pytest.raises(ValueError, match="sigma must be"):
        ew.stats.signals([1.0], 0.0, sigma)


# --- Drift chart --------------------------------------------------------------------------------


@given(
    st.lists(st.floats(-5, 5), min_size=1, max_size=50),
    st.floats(0.01, 1.0),
    st.floats(0.5, 4.0),
    st.booleans(),
)
def test_a_drift_chart_follows_its_recursion(values, weight, width, steady):
    # derived: Roberts 1959, weights written out one by one
    got = ew.stats.drift_chart(values, 0.5, 0.7, weight=weight, width=width, steady=steady)
    for i in range(len(values)):
        weights = [weight * (1 - weight) ** (i - k) for k in range(i + 1)]
        point = np.dot(weights, values[: i + 1]) + (1 - weight) ** (i + 1) * 0.5
        assert got.points[i] == pytest.approx(point, abs=1e-12)
        variance = weight / (2 - weight) if steady else sum(w * w for w in weights)
        assert got.upper[i] - 0.5 == pytest.approx(width * 0.7 * math.sqrt(variance), rel=1e-9)
        assert got.lower[i] == pytest.approx(1.0 - got.upper[i], abs=1e-12)
    beyond = np.abs(got.points - 0.5) > got.upper - 0.5
    assert list(got.flagged) == list(np.flatnonzero(beyond))


@pytest.mark.parametrize(
    "named, text",
    [
        ({"weight": 0.0}, "weight must be above 0"),
        ({"weight": 1.5}, "weight must be at most 1"),
        ({"width": 0.0}, "width must be above 0"),
        ({"sigma": 0.0}, "sigma must be above 0"),
        ({"values": []}, "values must hold at least 1"),
    ],
)
def test_a_drift_chart_refuses_impossible_settings(named, text):
    with pytest.raises(ValueError, match=text):
        ew.stats.drift_chart(**({"values": [1.0], "centre": 0.0, "sigma": 1.0} | named))
