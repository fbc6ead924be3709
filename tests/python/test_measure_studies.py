"""Settling, risks, outliers and gauge studies, as a user meets them."""

import math
import pickle
import re

import mpmath
import numpy as np
import pytest
import scipy.integrate
import scipy.stats
from hypothesis import example, given, settings
from hypothesis import strategies as st

import enginewright as ew

Quantity = ew.Quantity
measure = ew.measure


# --- Settling ------------------------------------------------------------------------------------


def bore(readings=(86.095, 86.099, 86.097), **card):
    gauge = measure.gauge(
        "settling gauge", **{"resolution": 0.001, "calibration_uncertainty": 0.002, **card}
    )
    return measure.reading(list(readings), gauge)


def by_hand(s, n, rest, resolution=0.001):
    """Standard uncertainty and degrees of freedom with n readings, from the formula as printed."""
    repeat, freedom = s / math.sqrt(n), n - 1
    if resolution / math.sqrt(12) > repeat:
        repeat, freedom = resolution / math.sqrt(12), math.inf
    u = math.hypot(rest, repeat)
    return u, u**4 / (repeat**4 / freedom) if freedom < math.inf else math.inf


def test_more_readings_are_counted_as_scipy_counts_them():
    # derived: u_n and Welch-Satterthwaite by hand, t quantile of SciPy
    reading = bore()
    upper = 86.099
    settle = measure.settle(reading, upper=upper)
    assert measure.check(reading, upper=upper).verdict == "unproven"
    assert settle.status == "more readings"

    def decided(n):
        u, freedom = by_hand(0.002, n, 0.001)
        return scipy.stats.t.cdf((upper - 86.097) / u, freedom) >= 0.95

    assert not any(decided(n) for n in range(4, settle.readings))
    assert decided(settle.readings)
    assert re.search(rf"take {settle.readings} readings in all", settle.reason)


def test_the_count_holds_when_the_readings_are_taken():
    # The same scatter and mean with as many readings as were asked for: now it is within.
    settle = measure.settle(bore(), upper=86.099)
    n = settle.readings
    half = 0.002 * math.sqrt((n - 1) / 2)
    same = [86.097 - half, 86.097 + half, *[86.097] * (n - 2)]
    again = bore(same)
    assert again.standard_deviation == pytest.approx(0.002, rel=1e-9)
    assert measure.check(again, upper=86.099).verdict == "within"
    one_less = bore(same[:-1])
    assert one_less.standard_deviation > 0.002
    assert measure.check(one_less, upper=86.099).verdict == "unproven"


def test_outside_is_a_decision_too():
    settle = measure.settle(bore(), upper=86.095)
    assert settle.status == "more readings"


def test_a_gauge_too_coarse_is_told_by_its_certificate():
    settle = measure.settle(bore(), upper=86.0985)
    assert (settle.status, settle.readings) == ("better gauge", None)
    assert settle.largest_source == "settling gauge: certificate"
    # derived: normal quantile at 95 %, 1.644854
    assert settle.needed_uncertainty == pytest.approx(0.0015 / 1.6448536, rel=1e-7)
    assert "50 readings would not decide" in settle.reason


def test_the_record_of_a_gauge_keeps_its_degrees_of_freedom():
    # derived: record / sqrt(n) with its own freedom, all other sources 0
    card = {"resolution": 0.0, "calibration_uncertainty": None}
    reading = bore([86.097], repeatability=0.002, repeatability_freedom=20, **card)
    settle = measure.settle(reading, upper=86.099)
    t = scipy.stats.t.ppf(0.95, 20)
    assert settle.readings == math.ceil((t * 0.002 / 0.002) ** 2)


def test_the_resolution_stays_the_floor():
    # derived: 0.010 / sqrt(12) = 2.9 µm whatever the count; needs 1.645 of it = 4.7 µm
    reading = bore([86.10, 86.10], resolution=0.010, calibration_uncertainty=None)
    settle = measure.settle(reading, upper=86.104)
    assert settle.status == "better gauge"
    assert "the resolution of the gauge" in settle.reason
    assert settle.largest_source == reading.sources[0]


def test_a_single_reading_without_a_record_has_no_count_to_raise():
    settle = measure.settle(bore([86.097]), upper=86.0975)
    assert settle.status == "better gauge"


def test_on_the_limit_nothing_decides():
    settle = measure.settle(bore(), upper=86.097)
    assert (settle.status, settle.needed_uncertainty) == ("on the limit", 0.0)


def test_what_is_decided_is_settled():
    assert measure.settle(bore(), upper=86.2).status == "settled"
    assert measure.settle(bore(), upper=86.0).status == "settled"
    free = measure.settle(bore())
    assert (free.status, free.needed_uncertainty, free.reason) == (
        "settled",
        None,
        "no limit stated",
    )
    plain = measure.settle(86.0, upper=86.0)
    assert (plain.status, plain.largest_source) == ("settled", None)


def test_a_difference_asks_for_a_better_gauge():
    gap = bore() - Quantity(86.0, 0.002, source="piston of the settling test")
    settle = measure.settle(gap, upper=0.099)
    assert settle.status == "better gauge"
    assert settle.largest_source == "piston of the settling test"


def test_warmth_scales_the_term_with_the_size():
    # A reading far from 20 °C: the term of the readings moves with the size.
    gauge = measure.gauge("warm settling gauge", resolution=0.0)
    warm = measure.reading(
        [86.095, 86.099, 86.097], gauge, temperature=60.0, expansion=23e-6, gauge_temperature=20.0
    )
    at_20 = measure.reading([86.095, 86.099, 86.097], gauge)
    far = at_20.value - warm.value
    ours, theirs = (
        measure.settle(warm, upper=86.099 - far),
        measure.settle(at_20, upper=86.099),
    )
    assert (ours.status, ours.readings) == (theirs.status, theirs.readings)


def test_a_reading_that_was_stored_settles_as_before():
    reading = bore(repeatability=0.0025, repeatability_freedom=9)
    back = pickle.loads(pickle.dumps(reading))
    wanted = measure.settle(reading, upper=86.0995)
    assert measure.settle(back, upper=86.0995).readings == wanted.readings


@pytest.mark.parametrize(
    "arguments, text",
    [
        ({"most": 0}, "most must be between 1 and 10000, got 0"),
        ({"lower": 2.0, "upper": 1.0}, "upper must be at least lower"),
        ({"upper": 1.0, "level": 0.5}, "level must be above 0.5 and below 1, got 0.5"),
    ],
)
def test_impossible_settling_is_refused(arguments, text):
    with pytest.raises(ValueError, match=text):
        measure.settle(bore(), **arguments)


# --- Risk ----------------------------------------------------------------------------------------


def bivariate(mean, deviation, u, lower, upper, guard=0.0):
    """Risks by SciPy: size and indication as a two-dimensional normal, by rectangles."""
    both = math.hypot(deviation, u)
    rho = deviation / both
    law = scipy.stats.multivariate_normal
    shape = {"mean": [0, 0], "cov": [[1, rho], [rho, 1]], "abseps": 1e-12, "releps": 1e-12}

    def cdf(x, y):
        return law.cdf(np.clip([x, y], -40, 40), **shape)

    def box(a, b, c, d):
        return cdf(b, d) - cdf(a, d) - cdf(b, c) + cdf(a, c)

    good = [(lower - mean) / deviation, (upper - mean) / deviation]
    taken = [(lower + guard - mean) / both, (upper - guard - mean) / both]
    inside = box(*good, *taken)
    conforming = scipy.stats.norm.cdf(good[1]) - scipy.stats.norm.cdf(good[0])
    accepted = scipy.stats.norm.cdf(taken[1]) - scipy.stats.norm.cdf(taken[0])
    return accepted - inside, conforming - inside, accepted, conforming


@settings(max_examples=40, deadline=None)
@given(
    mean=st.floats(-2, 2),
    deviation=st.floats(0.05, 3),
    u=st.floats(0.02, 2),
    half=st.floats(0.2, 4),
    guard=st.floats(-0.5, 0.19),
)
def test_risks_are_those_of_a_two_dimensional_normal(mean, deviation, u, half, guard):
    # derived: scipy.stats.multivariate_normal
    risk = measure.risk(mean, deviation, u, -half, half, guard=guard)
    wanted = bivariate(mean, deviation, u, -half, half, guard)
    got = (risk.consumer, risk.producer, risk.accepted, risk.conforming)
    assert got == pytest.approx(wanted, abs=2e-8)


@pytest.mark.parametrize("u", [1e-6, 1e-3, 0.3, 5.0])
def test_risks_by_direct_integration(u):
    # derived: scipy.integrate.quad, split where the integrand bends
    mean, deviation, lower, upper = 0.4, 1.0, -1.0, 1.3

    def accepted(x):
        n = scipy.stats.norm
        return n.cdf((upper - x) / u) - n.cdf((lower - x) / u)

    def integrate(f, low, high):
        bends = [b for b in (lower, upper) for b in (b - 6 * u, b, b + 6 * u) if low < b < high]
        ends = [low, *sorted(bends), high]
        return sum(
            scipy.integrate.quad(f, a, b, epsabs=1e-14, epsrel=1e-13, limit=200)[0]
            for a, b in zip(ends[:-1], ends[1:], strict=True)
        )

    def density(x):
        return scipy.stats.norm.pdf(x, mean, deviation)

    consumer = integrate(lambda x: density(x) * accepted(x), -12, lower) + integrate(
        lambda x: density(x) * accepted(x), upper, 12
    )
    producer = integrate(lambda x: density(x) * (1 - accepted(x)), lower, upper)
    risk = measure.risk(mean, deviation, u, lower, upper)
    assert risk.consumer == pytest.approx(consumer, abs=1e-10)
    assert risk.producer == pytest.approx(producer, abs=1e-10)


@pytest.mark.parametrize("upper, u", [(3.0, 0.01), (6.0, 0.5), (8.0, 0.2)])
def test_small_risks_keep_their_digits(upper, u):
    # derived: mpmath, 30 digits, split where the gauge hesitates
    with mpmath.workdps(30):

        def wrong(x):
            return mpmath.npdf(x) * mpmath.ncdf((upper - x) / u)

        bends = [upper + k * u for k in (0, 1, 2, 4, 7, 12, 20, 36)]
        exact = mpmath.quad(wrong, bends)
    risk = measure.risk(0.0, 1.0, u, upper=upper)
    assert exact < 1e-4
    assert risk.consumer == pytest.approx(float(exact), rel=1e-11)


@settings(max_examples=60, deadline=None)
@given(
    mean=st.floats(-5, 5),
    deviation=st.floats(0, 10),
    u=st.floats(0, 10),
    lower=st.one_of(st.none(), st.floats(-3, 0)),
    upper=st.one_of(st.none(), st.floats(0, 3)),
    guard=st.floats(-1, 4),
)
@example(mean=0.0, deviation=5e-324, u=0.0, lower=None, upper=0.0, guard=0.0)
@example(mean=4.0, deviation=1e-17, u=1e-18, lower=None, upper=3.0, guard=-1.0)
def test_the_books_balance(mean, deviation, u, lower, upper, guard):
    risk = measure.risk(mean, deviation, u, lower, upper, guard=guard)
    assert risk.accepted == pytest.approx(risk.conforming - risk.producer + risk.consumer, abs=1e-9)
    for share in risk.as_dict().values():
        assert -1e-12 <= share <= 1 + 1e-12


def test_a_wider_guard_spares_the_customer_and_costs_the_shop():
    guards = np.linspace(-0.1, 0.15, 9)
    risk = measure.risk(0.0, 0.12, 0.04, -0.2, 0.2, guard=guards)
    assert (np.diff(risk.consumer) < 0).all()
    assert (np.diff(risk.producer) > 0).all()


def test_a_perfect_gauge_makes_no_mistakes():
    risk = measure.risk(0.0, 1.0, 0.0, -1.0, 1.0)
    assert (risk.consumer, risk.producer) == (0.0, 0.0)
    # derived: scipy.stats.norm
    assert risk.accepted == pytest.approx(1 - 2 * scipy.stats.norm.sf(1), abs=1e-15)


def test_parts_that_are_all_alike():
    good = measure.risk(0.5, 0.0, 1.0, 0.0, 1.0)
    assert (good.consumer, good.conforming) == (0.0, 1.0)
    assert good.producer == pytest.approx(2 * scipy.stats.norm.sf(0.5), rel=1e-12)
    bad = measure.risk(1.5, 0.0, 1.0, 0.0, 1.0)
    assert (bad.producer, bad.conforming) == (0.0, 0.0)
    assert bad.consumer == pytest.approx(scipy.stats.norm.cdf(-0.5) - scipy.stats.norm.cdf(-1.5))


def test_a_guard_that_closes_the_zone_accepts_nothing():
    risk = measure.risk(0.0, 1.0, 0.1, -1.0, 1.0, guard=1.5)
    assert (risk.accepted, risk.consumer) == (0.0, 0.0)
    assert risk.producer == pytest.approx(risk.conforming, rel=1e-12)


@pytest.mark.parametrize("far", [1e308, 5e-324, 1e-300, 1e150])
def test_extreme_figures_give_shares_or_a_refusal(far):
    for arguments in [
        (0.0, far, 1.0, -1.0, 1.0),
        (0.0, 1.0, far, -1.0, 1.0),
        (far, 1.0, 1.0, -1.0, 1.0),
        (0.0, far, far, -far, far),
        (0.0, 1.0, 1.0, -far, None),
        (-far, far, 5e-324, -far, far),
    ]:
        risk = measure.risk(*arguments)
        assert all(0 <= share <= 1 for share in risk.as_dict().values()), arguments


@pytest.mark.parametrize(
    "arguments, text",
    [
        ({"deviation": -1}, "deviation must be at least 0, got -1.0"),
        ({"standard_uncertainty": -1}, "standard_uncertainty must be at least 0, got -1.0"),
        ({"lower": 2.0}, "upper must be at least lower"),
        ({"mean": math.nan}, "mean must be a finite number, got nan"),
        ({"guard": math.inf}, "guard must be a finite number, got inf"),
    ],
)
def test_impossible_risks_are_refused(arguments, text):
    given = {"mean": 0, "deviation": 1, "standard_uncertainty": 1, "lower": 0, "upper": 1}
    with pytest.raises(ValueError, match=text):
        measure.risk(**{**given, **arguments})


# --- Outliers ------------------------------------------------------------------------------------

ROSNER = """
-0.25 0.68 0.94 1.15 1.20 1.26 1.26 1.34 1.38 1.43 1.49 1.49 1.55 1.56 1.58 1.65 1.69 1.70 1.76
1.77 1.81 1.91 1.94 1.96 1.99 2.06 2.09 2.10 2.14 2.15 2.23 2.24 2.26 2.35 2.37 2.40 2.47 2.54
2.62 2.64 2.90 2.92 2.92 2.93 3.21 3.26 3.30 3.59 3.68 4.30 4.64 5.34 5.42 6.01
"""
# published: NIST/SEMATECH e-Handbook, 1.3.5.17.3 (data of Rosner 1983), ten steps at 5 %
ROSNER_STATISTICS = [3.118, 2.942, 3.179, 2.810, 2.815, 2.848, 2.279, 2.310, 2.101, 2.067]
ROSNER_CRITICAL = [3.158, 3.151, 3.143, 3.136, 3.128, 3.120, 3.111, 3.103, 3.094, 3.085]


def test_the_three_outliers_of_rosner():
    found = measure.outliers([float(x) for x in ROSNER.split()], most=10)
    assert found.statistics == pytest.approx(ROSNER_STATISTICS, abs=0.0011)
    assert found.critical == pytest.approx(ROSNER_CRITICAL, abs=0.0011)
    # The first two do not reach what chance allows; the third does, and takes them along.
    assert found.flagged == (53, 52, 51)
    assert found.status == "flagged"


def test_masked_outliers_need_room_for_both():
    readings = [10.0, 10.1, 9.9, 10.05, 9.95, 10.02, 14.9, 15.0]
    assert measure.outliers(readings).status == "clear"
    assert measure.outliers(readings, most=2).flagged == (7, 6)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.floats(-100, 100), min_size=3, max_size=30), st.sampled_from([0.01, 0.05, 0.2]))
def test_grubbs_against_scipy(readings, significance):
    # derived: mean and deviation of NumPy, t of SciPy
    n = len(readings)
    found = measure.outliers(readings, significance=significance)
    t = scipy.stats.t.ppf(1 - significance / (2 * n), n - 2)
    assert found.critical[0] == pytest.approx(
        (n - 1) * t / math.sqrt((n - 2 + t * t) * n), rel=1e-10
    )
    s = np.std(readings, ddof=1)
    if s > 1e-6:
        off = np.abs(np.array(readings) - np.mean(readings))
        assert found.statistics[0] == pytest.approx(off.max() / s, rel=1e-7)


def test_one_side_looks_to_one_side():
    readings = [10.0, 10.1, 9.9, 10.05, 9.95, 10.02, 12.0]
    assert measure.outliers(readings, side="upper").flagged == (6,)
    assert measure.outliers(readings, side="lower").status == "clear"
    with pytest.raises(ValueError, match="most must be 1 when only one side is looked at, got 2"):
        measure.outliers(readings, most=2, side="upper")


def test_outliers_do_not_depend_on_unit_or_zero():
    readings = np.array([10.0, 10.1, 9.9, 10.05, 9.95, 10.02, 12.0])
    first = measure.outliers(readings).statistics
    for scale in (1e-300, 1e140):
        assert measure.outliers(readings * scale).statistics == pytest.approx(first, rel=1e-9)


def test_equal_and_few_readings():
    alike = measure.outliers([5.0] * 8, most=3)
    assert (alike.status, alike.flagged, alike.reason) == ("clear", (), "all readings are alike")
    few = measure.outliers([5.0, 6.0])
    assert few.status == "too few readings"
    assert few.reason == "at least 3 readings are needed, got 2"
    assert len(few.statistics) == 0
    assert measure.outliers([1.0, 2.0, 3.0, 9.0], most=3).status == "too few readings"
    # One reading off among equal ones; after it, nothing scatters.
    assert measure.outliers([5.0] * 9 + [5.001], most=3).flagged == (9,)


@pytest.mark.parametrize(
    "arguments, text",
    [
        ({"readings": []}, "readings must hold at least 1 reading"),
        ({"readings": [1.0, math.nan, 2.0]}, r"readings\[1\] must be a finite number, got nan"),
        ({"readings": [-1e308, 1e308, 0.0]}, "readings must lie within 1e150 of each other"),
        ({"most": 0}, "most must be at least 1, got 0"),
        ({"significance": 1.0}, "significance must be above 0 and below 1, got 1.0"),
        ({"side": "left"}, "side must be one of both, lower, upper; got 'left'"),
    ],
)
def test_impossible_searches_are_refused(arguments, text):
    with pytest.raises(ValueError, match=text):
        measure.outliers(**{"readings": [1.0, 2.0, 3.0], **arguments})


# --- Gauge studies -------------------------------------------------------------------------------


def anova(y):
    """Sums of squares by plain NumPy."""
    p, o, r = y.shape
    part, person, cell = y.mean(axis=(1, 2)), y.mean(axis=(0, 2)), y.mean(axis=2)
    mixed = cell - part[:, None] - person[None, :] + y.mean()
    return {
        "part": (p - 1, o * r * ((part - y.mean()) ** 2).sum()),
        "operator": (o - 1, p * r * ((person - y.mean()) ** 2).sum()),
        "interaction": ((p - 1) * (o - 1), r * (mixed**2).sum()),
        "repeatability": (p * o * (r - 1), ((y - cell[:, :, None]) ** 2).sum()),
    }


def random_study(seed, p=6, o=3, r=2, mixed=0.5):
    rng = np.random.default_rng(seed)
    return (
        rng.normal(50, 5, (p, 1, 1))
        + rng.normal(0, 1, (1, o, 1))
        + rng.normal(0, mixed, (p, o, 1))
        + rng.normal(0, 0.5, (p, o, r))
    )


@pytest.mark.parametrize("seed", range(20))
def test_a_study_against_numpy(seed):
    y = random_study(seed, mixed=[0.0, 0.8][seed % 2])
    p, o, r = y.shape
    study = measure.gauge_study(y, interaction="keep")
    table = anova(y)
    for row in study.table:
        freedom, squares = table[row.name]
        assert row.degrees_of_freedom == freedom
        assert row.sum_of_squares == pytest.approx(squares, rel=1e-9)
    ms = {name: squares / freedom for name, (freedom, squares) in table.items()}

    def root(x):
        return math.sqrt(max(0.0, x))

    assert study.repeatability == pytest.approx(root(ms["repeatability"]))
    assert study.interaction == pytest.approx(root((ms["interaction"] - ms["repeatability"]) / r))
    assert study.operator == pytest.approx(root((ms["operator"] - ms["interaction"]) / (p * r)))
    assert study.part == pytest.approx(root((ms["part"] - ms["interaction"]) / (o * r)))
    assert study.reproducibility == pytest.approx(math.hypot(study.operator, study.interaction))
    assert study.total == pytest.approx(math.hypot(study.gauge, study.part))
    assert study.contribution["gauge"] + study.contribution["part"] == pytest.approx(1)
    assert study.study["gauge"] == pytest.approx(study.gauge / study.total)


@pytest.mark.parametrize("seed", range(20))
def test_the_interaction_is_pooled_as_the_f_test_says(seed):
    # derived: scipy.stats.f
    y = random_study(seed, mixed=0.25)
    table = anova(y)
    f = (table["interaction"][1] / table["interaction"][0]) / (
        table["repeatability"][1] / table["repeatability"][0]
    )
    chance = scipy.stats.f.sf(f, table["interaction"][0], table["repeatability"][0])
    study = measure.gauge_study(y)
    assert study.pooled == (chance > 0.25)
    if study.pooled:
        assert study == measure.gauge_study(y, interaction="pool")
        assert [row.name for row in study.table] == ["part", "operator", "repeatability"]
        assert study.interaction == 0.0
        pooled = study.table[-1]
        assert pooled.degrees_of_freedom == sum(
            table[name][0] for name in ("interaction", "repeatability")
        )
        assert study.repeatability == pytest.approx(math.sqrt(pooled.mean_square))


def test_a_study_feeds_the_card_of_the_gauge():
    study = measure.gauge_study(random_study(1))
    card = measure.gauge(
        "studied gauge",
        repeatability=study.repeatability,
        repeatability_freedom=study.table[-1].degrees_of_freedom,
    )
    reading = measure.reading([50.0], card)
    assert reading.standard_uncertainty == pytest.approx(study.repeatability)
    assert reading.degrees_of_freedom == study.table[-1].degrees_of_freedom


@pytest.mark.parametrize("tolerance, status", [(100.0, "fit"), (40.0, "marginal"), (5.0, "unfit")])
def test_the_status_is_that_of_the_tolerance(tolerance, status):
    # common practice: 10 and 30 %
    study = measure.gauge_study(random_study(4), tolerance=tolerance)
    share = 6 * study.gauge / tolerance
    assert study.tolerance_share == pytest.approx(share)
    assert status == ("fit" if share <= 0.1 else "marginal" if share <= 0.3 else "unfit")
    assert study.status == status


def test_a_study_does_not_depend_on_where_it_stands():
    y = np.round(random_study(7), 3)
    near = measure.gauge_study(y, interaction="keep")
    far = measure.gauge_study(y + 2.0**20, interaction="keep")
    assert far.gauge == pytest.approx(near.gauge, rel=1e-5)


def test_readings_without_any_scatter():
    parts = np.array([1.0, 2.0, 3.0])[:, None, None] * np.ones((1, 2, 2))
    study = measure.gauge_study(parts)
    assert (study.gauge, study.categories, study.status) == (0.0, None, "fit")
    assert "coarser" in study.reason
    alike = measure.gauge_study(np.full((2, 2, 2), 5.0), tolerance=0.1)
    assert (alike.tolerance_share, alike.total) == (0.0, 0.0)
    with pytest.raises(ValueError, match="readings must differ somewhere"):
        measure.gauge_study(np.full((2, 2, 2), 5.1))


def test_rounding_is_no_interaction():
    # The interaction is nothing on paper; what rounding leaves of it must not pass the F test.
    parts = np.array([0.1, 0.7, 1.3])[:, None, None] + np.array([0.0, 0.3])[None, :, None]
    study = measure.gauge_study(parts + np.zeros((1, 1, 2)))
    assert study.pooled and study.repeatability == 0.0


@pytest.mark.parametrize(
    "arguments, text",
    [
        ({"readings": [1.0, 2.0]}, "readings must have three dimensions, parts by operators by"),
        ({"readings": np.ones((1, 2, 2))}, "readings must hold at least 2 parts, got 1"),
        ({"readings": np.ones((2, 1, 2))}, "readings must hold at least 2 operators, got 1"),
        ({"readings": np.ones((2, 2, 1))}, "readings must hold at least 2 repeats, got 1"),
        ({"readings": np.full((2, 2, 2), np.nan)}, r"readings\[0\] must be a finite number"),
        ({"tolerance": 0.0}, "tolerance must be above 0, got 0.0"),
        ({"significance": 0.0}, "significance must be above 0 and below 1, got 0.0"),
        ({"interaction": "drop"}, "interaction must be one of auto, keep, pool; got 'drop'"),
        ({"readings": np.arange(8.0).reshape(2, 2, 2) * 1e200}, "within 1e150 of each other"),
    ],
)
def test_impossible_studies_are_refused(arguments, text):
    with pytest.raises(ValueError, match=text):
        measure.gauge_study(**{"readings": np.arange(8.0).reshape(2, 2, 2), **arguments})
