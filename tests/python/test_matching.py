"""Matching as a user meets it: weights, rods, assignments, pairs, wheels; judged by SciPy."""

import doctest
import itertools
import math
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, linear_sum_assignment, linprog, milp

import enginewright as ew


def test_a_set_comes_down_to_its_lightest_part():
    plan = ew.matching.match_masses([612.4, 610.1, 611.0, 615.2])
    assert plan.removal == pytest.approx([2.3, 0, 0.9, 5.1])
    assert plan.next == "take 2.3 g off part 1, 0.9 g off part 3, 5.1 g off part 4"
    assert plan.status == "matched" and plan.reason == "" and plan.least_target is None
    assert plan.spread_before == pytest.approx(5.1)
    assert plan.spread_after == pytest.approx(0)
    assert ew.matching.MassPlan.units["removal"] == "g"
    assert not plan.removal.flags.writeable
    assert pickle.loads(pickle.dumps(plan)) == plan


def test_each_part_may_have_its_own_limit():
    plan = ew.matching.match_masses([500.0, 506.0, 505.0], removable=[1.0, 4.0, 4.5])
    assert plan.over_limit == (1, 2)
    assert plan.least_target == pytest.approx(502.0)
    assert plan.after == pytest.approx([500.0, 502.0, 500.5])
    assert plan.next == (
        "replace part 2 by one of 504.0 g at most, part 3 by one of 504.5 g at most, "
        "or part 1 by one of 502.0 g at least"
    )


def test_too_light_and_too_heavy_parts_are_told_apart():
    plan = ew.matching.match_masses([500.0, 506.0], target=502.0, removable=1.0)
    assert plan.too_light == (0,) and plan.over_limit == (1,)
    assert plan.next == (
        "replace part 2 by one of 503.0 g at most and part 1 by one of 502.0 g at least"
    )


@pytest.mark.parametrize(
    "call, text",
    [
        (lambda m: m.match_masses([500.0]), "masses must hold at least 2 readings, got 1"),
        (lambda m: m.match_masses([1.0, math.nan]), r"masses\[1\] must be a finite number"),
        (lambda m: m.match_masses([1.0, 1e300]), r"masses\[1\] must be at most"),
        (lambda m: m.rod_ends(430.0, -1.0), "small_end must be above 0 g, got -1.0"),
        (lambda m: m.rod_removal(1, 1, 140, 150, 20), "pad_small must be above pad_big"),
        (lambda m: m.match_rods([1, 2], [1], 140, 0, 140), "small_ends must hold at least 2"),
        (lambda m: m.assign([[1, 2]], objective="least"), "objective must be one of sum, bott"),
        (lambda m: m.assign([1, 2]), "cost must have two dimensions, rows by columns, got 1"),
        (lambda m: m.choose_parts([1.0, 2.0], 0), "count must be between 1 and 2, got 0"),
        (lambda m: m.turned_band(100, 100, 5), "inner must be below 100 mm, got 100.0"),
        (lambda m: m.drilled_holes(12, 20, 5), "pitch_radius must be at least 6 mm, got 5.0"),
        (lambda m: m.spin_stress(280, 0, 7000, density=7850), "density must be at most 100 g/cm³"),
        (lambda m: m.equivalent_mass(0.02, 12, 5e-324), "rolling_radius must be at least 0.001"),
    ],
)
def test_a_refusal_names_argument_rule_and_value(call, text):
    with pytest.raises(ValueError, match=text):
        call(ew.matching)


def test_allowed_is_a_table_of_truths():
    with pytest.raises(TypeError, match="allowed must be a table of True and False, got int64"):
        ew.matching.assign([[1, 2]], allowed=[[1, 0]])
    found = ew.matching.assign([[1, 2], [1, 2]], allowed=[[False, True], [True, True]])
    assert found.columns == (1, 0)


def test_ends_put_right_have_the_doubt_that_is_claimed():
    # Monte Carlo of three weighings, each with the balance's own scatter.
    draw = np.random.default_rng(5)
    big, small, total = (true + 0.3 * draw.standard_normal(20000) for true in (430.0, 170.0, 600.0))
    residual = big + small - total
    scatter = np.std(big - residual / 3)
    ends = ew.matching.rod_ends(430.2, 170.1, total=600.0, uncertainty=0.3)
    assert ends.uncertainty == pytest.approx(math.sqrt(2 / 3) * 0.3)
    assert scatter == pytest.approx(ends.uncertainty, rel=0.02)
    # Two in a hundred or so of sound rods are sent back: 2 sigma of the misclosure.
    assert np.mean(np.abs(residual) > ends.residual_allowed) == pytest.approx(0.0455, abs=0.006)
    assert ew.matching.rod_ends(430.2, 170.1, uncertainty=0.3).uncertainty == 0.3


def test_metal_off_the_pads_broadcasts():
    off = ew.matching.rod_removal([3.0, 0.0, -1.0], [2.0, 2.0, 0.0], 140, -28, 154)
    assert off.array_shape == (3,)
    assert off.status.tolist() == ["possible", "possible", "not possible"]
    assert off[0].removed == pytest.approx(5.0)


def test_metal_off_a_pad_carries_the_doubt_of_both_ends():
    # u * hypot(x2, L - x2) / (x2 - x1) at the big-end pad
    big = ew.Quantity(3.0, 0.2, source="balance, big end")
    small = ew.Quantity(2.0, 0.2, source="balance, small end")
    off = ew.matching.rod_removal(big, small, 140, -28, 154)
    assert off.remove_big.standard_uncertainty == pytest.approx(
        0.2 * math.hypot(154, 140 - 154) / 182
    )
    assert off.remove_small.standard_uncertainty == pytest.approx(0.2 * math.hypot(28, 168) / 182)


@pytest.mark.parametrize("seed", range(20))
def test_rods_lose_the_least_metal_by_linear_programming(seed):
    # HiGHS is the judge: common ends (B, S), removals at both pads of each rod, none negative.
    draw = np.random.default_rng(seed)
    rods, length, x1, x2 = 5, 140.0, -28.0, 154.0
    big, small = draw.uniform(425, 432, rods), draw.uniform(160, 166, rods)
    columns = 2 * rods + 2
    equal = np.zeros((2 * rods, columns))
    for i in range(rods):
        equal[2 * i, [i, rods + i, 2 * rods]] = 1 - x1 / length, 1 - x2 / length, 1
        equal[2 * i + 1, [i, rods + i, 2 * rods + 1]] = x1 / length, x2 / length, 1
    known = np.column_stack([big, small]).ravel()
    cost = np.r_[np.ones(2 * rods), 0, 0]
    best = linprog(cost, A_eq=equal, b_eq=known, bounds=[(0, None)] * columns)
    plan = ew.matching.match_rods(big, small, length, x1, x2)
    assert plan.total_removed == pytest.approx(best.fun, abs=1e-6)
    assert (plan.target_big, plan.target_small) == pytest.approx(tuple(best.x[-2:]), abs=1e-6)


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("shape", [(24, 24), (12, 30), (1, 7)])
def test_the_sum_is_that_of_scipy(seed, shape):
    cost = np.random.default_rng(seed).normal(0, 50, shape)
    found = ew.matching.assign(cost)
    assert found.total == pytest.approx(cost[linear_sum_assignment(cost)].sum(), abs=1e-9)
    assert sorted([*found.columns, *found.unused]) == list(range(shape[1]))
    assert found.costs == pytest.approx(cost[range(shape[0]), found.columns])


@pytest.mark.parametrize("seed", range(6))
def test_bottleneck_and_spread_are_those_of_integer_programming(seed):
    # HiGHS is the judge, on binary pairs with a least and a greatest cost beside them.
    n = 6
    cost = np.random.default_rng(seed).integers(0, 40, (n, n)).astype(float)
    pairs = n * n
    one_each = np.zeros((2 * n, pairs + 2))
    for i in range(n):
        one_each[i, i * n : (i + 1) * n] = 1
        one_each[n + i, i:pairs:n] = 1
    # greatest >= cost of each chosen pair; least <= it.
    above = np.zeros((pairs, pairs + 2))
    below = np.zeros((pairs, pairs + 2))
    for k, each in enumerate(cost.ravel()):
        above[k, [k, pairs]] = each, -1
        below[k, [k, pairs + 1]] = 100 - each, 1
    rules = [
        LinearConstraint(one_each, 1, 1),
        LinearConstraint(above, -np.inf, 0),
        LinearConstraint(below, -np.inf, 100),
    ]
    whole = np.r_[np.ones(pairs), 0, 0]
    bounds = Bounds(0, np.r_[np.ones(pairs), 100, 100])
    for objective, weight in (("bottleneck", [1, 0]), ("spread", [1, -1])):
        aim = np.r_[np.zeros(pairs), weight]
        best = milp(aim, constraints=rules, integrality=whole, bounds=bounds)
        found = ew.matching.assign(cost, objective=objective)
        figure = found.largest if objective == "bottleneck" else found.spread
        assert figure == pytest.approx(best.fun, abs=1e-6), objective


@given(
    cost=st.lists(st.lists(st.integers(-20, 20), min_size=5, max_size=5), min_size=4, max_size=4),
    more=st.integers(-1000, 1000),
    row=st.integers(0, 3),
)
def test_a_constant_on_a_row_moves_no_column(cost, more, row):
    before = ew.matching.assign(cost).columns
    cost[row] = [each + more for each in cost[row]]
    assert ew.matching.assign(cost).columns == before


def test_a_shortage_is_an_outcome():
    allowed = np.zeros((4, 5), bool)
    allowed[:, 1:4] = True
    found = ew.matching.assign(np.ones((4, 5)), allowed=allowed)
    assert found.status == "no assignment"
    assert found.reason == "rows 1, 2, 3, 4 have only columns 2, 3, 4 between them"
    assert (found.columns, found.total, found.unused) == ((), None, (0, 1, 2, 3, 4))
    assert len(found.costs) == 0


def test_pistons_go_to_rods_light_with_heavy():
    pairs = ew.matching.pair_parts([500, 502, 505], [600, 601, 604])
    assert pairs.partner == (2, 1, 0)
    assert pairs.mean == pytest.approx(1104) and pairs.worst_deviation == pytest.approx(1)
    assert pairs.next == "part 1 with 3 (1104.0), part 2 with 2 (1103.0), part 3 with 1 (1105.0)"


def test_the_most_even_four_of_a_box():
    choice = ew.matching.choose_parts([610, 614, 611, 620, 612, 611.5], 4)
    assert choice.parts == (0, 2, 4, 5)
    assert choice.values.tolist() == [610, 611, 612, 611.5]
    assert choice.unused == (1, 3)
    assert choice.next == "use parts 1, 3, 5, 6"
    near = ew.matching.choose_parts([610, 614, 611, 620, 612, 611.5], 2, target=613)
    assert near.parts == (1, 4) and near.worst_deviation == pytest.approx(1)


def test_a_band_at_the_rim_takes_more_inertia_than_mass():
    band = ew.matching.turned_band(280, [230, 260], 12, density=7.2)
    assert band.mass.shape == (2,)
    left = ew.matching.lightened(9500, 0.105, [band[0]])
    assert left.inertia_share > left.removed_mass / 9500
    with pytest.raises(ValueError, match=r"removals\[0\] must be a single record, got 2"):
        ew.matching.lightened(9500, 0.105, [band])
    with pytest.raises(ValueError, match="removals must be lighter than the wheel"):
        ew.matching.lightened(1000, 0.105, [band[0]])


def test_equivalent_mass_has_the_energy_of_the_wheel():
    # half J w² = half m v²; v = w / ratio * radius
    mass = ew.matching.equivalent_mass(0.02, 12, 300) / 1000
    speed = 100.0 / 12 * 0.300
    assert mass * speed**2 == pytest.approx(0.02 * 100.0**2)


@pytest.mark.parametrize("name", ew.matching.__all__)
def test_examples_of_the_page_run(name):
    page = getattr(ew.matching, name).__doc__
    assert page
    example = doctest.DocTestParser().get_doctest(page, {"ew": ew}, name, None, 0)
    assert doctest.DocTestRunner().run(example).failed == 0


@pytest.mark.parametrize("seed", range(60))
def test_rods_left_alone_are_the_best_of_every_choice(seed):
    # Every choice of rods that stay, tried one by one: the judge knows no windows.
    draw = np.random.default_rng(seed)
    rods, length, (x1, x2) = int(draw.integers(2, 8)), 140.0, (-28.0, 154.0)
    big = np.round(draw.uniform(430, 436, rods), 1)
    small = np.round(draw.uniform(165, 169, rods), 1)
    near = {"tolerance_big": draw.choice([0.0, 1.0, 3.0]), "tolerance_small": draw.choice([1.0, 2])}
    ground = ew.matching.match_rods(big, small, length, x1, x2)
    off = np.add(ground.remove_big, ground.remove_small)
    targets = np.array([ground.target_big, ground.target_small])
    limits = np.array([near["tolerance_big"], near["tolerance_small"]]) + 1e-9
    least = off.sum()
    for stay in itertools.product([True, False], repeat=rods):
        kept = np.array(stay)
        ends = np.column_stack([big, small])[kept]
        finished = ends if kept.all() else np.vstack([ends, targets])
        if np.all(np.ptp(finished, axis=0) <= limits):
            least = min(least, off[~kept].sum())
    plan = ew.matching.match_rods(big, small, length, x1, x2, **near)
    assert plan.total_removed == pytest.approx(least, abs=1e-6)
    # What is said to stay stays, what is ground goes to the targets.
    taken = np.column_stack([plan.remove_big, plan.remove_small])
    kept = taken.sum(axis=1) == 0
    assert (plan.target_big, plan.target_small) == tuple(targets)
    assert taken[~kept] == pytest.approx(
        np.column_stack([ground.remove_big, ground.remove_small])[~kept]
    )


def test_a_set_of_rods_within_both_tolerances_loses_nothing():
    # Big ends 2 g apart, small ends 1 g: even, though the targets of grinding lie lower.
    ends = [432.0, 430.0, 431.0], [166.0, 166.5, 165.5]
    even = ew.matching.match_rods(*ends, 140, -28, 154, tolerance_big=2, tolerance_small=1)
    assert even.total_removed == 0 and even.next == "" and even.status == "matched"
    odd = ew.matching.match_rods(*ends, 140, -28, 154, tolerance_big=2, tolerance_small=0.9)
    assert odd.total_removed > 0
    with pytest.raises(ValueError, match="tolerance_small must be at least 0 g, got -1"):
        ew.matching.match_rods(*ends, 140, -28, 154, tolerance_small=-1)
