"""Doubt through formulas of the user's own: by slopes, to second order, by drawing lots."""

import doctest
import inspect
import math

import mpmath
import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

import enginewright as ew

Quantity = ew.Quantity
propagate = ew.measure.propagate
simulate = ew.measure.simulate


def same_contributions(got, wanted, rel):
    """Both have the same share of every source that matters."""
    ours = {row.source: row.contribution for row in got.budget().rows}
    for row in wanted.budget().rows:
        near = rel * max(wanted.standard_uncertainty, abs(row.contribution))
        assert ours.get(row.source, 0.0) == pytest.approx(row.contribution, abs=near), row.source


# --- First order ---------------------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(
    a=st.floats(1.0, 200.0),
    b=st.floats(1.0, 200.0),
    ua=st.floats(1e-4, 0.02),
    ub=st.floats(1e-4, 0.02),
)
def test_a_formula_has_the_doubt_of_its_arithmetic(a, b, ua, ub):
    # derived: Quantity's own arithmetic, whose slopes are exact
    ring = Quantity(0.0, 0.003)
    x = Quantity(a, ua) + ring
    y = Quantity(b, ub) + 2 * ring

    def formula(x, y):
        return x * y / (x + 3.0) + np.sqrt(y)

    got = propagate(formula, x, y)
    wanted = formula(x, y)
    assert got.value == pytest.approx(wanted.value, rel=1e-15)
    same_contributions(got, wanted, 1e-8)


def test_slopes_are_right_to_nine_digits():
    # derived: derivative to 40 digits; piston position of the slider-crank
    def position(theta, r, rod):
        turn = math.radians(theta)
        return r * (1 - math.cos(turn)) + rod - math.sqrt(rod**2 - (r * math.sin(turn)) ** 2)

    theta, r, rod = Quantity(37.0, 0.1), Quantity(43.0, 0.01), Quantity(145.0, 0.02)
    got = {row.source: row for row in propagate(position, theta, r, rod).budget().rows}
    with mpmath.workdps(40):

        def exact(t, r, rod):
            turn = t * mpmath.pi / 180
            return (
                r * (1 - mpmath.cos(turn)) + rod - mpmath.sqrt(rod**2 - (r * mpmath.sin(turn)) ** 2)
            )

        at = (mpmath.mpf(37), mpmath.mpf(43), mpmath.mpf(145))
        for i, each in enumerate((theta, r, rod)):
            order = tuple(1 if j == i else 0 for j in range(3))
            slope = mpmath.diff(exact, at, order)
            share = got[each.sources[0]].contribution / each.standard_uncertainty
            assert share == pytest.approx(float(slope), rel=1e-9)


def test_what_arguments_share_cancels():
    ring = Quantity(82.0, 0.002, source="ring of the formula")
    bore, piston = ring + Quantity(0.015, 0.001), ring + Quantity(-0.03, 0.0015)
    gap = propagate(lambda bore, piston: bore - piston, bore, piston)
    assert gap.standard_uncertainty == pytest.approx(math.hypot(0.001, 0.0015), rel=1e-9)
    assert "ring of the formula" not in gap.sources


def test_the_end_gauge_of_the_guide_through_a_formula():
    # published: JCGM 100:2008, H.1.5 and H.1.6: 32 nm, 16.7 degrees of freedom, 93 nm at 99 %
    def length(ls, d, da, theta, alpha, dtheta):
        return ls + d - ls * (da * theta + alpha * dtheta)

    d = (
        Quantity(215, 5.8, degrees_of_freedom=24, kind="A")
        + Quantity(0, 3.9, degrees_of_freedom=5)
        + Quantity(0, 6.7, degrees_of_freedom=8)
    )
    arguments = (
        Quantity(50_000_623, 25, degrees_of_freedom=18),
        d,
        Quantity(0, 0.58e-6, degrees_of_freedom=50),
        Quantity(-0.1, 0.2) + Quantity(0, 0.35),
        Quantity(11.5e-6, 1.2e-6),
        Quantity(0, 0.029, degrees_of_freedom=2),
    )
    got = propagate(length, *arguments)
    assert got.value == pytest.approx(50_000_838, abs=0.5)
    assert got.standard_uncertainty == pytest.approx(32, abs=0.5)
    assert got.degrees_of_freedom == pytest.approx(16.7, abs=0.1)
    assert got.expanded(0.99) == pytest.approx(93, abs=1)
    # Rounding of 50 mm in nanometres is 7e-9; the slope divides it by an eighth.
    same_contributions(got, length(*arguments), 1e-8)


def resistance_readings():
    """Five observations of voltage, current and phase.

    published: JCGM 100:2008, table H.2
    """
    return {
        "v": [5.007, 4.994, 5.005, 4.990, 4.999],
        "i": [0.019663, 0.019639, 0.019640, 0.019685, 0.019678],
        "phase": [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    }


def resistance_quantities():
    """Means of the table with their uncertainties and correlations as three quantities.

    The Cholesky factor of the covariance gives three sources that nothing else shares.
    """
    data = np.array(list(resistance_readings().values()))
    covariance = np.cov(data) / data.shape[1]
    factor = np.linalg.cholesky(covariance)
    lots = [Quantity(0.0, 1.0) for _ in range(3)]
    return [
        sum((float(factor[k, j]) * lots[j] for j in range(k + 1)), Quantity(float(data[k].mean())))
        for k in range(3)
    ]


def impedance():
    v, i, phase = resistance_quantities()
    return (
        propagate(lambda v, i, f: v / i * math.cos(f), v, i, phase),
        propagate(lambda v, i, f: v / i * math.sin(f), v, i, phase),
        propagate(lambda v, i: v / i, v, i),
    )


def test_means_of_the_impedance_example():
    # published: JCGM 100:2008, table H.2
    v, i, phase = resistance_quantities()
    assert v.value == pytest.approx(4.9990, abs=0.00005)
    assert v.standard_uncertainty == pytest.approx(0.0032, abs=0.00005)
    assert i.value * 1000 == pytest.approx(19.6610, abs=0.00005)
    assert i.standard_uncertainty * 1000 == pytest.approx(0.0095, abs=0.00005)
    assert phase.value == pytest.approx(1.04446, abs=0.000005)
    assert phase.standard_uncertainty == pytest.approx(0.00075, abs=0.000005)
    assert v.correlation(i) == pytest.approx(-0.36, abs=0.005)
    assert v.correlation(phase) == pytest.approx(0.86, abs=0.005)
    assert i.correlation(phase) == pytest.approx(-0.65, abs=0.005)


def test_results_of_the_impedance_example():
    # published: JCGM 100:2008, table H.4
    r, x, z = impedance()
    assert r.value == pytest.approx(127.732, abs=0.0005)
    assert r.standard_uncertainty == pytest.approx(0.071, abs=0.0005)
    assert x.value == pytest.approx(219.847, abs=0.0005)
    assert x.standard_uncertainty == pytest.approx(0.295, abs=0.0006)
    assert z.value == pytest.approx(254.260, abs=0.0005)
    assert z.standard_uncertainty == pytest.approx(0.236, abs=0.0005)
    assert r.correlation(x) == pytest.approx(-0.588, abs=0.0006)
    assert r.correlation(z) == pytest.approx(-0.485, abs=0.0006)
    assert x.correlation(z) == pytest.approx(0.993, abs=0.0006)


def test_correlated_results_survive_storage():
    document: dict[str, int] = {}
    r, x, _ = impedance()
    back = [Quantity.from_dict(each.as_dict(), document) for each in (r, x)]
    assert back[0].correlation(back[1]) == pytest.approx(r.correlation(x), rel=1e-14)


def test_plain_numbers_have_no_doubt():
    assert propagate(lambda a, b: a * b, 2.0, 3).standard_uncertainty == 0.0
    one = Quantity(2.0, 0.1)
    assert propagate(lambda a, b: a * b, one, 3).standard_uncertainty == pytest.approx(0.3)


def test_at_an_edge_the_slope_is_taken_from_inside():
    # derived: the slope of x ** 2 on one side of 0.05 is 0.1
    def formula(x):
        if x < 0.0499:
            raise ValueError("below the table")
        return x * x

    got = propagate(formula, Quantity(0.05, 0.001))
    assert got.standard_uncertainty == pytest.approx(0.1 * 0.001, rel=1e-9)


@pytest.mark.parametrize(
    "formula, text",
    [
        (lambda x: math.nan, "the result of function must be a finite number, got nan"),
        (lambda x: np.sqrt(x - 1.0) * math.inf, "the result of function must be a finite"),
        (lambda x: math.sqrt(-abs(x - 1.0)), "must leave room for their uncertainty"),
        (lambda x: math.log(-x), "math domain error|positive input"),
    ],
)
def test_a_formula_that_does_not_hold_is_refused(formula, text):
    with pytest.raises(ValueError, match=text):
        propagate(formula, Quantity(1.0, 0.1))


def test_what_is_no_formula_is_a_type_error():
    with pytest.raises(TypeError, match="function must be a function, got float"):
        propagate(3.0, Quantity(1.0, 0.1))
    with pytest.raises(TypeError, match="the result of function must be a number"):
        propagate(lambda x: "one", Quantity(1.0, 0.1))
    with pytest.raises(ValueError, match="quantities must hold at least 1, got 0"):
        propagate(lambda: 1.0)
    with pytest.raises(ValueError, match="order must be 1 or 2, got 3"):
        propagate(lambda x: x, Quantity(1.0, 0.1), order=3)
    with pytest.raises(KeyError):  # an error of the formula's own comes out as it is
        propagate(lambda x: {}["missing"], Quantity(1.0, 0.1))


# --- Second order --------------------------------------------------------------------------------


def test_a_product_at_nothing_has_second_order_only():
    # derived: variance of a product of independent factors with means 0 is the product of theirs
    got = propagate(lambda a, b: a * b, Quantity(0.0, 2.0), Quantity(0.0, 3.0), order=2)
    assert got.standard_uncertainty == pytest.approx(6.0, rel=1e-9)
    assert propagate(lambda a, b: a * b, Quantity(0, 2), Quantity(0, 3)).variance == 0.0


@pytest.mark.parametrize("mean, u", [(0.0, 1.0), (2.0, 0.3), (1.0, 0.5)])
def test_a_square_has_its_exact_variance(mean, u):
    # derived: var(x^2) = 4 mean^2 u^2 + 2 u^4 for a normal x
    got = propagate(lambda x: x * x, Quantity(mean, u), order=2)
    assert got.variance == pytest.approx(4 * mean**2 * u**2 + 2 * u**4, rel=1e-9)


def test_a_cube_has_the_terms_of_the_note():
    # derived: JCGM 100:2008, 5.1.2 note, for x^3: u^2 (9 x^4) + (18 x^2 + 18 x^2) u^4
    x, u = 2.0, 0.01
    got = propagate(lambda x: x**3, Quantity(x, u), order=2)
    assert got.variance == pytest.approx(9 * x**4 * u**2 + 36 * x**2 * u**4, rel=1e-9)


def test_a_straight_formula_gains_nothing():
    a, b = Quantity(50_000_000.0, 25.0), Quantity(3.0, 0.1)
    first = propagate(lambda a, b: 2 * a - 7 * b, a, b)
    second = propagate(lambda a, b: 2 * a - 7 * b, a, b, order=2)
    assert second.variance == first.variance
    assert len(second.sources) == 2


def test_the_second_order_is_a_source_of_its_own():
    a, b = Quantity(0.0, 2.0), Quantity(0.0, 3.0)
    one = propagate(lambda a, b: a * b, a, b, order=2)
    two = propagate(lambda a, b: a * b, a, b, order=2)
    assert one.correlation(two) == 0.0


# --- Columns -------------------------------------------------------------------------------------


def test_columns_go_through_a_formula_at_once():
    calls = []

    def volume(bore, stroke):
        calls.append(np.shape(bore))
        return np.pi / 4 * bore**2 * stroke

    ring = Quantity(0.0, 0.002)
    bores = Quantity(np.linspace(82.0, 86.0, 12).reshape(3, 4), 0.003) + ring
    stroke = Quantity(90.0, 0.01)
    got = propagate(volume, bores, stroke)
    wanted = np.pi / 4 * bores**2 * stroke
    assert got.value.shape == (3, 4)
    assert len(calls) < 12 and set(calls) == {(3, 4)}
    assert got.value == pytest.approx(wanted.value, rel=1e-14)
    assert got.variance == pytest.approx(wanted.variance, rel=1e-9)
    assert got.covariance(ring) == pytest.approx(wanted.covariance(ring), rel=1e-9)
    assert got[0, 1].correlation(got[0, 2]) == pytest.approx(
        wanted[0, 1].correlation(wanted[0, 2]), rel=1e-9
    )


def test_columns_have_a_second_order_too():
    values = Quantity([0.0, 1.0, 2.0], 0.5)
    got = propagate(lambda x: x * x, values, order=2)
    # derived: var(x^2) = 4 mean^2 u^2 + 2 u^4
    wanted = [4 * m**2 * 0.25 + 2 * 0.0625 for m in (0.0, 1.0, 2.0)]
    assert got.variance == pytest.approx(wanted, rel=1e-9)


def test_a_long_column_goes_in_blocks_to_the_same_doubt():
    rng = np.random.default_rng(8)
    bore = ew.Quantity(rng.uniform(80, 90, 20_000), rng.uniform(0.001, 0.004, 20_000))
    ring = ew.Quantity(0.0, 0.001, source="ring")
    longest = 0

    def area(d, zero):
        nonlocal longest
        longest = max(longest, np.size(d))
        return np.pi / 4 * (d + zero) ** 2

    found = ew.measure.propagate(area, bore, ring)
    assert longest == 20_000
    # derived: slope pi / 2 d, along both sources
    slope = np.pi / 2 * bore.value
    doubt = slope * np.hypot(bore.standard_uncertainty, 0.001)
    assert found.value == pytest.approx(np.pi / 4 * bore.value**2, rel=1e-15)
    assert found.standard_uncertainty == pytest.approx(doubt, rel=1e-8)
    for cut in (slice(0, 50), slice(8150, 8250), slice(19_950, 20_000)):
        piece = ew.measure.propagate(area, bore[cut], ring)
        assert found[cut].standard_uncertainty == pytest.approx(
            piece.standard_uncertainty, rel=1e-12
        )


def test_a_formula_that_looks_at_its_whole_column_gets_it_whole():
    bore = ew.Quantity(np.linspace(80, 90, 20_000), 0.002)
    found = ew.measure.propagate(lambda d: d - d.max(), bore)
    assert found.value == pytest.approx(bore.value - 90)


def test_a_formula_must_keep_the_shape_of_its_columns():
    with pytest.raises(ValueError, match="function must give an array of the shape"):
        propagate(lambda x: np.sum(x), Quantity([1.0, 2.0], 0.1))


# --- Drawing lots --------------------------------------------------------------------------------


def test_the_same_seed_gives_the_same_draws():
    x = Quantity(1.0, 0.1)
    first = simulate(lambda x: x, x, draws=2000, seed=5)
    assert first == simulate(lambda x: x, x, draws=2000, seed=5)
    assert first.mean != simulate(lambda x: x, x, draws=2000, seed=6).mean
    assert (first.draws, first.seed) == (2000, 5)


def test_a_generator_gives_a_seed_that_can_be_used_again():
    x = Quantity(1.0, 0.1)
    drawn = simulate(lambda x: x, x, draws=2000, seed=np.random.default_rng(3))
    assert drawn == simulate(lambda x: x, x, draws=2000, seed=drawn.seed)


def test_a_normal_sum_is_normal():
    # derived: closed form; standard error of a mean of 200 000 is 1 / 447
    a, b = Quantity(3.0, 0.3), Quantity(4.0, 0.4)
    got = simulate(lambda a, b: a + b, a, b)
    assert got.mean == pytest.approx(7.0, abs=5 * 0.5 / 447)
    assert got.standard_deviation == pytest.approx(0.5, rel=0.01)
    assert got.lower == pytest.approx(7 - 1.96 * 0.5, abs=0.01)
    assert got.upper == pytest.approx(7 + 1.96 * 0.5, abs=0.01)


def test_draws_follow_the_normal_and_the_t_distribution():
    # derived: Kolmogorov-Smirnov against scipy.stats; seed 0
    kept = {}

    def keep(name):
        def formula(x):
            if np.size(x) > 1:
                kept[name] = np.array(x)
            return x

        return formula

    simulate(keep("normal"), Quantity(0.0, 1.0), draws=50_000)
    simulate(keep("t"), Quantity(0.0, 1.0, degrees_of_freedom=3.5), draws=50_000)
    assert scipy.stats.kstest(kept["normal"], scipy.stats.norm.cdf).pvalue > 0.01
    assert scipy.stats.kstest(kept["t"], scipy.stats.t(3.5).cdf).pvalue > 0.01


def test_shared_sources_are_drawn_once():
    ring = Quantity(82.0, 0.5)
    bore, piston = ring + Quantity(0.015, 0.001), ring + Quantity(-0.03, 0.0015)
    got = simulate(lambda bore, piston: bore - piston, bore, piston)
    assert got.standard_deviation == pytest.approx(math.hypot(0.001, 0.0015), rel=0.01)
    assert got.agrees


def test_a_bent_formula_does_not_agree_with_straight_lines():
    # derived: the square of a standard normal number is chi-square with one degree of freedom
    got = simulate(lambda x: x**2, Quantity(0.0, 1.0))
    assert not got.agrees
    assert got.mean == pytest.approx(1.0, abs=0.02)
    assert got.upper == pytest.approx(scipy.stats.chi2(1).ppf(0.975), rel=0.02)


def test_agreement_asks_for_the_second_digit():
    # published: JCGM 101:2008, 9.2.2 (additive model of four normal inputs, u = 1 each):
    # y = 0, u(y) = 2.0, interval -3.92 to 3.92, agreement with first order
    got = simulate(lambda a, b, c, d: a + b + c + d, *[Quantity(0.0, 1.0) for _ in range(4)])
    assert got.standard_deviation == pytest.approx(2.0, abs=0.02)
    assert (got.lower, got.upper) == (
        pytest.approx(-3.92, abs=0.05),
        pytest.approx(3.92, abs=0.05),
    )
    assert got.agrees


@pytest.mark.parametrize(
    "formula",
    [
        lambda x: math.exp(x),  # takes no arrays
        lambda x: x + 1 if x > 0 else x - 1,  # asks an array for its truth
        lambda x: 2.0,  # gives no array
    ],
)
def test_a_function_of_single_numbers_is_called_draw_by_draw(formula):
    x = Quantity(0.5, 0.1)
    got = simulate(formula, x, draws=1000)
    each = np.vectorize(formula)
    assert got.mean == pytest.approx(simulate(each, x, draws=1000).mean, rel=1e-12)


def test_a_function_that_looks_at_all_draws_is_not_believed():
    got = simulate(lambda x: x - np.mean(x), Quantity(5.0, 1.0), draws=1000)
    assert got.standard_deviation == 0.0  # one number less its own mean is nothing


@pytest.mark.parametrize(
    "arguments, text",
    [
        ({"draws": 10}, "draws must be between 1000 and 10000000, got 10"),
        ({"seed": -1}, "seed must be at least 0, got -1"),
        ({"level": 1.0}, "level must be above 0 and below 1, got 1.0"),
    ],
)
def test_impossible_simulations_are_refused(arguments, text):
    with pytest.raises(ValueError, match=text):
        simulate(lambda x: x, Quantity(1.0, 0.1), **arguments)


def test_a_draw_outside_the_formula_is_named():
    with pytest.raises(ValueError, match=r"must be a finite number, got nan \(draw \d+\)"):
        simulate(lambda x: np.sqrt(x), Quantity(0.0, 1.0), draws=1000)
    with pytest.raises(ValueError, match="quantities must be single, got an array"):
        simulate(lambda x: x, Quantity([1.0, 2.0], 0.1))


# --- The page ------------------------------------------------------------------------------------


def test_help_shows_the_signature_and_the_text_of_the_header():
    assert str(inspect.signature(propagate)).endswith("*quantities: Any, order: int = 1) -> Any")
    parameters = inspect.signature(simulate).parameters
    assert [parameters[name].default for name in ("draws", "seed", "level")] == [200_000, 0, 0.95]
    assert "Richardson" in propagate.__doc__
    assert "Source\n" in simulate.__doc__


@pytest.mark.parametrize("name", ew.measure.__all__)
def test_the_examples_of_the_page_hold(name):
    page = inspect.getdoc(getattr(ew.measure, name))
    example = doctest.DocTestParser().get_doctest(page, {"ew": ew}, name, None, 0)
    assert doctest.DocTestRunner().run(example).failed == 0


def test_every_function_has_an_example():
    for name in ew.measure.__all__:
        function = getattr(ew.measure, name)
        if not isinstance(function, type):
            assert ">>>" in inspect.getdoc(function), name
