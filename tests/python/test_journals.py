"""Journals as a user meets them: form, the undersize of a set, bearing clearance."""

import doctest
import math
import pickle

import numpy as np
import pytest

import enginewright as ew

WORN = [[50.762, 50.771], [50.755, 50.768], [50.764, 50.772]]
LIMITS = {"standard_lower": 50.78, "standard_upper": 50.80}


def with_ring(readings, own=0.001):
    """Give readings an error in common, of the setting ring, and one of their own."""
    ring = ew.Quantity(0.0, 0.004)
    return [[ring + each + ew.Quantity(0.0, own) for each in row] for row in readings]


def test_a_form_tells_size_shape_and_wear():
    found = ew.journals.form(WORN, lower=50.78, upper=50.80, ovality_limit=0.010, current_size=50.8)
    assert (found.shape, found.ovality_station, found.taper_axis) == ("hourglass", 1, 0)
    assert found.wear == pytest.approx(0.045)
    assert (found.size_verdict, found.taper_verdict) == ("outside", "unlimited")
    assert found.next.endswith("this journal is 0.025 mm below 50.780 mm")


def test_swapped_axes_and_turned_stations_change_what_they_should():
    found, grid = ew.journals.form(WORN), np.array(WORN)
    swapped, turned = ew.journals.form(grid[:, ::-1]), ew.journals.form(grid[::-1])
    assert (swapped.ovality, swapped.taper) == (found.ovality, found.taper)
    assert swapped.taper_axis == 1
    assert turned.end_difference == pytest.approx(-found.end_difference)
    assert turned.barrel == pytest.approx(found.barrel)


def test_one_station_and_one_axis_leave_figures_open():
    station = ew.journals.form([[50.79, 50.78]], taper_limit=0.01)
    assert (station.taper, station.end_difference, station.shape) == (None, None, "unknown")
    assert (station.taper_verdict, station.next) == ("unproven", "measure at a second station")
    axis = ew.journals.form([[50.79], [50.78]], ovality_limit=0.01)
    assert (axis.ovality, axis.ovality_verdict) == (None, "unproven")
    assert axis.reason == "ovality needs readings on two axes"


def test_readings_of_one_gauge_lose_its_ring_in_ovality_alone():
    found = ew.journals.form(with_ring(WORN), lower=50.70, upper=50.80, current_size=50.80)
    assert found.ovality.standard_uncertainty == pytest.approx(0.001 * math.sqrt(2))
    assert found.minimum.standard_uncertainty == pytest.approx(math.hypot(0.004, 0.001))
    assert found.wear.standard_uncertainty == pytest.approx(math.hypot(0.004, 0.001))
    assert found.wear.value == pytest.approx(0.045)
    plain = ew.journals.form(WORN, lower=50.70, upper=50.80, current_size=50.80)
    assert (found.shape, found.verdict) == (plain.shape, plain.verdict)


def test_words_use_each_figures_own_doubt():
    oval = [[50.790, 50.782]]
    plain = ew.journals.form(oval, ovality_limit=0.010, uncertainty=0.004)
    assert plain.ovality_verdict == "unproven"
    assert (
        ew.journals.form(with_ring(oval, 0.0005), ovality_limit=0.010).ovality_verdict == "within"
    )


def test_the_uncertainty_stays_nought_beside_quantities():
    with pytest.raises(ValueError, match="uncertainty must be 0 where readings carry"):
        ew.journals.form(with_ring(WORN), uncertainty=0.001)


def test_a_bad_reading_is_named_by_its_place():
    with pytest.raises(ValueError, match=r"readings\[1\]\[0\] must be above 0 mm, got -1\.0"):
        ew.journals.form([[50.0], [-1.0]])
    with pytest.raises(ValueError, match="readings must have two dimensions"):
        ew.journals.form([50.0, 50.1])
    with pytest.raises(ValueError, match="at least 1 station and 1 axis"):
        ew.journals.form(np.empty((0, 2)))


def test_undersizes_come_in_two_measures():
    # common practice, no source
    assert ew.journals.undersizes() == (0.25, 0.5, 0.75, 1.0, 1.25, 1.5)
    assert ew.journals.undersizes("inch") == tuple(round(0.254 * k, 3) for k in range(1, 7))
    with pytest.raises(ValueError, match="system must be one of metric, inch; got 'thou'"):
        ew.journals.undersizes("thou")


def plan_by_loop(readings, undersizes, allowance, aim, damage, one_side):
    """Find the first step the plain way."""
    for step in undersizes:
        target = 50.78 - step + aim * 0.02
        cleanups = []
        for grid, depth in zip(readings, damage, strict=True):
            least, most = np.min(grid), np.max(grid)
            cleanup = least - 2 * depth - allowance
            if one_side:
                cleanup -= max(50.80, most) - least
            cleanups.append(cleanup)
        if all(target <= cleanup + 1e-9 for cleanup in cleanups):
            return step
    return None


@pytest.mark.parametrize("seed", range(200))
def test_the_plan_agrees_with_a_plain_loop(seed):
    draw = np.random.default_rng(seed)
    readings = [
        50.80 - draw.uniform(0, draw.choice([0.1, 0.6]), (draw.integers(1, 4), draw.integers(1, 3)))
        for _ in range(draw.integers(1, 6))
    ]
    damage = draw.uniform(0, 0.2, len(readings)) * draw.integers(0, 2, len(readings))
    steps = np.cumsum(draw.uniform(0.1, 0.3, draw.integers(1, 7)))
    aim, allowance = draw.uniform(), draw.uniform(0, 0.06)
    side = draw.choice(["even", "one side"])
    plan = ew.journals.regrind_plan(
        readings,
        undersizes=steps,
        grinding_allowance=allowance,
        aim=aim,
        damage_depth=damage,
        wear_side=str(side),
        **LIMITS,
    )
    expected = plan_by_loop(readings, steps, allowance, aim, damage, side == "one side")
    assert plan.undersize == expected
    assert plan.status == ("regrind" if expected else "no undersize left")
    assert plan.governing == int(np.argmin(plan.cleanup_diameters))


def test_what_is_no_sequence_is_refused_by_its_name():
    for wrong in (np.array(1.0), ew.Quantity(1.0, 0.1), 3.0, "abc", None):
        with pytest.raises(TypeError, match="readings must be a sequence"):
            ew.journals.regrind_plan(
                wrong, standard_lower=50.0, standard_upper=50.1, undersizes=[0.25]
            )


def test_one_depth_of_damage_counts_for_every_journal():
    readings = [[[50.79]], [[50.78]]]
    one = ew.journals.regrind_plan(readings, undersizes=(0.25, 0.5), damage_depth=0.1, **LIMITS)
    each = ew.journals.regrind_plan(
        readings, undersizes=(0.25, 0.5), damage_depth=[0.1, 0.1], **LIMITS
    )
    assert one == each
    assert one.undersize == 0.25


def test_a_three_dimensional_array_is_a_set():
    grids = np.full((4, 3, 2), 50.79)
    plan = ew.journals.regrind_plan(grids, undersizes=[0.25], **LIMITS)
    assert len(plan.margin) == 4
    assert plan.next.startswith("grind all 4 to 50.530-50.550 mm (0.250 under), journal 1 decides")


def test_a_plan_hands_back_the_steps_bit_for_bit():
    steps = [0.1 + 0.2, 0.7]
    plan = ew.journals.regrind_plan([[[50.6]], [[50.79]]], undersizes=steps, **LIMITS)
    assert plan.undersize_by_journal == (steps[0], steps[0])
    assert isinstance(plan.warnings, tuple)
    assert not plan.margin.flags.writeable
    assert pickle.loads(pickle.dumps(plan)) == plan


def test_a_deeper_score_never_gives_a_smaller_step():
    steps = [
        ew.journals.regrind_plan(
            [[[50.75]], [[50.78]]],
            undersizes=ew.journals.undersizes(),
            damage_depth=[0, depth],
            **LIMITS,
        ).undersize
        for depth in np.arange(0, 0.6, 0.02)
    ]
    assert all(a <= b for a, b in zip(steps, steps[1:], strict=False))
    assert steps[-1] > steps[0]


def test_no_undersize_left_is_an_outcome_with_a_next_action():
    plan = ew.journals.regrind_plan([[[49.1]], [[50.7]]], undersizes=[0.25, 0.5], **LIMITS)
    assert plan.status == "no undersize left"
    assert (plan.undersize, plan.target, plan.case_left) == (None, None, None)
    assert (plan.steps_left, plan.remaining, len(plan.stock_least)) == (0, 0, 0)
    assert plan.margin[0] == pytest.approx(49.1 - 50.29)
    assert plan.undersize_without_governing == 0.25
    assert plan.next == (
        "have journal 1 built up by a specialist and grind the others 0.250 under, "
        "or replace the crank"
    )


def test_clearance_broadcasts():
    clearance = ew.journals.bearing_clearance(53.72, [1.445, 1.450], 50.79)
    assert clearance == pytest.approx([0.04, 0.03])
    assert ew.journals.bearing_clearance(53.72, 1.47, 50.79) < 0
    found = ew.journals.judge_clearance([53.72, 53.75], 1.445, 50.79, lower=0.025, upper=0.065)
    assert list(found.verdict) == ["within", "outside"]
    assert found[1].next.startswith("close the clearance by 0.005 mm")


def test_a_wall_read_once_counts_twice():
    # published: JCGM 100:2008, 5.2.2: fully correlated inputs add linearly
    found = ew.journals.judge_clearance(53.72, 1.445, 50.79, uncertainty_wall=0.002)
    assert found.uncertainty == pytest.approx(0.004)
    both = ew.journals.judge_clearance(53.72, 1.445, 50.79, 1.445, uncertainty_wall=0.002)
    assert both.uncertainty == pytest.approx(0.002 * math.sqrt(2))
    wall = ew.Quantity(1.445, 0.002)
    assert ew.journals.bearing_clearance(53.72, wall, 50.79).standard_uncertainty == pytest.approx(
        0.004
    )


def test_a_clearance_of_quantities_drops_the_ring_they_share():
    ring = ew.Quantity(0.0, 0.004)
    found = ew.journals.judge_clearance(ring + 53.72, 1.445, ring + 50.79, lower=0.025, upper=0.065)
    assert found.clearance.value == pytest.approx(0.04)
    assert found.clearance.standard_uncertainty == pytest.approx(0, abs=1e-12)
    assert found.verdict == "within"
    own = ew.journals.judge_clearance(
        ew.Quantity(53.72, 0.004), 1.445, ew.Quantity(50.79, 0.003), lower=0.025, upper=0.065
    )
    assert own.uncertainty == pytest.approx(0.005)
    assert own.margin.standard_uncertainty == pytest.approx(0.005)
    assert own.share_housing == pytest.approx(0.64)
    assert own.share_walls == 0


def test_a_clearance_of_columns_of_quantities_is_judged_one_by_one():
    journals = [ew.Quantity(50.79, 0.003), ew.Quantity(50.802, 0.003)]
    found = ew.journals.judge_clearance(53.72, 1.445, journals, lower=0.025, upper=0.065)
    assert found.array_shape == (2,)
    assert list(found.verdict) == ["within", "unproven"]
    assert found.clearance.value == pytest.approx([0.04, 0.028])
    assert found[1].clearance.standard_uncertainty == pytest.approx(0.003)


def test_a_doubt_without_its_wall_is_refused():
    with pytest.raises(ValueError, match="uncertainty_second_wall must be left out"):
        ew.journals.judge_clearance(53.72, 1.445, 50.79, uncertainty_second_wall=0.002)
    with pytest.raises(ValueError, match="uncertainty_wall must be 0 where readings carry"):
        ew.journals.judge_clearance(ew.Quantity(53.72, 0.01), 1.445, 50.79, uncertainty_wall=0.1)


def test_the_rule_of_clearance_says_where_it_comes_from():
    rule = ew.journals.clearance_by_rule([50.8, 60.0])
    # common practice, no source: 0.0015 to 0.0020 in for a 2.000 in journal
    assert (rule.lower[0], rule.upper[0]) == pytest.approx((0.0381, 0.0508))
    assert set(rule.provenance) == {"common practice"}


@pytest.mark.parametrize("name", ew.journals.__all__)
def test_examples_of_the_page_run(name):
    page = getattr(ew.journals, name).__doc__
    assert page
    example = doctest.DocTestParser().get_doctest(page, {"ew": ew}, name, None, 0)
    assert doctest.DocTestRunner().run(example).failed == 0
