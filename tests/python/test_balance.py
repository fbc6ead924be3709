"""Balance as a user sees it: vectors, tolerances, spins, influence, verdicts, stages, records."""

import cmath
import json
import math
import pickle

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy import stats

import enginewright as ew
from enginewright import balance as b

ANGLES = st.floats(0, 359.9)
AMOUNTS = st.floats(0.1, 5000)


def polar(amount, angle):
    return cmath.rect(amount, math.radians(angle))


def test_vectors_broadcast_and_come_back():
    amounts, angles = np.array([[10.0], [20.0]]), np.array([0.0, 90.0, 200.0])
    made = b.vector(amounts, angles)
    assert made.shape == (2, 3)
    assert made.dtype == complex
    np.testing.assert_allclose(b.amount_of(made), np.broadcast_to(amounts, (2, 3)))
    np.testing.assert_allclose(b.angle_of(made), np.broadcast_to(angles, (2, 3)))
    assert isinstance(b.vector(1, 2), complex)
    assert b.angle_of(0) == 0.0


def test_a_wrong_element_is_named():
    with pytest.raises(ValueError, match=r"amount must be at least 0 g mm.*element 1"):
        b.vector([1, -1], 0)
    with pytest.raises(ValueError, match="vector must be a finite number"):
        b.amount_of(complex(0, math.inf))
    with pytest.raises(TypeError, match="vector must be a complex number"):
        b.amount_of("20")
    with pytest.raises(TypeError, match="plain numbers"):
        b.vector(ew.Quantity(10, 1), 0)
    with pytest.raises(ValueError, match="spot must be one of heavy, light"):
        b.vector(1, 0, spot="heave")


@given(ANGLES, ANGLES, st.sampled_from(["front", "flywheel"]))
def test_both_ways_of_counting_differ_by_a_sign(reading, zero, end):
    one = b.rotor_angle(reading, zero, end, "clockwise")
    other = b.rotor_angle(reading, zero, end, "anticlockwise")
    assert abs(polar(1, one) * polar(1, other) - 1) < 1e-9


@given(AMOUNTS, ANGLES, ANGLES, ANGLES)
def test_a_split_vector_adds_up_again(amount, angle, first, second):
    if abs(math.sin(math.radians(second - first))) < 1e-3:
        return
    whole = b.vector(amount, angle)
    split = b.split_between(whole, first, second)
    total = split.amount_1 * polar(1, first) + split.amount_2 * polar(1, second)
    assert abs(total - whole) < 1e-6 * amount / abs(math.sin(math.radians(second - first)))
    assert (split.status == "split") == (min(split.amount_1, split.amount_2) >= -1e-12 * amount)


@pytest.mark.parametrize("nothing", [None, 0, -1.0, math.nan, [40, None], [40, 0], [math.nan, 40]])
def test_nothing_is_judged_without_a_tolerance(nothing):
    two = [10 + 0j, 20j]
    site = b.Site("A", "drill", 0, 0, 80, diameter=12, maximum_depth=20)
    calls = [
        lambda: b.residual_verdict(two, nothing),
        lambda: b.plan_correction(two, [0, 360], [site], nothing),
        lambda: b.correction_plane_tolerance(nothing, [0, 360], [20, 300]),
        lambda: b.BalanceRecord([0, 360], nothing),
    ]
    if nothing is not None:
        calls.append(lambda: b.Stage("pulley", two, tolerance=nothing))
    for call in calls:
        with pytest.raises(ValueError, match="set the tolerance before the first spin"):
            call()
    if not isinstance(nothing, list):
        with pytest.raises(ValueError, match="set the tolerance before the first spin"):
            b.probability_within(10, 1, nothing)


@given(st.lists(st.tuples(AMOUNTS, ANGLES, st.floats(-500, 900)), min_size=1, max_size=5))
def test_carrying_to_other_planes_and_back_changes_nothing(sources):
    unbalance = [polar(a, t) for a, t, _ in sources]
    at = [z for *_, z in sources]
    near = b.to_planes(unbalance, at, [0, 400])
    again = b.to_planes(b.to_planes(near, [0, 400], [-100, 700]), [-100, 700], [0, 400])
    np.testing.assert_allclose(again, near, atol=1e-6)
    assert abs(sum(near) - sum(unbalance)) < 1e-6
    moment = sum(u * z for u, z in zip(unbalance, at, strict=True))
    assert abs(near[1] * 400 - moment) < 1e-3


def test_shares_keep_the_shape_of_the_positions():
    assert b.plane_share(np.zeros((2, 3)), [0, 360]).shape == (2, 3, 2)
    with pytest.raises(ValueError, match="apart"):
        b.plane_share(1, [5, 5])


def test_couple_alone_stands_still_on_knife_edges():
    found = b.static_couple([100, -100], [0, 300], centre=150, permissible=40)
    assert found.kind == "couple"
    assert "stands still" in found.reason
    assert b.static_couple([100, -100], [0, 300], 150).kind is None
    assert found.static == 0


def test_a_hard_bearing_machine_reads_what_turns_in_it():
    speed, planes = 600, [60, 410]
    unbalance = np.array([polar(250, 15), polar(90, 300)])
    forces = b.bearing_force(unbalance, planes, [0, 480], speed).force
    read = b.hard_bearing_reading(*forces, a=60, b=350, c=70, speed=speed)
    np.testing.assert_allclose(read.unbalance, unbalance, rtol=1e-12)
    assert read.condition == pytest.approx(np.linalg.cond(read.transfer))


@given(st.lists(st.tuples(AMOUNTS, ANGLES), min_size=2, max_size=6), ANGLES)
def test_turning_all_spins_changes_no_uncertainty(spins, turn):
    readings = np.array([polar(a, t) for a, t in spins])
    one = b.repeat_runs(readings, machine_uncertainty=1.0)
    other = b.repeat_runs(readings * polar(1, turn), machine_uncertainty=1.0)
    for name in ("scatter", "uncertainty", "amount_uncertainty"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), rel=1e-6, abs=1e-9)


def test_spins_say_why_they_may_not_be_used():
    three = [100, 101, 99 + 1j]
    assert b.repeat_runs(three).status == "steady"
    assert b.repeat_runs([100]).status == "single run"
    assert b.repeat_runs(three, speeds=[500, 520, 500]).status == "unsteady"
    slow = b.repeat_runs(three, speeds=[500, 520, 500], minimum_speed=510)
    assert slow.status == "too slow"
    assert "510 rpm" in slow.next
    np.testing.assert_allclose(
        b.repeat_runs(three).covariance, np.cov([100, 101, 99], [0, 0, 1]), atol=1e-12
    )
    still = b.repeat_runs([0, 0])
    assert (still.amount_uncertainty, still.angle_uncertainty) == (0, 180)


def runs(random, planes=2, points=3, count=8, noise=0.0):
    matrix = random.normal(size=(points, planes)) + 1j * random.normal(size=(points, planes))
    base = random.normal(size=points) + 1j * random.normal(size=points)
    states = 5 * (random.normal(size=(count, planes)) + 1j * random.normal(size=(count, planes)))
    states[0] = 0
    error = noise * (random.normal(size=(count, points)) + 1j * random.normal(size=(count, points)))
    return matrix, base, states, base + states @ matrix.T + error


def test_influence_gives_back_what_made_the_readings_in_any_order():
    random = np.random.default_rng(3)
    matrix, base, states, readings = runs(random)
    found = b.influence_coefficients(states, readings)
    np.testing.assert_allclose(found.matrix, matrix, atol=1e-9)
    np.testing.assert_allclose(found.baseline, base, atol=1e-9)
    order = random.permutation(len(states))
    again = b.influence_coefficients(states[order], readings[order])
    np.testing.assert_allclose(again.matrix, found.matrix, atol=1e-9)


def test_influence_knows_its_uncertainty():
    random = np.random.default_rng(4)
    off, claimed = [], []
    for _ in range(300):
        matrix, _, states, readings = runs(random, noise=0.1)
        found = b.influence_coefficients(states, readings)
        off.append((found.matrix - matrix).real / found.matrix_uncertainty)
        claimed.append(found.scatter)
    assert np.mean(claimed) == pytest.approx(0.1, rel=0.05)
    # Student's t with ten degrees of freedom has a variance of 1.25.
    assert np.std(off) == pytest.approx(math.sqrt(1.25), rel=0.1)


def test_correction_is_what_least_squares_says():
    random = np.random.default_rng(5)
    matrix, base, _, _ = runs(random, planes=2, points=4)
    weights = np.array([1, 2, 1, 0.5])
    found = b.required_correction(matrix, base, weights, uncertainty=0.2)
    root = np.sqrt(weights)
    wanted = np.linalg.lstsq(root[:, None] * matrix, -root * base, rcond=None)[0]
    np.testing.assert_allclose(found.correction, wanted, rtol=1e-9)
    inverse = np.linalg.pinv(root[:, None] * matrix) * root
    np.testing.assert_allclose(
        found.uncertainty, 0.2 * np.sqrt((np.abs(inverse) ** 2).sum(axis=1)), rtol=1e-9
    )


def test_doubtful_trials_are_warned_of():
    small = b.influence_coefficients([0, 10], [100, 101])
    assert small.status == "warned"
    assert "trial too small" in small.warnings[0]
    with pytest.raises(ValueError, match="states must hold at least one run more"):
        b.influence_coefficients([[1, 0], [0, 1]], [1, 2])
    with pytest.raises(ValueError, match="states must tell the planes apart"):
        b.influence_coefficients([[0, 0], [1, 1], [2, 2]], [1, 2, 3])
    with pytest.raises(ValueError, match="influence must tell the planes apart"):
        b.required_correction([[1, 2], [2, 4]], [1, 2])


def test_indexing_takes_planes_as_columns():
    rotor, tooling = np.array([polar(100, 20), polar(60, 200)]), np.array([30, 10j])
    angles = [0, 120, 240]
    readings = tooling + np.array([rotor * polar(1, a) for a in angles])
    found = b.index_balance(readings, angles)
    assert found.array_shape == (2,)
    np.testing.assert_allclose(found.rotor, rotor)
    np.testing.assert_allclose(found.tooling, tooling)
    assert b.index_balance(readings[:2, 0], angles[:2]).scatter is None
    with pytest.raises(ValueError, match="another position"):
        b.index_balance([1, 2], [10, 370])


@given(st.floats(1, 99), ANGLES, st.floats(0.01, 10), st.booleans())
@settings(max_examples=60)
def test_a_traverse_finds_the_vector_without_phase(amount, angle, gain, large):
    truth = polar(amount * (12 if large else 1), angle)
    angles = np.arange(8) * 45.0
    readings = gain * abs(truth + 100 * np.exp(1j * np.radians(angles)))
    found = b.traverse(readings, angles, 100, initial=gain * abs(truth))
    assert found.status == "solved"
    assert abs(found.unbalance - truth) < 1e-5 * abs(truth) + 1e-4
    assert found.sensitivity == pytest.approx(gain, rel=1e-4)


def test_a_traverse_says_when_readings_make_no_sense():
    assert b.traverse([0, 0, 10, 0, 0, 0], np.arange(6) * 60, 100).status == "inconsistent"
    with pytest.raises(ValueError, match="at least 3 different"):
        b.traverse([1, 2, 3], [0, 360, 90], 100)


@given(st.floats(0, 300), st.floats(0.05, 60), st.floats(0.5, 300))
@example(8.820966999952109e-159, 4.0, 6.0)
def test_probability_is_the_law_of_rice(amount, uncertainty, tolerance):
    got = b.probability_within(amount, uncertainty, tolerance)
    wanted = stats.ncx2.cdf((tolerance / uncertainty) ** 2, 2, (amount / uncertainty) ** 2)
    # The oracle gives 0.675348 for 1 - exp(-1.125) = 0.6753475 where the square nearly underflows.
    if (amount / uncertainty) ** 2 < 1e-200:
        wanted = stats.rayleigh.cdf(tolerance, scale=uncertainty)
    # The oracle itself is good to some 1e-9 only at large non-centrality.
    assert got == pytest.approx(wanted, abs=2e-8)


def test_a_verdict_without_doubt_is_sharp():
    found = b.residual_verdict([40, 40.001], 40)
    assert found.verdict == ("within", "outside")
    assert found.probability.tolist() == [1, 0]
    assert found.overall == "outside"
    assert found.worst_plane == 1
    assert "plane 2" in found.next


def test_the_part_is_to_blame_and_not_the_crank():
    stages = [
        b.Stage("bare crank", [500, 300j], left=[12, -8], uncertainty=2, tolerance=40),
        b.Stage("pulley", [112, -8], uncertainty=2, tolerance=40),
        b.Stage("flywheel", [130, 100], uncertainty=2, tolerance=40, removable=False),
        b.Stage("clutch", [131, 101], uncertainty=2),
        b.Stage("cover", [131 + 37, 101], uncertainty=2, tolerance=38),
    ]
    found = b.staged_assembly(stages)
    assert [f.advice for f in found] == [
        "correct rotor",
        "correct part",
        "correct assembly",
        "give a tolerance",
        "measure again",
    ]
    np.testing.assert_allclose(found[1].contribution, [100, 0])
    assert found[1].uncertainty == pytest.approx(math.hypot(2, 2))
    assert "pulley itself" in found[1].next
    assert found[3].ratio is None
    assert found[3].verdict == ("unlimited", "unlimited")


def test_a_record_learns_from_the_first_cut():
    answer = np.array([[0.8 * polar(1, -6), 0.05], [0.02j, 0.95]])
    start = np.array([polar(500, 20), polar(260, 205)])
    record = b.BalanceRecord([0, 360], tolerance=60, uncertainty=2, name="J1").with_run(start)
    assert record.response().count == 0
    np.testing.assert_allclose(record.response().matrix, np.eye(2))
    first = record.with_correction(-start)
    np.testing.assert_allclose(first.predicted(), 0, atol=1e-9)
    second = first.with_run(start - answer @ start)
    assert second.response().count == 1
    change = np.array([-30 + 10j, 5j])
    third = second.with_correction(change)
    truth = start - answer @ start + answer @ change
    blind = second.entries[-1].vectors + change
    assert np.abs(third.predicted() - truth).max() < np.abs(blind - truth).max()
    rows = third.with_run(truth).rows()
    assert [row["run"] for row in rows] == [1, 2, 3]
    assert rows[0]["predicted"] is None
    assert rows[1]["error"] is not None
    assert rows[1]["reduction"][0] == pytest.approx(1 - rows[1]["amount"][0] / rows[0]["amount"][0])
    assert len(record.entries) == 1, "a record never changes"
    with pytest.raises(ValueError, match="spin before the first correction"):
        b.BalanceRecord([0, 360], 60).with_correction([1, 1])


def test_a_record_goes_through_json_and_pickle():
    record = b.BalanceRecord([0, 360], [60, 50], [20, 340], uncertainty=3).with_run([100 + 5j, 20j])
    assert pickle.loads(pickle.dumps(record)) == record
    text = record.to_json()
    vector = json.loads(text)["entries"][0]["vectors"][1]
    assert vector == {"amount": "20.0 g mm", "angle": "90.0 deg"}
    back = b.BalanceRecord.from_json(text)
    np.testing.assert_allclose(back.entries[0].vectors, record.entries[0].vectors, rtol=1e-14)
    assert back.verdict().overall == "outside"


@given(st.floats(1, 40), st.floats(4, 16), st.floats(60, 180), st.sampled_from(["radial", "axial"]))
def test_a_hole_to_a_depth_takes_what_it_says(depth, diameter, point, direction):
    hole = b.hole_moment(85, depth, diameter, direction, point)
    back = b.hole_depth(hole.moment, 85, diameter, direction, point)
    assert back.depth == pytest.approx(depth, abs=1e-6)
    deeper = b.hole_moment(85, depth + 1, diameter, direction, point, existing_depth=depth)
    whole = b.hole_moment(85, depth + 1, diameter, direction, point)
    assert hole.moment + deeper.moment == pytest.approx(whole.moment, rel=1e-12)


@pytest.mark.parametrize(
    "call, said",
    [
        (lambda: b.hole_moment(85, 10, 14, existing_depth=12), "depth must be at least"),
        (lambda: b.hole_moment(85, 85, 14), "depth must be below 85 mm"),
        (lambda: b.hole_moment(85, 10, 170), "diameter must be below 170 mm"),
        (lambda: b.hole_moment(85, 10, 14, point_angle=59), "point_angle must be between"),
        (lambda: b.hole_moment(85, 10, 14, direction="up"), "direction must be one of"),
        (lambda: b.hole_moment(85, 10, 14, density=0.00785), "at least 0.5 g/cm³, got 0.00785"),
        (lambda: b.ground_moment(90, 90, 20, 15), "thickness must be below"),
        (lambda: b.slug_moment(80, 0, 16), "length must be above 0 mm"),
        (lambda: b.reduction_ratio(0, 1), "before must be above 0 g mm"),
        (lambda: b.allocate_tolerance(500, 5, 1, 3), "bearing_b must be above bearing_a"),
        (lambda: b.permissible_residual(1e308, 3000, 2.5), "rotor_mass must be"),
        (lambda: b.minimum_speed(5e-324, 1), "amount must be between"),
        (lambda: b.learn_response([[1, 2]], [[1, 2]], 0), "uncertainty must be above 0"),
    ],
)
def test_what_cannot_be_is_refused_by_name(call, said):
    with pytest.raises(ValueError, match=said):
        call()
