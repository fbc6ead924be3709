"""Circles, liners, decks and pistons, against oracles that know nothing of them."""

import itertools
import math

import numpy as np
import pytest
from scipy.optimize import differential_evolution, linear_sum_assignment, linprog, minimize

import enginewright as ew


def trace(rng, count=60, noise=0.2):
    """Draw a profile so rough that local searches are fooled."""
    turn = np.sort(rng.uniform(0, 2 * math.pi, count))
    r = 1 + noise * rng.uniform(-1, 1, count)
    return r * np.cos(turn), r * np.sin(turn)


def width(centre, x, y):
    d = np.hypot(x - centre[0], y - centre[1])
    return d.max() - d.min()


@pytest.mark.parametrize("seed", range(6))
def test_the_minimum_zone_is_no_wider_than_a_global_search_finds(seed):
    x, y = trace(np.random.default_rng(60 + seed))
    found = ew.cylinders.circle_fit(x, y, criterion="minimum zone")
    searched = differential_evolution(
        width, [(-0.5, 0.5)] * 2, args=(x, y), seed=seed, tol=1e-10, maxiter=300
    )
    assert found.roundness <= searched.fun + 1e-9
    assert found.roundness == pytest.approx(searched.fun, abs=1e-3)
    assert width((found.centre_x, found.centre_y), x, y) == pytest.approx(found.roundness)
    assert len(found.outer_contacts) >= 2
    assert len(found.inner_contacts) >= 2


def test_the_contacts_of_the_minimum_zone_alternate():
    x, y = trace(np.random.default_rng(70), 360, 0.001)
    found = ew.cylinders.circle_fit(x, y, criterion="minimum zone")
    both = [(i, "out") for i in found.outer_contacts] + [(i, "in") for i in found.inner_contacts]
    turn = {i: math.atan2(y[i] - found.centre_y, x[i] - found.centre_x) for i, _ in both}
    kinds = [kind for _, kind in sorted(both, key=lambda each: turn[each[0]])]
    assert kinds in (["out", "in"] * 2, ["in", "out"] * 2)


@pytest.mark.parametrize(
    "criterion",
    ["least squares", "minimum zone", "minimum circumscribed", "maximum inscribed"],
)
def test_a_turned_shifted_scaled_profile_has_the_same_circle(criterion):
    x, y = trace(np.random.default_rng(71), 80, 0.05)
    c, s = math.cos(0.7), math.sin(0.7)
    found = ew.cylinders.circle_fit(x, y, criterion=criterion)
    moved = ew.cylinders.circle_fit(
        43 * (c * x - s * y) + 120, 43 * (s * x + c * y) - 75, criterion=criterion
    )
    assert moved.radius == pytest.approx(43 * found.radius)
    assert moved.roundness == pytest.approx(43 * found.roundness, rel=1e-9)
    assert moved.centre_x == pytest.approx(43 * (c * found.centre_x - s * found.centre_y) + 120)


def test_least_squares_is_the_least_of_a_general_minimiser():
    x, y = trace(np.random.default_rng(72), 40)

    def cost(c):
        d = np.hypot(x - c[0], y - c[1])
        return ((d - d.mean()) ** 2).sum()

    other = minimize(cost, (0.1, 0.1), method="Nelder-Mead", options={"xatol": 1e-12, "fatol": 0})
    found = ew.cylinders.circle_fit(x, y)
    assert (found.centre_x, found.centre_y) == pytest.approx(tuple(other.x), abs=1e-7)


def test_circumscribed_holds_all_and_inscribed_holds_none():
    x, y = trace(np.random.default_rng(73), 90, 0.03)
    outer = ew.cylinders.circle_fit(x, y, criterion="minimum circumscribed")
    inner = ew.cylinders.circle_fit(x, y, criterion="maximum inscribed")
    assert (outer.peak, inner.valley) == (0, 0)
    searched = differential_evolution(
        lambda c: np.hypot(x - c[0], y - c[1]).max(), [(-0.5, 0.5)] * 2, seed=1, tol=1e-12
    )
    assert outer.radius == pytest.approx(searched.fun, abs=1e-8)
    searched = differential_evolution(
        lambda c: -np.hypot(x - c[0], y - c[1]).min(), [(-0.2, 0.2)] * 2, seed=1, tol=1e-12
    )
    assert inner.radius == pytest.approx(-searched.fun, abs=1e-8)


def test_an_arc_is_called_one():
    turn = np.radians(np.arange(0, 100, 5))
    found = ew.cylinders.circle_fit(43 * np.cos(turn), 43 * np.sin(turn))
    assert (found.status, found.gap) == ("open arc", pytest.approx(265))
    assert found.radius == pytest.approx(43)
    with pytest.raises(ValueError, match="do not lie in one line"):
        ew.cylinders.circle_fit([0, 1, 2], [0, 1, 2])


def test_harmonics_come_apart_at_uneven_angles_and_turn_with_the_trace():
    rng = np.random.default_rng(74)
    turn = np.sort(rng.uniform(0, 360, 80))
    parts = {1: (0.010, 200.0), 2: (0.004, 30.0), 5: (0.006, 50.0)}

    def deviation(angle):
        return 0.002 + sum(a * np.cos(np.radians(k * (angle - d))) for k, (a, d) in parts.items())

    found = ew.cylinders.roundness(turn, deviation(turn), 43.0)
    for k, (amplitude, direction) in parts.items():
        assert found.amplitudes[k] == pytest.approx(amplitude, abs=1e-12)
        assert found.directions[k] == pytest.approx(direction, abs=1e-6)
    assert found.amplitudes[0] == pytest.approx(0.002, abs=1e-12)
    assert (found.dominant_order, found.eccentricity) == (5, pytest.approx(0.010))
    assert found.residual < 1e-12
    turned = ew.cylinders.roundness(turn + 12, deviation(turn), 43.0)
    assert turned.directions[5] == pytest.approx(62.0)
    assert turned.roundness_minimum_zone == pytest.approx(found.roundness_minimum_zone, abs=1e-12)
    assert turned.roundness_minimum_zone <= turned.roundness_least_squares


def test_roundness_says_what_the_shape_means():
    turn = np.arange(0.0, 360.0, 10)
    three = ew.cylinders.roundness(turn, 0.01 * np.cos(np.radians(3 * turn)), 43.0, limit=0.01)
    assert three.verdict == "outside"
    assert "no two-point gauge sees it" in three.reason
    assert ew.cylinders.roundness(turn, 0 * turn, 43.0).dominant_order is None
    with pytest.raises(ValueError, match="at least 13 different angles within a turn, got 12"):
        ew.cylinders.roundness(np.arange(0, 360, 30), np.zeros(12), 43.0)


def test_a_tilted_liner_is_not_a_high_one():
    angle = np.array([0.0, 40, 100, 190, 260, 320])
    heights = 0.08 + 0.03 / 2 * np.cos(np.radians(angle - 75))
    found = ew.cylinders.liner_standing(
        [heights, [0.05] * 6], angle=angle, radius=50, lower=0.03, upper=0.11,
        within_limit=0.02, neighbour_limit=0.02,
    )  # fmt: skip
    assert found.mean == pytest.approx([0.08, 0.05])
    assert (found.tilt[0], found.high_side[0]) == (pytest.approx(0.03), pytest.approx(75))
    assert found.slope[0] == pytest.approx(0.03 / 100)
    assert found.warp == pytest.approx([0, 0], abs=1e-12)
    assert found.height_verdicts == ("within", "within")
    assert found.within_verdicts == ("outside", "within")
    assert (found.neighbour_verdicts, found.verdict) == (("outside",), "outside")
    assert "step from liner 1 to 2 0.030 mm, 0.020 mm allowed" in found.reason


def every_stack(heights, sizes, stock, lower, upper, target, neighbour, most):
    """Best shims by trying every stack under every liner."""
    order = sorted(range(len(sizes)), key=lambda k: sizes[k])
    stacks = [s for n in range(most + 1) for s in itertools.combinations_with_replacement(order, n)]
    options = [
        [k for k, s in enumerate(stacks)
         if lower - 1e-9 <= h + sum(sizes[i] for i in s) <= upper + 1e-9]
        for h in heights
    ]  # fmt: skip
    best = None
    for choice in itertools.product(*options):
        used = [i for k in choice for i in stacks[k]]
        if stock is not None and any(used.count(i) > stock[i] for i in set(used)):
            continue
        standing = [
            h + sum(sizes[i] for i in stacks[k]) for h, k in zip(heights, choice, strict=True)
        ]
        if any(abs(a - b) > neighbour + 1e-9 for a, b in itertools.pairwise(standing)):
            continue
        deviations = [round(abs(s - target) * 1e10) for s in standing]
        rank = (max(deviations), sum(deviations), len(used), choice)
        best = rank if best is None or rank < best else best
    return None if best is None else [tuple(sizes[i] for i in stacks[k]) for k in best[3]]


def test_shims_are_the_best_of_every_stack_ties_included():
    rng = np.random.default_rng(75)
    seen = set()
    for _ in range(150):
        heights = -0.06 + 0.01 * rng.integers(0, 12, int(rng.integers(1, 4)))
        sizes = (0.02 * rng.choice([1, 2, 3, 4, 5], 3, replace=False)).tolist()
        stock = None if rng.random() < 0.2 else rng.integers(0, 4, 3).tolist()
        found = ew.cylinders.liner_shims(
            heights, sizes, stock, lower=0.03, upper=0.06, target=0.04, neighbour_limit=0.02
        )
        best = every_stack(heights, sizes, stock, 0.03, 0.06, 0.04, 0.02, 2)
        seen.add(found.status)
        if best is None:
            assert found.status != "selected"
            assert (found.liners, found.worst_deviation) == ((), None)
        else:
            assert [tuple(s.sizes) for s in found.liners] == best
    assert seen == {"selected", "cut the counterbore", "no shim selection"}


def test_the_cut_is_enough_and_a_micrometre_less_is_not():
    given = dict(sizes=[0.05, 0.10], stock=[2, 2], lower=0.03, upper=0.06)
    found = ew.cylinders.liner_shims([0.04, 0.075], **given)
    assert (found.status, found.unreachable) == ("cut the counterbore", (1,))
    assert found.cut == pytest.approx([0, 0.015])
    assert "0.015 mm off the counterbore of liner 2 at least, 0.030 mm for the target" in found.next
    enough = ew.cylinders.liner_shims([0.04, 0.075 - found.cut[1]], **given)
    assert enough.status == "selected"
    short = ew.cylinders.liner_shims([0.04, 0.075 - found.cut[1] + 0.001], **given)
    assert short.status == "cut the counterbore"


def test_why_there_are_no_shims_is_said():
    low = ew.cylinders.liner_shims([-0.5], [0.05], lower=0.03, upper=0.06)
    assert (low.status, low.next) == ("no shim selection", "find thicker shims")
    short = ew.cylinders.liner_shims([-0.01, -0.01], [0.05], [1], lower=0.03, upper=0.06)
    assert short.next == "order 1 of 0.050 mm"
    steps = ew.cylinders.liner_shims(
        [0.03, 0.06], [0.05], lower=0.03, upper=0.06, neighbour_limit=0.01
    )
    assert "steps between neighbours" in steps.reason


def test_a_dry_liner_in_its_three_words():
    found = ew.cylinders.dry_liner_fit(90.06, [89.9, 90.0102, 90.03], target=0.05)
    assert list(found.status) == ["cut bore", "fits", "bore too large"]


def test_deck_clearance_is_the_least_gap_of_a_full_turn():
    height, stroke, rod, crown = 227.0, 88.0, 140.0, 42.5
    turn = np.linspace(0, 2 * math.pi, 400001)
    for offset in (-1.5, 0.0, 0.8):
        pin = stroke / 2 * np.cos(turn) + np.sqrt(
            rod**2 - (stroke / 2 * np.sin(turn) - offset) ** 2
        )
        found = ew.cylinders.deck_clearance(height, stroke, rod, crown, offset)
        assert found == pytest.approx((height - crown - pin).min(), abs=1e-8)


def test_deck_doubt_follows_the_slopes_of_the_clearance():
    sizes = dict(block_height=227.0, stroke=88.0, rod_length=140.0, compression_height=42.5)
    slopes = {}
    for name in sizes:
        up, down = dict(sizes), dict(sizes)
        up[name] += 1e-4
        down[name] -= 1e-4
        slopes[name] = (
            ew.cylinders.deck_clearance(**up, pin_offset=2.0)
            - ew.cylinders.deck_clearance(**down, pin_offset=2.0)
        ) / 2e-4
    u = dict(block=0.010, stroke=0.008, rod=0.006, piston=0.004)
    found = ew.cylinders.judge_deck(
        **sizes, pin_offset=2.0, lower=0.2, upper=0.8,
        **{f"uncertainty_{k}": v for k, v in u.items()},
    )  # fmt: skip
    parts = [s * v for s, v in zip(slopes.values(), u.values(), strict=True)]
    assert found.uncertainty == pytest.approx(math.hypot(*parts), rel=1e-8)
    assert found.share_stroke == pytest.approx((parts[1] / found.uncertainty) ** 2, rel=1e-6)
    assert found.share_block + found.share_stroke + found.share_rod + found.share_piston == (
        pytest.approx(1)
    )


def test_a_deck_of_quantities_loses_what_its_parts_share():
    ring = ew.Quantity(0.0, 0.020)
    block = 227.0 + ring + ew.Quantity(0.0, 0.003)
    piston = 42.5 + ring + ew.Quantity(0.0, 0.004)
    found = ew.cylinders.judge_deck(block, 88.0, 140.0, piston, lower=0.45, upper=0.55, target=0.4)
    assert found.clearance.standard_uncertainty == pytest.approx(0.005)
    assert found.uncertainty == pytest.approx(0.005)
    assert (found.verdict, found.cut.value) == ("within", pytest.approx(0.1))
    assert found.share_block == pytest.approx(0.36)
    with pytest.raises(ValueError, match="uncertainty_rod must be 0 where readings carry"):
        ew.cylinders.judge_deck(block, 88.0, 140.0, piston, uncertainty_rod=0.001)
    with pytest.raises(ValueError, match="rod_length must be above stroke / 2"):
        ew.cylinders.judge_deck(227.0, 88.0, 44.0, 42.5)


def by_linear_programme(x, y, z):
    """Least range over planes: minimise upper - lower over both and the slopes."""
    one = np.ones_like(z)
    rows = np.block([[-one[:, None], 0 * one[:, None], -x[:, None], -y[:, None]],
                     [0 * one[:, None], one[:, None], x[:, None], y[:, None]]])  # fmt: skip
    answer = linprog([1, -1, 0, 0], A_ub=rows, b_ub=np.r_[-z, z], bounds=(None, None))
    assert answer.success
    return answer.fun


def test_flatness_is_that_of_a_linear_programme_ties_and_all():
    rng = np.random.default_rng(76)
    for k in range(40):
        x, y = (a.ravel() for a in np.meshgrid(np.arange(6.0) * 60, np.arange(5.0) * 40))
        z = rng.normal(0, 0.01, 30) if k % 2 else 0.01 * rng.integers(0, 4, 30)
        found = ew.cylinders.deck_flatness(x, y, z)
        assert found.flatness == pytest.approx(by_linear_programme(x, y, z), abs=1e-9)
        assert found.flatness <= found.flatness_least_squares + 1e-12
        assert found.flatness <= found.skim_parallel + 1e-12


def slim_rails():
    """Rows of places along a rail that lies askew, as read off a tape: to a tenth."""
    yield (
        [279.16, 65.77, 200.07, 12.55, 161.06, 185.74],
        [157.09, 43.57, 122.01, 15.26, 108.97, 108.12],
        [-0.019, 0.003, -0.014, 0.037, 0.011, -0.015],
    )
    yield (
        [-312.14, -152.37, -239.75, -147.59, -297.62, -161.95,
         -270.59, -315.03, -48.06, -157.13, -199.47, -20.52],
        [225.21, 110.12, 173.06, 105.98, 214.44, 117.06,
         195.18, 226.45, 34.25, 112.69, 143.53, 14.55],
        [-0.0066, 0.0003, -0.0117, -0.0367, 0.0248, 0.0079,
         -0.0091, 0.0425, -0.0219, 0.0109, 0.0101, -0.0066],
    )  # fmt: skip
    rng = np.random.default_rng(80)
    for _ in range(60):
        along, turn = rng.uniform(-300, 300, 12), rng.uniform(0, 2 * np.pi)
        across = rng.uniform(-1, 1, 12) * 10.0 ** rng.uniform(-3, 1.5)
        x = np.round(along * np.cos(turn) - across * np.sin(turn), 2)
        y = np.round(along * np.sin(turn) + across * np.cos(turn), 2)
        yield x, y, np.round(rng.normal(0, 0.01, 12), 3)


def test_a_slim_rail_askew_is_as_flat_as_a_linear_programme_says():
    for x, y, z in slim_rails():
        x, y, z = np.array(x), np.array(y), np.array(z)
        # The programme in the axes of the rail, each of size 1: the zone stays the same.
        _, _, axes = np.linalg.svd(np.c_[x - x.mean(), y - y.mean()], full_matrices=False)
        seen = np.c_[x - x.mean(), y - y.mean()] @ axes.T
        wanted = by_linear_programme(*(seen / abs(seen).max(axis=0)).T, z)
        found = ew.cylinders.deck_flatness(x, y, z)
        assert found.flatness == pytest.approx(wanted, abs=1e-9)


def test_rails_turned_on_the_plate_are_searched_span_by_span():
    rng = np.random.default_rng(7)
    x, y = (a.ravel() for a in np.meshgrid(np.arange(17) * 25.0, [0, 140.0]))
    turn = np.radians(30)
    found = ew.cylinders.deck_flatness(
        np.round(x * np.cos(turn) - y * np.sin(turn), 1),
        np.round(x * np.sin(turn) + y * np.cos(turn), 1),
        np.round(rng.normal(size=34) * 0.01, 3),
        local_span=100.0,
    )
    assert 0 < found.local_flatness <= found.flatness


def test_local_flatness_is_never_more_than_the_whole_and_finds_the_hollow():
    x, y = (a.ravel() for a in np.meshgrid(np.arange(8.0) * 25, np.arange(6.0) * 25))
    z = np.zeros(48)
    z[20] = -0.05
    found = ew.cylinders.deck_flatness(x, y, z, local_span=50, local_limit=0.04, limit=0.06)
    assert found.local_flatness == pytest.approx(0.05)
    assert 20 in found.local_points
    assert (found.flatness_verdict, found.local_verdict) == ("within", "outside")
    rng = np.random.default_rng(77)
    rough = ew.cylinders.deck_flatness(x, y, rng.normal(0, 0.01, 48), local_span=50)
    assert rough.local_flatness <= rough.flatness


def test_local_flatness_is_the_worst_of_all_squares():
    rng = np.random.default_rng(78)
    for _ in range(5):
        x, y = rng.uniform(0, 100, 14), rng.uniform(0, 100, 14)
        z = rng.normal(0, 0.01, 14)
        worst = 0.0
        for left, lower in itertools.product(x, y):
            inside = (x >= left) & (x <= left + 60) & (y >= lower) & (y <= lower + 60)
            if inside.sum() >= 4:
                worst = max(worst, by_linear_programme(x[inside], y[inside], z[inside]))
        found = ew.cylinders.deck_flatness(x, y, z, local_span=60)
        assert found.local_flatness == pytest.approx(worst, abs=1e-9)


def test_a_deck_without_a_short_span_is_not_proven():
    found = ew.cylinders.deck_flatness(
        [0, 100, 0, 100], [0, 0, 100, 100], [0, 0, 0, 0.01], local_span=20, local_limit=0.02
    )
    assert (found.local_flatness, found.local_verdict) == (None, "unproven")
    assert (found.verdict, found.next) == ("unproven", "read the deck at closer places")
    with pytest.raises(ValueError, match="local_limit must be left out without a local_span"):
        ew.cylinders.deck_flatness([0, 1, 0, 1], [0, 0, 1, 1], [0] * 4, local_limit=0.1)


def test_pistons_are_the_best_of_every_order():
    rng = np.random.default_rng(79)
    for _ in range(150):
        n, m = int(rng.integers(1, 5)), int(rng.integers(1, 6))
        bores = 86 + 0.005 * rng.integers(0, 5, n)
        pistons = 85.95 + 0.005 * rng.integers(0, 5, m)
        found = ew.cylinders.select_pistons(bores, pistons, lower=0.04, upper=0.06, target=0.045)
        if n > m:
            assert (found.status, found.spare) == ("not enough pistons", tuple(range(m)))
            continue
        ranks = []
        for order in itertools.permutations(range(m), n):
            c = bores - pistons[list(order)]
            d = np.round(np.abs(c - 0.045) * 1e10)
            outside = int(((c < 0.04 - 1e-9) | (c > 0.06 + 1e-9)).sum())
            ranks.append((outside, d.max(), d.sum()))
        best = min(ranks)
        assert len(found.outside) == best[0]
        assert found.worst_deviation == pytest.approx(best[1] * 1e-10, abs=1e-9)
        assert found.total_deviation == pytest.approx(best[2] * 1e-10, abs=1e-9)
        assert sorted(found.piston + found.spare) == list(range(m))


def test_thirty_pistons_have_the_least_sum_under_the_least_cap():
    rng = np.random.default_rng(80)
    bores, pistons = rng.normal(86, 0.01, 30), rng.normal(85.95, 0.01, 34)
    found = ew.cylinders.select_pistons(bores, pistons, lower=0.0, upper=0.1, target=0.05)
    deviation = np.abs(bores[:, None] - pistons - 0.05)
    capped = np.where(deviation <= found.worst_deviation + 1e-12, deviation, 1e3)
    rows, columns = linear_sum_assignment(capped)
    assert found.total_deviation == pytest.approx(capped[rows, columns].sum(), abs=1e-9)
    tighter = np.where(deviation < found.worst_deviation - 1e-10, 0.0, 1.0)
    rows, columns = linear_sum_assignment(tighter)
    assert tighter[rows, columns].sum() > 0


def test_hatch_and_stroke_rate_undo_each_other():
    rate = ew.cylinders.stroke_rate_for([20, 45, 60], 86.0, 150.0, 110.0)
    assert ew.cylinders.cross_hatch(86.0, 150.0, 110.0, rate) == pytest.approx([20, 45, 60])
    with pytest.raises(ValueError, match="angle must be below 180 degrees"):
        ew.cylinders.stroke_rate_for(180.0, 86.0, 150.0, 110.0)
