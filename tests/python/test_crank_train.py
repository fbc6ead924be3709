"""The crank train as a user meets it: depths, angles, speeds, harmonics, and arrays at speed."""

import doctest
import math
import pickle

import mpmath
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

import enginewright as ew

ct = ew.crank_train
SIZES = {"stroke": 86.0, "rod_length": 145.0, "pin_offset": 0.8}


def exact_depth(angle, stroke, rod_length, pin_offset=0.0):
    """Depth by the printed formula with 50 digits."""
    with mpmath.workdps(50):
        r, rod, e = mpmath.mpf(stroke) / 2, mpmath.mpf(rod_length), mpmath.mpf(pin_offset)
        theta = mpmath.radians(mpmath.mpf(angle)) + mpmath.asin(e / (rod + r))
        h = r * mpmath.sin(theta) - e
        top = mpmath.sqrt((rod + r) ** 2 - e**2)
        return top - r * mpmath.cos(theta) - mpmath.sqrt(rod**2 - h**2)


@pytest.mark.parametrize("offset", [-25.0, -0.8, 0.0, 1.5, 30.0])
@pytest.mark.parametrize("angle", [-359.0, -90.0, -1.0, -1e-5, 1e-9, 1e-4, 0.5, 60.0, 179.0, 200.0])
def test_depth_has_every_digit_of_fifty_digit_arithmetic(angle, offset):
    # derived: the triangle of crank and rod, mpmath
    truth = exact_depth(angle, 86, 145, offset)
    got = ct.piston_depth(angle, stroke=86, rod_length=145, pin_offset=offset)
    assert got == pytest.approx(float(truth), rel=4e-14)


def test_velocity_and_acceleration_are_the_slopes_of_depth():
    omega = 4000 * math.pi / 30
    for angle in (-120.0, -3.0, 0.0, 77.0, 160.0):
        with mpmath.workdps(50):
            step = mpmath.mpf("1e-12")
            low, here, high = (
                exact_depth(mpmath.mpf(angle) + mpmath.degrees(k * step), 86, 145, 0.8)
                for k in (-1, 0, 1)
            )
            first, second = (high - low) / (2 * step), (high - 2 * here + low) / step**2
        velocity = ct.piston_velocity(angle, **SIZES, speed=4000)
        acceleration = ct.piston_acceleration(angle, **SIZES, speed=4000)
        assert velocity == pytest.approx(float(first) * omega / 1000, rel=1e-12, abs=1e-12)
        assert acceleration == pytest.approx(float(second) * omega**2 / 1000, rel=1e-12)


def test_the_rod_swings_as_its_angle_says():
    omega = 4000 * math.pi / 30
    for angle in (-120.0, 0.0, 77.0):
        step = 1e-4
        near = [ct.rod_angle(angle + k * step, **SIZES) for k in (-1, 0, 1)]
        slope = math.radians(near[2] - near[0]) / math.radians(2 * step) * omega
        assert ct.rod_velocity(angle, **SIZES, speed=4000) == pytest.approx(slope, rel=1e-6)
        swing = [ct.rod_velocity(angle + k * step, **SIZES, speed=4000) for k in (-1, 1)]
        turn = (swing[1] - swing[0]) / math.radians(2 * step) * omega
        assert ct.rod_acceleration(angle, **SIZES, speed=4000) == pytest.approx(turn, rel=1e-6)


@given(
    st.floats(1, 200),
    st.floats(1.3, 4),
    st.floats(-0.9, 0.9),
    st.floats(-9, 0),
    st.sampled_from(["after", "before"]),
)
def test_depth_to_angle_and_back(stroke, ratio, share, decade, side):
    rod = stroke * ratio / 2 * 1.2
    offset = share * (rod - stroke / 2) * 0.9
    sizes = {"stroke": stroke, "rod_length": rod, "pin_offset": offset}
    depth = ct.geometry(**sizes).travel * 0.99 * 10**decade
    assume(depth > 0)
    angle = ct.angle_at_depth(depth, **sizes, side=side)
    assert (angle > 0) == (side == "after")
    assert ct.piston_depth(angle, **sizes) == pytest.approx(depth, rel=1e-8)


def test_an_angle_is_where_a_bracketing_root_finds_it():
    wanted = brentq(lambda a: ct.piston_depth(a, **SIZES) - 12.5, 0, 170, xtol=1e-13)
    assert ct.angle_at_depth(12.5, **SIZES) == pytest.approx(wanted, rel=1e-12)


def test_dwell_splits_true_only_without_an_offset():
    true = ct.dwell(1.27, stroke=86, rod_length=145)
    assert true.midpoint == 0 and true.before == -true.after
    assert true.total == true.after - true.before
    offset = ct.dwell(1.27, **SIZES)
    assert offset.midpoint == pytest.approx((offset.after + offset.before) / 2, rel=1e-9)
    # An offset to the side of the swing lets the piston linger after the top.
    assert offset.midpoint > 0


def test_speed_peaks_where_sampling_finds_the_peak():
    found = ct.piston_speed(**SIZES, speed=6500)
    angles = np.linspace(-180, 180, 720_001)
    speeds = ct.piston_velocity(angles, **SIZES, speed=6500)
    assert found.peak_down == pytest.approx(speeds.max(), rel=1e-9)
    assert found.peak_up == pytest.approx(-speeds.min(), rel=1e-9)
    assert found.peak_down_angle == pytest.approx(angles[speeds.argmax()], abs=1e-3)
    still = ct.piston_speed(**SIZES, speed=0)
    assert (still.mean, still.peak_down, still.peak_up) == (0, 0, 0)


@pytest.mark.parametrize("offset", [0.0, -12.0])
def test_harmonics_agree_with_a_fast_fourier_transform(offset):
    sizes = {"stroke": 90.0, "rod_length": 140.0, "pin_offset": offset}
    found = ct.acceleration_harmonics(**sizes, orders=20)
    n = 4096
    motion = ct.piston_acceleration(np.arange(n) * 360 / n, **sizes, speed=3000)
    spectrum = np.fft.rfft(motion) / n * 2 / (45 * (100 * math.pi) ** 2 / 1000)
    assert found.cosine == pytest.approx(spectrum.real[1:21], abs=2e-13)
    assert found.sine == pytest.approx(-spectrum.imag[1:21], abs=2e-13)
    assert found.amplitude == pytest.approx(np.abs(spectrum[1:21]), abs=2e-13)


def test_harmonics_without_an_offset_are_the_series():
    # from memory: Den Hartog, Mechanical Vibrations, chapter 5, to the fifth power of r/l
    x = 1 / 6
    found = ct.acceleration_harmonics(stroke=50, rod_length=150, orders=8)
    assert found.cosine[1] == pytest.approx(x + x**3 / 4 + 15 * x**5 / 128, abs=1e-6)
    assert found.cosine[3] == pytest.approx(-(x**3 / 4 + 3 * x**5 / 16), abs=1e-6)
    assert found.cosine[5] == pytest.approx(9 * x**5 / 128, abs=1e-6)
    assert not found.sine.any()
    assert found.cosine[0] == pytest.approx(1, abs=1e-14)
    assert not found.cosine[2::2].any()
    assert found.phase[3] == 180


def test_the_cylinder_axis_only_turns_the_phase():
    tdc = ct.acceleration_harmonics(stroke=90, rod_length=140, pin_offset=10)
    axis = ct.acceleration_harmonics(
        stroke=90, rod_length=140, pin_offset=10, reference="cylinder axis"
    )
    lead = ct.geometry(stroke=90, rod_length=140, pin_offset=10).tdc_crank_angle
    assert axis.amplitude == pytest.approx(tdc.amplitude, abs=1e-14)
    turned = (axis.phase - tdc.phase - axis.order * lead + 180) % 360 - 180
    assert np.abs(turned[:4]).max() < 1e-9


def test_a_longer_stroke_brings_the_rod_to_the_bore():
    gaps = [
        ct.rod_bore_clearance(
            bore=86, stroke=stroke, rod_length=145, bore_bottom=62, rod_width=24
        ).clearance
        for stroke in (80, 90, 100, 110)
    ]
    assert gaps == sorted(gaps, reverse=True)
    assert gaps[0] > 0


def test_the_least_gap_is_the_least_of_all_angles():
    sizes = {"stroke": 94, "rod_length": 145, "pin_offset": 1.0}
    near = ct.rod_bore_clearance(bore=86, **sizes, bore_bottom=62, rod_width=24)
    angle = np.linspace(-180, 180, 360_001)
    beta = np.radians(ct.rod_angle(angle, **sizes))
    pin = ct.geometry(**sizes).wrist_height_tdc - ct.piston_depth(angle, **sizes)
    share = (pin - 62) / (145 * np.cos(beta))
    gap = 43 - np.abs(145 * np.sin(beta) * share) - 12 / np.cos(beta)
    gap[(share < 0) | (share > 1)] = np.inf
    assert near.clearance == pytest.approx(gap.min(), abs=1e-6)
    assert near.angle == pytest.approx(angle[gap.argmin()], abs=0.01)


def test_an_edge_that_the_rod_never_spans_is_refused():
    with pytest.raises(ValueError, match="^bore_bottom must be"):
        ct.rod_bore_clearance(bore=86, stroke=94, rod_length=145, bore_bottom=200, rod_width=24)


@pytest.mark.parametrize("count", [0, 1, 2, 3, 4, 5, 7, 8, 1001])
def test_arrays_have_the_bits_of_single_calls(count):
    angles = np.random.default_rng(count).uniform(-720, 720, count)
    many = ct.piston_depth(angles, **SIZES)
    one = np.array([ct.piston_depth(a, **SIZES) for a in angles])
    assert many.tobytes() == one.tobytes()
    strokes = np.linspace(80, 90, count)
    many = ct.piston_velocity(30.0, stroke=strokes, rod_length=145, speed=1000)
    one = np.array(
        [ct.piston_velocity(30.0, stroke=s, rod_length=145, speed=1000) for s in strokes]
    )
    assert many.tobytes() == one.tobytes()


@pytest.mark.parametrize("at", [0, 1, 5, 98, 99, 100])
def test_a_refusal_in_an_array_says_which_element(at):
    angles = np.zeros(101)
    angles[at] = math.nan
    with pytest.raises(ValueError, match=rf"^angle must .* nan \(element {at} of the arrays\)$"):
        ct.piston_depth(angles, **SIZES)
    rods = np.full(101, 145.0)
    rods[at] = 40
    with pytest.raises(
        ValueError, match=rf"^rod_length must be above .* got 40\.0 \(element {at} of the arrays\)$"
    ):
        ct.piston_depth(10.0, stroke=86, rod_length=rods)


def test_arrays_broadcast_in_every_argument():
    grid = ct.piston_depth(np.zeros((3, 1)) + 90, stroke=[80, 86, 90, 94], rod_length=145)
    assert grid.shape == (3, 4)
    assert grid[0].tolist() == [
        ct.piston_depth(90, stroke=s, rod_length=145) for s in (80, 86, 90, 94)
    ]


def test_depth_carries_the_doubt_of_the_wheel():
    angle = ew.Quantity(30.0, 0.1, source="degree wheel")
    depth = ct.piston_depth(angle, stroke=86, rod_length=145)
    slope = ct.piston_velocity(30, stroke=86, rod_length=145, speed=30 / math.pi) * 1000
    assert depth.standard_uncertainty == pytest.approx(slope * math.radians(0.1), rel=1e-9)


def test_impossible_trains_are_refused_by_name():
    with pytest.raises(ValueError, match=r"^stroke must be above 0 mm, got -64\.0$"):
        ct.piston_depth(10, stroke=-64, rod_length=145)
    with pytest.raises(ValueError, match=r"^rod_length must be above stroke/2 \+ \|pin_offset\|"):
        ct.geometry(stroke=86, rod_length=43)
    with pytest.raises(ValueError, match=r"^speed must be between 0 and"):
        ct.piston_velocity(10, stroke=86, rod_length=145, speed=-1)
    with pytest.raises(ValueError, match=r"^depth must be between 0 and the travel"):
        ct.angle_at_depth(86.1, stroke=86, rod_length=145)
    with pytest.raises(ValueError, match=r"^side must be one of after, before; got 'top'$"):
        ct.angle_at_depth(1, stroke=86, rod_length=145, side="top")
    with pytest.raises(TypeError):
        ct.piston_depth(10, 86, 145)


def test_records_travel():
    found = ct.acceleration_harmonics(stroke=86, rod_length=145)
    assert pickle.loads(pickle.dumps(found)) == found
    assert ct.Harmonics.units["phase"] == "deg"


@pytest.mark.parametrize("name", ct.__all__)
def test_examples_of_the_page_run(name):
    page = getattr(ct, name).__doc__
    assert page
    example = doctest.DocTestParser().get_doctest(page, {"ew": ew}, name, None, 0)
    assert doctest.DocTestRunner().run(example).failed == 0


def test_an_engine_that_runs_the_other_way_is_the_mirrored_offset():
    mirrored = dict(SIZES, pin_offset=-0.8)
    there = ct.piston_depth([10.0, 60.0], **SIZES)
    assert ct.piston_depth([-10.0, -60.0], **mirrored) == pytest.approx(there, rel=1e-13)
