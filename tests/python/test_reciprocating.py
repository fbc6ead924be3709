"""Masses that go to and fro: rods, bobweights, layouts, shaking, balance factor, firing."""

import cmath
import doctest
import math
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

import enginewright as ew

rc = ew.reciprocating
NAMES = [
    "single",
    "inline 2, 360",
    "inline 2, 180",
    "inline 3",
    "inline 4",
    "inline 5",
    "inline 6",
    "flat twin",
    "flat 4",
    "flat 6",
    "V-twin",
    "V6, 60 (offset pins)",
    "cross-plane V8",
    "flat-plane V8",
]


def layout(name, **named):
    bank = {"bank": 60.0} if name == "V-twin" else {}
    return rc.common_layout(name, 100, 40, 160, 500, **bank, **named)


ODD = {
    "throw_angle": [0.0, 77.0, 190.0],
    "bank_angle": [10.0, -35.0, 20.0],
    "position": [0.0, 90.0, 200.0],
    "crank_radius": 40.0,
    "rod_length": [150.0, 150.0, 130.0],
    "reciprocating": [500.0, 480.0, 510.0],
    "rotating": 350.0,
    "offset": [0.0, 1.5, -8.0],
    "counterweight": [12000 + 3000j, -4000 + 9000j],
    "counterweight_position": [-20.0, 250.0],
}


def test_the_ends_of_a_rod_must_add_up_to_it():
    # common practice: rod hung level, each end weighed, the sum checked
    assert rc.rod_split(455.2, 171.3).status == "unchecked"
    assert rc.rod_split(455.2, 171.3, 627.5).status == "agrees"
    wrong = rc.rod_split(455.2, 171.3, 630.0)
    assert wrong.status == "disagrees"
    assert "626.5 g" in wrong.reason and "630.0 g" in wrong.reason
    assert "level" in wrong.next
    many = rc.rod_split([455.2, 456.0], [171.3, 171.1], total=[626.9, 630.0])
    assert many.status.tolist() == ["agrees", "disagrees"]


def test_a_rod_split_at_its_centre_keeps_mass_and_moment():
    split = rc.rod_split_at_centre(620, 155, 46.5)
    assert split.rotating + split.reciprocating == pytest.approx(620)
    assert split.reciprocating * 155 == pytest.approx(620 * 46.5)
    with pytest.raises(ValueError, match="^centre_to_big must be below 155 mm, got 155"):
        rc.rod_split_at_centre(620, 155, 155)


def test_a_factor_is_a_fraction():
    with pytest.raises(ValueError, match="^factor must be between 0 and 1, got 50"):
        rc.bobweight(480, 760, 50)
    with pytest.raises(ValueError, match="^rods_per_pin must be a whole number"):
        rc.bobweight(480, 760, rods_per_pin=1.5)


@pytest.mark.parametrize(
    "throws, reason",
    [
        ([0, 180, 180, 0], "self balanced"),  # common practice: inline four is spun bare
        ([0, 120, 240, 240, 120, 0], "self balanced"),  # common practice: inline six
        ([0, 240, 120], "couple"),  # common practice: inline three rocks
        ([0, 90, 270, 180], "couple"),  # common practice: cross-plane V8
        ([0], "force"),
        ([0, 0], "force"),
    ],
)
def test_which_cranks_are_spun_bare(throws, reason):
    need = rc.bobweight_needed(throws, np.arange(len(throws)) * 88.0)
    assert need.reason == reason
    assert need.needed == (reason != "self balanced")


def test_bobweight_errors_spend_the_share_and_no_more():
    throws, places, planes = [0, 90, 270, 180], [50.0, 150.0, 250.0, 350.0], [0.0, 400.0]
    best = rc.bobweight_tolerance(44, throws, places, 60, planes, share=0.1)
    shares = (400 - np.array(places)) / 400
    assert best.worst_case * 44 * shares.sum() == pytest.approx(0.1 * 60)
    # derived: independent errors, their spread by simulation
    errors = np.random.default_rng(3).normal(0, best.statistical, (200_000, 4))
    assert (errors @ shares * 44).std() == pytest.approx(0.1 * 60, rel=0.01)


def test_which_tolerance_is_missing_is_said():
    for wrong in (None, 0, -1, math.nan, [60, 0]):
        with pytest.raises(ValueError, match="^tolerance must be above 0 g mm, got"):
            rc.bobweight_tolerance(44, [0], [50], wrong, [0, 100])


# from memory: Norton, Design of Machinery, and Taylor, The Internal Combustion Engine: what is
# left of primary force, secondary force, primary couple, secondary couple
LEFT = {
    "inline 2, 360": (True, True, False, False),
    "inline 2, 180": (False, True, True, False),
    "inline 3": (False, False, True, True),
    "inline 4": (False, True, False, False),
    "inline 5": (False, False, True, True),
    "inline 6": (False, False, False, False),
    "flat twin": (False, False, True, True),
    "flat 4": (False, False, False, True),
    "flat 6": (False, False, False, False),
    "flat-plane V8": (False, True, False, False),
    "cross-plane V8": (False, False, True, False),
}


@pytest.mark.parametrize("name", LEFT)
def test_what_the_books_say_is_left_of_each_layout(name):
    found = rc.shaking(layout(name), 6000, orders=2)
    scale = 1e-6 * 500 * 40 * (200 * math.pi) ** 2
    left = tuple(
        bool(value > 1e-9 * scale)
        for value in (*found.force_maximum, *(found.couple_maximum * 1000 / 100))
    )
    assert left == LEFT[name]


def test_a_right_angle_v_twin_keeps_a_force_that_a_counterweight_cancels():
    # published: Khurmi & Gupta, Theory of Machines, V-engines: at 90 deg the primary resultant is
    # constant and turns with the crank; the secondary is sqrt(2) m r omega² r/l, horizontal
    twin = rc.common_layout("V-twin", 0, 75, 300, 11500, bank=90)
    found = rc.shaking(twin, 500, orders=2)
    primary = 1e-6 * 11500 * 75 * (500 * math.pi / 30) ** 2
    assert found.force_maximum[0] == pytest.approx(primary)
    assert found.force_minimum[0] == pytest.approx(primary)
    # The book's r/l is 1.6 % less than the exact harmonic.
    assert found.force_maximum[1] == pytest.approx(math.sqrt(2) * primary / 4, rel=0.018)
    sideways = rc.shaking_at(twin, 500, [0.0, 90.0])
    second = found.force_forward[1] + found.force_backward[1]
    assert abs(second.real) < 1e-9 * primary
    assert sideways.force.shape == (2,)


def sampled(engine, speed, n=2048):
    angles = np.arange(n) * 360 / n
    return rc.shaking_at(engine, speed, angles, reference=70.0)


@pytest.mark.parametrize("name", [*NAMES, "odd"])
def test_orders_agree_with_a_fourier_transform_of_the_exact_shaking(name):
    engine = rc.EngineLayout(**ODD) if name == "odd" else layout(name)
    found = rc.shaking(engine, 5000, orders=8, reference=70.0)
    exact = sampled(engine, 5000)
    scale = 1e-6 * 500 * 40 * (5000 * math.pi / 30) ** 2
    for series, forward, backward in (
        (exact.force, found.force_forward, found.force_backward),
        (exact.couple, found.couple_forward, found.couple_backward),
    ):
        spectrum = np.fft.fft(series) / len(series)
        assert np.abs(spectrum[1:9] - forward).max() < 1e-11 * scale
        assert np.abs(spectrum[-1:-9:-1] - backward).max() < 1e-11 * scale


@given(st.floats(0, 360), st.floats(0, 360))
def test_a_layout_turned_as_a_whole_turns_its_forces(turn, angle):
    turned = dict(ODD)
    turned["throw_angle"] = [a + turn for a in ODD["throw_angle"]]
    turned["bank_angle"] = [a + turn for a in ODD["bank_angle"]]
    twist = cmath.rect(1, math.radians(turn))
    turned["counterweight"] = [u * twist for u in ODD["counterweight"]]
    before = rc.shaking_at(rc.EngineLayout(**ODD), 5000, angle)
    after = rc.shaking_at(rc.EngineLayout(**turned), 5000, angle)
    assert abs(after.force[0] - before.force[0] * twist) < 1e-7
    assert abs(after.couple[0] - before.couple[0] * twist) < 1e-7


def test_forces_go_with_the_square_of_speed():
    slow, fast = (rc.shaking(rc.EngineLayout(**ODD), speed) for speed in (2000, 4000))
    assert fast.force_maximum == pytest.approx(4 * slow.force_maximum)


@pytest.mark.parametrize("bank", [45.0, 60.0, 75.0, 90.0, 120.0])
def test_the_factor_is_where_a_search_finds_it(bank):
    twin = rc.common_layout("V-twin", 0, 45, 150, 600, bank=bank)
    found = rc.balance_factor(twin, 5000, along=3, across=1, direction=20)

    def left(k):
        # Counterweights on the common throw; force seen along 20 deg and across it.
        engine = rc.EngineLayout(
            [0, 0],
            [bank / 2, -bank / 2],
            0.0,
            45,
            150,
            600,
            counterweight=[-k * 2 * 600 * 45],
            counterweight_position=[0],
        )
        orders = rc.shaking(engine, 5000, orders=1)
        turn = np.exp(1j * np.radians(np.arange(0, 360, 1.0)))
        force = orders.force_forward[0] * turn + orders.force_backward[0] / turn
        seen = force * cmath.rect(1, -math.radians(20))
        return 3 * seen.real.max() ** 2 + seen.imag.max() ** 2

    best = minimize_scalar(left, bounds=(0, 1), method="bounded", options={"xatol": 1e-6})
    assert found.factor == pytest.approx(best.x, abs=2e-3)
    assert found.status == ("balanced" if bank == 90 and found.maximum < 1e-6 else "compromise")


def test_a_right_angle_v_twin_is_balanced_by_a_half():
    # published: encyclopaedias on the V-twin: at 90 deg primary balance can be perfect
    twin = rc.common_layout("V-twin", 0, 45, 150, 600, bank=90)
    found = rc.balance_factor(twin, 6000)
    assert found.factor == pytest.approx(0.5)
    assert found.status == "balanced"
    assert found.reason == ""
    assert "50.0 %" in found.next


def test_an_offset_pin_leaves_what_no_counterweight_on_the_throw_reaches():
    parts = ([0, 0], [45, -45], 0.0, 40, 140, 500)
    found = rc.balance_factor(rc.EngineLayout(*parts, offset=2.0), 3000)
    assert found.factor == pytest.approx(0.5)
    weight = {"counterweight": [-found.factor * 2 * 500 * 40], "counterweight_position": [0]}
    left = rc.shaking(rc.EngineLayout(*parts, offset=2.0, **weight), 3000, orders=1)
    assert found.maximum == pytest.approx(left.force_maximum[0])
    assert found.forward == pytest.approx(left.force_forward[0])
    assert found.status == "compromise" and "offset" in found.reason


def test_an_engine_without_primary_force_has_no_factor():
    found = rc.balance_factor(layout("inline 4"), 6000)
    assert found.factor is None
    assert found.status == "no primary force"
    assert found.reason and found.next


@pytest.mark.parametrize(
    "name, order, intervals",
    [
        # common practice: firing orders of these engines
        ("inline 4", [1, 3, 4, 2], [180] * 4),
        ("inline 6", [1, 4, 2, 6, 3, 5], [120] * 6),
        ("inline 3", [1, 3, 2], [240] * 3),
        ("inline 5", [1, 2, 4, 5, 3], [144] * 5),
        ("cross-plane V8", [1, 8, 4, 3, 6, 5, 7, 2], [90] * 8),
        ("inline 2, 180", [1, 2], [540, 180]),
        ("inline 2, 360", [1, 2], [360, 360]),
        ("flat twin", [1, 2], [360, 360]),
        ("single", [1], [720]),
    ],
)
def test_firing_intervals_of_known_engines(name, order, intervals):
    engine = layout(name)
    found = rc.firing_intervals(engine.throw_angle, engine.bank_angle, order)
    assert found.intervals == pytest.approx(intervals)
    assert found.status == "possible"
    assert found.even == (len(set(intervals)) == 1)


def test_offset_pins_make_a_sixty_degree_v6_fire_evenly():
    engine = layout("V6, 60 (offset pins)")
    # derived: the pins that come to the top 120 deg apart, one after the other
    tops = (engine.bank_angle - engine.throw_angle) % 360
    first = np.argsort(tops)
    order = [int(i) + 1 for i in (*first[::2], *first[1::2])]
    found = rc.firing_intervals(engine.throw_angle, engine.bank_angle, order)
    assert found.status == "possible"
    assert found.even


def test_a_firing_order_names_each_cylinder_once():
    for order in ([1, 2, 3], [1, 1, 2, 3], [0, 1, 2, 3], [1, 2, 3, 5]):
        with pytest.raises(ValueError, match="^firing_order must"):
            rc.firing_intervals([0, 180, 180, 0], 0.0, order)
    with pytest.raises(ValueError, match="^strokes must be 2 or 4, got 3"):
        rc.firing_intervals([0], 0.0, [1], strokes=3)


def test_a_layout_is_checked_when_it_is_made():
    with pytest.raises(ValueError, match="^bank_angle must be one figure or 3, got 2"):
        rc.EngineLayout([0, 120, 240], [0, 0], 0.0, 40, 160, 500)
    with pytest.raises(ValueError, match=r"^reciprocating\[1\] must be at least 0 g, got -1"):
        rc.EngineLayout([0, 180], 0.0, 0.0, 40, 160, [500, -1])
    with pytest.raises(ValueError, match="^counterweight_position must be one figure or 1, got 0"):
        rc.EngineLayout([0], 0.0, 0.0, 40, 160, 500, counterweight=[100 + 0j])
    with pytest.raises(TypeError, match="^layout must be a EngineLayout, got str"):
        rc.shaking("inline 4", 6000)
    with pytest.raises(ValueError, match="^orders must be between 1 and 12, got 13"):
        rc.shaking(layout("inline 4"), 6000, orders=13)


@pytest.mark.parametrize("name", NAMES)
def test_common_layouts_have_their_cylinders(name):
    engine = layout(name)
    assert engine.name == name
    assert engine.array_shape == ()
    count = {"single": 1, "flat twin": 2, "V-twin": 2}.get(name)
    if count is None:
        count = int(next(c for c in name if c.isdigit()))
    assert len(engine.throw_angle) == count
    assert pickle.loads(pickle.dumps(engine)) == engine


def test_an_unknown_layout_is_refused_with_the_list():
    with pytest.raises(ValueError, match="^name must be one of 'single', .*; got 'W12'"):
        rc.common_layout("W12", 100, 40, 160, 500)
    with pytest.raises(ValueError, match="^bank must be left out"):
        rc.common_layout("inline 4", 100, 40, 160, 500, bank=60)


@pytest.mark.parametrize("name", rc.__all__)
def test_examples_of_the_page_run(name):
    page = getattr(rc, name).__doc__
    assert page
    example = doctest.DocTestParser().get_doctest(page, {"ew": ew}, name, None, 0)
    assert doctest.DocTestRunner().run(example).failed == 0
