"""Bolts as a user meets them: threads, torque, stretch, joints, heat, and bolts used again."""

import doctest
import math
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

import enginewright as ew

loads = st.floats(100, 1e6)
stiff = st.floats(1e3, 1e7)


def test_threads_broadcast_with_their_series():
    threads = ew.fasteners.thread([8, 10, 12], [1.25, 1.5, 1.75])
    # published: ISO 898-1, nominal stress areas 36.6, 58.0, 84.3
    assert threads.stress_area == pytest.approx([36.6, 58.0, 84.3], abs=0.05)
    inch = ew.fasteners.thread(12.7, 25.4 / 13, series="unified")
    assert inch.stress_area / 25.4**2 == pytest.approx(0.1419, abs=5e-5)  # published: ASME B1.1
    assert inch.series == "unified"
    assert ew.fasteners.Thread.units["stress_area"] == "mm²"
    assert pickle.loads(pickle.dumps(inch)) == inch


@pytest.mark.parametrize(
    "name, strengths",
    [
        # published: ISO 898-1:1999, table 3: tensile, yield, proof
        ("4.6", (400, 240, 225)),
        ("5.8", (520, 420, 380)),
        ("6.8", (600, 480, 440)),
        ("8.8", (800, 640, 580)),
        ("10.9", (1040, 940, 830)),
        ("12.9", (1220, 1100, 970)),
    ],
)
def test_a_class_has_the_strengths_of_the_standard(name, strengths):
    found = ew.fasteners.property_class(name, 10)
    assert (found.tensile_strength, found.yield_strength, found.proof_strength) == strengths
    assert found.name == name


@pytest.mark.parametrize(
    "call, text",
    [
        (lambda f: f.thread(6, 2.5), r"pitch must be at most a third of the diameter, 2\.0 mm"),
        (lambda f: f.property_class("8.9", 10), "name must be one of 4.6, 4.8"),
        (lambda f: f.proof_load(10, 1.5, "11.9"), "property_class must be one of 4.6, 4.8"),
        (lambda f: f.property_class("9.8", 20), "diameter must be at most 16 mm in class 9.8"),
        (lambda f: f.torque_for_preload(1000, 10), "nut_factor must be given, or pitch"),
        (lambda f: f.torque_for_preload(1000, 10, pitch=1.5), "missing: thread_friction, bea"),
        (
            lambda f: f.preload_from_torque(60, 10, nut_factor=0.2, thread_friction=0.1),
            "nut_factor must stand alone or be left out, got 0.2 beside thread_friction",
        ),
        (lambda f: f.preload_range(60, 10, nut_factor=0.2, scatter=1.0), "scatter must be below 1"),
        (lambda f: f.joint(1000, 100, 1, 1, stress_area=50), "proof_strength must be given with"),
        (lambda f: f.joint(1000, -1, 1, 1), "load must be at least 0 N, got -1.0"),
        (lambda f: f.bolt_stiffness([40], [60, 58]), "areas must hold 1 areas, one a length"),
        (lambda f: f.member_stiffness([20], [2e5], 10, 9), "face_diameter must be above the dia"),
        (lambda f: f.reuse(60, 60, limit=0), "limit must be above 0 mm, got 0.0"),
        (lambda f: f.reuse(60, 60, limit=0.1, shank_limit=7.9), "shank_diameter must be given"),
    ],
)
def test_a_refusal_names_argument_rule_and_value(call, text):
    with pytest.raises(ValueError, match=text):
        call(ew.fasteners)


@given(preload=loads, friction=st.floats(0.02, 0.4))
def test_torque_and_preload_undo_each_other(preload, friction):
    ways = (
        {"nut_factor": friction},
        {"pitch": 1.5, "thread_friction": friction, "bearing_friction": friction},
    )
    for way in ways:
        torque = ew.fasteners.torque_for_preload(preload, 10, **way)
        assert ew.fasteners.preload_from_torque(torque, 10, **way) == pytest.approx(preload)


@given(preload=loads, bolt=stiff, members=stiff, snug=st.floats(0, 1))
def test_angle_and_preload_undo_each_other(preload, bolt, members, snug):
    start = snug * preload
    angle = ew.fasteners.angle_for_preload(preload, 1.5, bolt, members, snug=start)
    again = ew.fasteners.preload_from_angle(angle, 1.5, bolt, members, snug=start)
    assert again == pytest.approx(preload)


def test_torque_carries_the_doubt_of_its_friction():
    factor = ew.Quantity(0.15, 0.02, source="nut factor")
    preload = ew.fasteners.preload_from_torque(60, 10, nut_factor=factor)
    # A quotient: the relative doubts are equal.
    assert preload.standard_uncertainty / preload.value == pytest.approx(0.02 / 0.15, rel=1e-6)


def test_the_friction_of_a_published_joint():
    # from memory: Shigley, Mechanical Engineering Design, torque coefficients of 3/4-16 UNF with
    # friction 0.15 in thread and collar: K = 0.189
    factor = ew.fasteners.nut_factor(
        19.05, pitch=25.4 / 16, thread_friction=0.15, bearing_friction=0.15
    )
    assert factor == pytest.approx(0.189, abs=0.001)


def test_a_torque_limit_is_what_it_says():
    band = ew.fasteners.preload_range(60, 10, nut_factor=0.15, proof_load=48100)
    assert band.status == "may pass proof load"
    assert band.next == "set at most 57.7 N·m, or tighten by angle or stretch"
    assert band.share == pytest.approx(40000 / 48100)
    again = ew.fasteners.preload_range(
        [57.7, band.torque_limit, 90], 10, nut_factor=0.15, proof_load=48100
    )
    assert again.status.tolist() == [
        "within proof load",
        "within proof load",
        "may pass proof load",
    ]
    alone = ew.fasteners.preload_range(60, 10, nut_factor=0.15)
    assert (alone.status, alone.share, alone.torque_limit) == ("no proof load", None, None)


def test_the_cones_are_the_integral_of_their_slices():
    # SciPy's quadrature is the judge: springs of thin rings from head to nut.
    thicknesses, moduli, diameter, face = [3.0, 14.0, 31.0], [207e3, 71e3, 100e3], 10.0, 17.0
    ends = np.cumsum([0.0, *thicknesses])
    middle = ends[-1] / 2

    def give(z: float) -> float:
        cone = face + 2 * min(z, ends[-1] - z) * math.tan(math.radians(30))
        return 1 / (math.pi / 4 * (cone**2 - diameter**2))

    total = sum(
        quad(give, a, b, points=[middle] if a < middle < b else None)[0] / modulus
        for a, b, modulus in zip(ends, ends[1:], moduli, strict=False)
    )
    found = ew.fasteners.member_stiffness(thicknesses, moduli, diameter, face)
    assert found == pytest.approx(1 / total, rel=1e-9)


@given(preload=loads, load=st.floats(0, 2e6), bolt=stiff, members=stiff)
def test_bolt_and_clamp_always_bear_the_load_between_them(preload, load, bolt, members):
    found = ew.fasteners.joint(preload, load, bolt, members)
    assert found.bolt_load - found.clamp_load == pytest.approx(load, abs=1e-6 * preload)
    assert (found.status == "separates") == (load >= found.separation_load)
    twice = ew.fasteners.joint(preload, load, 2 * bolt, 2 * members)
    assert twice.bolt_load == pytest.approx(found.bolt_load)


def test_a_steel_bolt_in_alloy_is_tighter_when_hot():
    # published: Callister & Rethwisch, 3rd ed., table B.6: steel 4340 12.3, alloy 356.0 21.5
    hot = ew.fasteners.thermal_preload(40000, 90, 80, 80, 12.3e-6, 21.5e-6, 250e3, 750e3)
    assert hot.preload == pytest.approx(52420)
    cold = ew.fasteners.thermal_preload(10000, 90, -80, -80, 12.3e-6, 21.5e-6, 250e3, 750e3)
    assert (cold.status, cold.preload) == ("loose", 0)
    assert cold.reason == "the change of temperature takes 12.4 kN, the joint has 10.0 kN"


def test_a_stretched_or_necked_bolt_is_replaced():
    # common practice: a thou longer than new is out
    bolt = ew.fasteners.reuse(
        60.04, 60.0, limit=0.025, shank_diameter=[7.95, 7.85], shank_limit=7.90
    )
    assert bolt.status == "replace" and bolt.next == "replace the bolt"
    assert (
        bolt.reason
        == "0.040 mm longer than new, 0.025 mm allowed; shank 7.850 mm, 7.900 mm " + ("at least")
    )
    assert bolt.shank_least == 7.85
    assert ew.fasteners.reuse(60.01, 60.0, limit=0.025).status == "reuse"


def test_unproven_is_not_good_enough_for_a_bolt():
    bolt = ew.fasteners.reuse(60.02, 60.0, limit=0.025, uncertainty=0.005)
    assert (bolt.stretch_verdict, bolt.status) == ("unproven", "replace")
    assert bolt.reason == "0.020 mm longer than new, 0.025 mm allowed, not proven by the gauge"
    shrunk = ew.fasteners.reuse(59.9, 60.0, limit=0.025)
    assert shrunk.status == "measure again"


@pytest.mark.parametrize("name", ew.fasteners.__all__)
def test_examples_of_the_page_run(name):
    page = getattr(ew.fasteners, name).__doc__
    assert page
    example = doctest.DocTestParser().get_doctest(page, {"ew": ew}, name, None, 0)
    assert doctest.DocTestRunner().run(example).failed == 0
