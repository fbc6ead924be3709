"""Correction plans: proven best, against brute force, SciPy's milp, and the laws they must obey."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from enginewright import balance as b

PLANES = [0.0, 360.0]


def drills(count, depth=20.0, step=2.5, seed=0, radius=80.0):
    random = np.random.default_rng(seed)
    return [
        b.Site(
            f"S{i}",
            "drill",
            angle=float(random.uniform(0, 360)),
            position=float(random.uniform(20, 340)),
            radius=radius,
            diameter=12.0,
            maximum_depth=depth,
            step=step,
        )
        for i in range(count)
    ]


def options(sites):
    """Depths of each site and what they do in the planes, by the public formulas."""
    table = []
    for site in sites:
        rows = []
        depth = site.step
        while depth <= site.maximum_depth + 1e-9:
            moment = -b.hole_moment(site.radius, depth, site.diameter).moment
            share = b.plane_share(site.position, PLANES)
            rows.append((depth, share * moment * np.exp(1j * math.radians(site.angle))))
            depth += site.step
        table.append(rows)
    return table


def brute(unbalance, sites, tolerance, most):
    """Least worst for each number of operations, through every subset and setting."""
    table = options(sites)
    best = {0: max(abs(np.asarray(unbalance))) / tolerance}
    for k in range(1, most + 1):
        least = math.inf
        for chosen in itertools.combinations(range(len(sites)), k):
            sums = np.asarray(unbalance)[None, :]
            for i in chosen:
                effects = np.array([effect for _, effect in table[i]])
                sums = (sums[:, None, :] + effects[None, :, :]).reshape(-1, 2)
            least = min(least, np.abs(sums).max(axis=1).min() / tolerance)
        best[k] = least
    return best


@pytest.mark.parametrize("seed", range(4))
def test_no_subset_and_no_setting_does_better(seed):
    random = np.random.default_rng(seed)
    sites = drills(9, seed=seed)
    unbalance = [complex(*random.normal(0, 600, 2)) for _ in range(2)]
    best = brute(unbalance, sites, 60, 3)
    for most in (1, 2, 3):
        plan = b.plan_correction(
            unbalance, PLANES, sites, 60, target=1e-9, maximum_operations=most, wall=-50
        )
        assert plan.worst == pytest.approx(min(best[k] for k in range(most + 1)), rel=1e-9)
        assert plan.optimal
        assert plan.lower_bound <= plan.worst + 1e-12
    # The fewest operations that reach a target, and among these the least worst.
    target = best[2] * 1.0001
    if target < 1:
        plan = b.plan_correction(unbalance, PLANES, sites, 60, target=target, wall=-50)
        assert len(plan.operations) == min(k for k in best if best[k] <= target)


def test_the_residual_is_that_of_its_holes_by_hand():
    sites = drills(12, seed=11, step=0.5)
    unbalance = np.array([b.vector(700, 40), b.vector(500, 250)])
    plan = b.plan_correction(unbalance, PLANES, sites, 60, tolerance_planes=[30, 330])
    left = unbalance.copy()
    for step in plan.operations:
        site = next(s for s in sites if s.name == step.site)
        moment = b.hole_moment(site.radius, step.setting, site.diameter).moment
        left -= (
            moment * np.exp(1j * math.radians(site.angle)) * b.plane_share(site.position, PLANES)
        )
    np.testing.assert_allclose(left - unbalance, plan.nominal_change, atol=1e-9)
    carried = b.to_planes(left, PLANES, [30, 330])
    np.testing.assert_allclose(carried, plan.residual, atol=1e-9)
    np.testing.assert_allclose(np.abs(carried) / 60, plan.ratio)


def by_milp(unbalance, sites, tolerance, most):
    """Least square-norm bound of the plan as a mixed-integer programme over 64 directions.

    Binary choice of one depth a site; each plane's residual is held below t in 64 directions, which
    understates its length by a factor of cos(pi / 64) at most.
    """
    table = options(sites)
    effects = np.array([e for rows in table for _, e in rows]) / tolerance
    places = np.array([i for i, rows in enumerate(table) for _ in rows])
    n = len(effects)
    start = np.asarray(unbalance) / tolerance
    rows, upper = [], []
    for p in range(2):
        for way in np.exp(-2j * math.pi * np.arange(64) / 64):
            rows.append([*(effects[:, p] * way).real, -1.0])
            upper.append(-(start[p] * way).real)
    for i in range(len(sites)):
        rows.append([*(places == i).astype(float), 0.0])
        upper.append(1.0)
    rows.append([*np.ones(n), 0.0])
    upper.append(most)
    found = milp(
        np.array([*np.zeros(n), 1.0]),
        constraints=LinearConstraint(np.array(rows), -np.inf, upper),
        integrality=np.array([*np.ones(n), 0]),
        bounds=Bounds(np.zeros(n + 1), np.array([*np.ones(n), np.inf])),
        options={"mip_rel_gap": 1e-9},
    )
    assert found.status == 0
    return found.fun


@pytest.mark.parametrize("most", [2, 3, 4])
def test_scipys_integer_programme_agrees(most):
    sites = drills(8, seed=21, step=5.0)
    unbalance = [b.vector(900, 70), b.vector(700, 300)]
    floor = by_milp(unbalance, sites, 60, most)
    plan = b.plan_correction(
        unbalance, PLANES, sites, 60, target=1e-9, maximum_operations=most, wall=-50
    )
    assert floor <= plan.worst + 1e-9
    assert plan.worst <= floor / math.cos(math.pi / 64) + 1e-9


def test_four_operations_are_not_improved_by_any_exchange():
    sites = drills(14, seed=31, step=1.0)
    unbalance = np.array([b.vector(1500, 70), b.vector(1100, 300)])
    plan = b.plan_correction(unbalance, PLANES, sites, 60, target=1e-9, wall=-50)
    assert len(plan.operations) == 4
    table = options(sites)
    names = [s.name for s in sites]
    chosen = {
        names.index(step.site): next(
            e for d, e in table[names.index(step.site)] if d == step.setting
        )
        for step in plan.operations
    }
    for out in chosen:
        rest = unbalance + sum(e for i, e in chosen.items() if i != out)
        for i, rows in enumerate(table):
            if i in chosen and i != out:
                continue
            for _, effect in rows:
                assert np.abs(rest + effect).max() / 60 >= plan.worst - 1e-9
    assert plan.lower_bound <= plan.worst


@given(st.floats(0, 359), st.integers(0, 50))
@settings(max_examples=15, deadline=None)
def test_turning_everything_turns_the_plan(turn, seed):
    sites = drills(6, seed=seed)
    unbalance = np.array([b.vector(500, 70), b.vector(400, 200)])
    turned = [
        b.Site(s.name, "drill", s.angle + turn, s.position, 80, diameter=12, maximum_depth=20,
               step=2.5)
        for s in sites
    ]  # fmt: skip
    one = b.plan_correction(unbalance, PLANES, sites, 60)
    other = b.plan_correction(unbalance * np.exp(1j * math.radians(turn)), PLANES, turned, 60)
    assert other.worst == pytest.approx(one.worst, rel=1e-9)
    assert other.status == one.status
    assert other.lower_bound == pytest.approx(one.lower_bound, rel=1e-6, abs=1e-9)


@given(st.integers(0, 50))
@settings(max_examples=15, deadline=None)
def test_mirrored_scaled_and_shuffled_it_is_the_same_plan(seed):
    sites = drills(6, seed=seed)
    unbalance = np.array([b.vector(500, 70), b.vector(400, 200)])
    plan = b.plan_correction(unbalance, PLANES, sites, 60)
    mirrored = [
        b.Site(s.name, "drill", s.angle, 360 - s.position, 80, diameter=12, maximum_depth=20,
               step=2.5)
        for s in sites
    ]  # fmt: skip
    assert b.plan_correction(unbalance[::-1], PLANES, mirrored, 60).worst == pytest.approx(
        plan.worst, rel=1e-9
    )
    shuffled = [sites[i] for i in np.random.default_rng(seed).permutation(6)]
    again = b.plan_correction(unbalance, PLANES, shuffled, 60)
    assert {(o.site, o.setting) for o in again.operations} == {
        (o.site, o.setting) for o in plan.operations
    }
    dense = [
        b.Site(s.name, "drill", s.angle, s.position, 80, diameter=12, maximum_depth=20, step=2.5,
               density=2 * 7.85)
        for s in sites
    ]  # fmt: skip
    assert b.plan_correction(2 * unbalance, PLANES, dense, 120).worst == pytest.approx(
        plan.worst, rel=1e-9
    )


def test_holes_keep_their_wall_and_their_edge():
    def site(name, angle, **more):
        return b.Site(name, "drill", angle, 0, 80, diameter=12, maximum_depth=20, **more)

    # At 20 mm depth the radius is 60: 10 degrees leave 10.5 mm between axes, 20 leave 20.8.
    unbalance = [b.vector(1500, 5), 0]
    near = [site("A", 0), site("B", 10)]
    far = [site("A", -10), site("B", 10)]
    assert len(b.plan_correction(unbalance, PLANES, near, 60).operations) == 1
    assert len(b.plan_correction(unbalance, PLANES, near, 60, wall=-50).operations) == 2
    assert len(b.plan_correction(unbalance, PLANES, far, 60).operations) == 2
    tight = b.plan_correction(unbalance, PLANES, [site("A", 0, web=(-7, 7))], 60)
    assert tight.excluded == ("A",)
    old = [site("A", 0, existing_depth=15.0), site("B", 10)]
    assert b.plan_correction(unbalance, PLANES, old, 60).excluded == ("B",)


def test_what_stands_in_the_way_is_said():
    def plan(sites, amount, **more):
        return b.plan_correction([b.vector(amount, 0), 0], PLANES, sites, 60, **more)

    front = b.Site("A", "drill", 0, 0, 80, diameter=12, maximum_depth=20)
    behind = b.Site("B", "drill", 180, 0, 80, diameter=12, maximum_depth=20)
    assert plan([], 10).status == "nothing to do"
    none = plan([], 100)
    assert (none.status, none.limit, none.operations) == ("not reached", "direction", ())
    assert plan([front], 600).status == "reached"
    deep = plan([front], 3000)
    assert (deep.status, deep.limit) == ("not reached", "depth")
    assert "A at 0 deg is at full depth" in deep.reason
    assert "would close it" in deep.next
    assert plan([behind], 600).limit == "direction"
    fan = [
        b.Site(f"F{i}", "drill", 40 * i - 80, 0, 80, diameter=12, maximum_depth=20)
        for i in range(5)
    ]
    few = plan(fan, 3000, maximum_operations=1)
    assert (few.status, few.limit) == ("not reached", "operations")
    # By hand: the full hole takes 0.00785 (1990 * 80 - 17550) = 1112 g mm; 45 of the 60 stay.
    near = plan([front], 1112 + 45)
    assert near.status == "within tolerance"


def test_spread_is_what_playing_it_out_shows():
    sites = drills(12, seed=41, step=0.5)
    unbalance = [b.vector(700, 40), b.vector(500, 250)]
    plan = b.plan_correction(unbalance, PLANES, sites, 60, uncertainty=[4, 6])
    played = b.simulate_plan(plan, sites, draws=40000)
    np.testing.assert_allclose(played.spread, plan.spread, rtol=0.03)
    np.testing.assert_allclose(played.probability, plan.probability, atol=0.02)
    assert played.probability_both <= played.probability.min() + 1e-12
    np.testing.assert_allclose(played.mean, plan.residual, atol=1.0)
    again = b.simulate_plan(plan, sites, draws=40000)
    assert again == played
    assert b.simulate_plan(plan, sites, draws=40000, seed=2) != played
    cloud = b.plan_outcomes(plan, sites, draws=1000)
    assert cloud.shape == (1000, 2)


def test_a_second_plan_never_makes_a_hole_shallower():
    sites = drills(8, seed=51, step=0.5)
    unbalance = np.array([b.vector(700, 40), b.vector(500, 250)])
    plan = b.plan_correction(unbalance, PLANES, sites, 60)
    made = {plan.operations[0].site: plan.operations[0].setting + 0.3}
    left = b.apply_plan(plan, sites, as_made=made)
    depths = {s.name: s.existing_depth for s in left}
    assert depths[plan.operations[0].site] == plan.operations[0].setting + 0.3
    second = b.plan_correction(-0.5 * unbalance + plan.residual, PLANES, left, 60)
    third = b.plan_correction(unbalance * 0.8, PLANES, left, 60)
    for again in (second, third):
        for step in again.operations:
            assert step.setting > depths[step.site]
    with pytest.raises(ValueError, match="as_made"):
        b.apply_plan(plan, sites, as_made={"nobody": 3})


def test_weights_slugs_and_grinding_go_where_they_help():
    unbalance = [b.vector(900, 0), b.vector(-300 + 600, 90)]
    sites = [
        b.Site("rim", "grind", 0, 0, 90, maximum_depth=3, width=20, half_angle=20),
        b.Site("bolt", "weight", 270, 360, 60, sizes=(2, 4.5, 5)),
        b.Site("slug", "slug", 180, 0, 80, direction="axial", diameter=16, maximum_depth=30),
    ]
    plan = b.plan_correction(unbalance, PLANES, sites, 60)
    assert plan.status == "reached"
    bolt = next(step for step in plan.operations if step.site == "bolt")
    assert bolt.setting in (4.5, 5)
    assert bolt.moment == bolt.setting * 60
    left = b.apply_plan(plan, sites)
    assert {s.name for s in left} == {s.name for s in sites} - {o.site for o in plan.operations}


def test_an_axial_hole_acts_at_its_centroid():
    site = b.Site("A", "drill", 0, 10, 80, direction="axial", sense=1, diameter=12,
                  maximum_depth=20, step=20)  # fmt: skip
    plan = b.plan_correction([1300, 0], PLANES, [site], 60, target=1)
    (step,) = plan.operations
    assert 10 + 8 < step.position < 10 + 10
    expected = b.to_planes([step.moment], [step.position], PLANES)
    np.testing.assert_allclose(plan.nominal_change, expected)


@pytest.mark.parametrize(
    "fields, said",
    [
        ({"kind": "drill"}, "diameter must be given"),
        ({"kind": "drill", "diameter": 12}, "maximum_depth must be given"),
        ({"kind": "drill", "diameter": 12, "maximum_depth": 80}, "maximum_depth must be below"),
        ({"kind": "grind"}, "width must be given"),
        ({"kind": "weight"}, "sizes must be given"),
        ({"kind": "drill", "diameter": 12, "maximum_depth": 20, "sense": 2}, "sense must be"),
        ({"kind": "drill", "diameter": 12, "maximum_depth": 20, "step": 0}, "step must be above"),
        ({"kind": "bore"}, "kind must be one of"),
        ({"kind": "drill", "diameter": 12, "maximum_depth": 20, "density": 0.00785}, "density"),
    ],
)
def test_a_site_that_cannot_be_is_refused(fields, said):
    with pytest.raises(ValueError, match=said):
        b.Site(name="A", angle=0, position=0, radius=80, **fields)


def test_names_are_unique_and_searches_have_an_end():
    site = b.Site("A", "drill", 0, 0, 80, diameter=12, maximum_depth=20)
    with pytest.raises(ValueError, match="A twice"):
        b.plan_correction([1, 1], PLANES, [site, site], 60)
    with pytest.raises(ValueError, match="pairs of settings"):
        b.plan_correction([900, 900], PLANES, drills(90, step=0.1), 60)
