"""Shells, washers, straightness and the grinder, against oracles that know nothing of them."""

import itertools
import math

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp

import enginewright as ew

GRADES = {"red": 1.490, "blue": 1.493, "black": 1.496, "green": 1.499}


def every_choice(housings, journals, stock, lower, upper, target, step=1):
    """Best choice of shells by trying every one, in whole tenths of a nanometre."""
    names = sorted(GRADES, key=GRADES.get)
    pairs = [(i, j) for i in range(4) for j in range(i, min(4, i + step + 1))]
    best = None
    for choice in itertools.product(pairs, repeat=len(journals)):
        used = [0] * 4
        for i, j in choice:
            used[i] += 1
            used[j] += 1
        if any(used[k] > stock.get(names[k], 0) for k in range(4)):
            continue
        clearances = [
            h - GRADES[names[i]] - GRADES[names[j]] - d
            for h, d, (i, j) in zip(housings, journals, choice, strict=True)
        ]
        outside = sum(not lower - 1e-9 <= c <= upper + 1e-9 for c in clearances)
        deviations = [round(abs(c - target) * 1e10) for c in clearances]
        rank = (outside, max(deviations), sum(deviations), choice)
        best = rank if best is None or rank < best else best
    if best is None:
        return None
    return [(names[i], names[j]) for i, j in best[3]]


def test_shells_are_the_best_of_every_choice_ties_included():
    rng = np.random.default_rng(51)
    short = 0
    for _ in range(60):
        count = int(rng.integers(1, 4))
        journals = 50 + 0.003 * rng.integers(0, 4, count)
        housings = 53.02 + 0.003 * rng.integers(0, 4, count)
        stock = {name: int(rng.integers(0, 5)) for name in GRADES}
        found = ew.journals.select_shells(
            housings, journals, GRADES, stock, lower=0.020, upper=0.035, target=0.029
        )
        best = every_choice(housings, journals, stock, 0.020, 0.035, 0.029)
        if best is None:
            short += 1
            assert found.status == "not enough shells"
            assert (found.first, found.worst_deviation) == ((), None)
            assert found.stock_left == tuple(stock[g] for g in found.grades)
        else:
            assert list(zip(found.first, found.second, strict=True)) == best
            assert found.optimal
    assert 0 < short < 60


def test_the_sum_of_deviations_is_that_of_an_integer_programme():
    rng = np.random.default_rng(52)
    for _ in range(10):
        count = 5
        journals = 50 + rng.uniform(-0.006, 0.006, count)
        housings = 53.015 + rng.uniform(-0.004, 0.004, count)
        names = sorted(GRADES, key=GRADES.get)
        stock = {name: int(rng.integers(2, 5)) for name in names}
        found = ew.journals.select_shells(
            housings, journals, GRADES, stock, lower=0.0, upper=0.08, target=0.025
        )
        if found.status == "not enough shells":
            continue
        pairs = [(i, j) for i in range(4) for j in range(i, min(4, i + 2))]
        cost = np.array(
            [
                abs(housings[b] - journals[b] - GRADES[names[i]] - GRADES[names[j]] - 0.025)
                for b in range(count)
                for i, j in pairs
            ]
        )
        # Only options no worse than the worst that was found may be used.
        allowed = cost <= found.worst_deviation + 1e-12
        one_each = np.kron(np.eye(count), np.ones(len(pairs)))
        uses = np.array([[(i == k) + (j == k) for i, j in pairs] for k in range(4)])
        limit = LinearConstraint(np.tile(uses, count), ub=[stock[n] for n in names])
        answer = milp(
            cost,
            constraints=[LinearConstraint(one_each, 1, 1), limit],
            integrality=np.ones_like(cost),
            bounds=(0, allowed.astype(float)),
        )
        assert answer.success
        assert found.total_deviation == pytest.approx(answer.fun, abs=1e-9)
        # A lower cap leaves nothing: the worst deviation is the least there is.
        tighter = milp(
            cost,
            constraints=[LinearConstraint(one_each, 1, 1), limit],
            integrality=np.ones_like(cost),
            bounds=(0, (cost < found.worst_deviation - 1e-9).astype(float)),
        )
        assert not tighter.success


def test_more_stock_is_never_worse_and_the_order_of_journals_does_not_matter():
    housings, journals = [53.02, 53.025, 53.018], [50.0, 50.004, 49.998]
    few = {"red": 2, "blue": 2, "black": 2}
    found = ew.journals.select_shells(housings, journals, GRADES, few, lower=0.02, upper=0.04)
    turned = ew.journals.select_shells(
        housings[::-1], journals[::-1], GRADES, few, lower=0.02, upper=0.04
    )
    assert turned.worst_deviation == pytest.approx(found.worst_deviation, abs=1e-12)
    assert turned.total_deviation == pytest.approx(found.total_deviation, abs=1e-12)
    full = {name: 6 for name in GRADES}
    more = ew.journals.select_shells(housings, journals, GRADES, full, lower=0.02, upper=0.04)
    assert more.worst_deviation <= found.worst_deviation
    assert more.to_order == (0, 0, 0, 0)


def test_two_stocks_are_told_apart():
    found = ew.journals.select_shells(
        [53.02], [50.0], {"a": 1.490, "b": 1.495}, {"b": 1}, lower=0.02, upper=0.06,
        second_stock={"a": 1},
    )  # fmt: skip
    assert (found.first, found.second) == (("b",), ("a",))
    assert found.stock_left == (0, 0, 0, 0)
    assert len(found.to_order) == 4


def test_what_is_missing_is_to_be_ordered():
    found = ew.journals.select_shells(
        [53.02], [50.0], {"a": 1.490, "b": 1.495}, {"b": 2}, lower=0.035, upper=0.045
    )
    assert (found.status, found.outside) == ("not all within limits", (0,))
    assert found.to_order == (2, 0)
    assert found.next == "order 2 of grade a, then choose again"


def test_impossible_shelves_are_refused_by_name():
    with pytest.raises(ValueError, match="stock grade must be one of a; got 'z'"):
        ew.journals.select_shells([53.0], [50.0], {"a": 1.49}, {"z": 1}, lower=0, upper=1)
    with pytest.raises(ValueError, match=r"stock\['a'\] must be at least 0, got -1"):
        ew.journals.select_shells([53.0], [50.0], {"a": 1.49}, {"a": -1}, lower=0, upper=1)
    with pytest.raises(ValueError, match="target must be between 0 and 0.1 mm, got 0.2"):
        ew.journals.select_shells([53.0], [50.0], {"a": 1.49}, {}, lower=0, upper=0.1, target=0.2)
    with pytest.raises(TypeError, match="grades must be a dict, got list"):
        ew.journals.select_shells([53.0], [50.0], [1.49], {}, lower=0, upper=1)


def test_crush_presses_and_none_does_not():
    # A gap of π times the mean diameter would squeeze the shell to nothing: strain 1.
    found = ew.journals.shell_crush(math.pi * 58.5, 60.0, 1.5, modulus=200000.0)
    assert found.strain == pytest.approx(1.0)
    assert found.seating_pressure == pytest.approx(2 * 200000.0 * 1.5 / 60.0)
    assert ew.journals.shell_crush(0.0, 60.0, 1.5).status == "no crush"
    many = ew.journals.shell_crush([0.0, 0.1], 60.0, 1.5)
    assert list(many.status) == ["no crush", "seated"]


def test_spread_in_its_three_words():
    found = ew.journals.shell_spread([60.5, 60.1, 60.0], 60.0, 0.3)
    assert list(found.status) == ["springs in", "too little spread", "no spread"]


def test_washers_are_the_best_of_all_pairs():
    rng = np.random.default_rng(53)
    for _ in range(200):
        sizes = 2.30 + 0.005 * rng.choice(40, size=int(rng.integers(1, 6)), replace=False)
        stock = rng.integers(0, 3, len(sizes)).tolist()
        fitted = (2.31, 2.34)
        ranks = []
        for i, j in itertools.product(range(len(sizes)), repeat=2):
            if stock[i] < 1 + (i == j) or stock[j] < 1:
                continue
            end = 0.30 + sum(fitted) - sizes[i] - sizes[j]
            shift = ((sizes[i] - fitted[0]) - (sizes[j] - fitted[1])) / 2
            outside = not 0.05 - 1e-9 <= end <= 0.20 + 1e-9
            near, move = round(abs(end - 0.11) * 1e10), round(abs(shift) * 1e10)
            ranks.append((outside, near, move, sizes[i], sizes[j]))
        plan = ew.journals.thrust_plan(
            0.30, fitted, sizes, lower=0.05, upper=0.20, target=0.11, stock=stock
        )
        if not ranks:
            assert (plan.front, plan.status) == (None, "no combination")
            continue
        best = min(ranks)
        assert (plan.front, plan.rear) == best[3:]
        assert plan.status == ("no combination" if best[0] else "fit")


def test_no_washer_that_fits_names_the_total_to_look_for():
    plan = ew.journals.thrust_plan(0.50, (2.31, 2.31), [2.31], lower=0.05, upper=0.20)
    assert plan.status == "no combination"
    assert plan.total_for_target == pytest.approx(4.995)
    assert "make 4.995 mm together" in plan.next


TURN = np.array([0.0, 31, 77, 120, 155, 200, 251, 290, 333])


def crank(centres, ovals, clamp=(0, 0), tilt=(0, 0)):
    """Readings of journals whose centres and ovals are known, clamped off centre."""
    t = np.radians(TURN)
    rows = []
    for k, ((ex, ey), (oval, at)) in enumerate(zip(centres, ovals, strict=True)):
        x, y = ex + clamp[0] + k * tilt[0], ey + clamp[1] + k * tilt[1]
        rows.append(x * np.cos(t) + y * np.sin(t) + oval / 4 * np.cos(2 * (t - np.radians(at))))
    return np.array(rows)


CENTRES = [(0, 0), (0.010, 0.004), (0.020, -0.005), (0.008, 0.001), (0, 0)]
OVALS = [(0.008, 10), (0.004, 100), (0.012, 170), (0, 0), (0.006, 45)]


def test_bend_ovality_and_clamping_come_apart_at_uneven_angles():
    found = ew.journals.runout(
        TURN, crank(CENTRES, OVALS, clamp=(0.3, -0.2), tilt=(0.01, 0.02)), limit=0.03
    )
    wanted = [2 * math.hypot(*e) for e in CENTRES]
    assert found.runout == pytest.approx(wanted, abs=1e-9)
    assert found.ovality == pytest.approx([o for o, _ in OVALS], abs=1e-9)
    assert found.ovality_direction[:3] == pytest.approx([10, 100, 170], abs=1e-6)
    assert found.high_side == pytest.approx(math.degrees(math.atan2(-0.005, 0.020)) + 360)
    assert (found.worst, found.verdicts[2], found.verdict) == (2, "outside", "outside")
    assert found.residual == pytest.approx([0] * 5, abs=1e-12)


def test_turning_the_crank_turns_the_high_side_alone():
    readings = crank(CENTRES, OVALS)
    found = ew.journals.runout(TURN, readings)
    turned = ew.journals.runout(TURN + 400, readings)
    assert turned.runout == pytest.approx(found.runout, abs=1e-12)
    assert turned.high_side == pytest.approx((found.high_side + 400) % 360)


def test_doubt_of_the_runout_agrees_with_simulated_readings():
    rng = np.random.default_rng(54)
    position = [0, 1, 2.5, 3, 4]
    exact = crank([(10 * x, 10 * y) for x, y in CENTRES], OVALS)
    found = ew.journals.runout(TURN, exact, position=position, uncertainty=0.001)
    drawn = [
        ew.journals.runout(TURN, exact + rng.normal(0, 0.001, exact.shape), position=position)
        for _ in range(3000)
    ]
    spread = np.std([d.runout for d in drawn], axis=0)
    # Twenty standard errors of a standard deviation from 3000 draws would be 0.26 of it.
    assert found.uncertainty[1:4] == pytest.approx(spread[1:4], rel=0.07)
    assert (found.uncertainty[0], found.uncertainty[4]) == (0, 0)
    steps = np.std([d.neighbour for d in drawn], axis=0)
    assert found.neighbour_uncertainty == pytest.approx(steps, rel=0.07)


def test_runout_refuses_what_cannot_be_told():
    with pytest.raises(ValueError, match="at least 5 different angles within a turn, got 4"):
        ew.journals.runout([0, 90, 180, 270, 360], np.zeros((2, 5)))
    with pytest.raises(ValueError, match="readings must hold at least 2 rows, one a journal"):
        ew.journals.runout(TURN, np.zeros((1, 9)))
    with pytest.raises(ValueError, match=r"position\[1\] must be above the position before"):
        ew.journals.runout(TURN, np.zeros((2, 9)), position=[1, 1])


def test_throws_find_stroke_and_index_across_a_full_turn():
    t = np.radians(TURN)
    phases = np.radians([10.0, 9.9, 130.2])
    heights = [100 + r * np.sin(t + p) for r, p in zip([40, 40.01, 39.99], phases, strict=True)]
    found = ew.journals.throws(
        TURN, heights, nominal_stroke=80, nominal_index=[0, 0, 120],
        stroke_limit=0.05, index_limit=0.15,
    )  # fmt: skip
    assert found.stroke == pytest.approx([80, 80.02, 79.98])
    assert found.stroke_spread == pytest.approx(0.04)
    assert found.index == pytest.approx([0, 359.9, 120.2])
    assert found.index_error == pytest.approx([0, -0.1, 0.2], abs=1e-9)
    assert found.stroke_verdicts == ("within",) * 3
    assert found.index_verdicts == ("within", "within", "outside")
    assert found.reason == "index error of pin 3 0.200 degrees, 0.150 degrees allowed"


def test_doubt_of_the_throws_agrees_with_simulated_heights():
    rng = np.random.default_rng(55)
    t = np.radians(TURN)
    exact = np.array([40 * np.sin(t), 40 * np.sin(t + 2)])
    found = ew.journals.throws(TURN, exact, uncertainty=0.005)
    drawn = [
        ew.journals.throws(TURN, exact + rng.normal(0, 0.005, exact.shape)) for _ in range(3000)
    ]
    assert found.stroke_uncertainty == pytest.approx(
        np.std([d.stroke for d in drawn], axis=0), rel=0.07
    )
    index = np.std([d.index[1] for d in drawn])
    assert found.index_uncertainty[1] == pytest.approx(index, rel=0.07)
    assert found.index_uncertainty[0] == 0


def test_a_limit_without_its_nominal_is_refused():
    with pytest.raises(ValueError, match="stroke_limit must be left out without a nominal_stroke"):
        ew.journals.throws([0, 90, 180], [[0, 1, 0]], stroke_limit=0.1)
    with pytest.raises(ValueError, match=r"heights\[0\] must rise and fall"):
        ew.journals.throws([0, 90, 180], [[5, 5, 5]])


def test_index_error_of_a_whole_throw_is_a_right_angle():
    assert ew.journals.index_error(40.0, 40.0) == pytest.approx(90)
    with pytest.raises(ValueError, match="height_difference must be between -40 and 40 mm"):
        ew.journals.index_error(41.0, throw=40.0)


def test_offset_grinding_takes_the_most_stroke_that_cleans_up():
    found = ew.journals.offset_grind(50.0, 48.0, clean_up=0.1)
    assert found.offset == pytest.approx(0.9)
    assert (found.thin_side, found.thick_side) == pytest.approx((0.1, 1.9))
    assert ew.journals.offset_grind(50.0, 48.0, 0.1, 0.95).status == "does not clean up"
    less = ew.journals.offset_grind(50.0, 48.0, 0.1, -0.5)
    assert (less.stroke_change, less.status) == (-1.0, "cleans up")


# ISO 4288:1996, annex A, from memory: each line of the sequence, and the gap before it.
FINISH = [
    ([0.14], "within", None),
    ([0.15], "unproven", 3),
    ([0.21], "unproven", 6),
    ([0.15, 0.2, 0.2], "within", None),
    ([0.15, 0.21, 0.2], "unproven", 6),
    ([0.15, 0.21, 0.2, 0.2, 0.2, 0.2], "within", None),
    ([0.15, 0.21, 0.21, 0.2, 0.2, 0.2], "unproven", 12),
    ([0.15, 0.21, 0.21, 0.21], "outside", None),
    ([0.15, 0.21, 0.21] + [0.2] * 9, "within", None),
    ([0.15, 0.21, 0.21, 0.21] + [0.2] * 8, "outside", None),
    ([0.21] * 3 + [0.15] * 16, "within", None),
]


@pytest.mark.parametrize("readings, verdict, next_count", FINISH)
def test_each_line_of_the_sixteen_percent_sequence(readings, verdict, next_count):
    found = ew.journals.surface_finish(readings, 0.2)
    assert (found.verdict, found.next_count) == (verdict, next_count)


def test_the_maximum_rule_allows_none_and_a_reading_at_the_limit():
    assert ew.journals.surface_finish([0.2, 0.2], 0.2, rule="maximum").verdict == "within"
    assert ew.journals.surface_finish([0.1, 0.21], 0.2, rule="maximum").verdict == "outside"
    with pytest.raises(ValueError, match="rule must be one of 16 percent, maximum"):
        ew.journals.surface_finish([0.1], 0.2, rule="mean")


def test_the_fillet_is_as_near_as_a_dense_search_along_the_chamfer():
    rng = np.random.default_rng(56)
    for _ in range(200):
        radius, gap, axial, radial, running = rng.uniform(0.01, 3, 5) * [1, 0.5, 1, 1, 0.1]
        found = ew.journals.fillet_clearance(radius, gap, axial, radial, running)
        s = np.linspace(0, 1, 2001)
        x, y = gap + s * axial, running / 2 + (1 - s) * radial
        inside = (x < radius) & (y < radius)
        near = np.where(inside, radius - np.hypot(radius - x, radius - y), np.minimum(x, y))
        beside = np.where(x >= radius, y, x)
        near = np.where(~inside & ~((x >= radius) & (y >= radius)), beside, near)
        assert found.clearance == pytest.approx(near.min(), abs=1e-12)
        assert found.status == ("clear" if found.clearance > 0 else "rides the fillet")
