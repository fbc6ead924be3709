"""Plain figures, capability and trends of the shop, against published and other values."""

import csv
import doctest
import math
from pathlib import Path

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

import enginewright as ew

DATA = Path(__file__).parent.parent / "data"
READINGS = st.lists(st.floats(-100, 100).map(lambda x: round(x, 3)), min_size=3, max_size=60)

# published: NIST StRD, univariate: Michelson's speed of light, thousands of km/s, 1879
MICHELSON = """
299.85 299.74 299.90 300.07 299.93 299.85 299.95 299.98 299.98 299.88 300.00 299.98 299.93 299.65
299.76 299.81 300.00 300.00 299.96 299.96 299.96 299.94 299.96 299.94 299.88 299.80 299.85 299.88
299.90 299.84 299.83 299.79 299.81 299.88 299.88 299.83 299.80 299.79 299.76 299.80 299.88 299.88
299.88 299.86 299.72 299.72 299.62 299.86 299.97 299.95 299.88 299.91 299.85 299.87 299.84 299.84
299.85 299.84 299.84 299.84 299.89 299.81 299.81 299.82 299.80 299.77 299.76 299.74 299.75 299.76
299.91 299.92 299.89 299.86 299.88 299.72 299.84 299.85 299.85 299.78 299.89 299.84 299.78 299.81
299.76 299.81 299.79 299.81 299.82 299.85 299.87 299.87 299.81 299.74 299.81 299.94 299.95 299.80
299.81 299.87
"""


def piston_rings():
    with (DATA / "piston_rings.csv").open(encoding="utf-8") as file:
        rows = list(csv.reader(line for line in file if not line.startswith("#")))
    return np.array([[float(cell) for cell in row[1:]] for row in rows[1:]])


# --- Summary ------------------------------------------------------------------------------------


def test_the_speed_of_light_keeps_its_certified_digits():
    got = ew.stats.summary([float(word) for word in MICHELSON.split()])
    # published: NIST StRD, Michelson: certified to 15 digits; the data have decimals
    assert got.count == 100
    assert got.mean == pytest.approx(299.852400000000, rel=1e-14)
    assert got.standard_deviation == pytest.approx(0.0790105478190518, rel=1e-12)
    assert got.lag_one == pytest.approx(0.535199668621283, rel=1e-12)


def test_ten_million_and_a_tenth_keeps_its_tenth():
    got = ew.stats.summary([10000000.2, *[10000000.1, 10000000.3] * 500])
    # published: NIST StRD, NumAcc4: 10000000.2, 0.1, -0.999; the decimal data are binary from the
    # ninth digit of the deviation on
    assert got.mean == pytest.approx(10000000.2, rel=1e-15)
    assert got.standard_deviation == pytest.approx(0.1, rel=1e-8)
    assert got.lag_one == pytest.approx(-0.999, rel=1e-8)


@given(READINGS)
def test_a_summary_is_that_of_numpy(values):
    got = ew.stats.summary(values)
    assert got.mean == pytest.approx(np.mean(values), rel=1e-12, abs=1e-12)
    assert got.standard_deviation == pytest.approx(np.std(values, ddof=1), rel=1e-9, abs=1e-12)
    assert (got.minimum, got.maximum) == (min(values), max(values))
    assert got.range == max(values) - min(values)
    assert got.median == pytest.approx(np.median(values), abs=1e-12)


def test_one_number_and_equal_numbers_have_no_spread():
    one = ew.stats.summary([82.01])
    assert (one.count, one.mean, one.standard_deviation, one.lag_one) == (1, 82.01, None, None)
    same = ew.stats.summary([82.01] * 5)
    assert (same.standard_deviation, same.lag_one, same.range) == (0.0, None, 0.0)
    tiny = ew.stats.summary([0.0, 5e-324])
    assert tiny.standard_deviation == 0.0 and tiny.lag_one is None


@pytest.mark.parametrize("wrong", [[], [1.0, math.nan], [math.inf], [1e308, 0.0], [[1.0, 2.0]]])
def test_what_is_no_row_of_numbers_is_refused(wrong):
    with pytest.raises(ValueError, match=r"^values"):
        ew.stats.summary(wrong)


# --- Capability ---------------------------------------------------------------------------------


@given(
    st.lists(st.floats(-3, 3).map(lambda x: round(x, 4)), min_size=4, max_size=40),
    st.floats(0.5, 0.999),
)
def test_indices_and_intervals_are_those_of_their_formulas(values, level):
    # derived: NIST/SEMATECH e-Handbook 6.1.6 and Bissell 1990, with SciPy's quantiles
    lower, upper, target = -4.0, 5.0, 0.5
    got = ew.stats.capability(values, lower, upper, target=target, level=level)
    n, mean, s = len(values), np.mean(values), np.std(values, ddof=1)
    if s < 1e-9:
        return
    a = 1 - level
    assert got.pp == pytest.approx(9 / (6 * s), rel=1e-9)
    assert got.ppk == pytest.approx(min(upper - mean, mean - lower) / (3 * s), rel=1e-9)
    assert got.cpm == pytest.approx(9 / (6 * math.hypot(s, mean - target)), rel=1e-9)
    ends = [
        got.pp * math.sqrt(scipy.stats.chi2.ppf(p, n - 1) / (n - 1)) for p in (a / 2, 1 - a / 2)
    ]
    assert got.pp_interval == pytest.approx(ends, rel=1e-8)
    reach = scipy.stats.norm.ppf(1 - a / 2) * math.sqrt(1 / (9 * n) + got.ppk**2 / (2 * (n - 1)))
    assert got.ppk_interval == pytest.approx((got.ppk - reach, got.ppk + reach), rel=1e-8)
    moving = np.mean(np.abs(np.diff(values)))
    sigma, freedom = moving / (2 / math.sqrt(math.pi)), 0.62 * (n - 1)
    assert got.sigma_within == pytest.approx(sigma, rel=1e-9)
    if sigma > 0:
        ends = [
            9 / (6 * sigma) * math.sqrt(scipy.stats.chi2.ppf(p, freedom) / freedom)
            for p in (a / 2, 1 - a / 2)
        ]
        assert got.cp_interval == pytest.approx(ends, rel=1e-7)
    outside = scipy.stats.norm.cdf(lower, mean, s) + scipy.stats.norm.sf(upper, mean, s)
    assert got.expected_outside == pytest.approx(outside, rel=1e-7)
    assert got.observed_outside == np.mean((np.array(values) < lower) | (np.array(values) > upper))


def test_subgroups_give_their_own_spread():
    rings = piston_rings()
    got = ew.stats.capability(rings[:25], 73.95, 74.05)
    # derived: root of the mean variance of the subgroups, NumPy
    assert got.sigma_within == pytest.approx(math.sqrt(rings[:25].var(axis=1, ddof=1).mean()))
    assert got.count == 125 and got.cpm is None
    assert got.status == "capable" and got.ppk_interval[0] >= 1.33
    assert got.observed_outside == 0


def test_six_parts_show_nothing():
    few = ew.stats.capability([82.010, 82.012, 82.009, 82.011, 82.010, 82.012], 82.000, 82.020)
    assert few.status == "not shown" and few.ppk > 1.33
    assert "cannot tell" in few.reason
    wide = ew.stats.capability(np.linspace(81.99, 82.03, 50), 82.000, 82.020)
    assert wide.status == "not capable" and wide.observed_outside > 0.4


def test_one_limit_has_no_width():
    got = ew.stats.capability([1.0, 2.0, 1.5, 1.2], upper=3.0, target=1.5)
    assert (got.cp, got.pp, got.cpm, got.cp_interval, got.pp_interval) == (None,) * 5
    assert got.ppk == pytest.approx((3.0 - 1.425) / (3 * got.sigma_total))
    assert isinstance(got.ppk_interval, tuple) and len(got.ppk_interval) == 2


def test_no_spread_is_an_outcome():
    got = ew.stats.capability([5.0, 5.0, 5.0], 4.0, 6.0)
    assert (got.status, got.cp, got.ppk, got.ppk_interval) == ("no spread", None, None, None)
    assert (got.expected_outside, got.observed_outside) == (0.0, 0.0)
    out = ew.stats.capability([7.0, 7.0], 4.0, 6.0)
    assert (out.expected_outside, out.observed_outside) == (1.0, 1.0)
    between = ew.stats.capability([[5.0, 5.0], [5.1, 5.1]], 4.0, 6.0)
    assert between.cp is None and between.pp is not None and between.status == "not shown"


@pytest.mark.parametrize(
    "arguments, text",
    [
        (([1.0, 2.0],), "lower must be given, or upper, or both"),
        (([1.0, 2.0], 3.0, 2.0), "upper must be at least lower, 3, got 2.0"),
        (([1.0], 0.0, 2.0), "values must hold at least 2"),
        (([[1.0], [2.0]], 0.0, 2.0), "at least 1 subgroup of 2 to 1000 readings, got 2 of 1"),
        ((np.zeros((0, 5)), 0.0, 2.0), "values must hold at least 1 subgroup"),
        ((np.zeros((2, 2, 2)), 0.0, 2.0), "values must have one or two dimensions, got 3"),
        (([1.0, math.nan], 0.0, 2.0), r"values\[1\] must be a finite number, got nan"),
        (([1.0, 2.0], 0.0, math.nan), "upper must be a finite number"),
    ],
)
def test_capability_refuses_what_it_cannot_judge(arguments, text):
    with pytest.raises(ValueError, match=text):
        ew.stats.capability(*arguments)
    with pytest.raises(ValueError, match="level must be above 0 and below 1, got 1.0"):
        ew.stats.capability([1.0, 2.0], 0.0, level=1.0)


# --- Trend --------------------------------------------------------------------------------------

POINTS = st.lists(
    st.tuples(st.integers(0, 30), st.floats(-5, 5).map(lambda x: round(x, 2))),
    min_size=4,
    max_size=50,
).filter(lambda points: len({t for t, _ in points}) > 1)


@given(POINTS, st.floats(0.5, 0.999))
@settings(deadline=None)
def test_a_trend_is_that_of_scipy(points, level):
    times, values = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    got = ew.stats.trend(times, values, level=level)
    line = scipy.stats.linregress(times, values)
    near = {"rel": 1e-8, "abs": 1e-10}
    assert got.slope == pytest.approx(line.slope, **near)
    assert got.intercept == pytest.approx(line.intercept, **near)
    one, other = np.triu_indices(len(times), 1)
    apart = times[one] != times[other]
    slopes = (values[other] - values[one])[apart] / (times[other] - times[one])[apart]
    assert got.median_slope == pytest.approx(np.median(slopes), **near)
    if np.ptp(values) == 0:
        assert (got.correlation, got.significance, got.status) == (0.0, 1.0, "steady")
        return
    assert got.correlation == pytest.approx(line.rvalue, rel=1e-7, abs=1e-9)
    if abs(line.rvalue) < 1 - 1e-9:
        assert got.slope_deviation == pytest.approx(line.stderr, rel=1e-6)
        assert got.intercept_deviation == pytest.approx(line.intercept_stderr, rel=1e-6)
        assert got.significance == pytest.approx(line.pvalue, rel=1e-5, abs=1e-12)
        reach = scipy.stats.t.ppf((1 + level) / 2, len(points) - 2) * line.stderr
        assert got.slope_interval == pytest.approx(
            (line.slope - reach, line.slope + reach), rel=1e-6, abs=1e-9
        )
    assert got.status == ("drifting" if got.significance < 1 - level else "steady")


def pairs_by_counting(times, values):
    """Score and variance with ties, pair by pair; Kendall, Rank Correlation Methods, 5.8."""
    n = len(times)
    score = sum(
        np.sign(times[j] - times[i]) * np.sign(values[j] - values[i])
        for j in range(n)
        for i in range(j)
    )
    t, u = (np.unique(x, return_counts=True)[1].astype(float) for x in (times, values))
    variance = (
        n * (n - 1) * (2 * n + 5)
        - (t * (t - 1) * (2 * t + 5)).sum()
        - (u * (u - 1) * (2 * u + 5)).sum()
    ) / 18
    variance += (t * (t - 1)).sum() * (u * (u - 1)).sum() / (2 * n * (n - 1))
    triples = (t * (t - 1) * (t - 2)).sum() * (u * (u - 1) * (u - 2)).sum()
    return score, variance + triples / (9 * n * (n - 1) * (n - 2))


@given(POINTS)
@settings(deadline=None)
def test_the_pairs_are_those_counted_one_by_one(points):
    times, values = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    score, variance = pairs_by_counting(times, values)
    size = max(0.0, abs(score) - 1)
    expected = 2 * scipy.stats.norm.sf(size / math.sqrt(variance)) if variance > 0 else 1.0
    got = ew.stats.trend(times, values).monotonic_significance
    assert got == pytest.approx(min(1.0, expected), rel=1e-9)


def test_the_pairs_agree_with_kendalls_tau():
    # SciPy's asymptotic test has no half step: put it back by the score that it implies.
    random = np.random.default_rng(4)
    times, values = np.arange(200.0), random.normal(0, 1, 200).round(1)
    score, variance = pairs_by_counting(times, values)
    tau = scipy.stats.kendalltau(times, values, method="asymptotic")
    assert 2 * scipy.stats.norm.sf(abs(score) / math.sqrt(variance)) == pytest.approx(tau.pvalue)


@pytest.mark.parametrize("shape", ["noise", "line", "steps", "tied times", "one step", "halves"])
def test_the_median_slope_of_many_readings_is_exact(shape):
    # 2 500 readings have three million pairs: far beyond what is compared one by one.
    random = np.random.default_rng(11)
    times = np.arange(2500.0)
    values = 0.001 * times + random.normal(0, 1, 2500)
    if shape == "line":
        values = 0.25 * times
    elif shape == "steps":
        values = np.floor(times / 100) + random.integers(0, 2, 2500)
    elif shape == "tied times":
        times = np.floor(times / 10)
    elif shape == "one step":
        values = np.r_[1.0, np.zeros(2499)]
    elif shape == "halves":
        times, values = np.floor(times / 1250), np.floor(times / 625) % 2
    expected = scipy.stats.theilslopes(values, times)[0]
    got = ew.stats.trend(times, values)
    assert got.median_slope == pytest.approx(expected, rel=1e-9, abs=1e-12)


def test_a_drift_says_when_it_meets_its_limit():
    days = np.arange(0.0, 300, 30)
    sizes = 47.984 + 2e-5 * days + 0.0003 * (-1) ** np.arange(10)
    got = ew.stats.trend(days, sizes, lower=47.980, upper=47.995)
    assert got.status == "drifting" and got.slope > 0
    assert got.due == pytest.approx((47.995 - got.intercept) / got.slope, rel=1e-9)
    assert "meets the upper limit at" in got.reason
    falling = ew.stats.trend(days, -sizes, lower=-47.995)
    assert falling.due == pytest.approx(got.due)
    late = ew.stats.trend(days, sizes, upper=47.985)
    assert late.due < days[-1] and "has met the upper limit" in late.reason
    free = ew.stats.trend(days, sizes, lower=47.980)
    assert free.due is None and "no upper limit is given" in free.reason
    steady = ew.stats.trend(days, np.full(10, 47.99), upper=47.995)
    assert (steady.status, steady.due, steady.significance) == ("steady", None, 1.0)


def test_one_bad_reading_is_pointed_out():
    days = np.arange(40.0)
    sizes = np.random.default_rng(5).normal(48, 0.001, 40)
    sizes[-1] += 0.05
    got = ew.stats.trend(days, sizes, level=0.85)
    assert got.status == "drifting" and got.monotonic_significance > 0.15
    assert "it may rest on one reading" in got.reason
    assert abs(got.median_slope) < abs(got.slope) / 2


def test_a_perfect_line_is_certain():
    got = ew.stats.trend([0, 1, 2], [0.0, 0.5, 1.0], upper=10.0)
    assert (got.significance, got.residual_deviation, got.due) == (0.0, 0.0, 20.0)
    assert got.correlation == pytest.approx(1.0)


@pytest.mark.parametrize(
    "arguments, text",
    [
        (([1, 2], [1, 2]), "times must hold at least 3"),
        (([1, 2, 3], [1, 2, 3, 4]), "one reading for each of the 3 times, got 4"),
        (([1, 1, 1], [1, 2, 3]), "times must not all be equal, got 1.0 for each"),
        (([1, 2, math.inf], [1, 2, 3]), r"times\[2\] must be a finite number"),
        (([1, 2, 3], [1, 2, 1e300]), r"values\[2\] must be between"),
        (([0, 5e-324, 1e-323], [0, 1e99, 2e99]), "times must lie far enough apart"),
    ],
)
def test_a_trend_refuses_what_has_none(arguments, text):
    with pytest.raises(ValueError, match=text):
        ew.stats.trend(*arguments)
    with pytest.raises(ValueError, match="upper must be at least lower"):
        ew.stats.trend([1, 2, 3], [1, 2, 3], lower=2, upper=1)


@pytest.mark.parametrize("name", [n for n in ew.stats.__all__ if n != "DEFAULT"])
def test_examples_of_the_page_run(name):
    page = getattr(ew.stats, name).__doc__
    assert page
    example = doctest.DocTestParser().get_doctest(page, {"ew": ew}, name, None, 0)
    assert doctest.DocTestRunner().run(example).failed == 0
