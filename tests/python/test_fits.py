"""Limits, fits, pressed joints and their temperatures, as a user meets them."""

import doctest
import math
import pickle

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import enginewright as ew

Quantity = ew.Quantity
STEEL = ew.fits.Material("test steel", 207000, 0.292, 11.5e-6, yield_strength=600)


# --- Classes and fits ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text", ["40 H7", "40H7", " 40  H7 ", "Ø40 H7", "ø40H7", "⌀ 40 H7", "40.0 H7", "40,0 H7"]
)
def test_a_class_is_understood_as_shops_write_it(text):
    got = ew.fits.limits(text)
    assert (got.size, got.tolerance_class, got.kind) == (40.0, "H7", "hole")
    assert (got.lower, got.upper, got.tolerance) == (40.0, 40.025, 0.025)


def test_the_size_may_stand_apart_and_be_many():
    got = ew.fits.limits("h6", [20, 50, 50.001, 60])
    assert got.array_shape == (4,)
    # published: ISO 286-1:2010, table 1: IT6 13 to 30 mm, 16 to 50, 19 to 80
    assert list(got.tolerance) == pytest.approx([0.013, 0.016, 0.019, 0.019])
    assert list(got.upper) == [20, 50, 50.001, 60]


def test_a_nominal_size_with_doubt_moves_both_limits():
    size = Quantity(50.0, 0.01, source="drawing")
    got = ew.fits.limits("H7", size)
    # 50 mm ends a range: what lies a hair above must not leak into the deviations.
    assert (got.lower_deviation, got.upper_deviation) == (0, 0.025)
    assert got.upper.value == 50.025
    assert got.upper.correlation(size) == 1.0
    assert got.upper.standard_uncertainty == 0.01
    width = ew.fits.grade(size, 7)
    assert (width.value, width.standard_uncertainty) == (0.025, 0.0)
    many = ew.fits.limits("H7", Quantity([20.0, 50.0], 0.01, common=True))
    assert list(many.lower.value) == [20.0, 50.0]
    assert list(many.lower.standard_uncertainty) == [0.01, 0.01]


@pytest.mark.parametrize("grade", ["IT7", "7", 7, np.int64(7)])
def test_a_grade_has_many_spellings(grade):
    assert ew.fits.grade(40, grade) == 0.025


@pytest.mark.parametrize(
    "call, text",
    [
        (lambda: ew.fits.limits("40 Hh7"), "letters all in capitals, a hole, or all small"),
        (lambda: ew.fits.limits("40 Q7"), "no letter Q, got '40 Q7'"),
        (lambda: ew.fits.limits("40 H19"), "grade must be one of IT01, IT0, IT1 to IT18; got '19'"),
        (lambda: ew.fits.limits("40"), "written as '40 H7'"),
        (lambda: ew.fits.limits("4.0.0 H7"), "written as '40 H7'"),
        (lambda: ew.fits.limits(""), "written as '40 H7'"),
        (lambda: ew.fits.limits("9" * 100_000), "written as '40 H7'"),
        (lambda: ew.fits.limits("H7"), "size must be given, or stand in the designation"),
        (lambda: ew.fits.limits("40 H7", 40), "size must be left out"),
        (lambda: ew.fits.limits("0 H7"), "size must be above 0 mm, got 0.0"),
        (lambda: ew.fits.limits("500.5 H7"), "size must be at most 500 mm, got 500.5"),
        (lambda: ew.fits.limits("H7", math.nan), "size must be a finite number, got nan"),
        (lambda: ew.fits.limits("H7", [10, -1]), r"got -1.0 \(element 1 of the arrays\)"),
        (lambda: ew.fits.limits("60 cd8"), "at 60.0 mm: cd ends at 50 mm, got 'cd8'"),
        (lambda: ew.fits.limits("24 t6"), "t begins above 24 mm"),
        (lambda: ew.fits.limits("5 K9"), "K above IT8 ends at 3 mm"),
        (lambda: ew.fits.limits("1 N9"), "N above IT8 begins above 1 mm"),
        (lambda: ew.fits.limits("1 a9"), "a and b begin above 1 mm"),
        (lambda: ew.fits.limits("8 j9"), "j has grades 5, 6, 7, and 8 up to 3 mm"),
        (lambda: ew.fits.grade(0.9, 14), "size must be above 1 mm for IT14 and coarser"),
        (lambda: ew.fits.fit("40 h7/H6"), "hole first, in capitals"),
        (lambda: ew.fits.fit("40 H7"), "written as '40 H7/p6'"),
        (lambda: ew.fits.fit("40 H7/40 p6"), "written as '40 H7/p6'"),
        (lambda: ew.fits.classes(40, 0.1, 0.0), "maximum_clearance must be at least"),
        (lambda: ew.fits.classes(40, 0, 0.1, hole="h7"), "hole must name a hole"),
        (lambda: ew.fits.classes(40, 0, 0.1, grades=(5, "x")), r"grades\[1\] must be one of IT01"),
    ],
)
def test_what_is_no_class_is_refused_in_words(call, text):
    with pytest.raises(ValueError, match=text):
        call()


def test_wrong_types_are_type_errors():
    for call in (
        lambda: ew.fits.limits(40),
        lambda: ew.fits.grade("40", 7),
        lambda: ew.fits.grade(40, 7.0),
        lambda: ew.fits.grade(40, True),
        lambda: ew.fits.press_fit(
            40, 0.05, 40, outer_diameter=80, inner={"name": "steel"}, outer="steel"
        ),
    ):
        with pytest.raises(TypeError):
            call()


@given(
    size=st.floats(0.01, 500),
    low=st.floats(-0.2, 0.2),
    window=st.floats(0.0, 0.2),
    hole=st.sampled_from(["H6", "H7", "H8", "F7", "JS6", "P7"]),
)
@settings(max_examples=40, deadline=None)
def test_the_classes_found_are_all_there_are(size, low, window, hole):
    high = low + window
    found = ew.fits.classes(size, low, high, hole=hole)
    names = {f.shaft.tolerance_class for f in found}
    for letter in (
        *("a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h", "js", "j", "k", "m", "n", "p"),
        *("r", "s", "t", "u", "v", "x", "y", "z", "za", "zb", "zc"),
    ):
        for grade in range(4, 12):
            try:
                each = ew.fits.limits(f"{letter}{grade}", size)
            except ValueError:
                assert f"{letter}{grade}" not in names
                continue
            bore = ew.fits.limits(hole, size)
            least = bore.lower_deviation - each.upper_deviation
            greatest = bore.upper_deviation - each.lower_deviation
            if low + 2e-9 < least and greatest < high - 2e-9:
                assert each.tolerance_class in names
            if least < low - 2e-9 or greatest > high + 2e-9:
                assert each.tolerance_class not in names
    spreads = [f.maximum_clearance - f.minimum_clearance for f in found]
    assert spreads == sorted(spreads, reverse=True) or np.all(np.diff(spreads) < 1e-9)


def test_measured_parts_are_judged_with_a_fit():
    ring = Quantity(40.0, 0.001, source="ring 40 for fits")
    bore, pin = ring + Quantity(0.012, 0.001), ring + Quantity(0.035, 0.001)
    fit = ew.fits.fit("40 H7/p6")
    verdict = ew.measure.check(bore - pin, fit.minimum_clearance, fit.maximum_clearance)
    assert verdict.verdict == "within"
    assert fit.hole.kind == "hole" and fit.shaft.upper == 40.042
    assert pickle.loads(pickle.dumps(fit)) == fit


# --- Pressed joints -----------------------------------------------------------------------------


def lame_by_boundaries(d, delta, big, bore, inner, outer):
    """Pressure from displacements u = A r + B / r of two rings, without a formula for it."""
    a, b, c = bore / 2, d / 2, big / 2

    def stress(material, r):
        # Radial stress of A r + B / r in plane stress: E/(1-v²) ((1+v) A - (1-v) B/r²).
        e, v = material.modulus, material.poisson
        return [e / (1 - v), -e / (1 + v) / r**2]

    zero = [0.0, 0.0]
    rows = [
        [*zero, *stress(outer, c)],
        [*(-np.array(stress(inner, b))), *stress(outer, b)],
        [-b, -1 / b, b, 1 / b],
        [0.0, 1.0, *zero] if bore == 0 else [*stress(inner, a), *zero],
    ]
    solved = np.linalg.solve(np.array(rows, dtype=float), [0, 0, delta / 2, 0])
    return -float(np.dot(stress(outer, b), solved[2:])), -2 * (solved[0] * a + solved[1] / a) if (
        bore > 0
    ) else 0.0


@given(
    d=st.floats(5, 200),
    delta=st.floats(0.001, 0.2),
    wall=st.floats(1.1, 4),
    hollow=st.one_of(st.just(0.0), st.floats(0.1, 0.9)),
    materials=st.tuples(*[st.sampled_from(sorted(ew.fits.MATERIALS))] * 2),
)
@settings(deadline=None)
def test_the_pressure_solves_the_boundary_problem(d, delta, wall, hollow, materials):
    # derived: two thick cylinders in plane stress, linear system solved by NumPy
    inner, outer = (ew.fits.MATERIALS[name] for name in materials)
    got = ew.fits.press_fit(
        d, delta, d, outer_diameter=wall * d, inner_bore=hollow * d, inner=inner, outer=outer
    )
    pressure, closure = lame_by_boundaries(d, delta, wall * d, hollow * d, inner, outer)
    assert got.pressure == pytest.approx(pressure, rel=1e-9)
    assert got.bore_closure == pytest.approx(closure, rel=1e-9)
    assert got.press_force == pytest.approx(math.pi * d * d * 0.12 * pressure, rel=1e-9)
    hoop, p = got.hoop_outer, got.pressure
    # von Mises in plane stress from its principal stresses, radial -p
    mises = math.sqrt((hoop**2 + p**2 + (hoop + p) ** 2) / 2)
    assert got.equivalent_outer == pytest.approx(mises, rel=1e-12)


def test_a_joint_holds_is_loose_or_yields():
    joint = {"outer_diameter": 60, "inner": STEEL, "outer": STEEL}
    held = ew.fits.press_fit(40, 0.03, 40, **joint)
    assert held.status == "holds" and held.reason == ""
    assert held.safety_outer == pytest.approx(600 / held.equivalent_outer)
    loose = ew.fits.press_fit(40, -0.01, 40, **joint)
    assert (loose.status, loose.pressure, loose.safety_outer) == ("loose", 0.0, math.inf)
    assert loose.reason == "no interference is left: 0.010 mm of clearance"
    torn = ew.fits.press_fit(40, 0.30, 40, **joint)
    assert torn.status == "yields"
    assert torn.reason.startswith("the housing yields: ") and "no longer hold" in torn.reason
    assert held.safety_inner > held.safety_outer
    unknown = ew.fits.press_fit(40, 0.03, 20, outer_diameter=60, inner="steel", outer="grey iron")
    assert unknown.safety_outer is None
    assert "grey iron has no yield point" in unknown.reason and "end effects" in unknown.reason


def test_rough_and_warm_surfaces_take_interference_away():
    joint = {"outer_diameter": 60, "inner": "steel", "outer": "steel"}
    rough = ew.fits.press_fit(40, 0.03, 40, roughness_inner=0.004, roughness_outer=0.006, **joint)
    # published: DIN 7190: 0.8 (Rz_i + Rz_o) of the interference is lost
    assert rough.interference == pytest.approx(0.03 - 0.8 * 0.010)
    warm = ew.fits.press_fit(40, 0.03, 40, outer_temperature=70, **joint)
    assert warm.interference == pytest.approx(0.03 - 40 * 11.5e-6 * 50)


def test_doubt_of_two_parts_reaches_every_figure():
    pin, bore = Quantity(40.042, 0.002), Quantity(40.010, 0.003)
    got = ew.fits.press_fit(40, pin - bore, 40, outer_diameter=60, inner=STEEL, outer=STEEL)
    assert got.status == "holds"
    u = math.hypot(0.002, 0.003)
    assert got.interference.standard_uncertainty == pytest.approx(u, rel=1e-9)
    # Everything but the safeties is in proportion to the interference.
    for name in ("pressure", "hoop_outer", "hoop_inner", "equivalent_outer", "bore_closure"):
        figure = getattr(got, name)
        share = figure.standard_uncertainty / abs(figure.value) if figure.value else 0
        assert share == pytest.approx(u / 0.032 if figure.value else 0, rel=1e-8), name
    assert got.safety_outer.standard_uncertainty > 0
    temper = Quantity(70.0, 2.0, source="thermometer for fits")
    warm = ew.fits.press_fit(
        40, 0.03, 40, outer_diameter=60, inner=STEEL, outer=STEEL, outer_temperature=temper
    )
    assert warm.interference.standard_uncertainty == pytest.approx(40 * 11.5e-6 * 2)
    loose = ew.fits.press_fit(
        40, Quantity(-0.05, 0.002), 40, outer_diameter=60, inner=STEEL, outer=STEEL
    )
    assert loose.safety_outer == math.inf
    assert loose.pressure.standard_uncertainty == 0
    many = ew.fits.press_fit(
        40, [Quantity(0.03, 0.002), -0.05], 40, outer_diameter=60, inner=STEEL, outer=STEEL
    )
    assert many.safety_outer[0].standard_uncertainty > 0
    assert many.safety_outer[1] == math.inf


def test_a_materials_expansion_may_carry_doubt():
    alloy = ew.fits.Material("alloy", 71000, 0.33, Quantity(21.5e-6, 0.5e-6))
    got = ew.fits.press_fit(
        90,
        0.08,
        100,
        outer_diameter=110,
        inner_bore=84,
        inner="grey iron",
        outer=alloy,
        outer_temperature=60,
        inner_temperature=60,
    )
    assert got.interference.standard_uncertainty == pytest.approx(90 * 40 * 0.5e-6, rel=1e-9)


@pytest.mark.parametrize(
    "change, text",
    [
        ({"outer_diameter": 40}, "outer_diameter must be above diameter, 40.0 mm, got 40.0"),
        ({"inner_bore": 40}, "inner_bore must be below diameter, 40.0 mm, got 40.0"),
        ({"inner_bore": -1}, "inner_bore must be at least 0 mm"),
        ({"diameter": 0}, "diameter must be above 0 mm"),
        ({"diameter": 5e-324}, "diameter must be at least 1e-09 mm"),
        ({"length": -1}, "length must be above 0 mm"),
        ({"friction": -0.1}, "friction must be between 0 and 2"),
        ({"roughness_inner": -0.1}, "roughness_inner must be at least 0 mm"),
        ({"inner": "unobtainium"}, "inner must be one of steel, grey iron"),
        ({"outer": ""}, "outer must be one of steel"),
        ({"outer_temperature": -300}, "outer_temperature must be above -273.15 °C"),
        ({"interference": 1e308}, "interference must be between -1e"),
        ({"interference": math.inf}, "interference must be a finite number, got inf"),
    ],
)
def test_an_impossible_joint_is_refused(change, text):
    joint = {
        "diameter": 40,
        "interference": 0.03,
        "length": 40,
        "outer_diameter": 60,
        "inner": "steel",
        "outer": "steel",
    }
    with pytest.raises(ValueError, match=text):
        ew.fits.press_fit(**(joint | change))


@pytest.mark.parametrize(
    "change, text",
    [
        ({"name": ""}, "name must hold a word"),
        ({"modulus": 0}, "modulus must be between 1 and"),
        ({"poisson": 0.6}, "poisson must be between 0 and 0.5"),
        ({"expansion": -1e-6}, "expansion must be between 0 and 0.001"),
        ({"yield_strength": 0}, "yield_strength must be above 0 MPa"),
    ],
)
def test_an_impossible_material_is_refused(change, text):
    figures = {"name": "x", "modulus": 1e5, "poisson": 0.3, "expansion": 1e-5}
    with pytest.raises(ValueError, match=text):
        ew.fits.Material(**(figures | change))


def test_the_materials_are_typical_and_have_no_yield_strength():
    assert set(ew.fits.MATERIALS) == {
        *("steel", "grey iron", "ductile iron", "cast aluminium", "phosphor bronze"),
        "sintered iron",
    }
    assert all(material.yield_strength is None for material in ew.fits.MATERIALS.values())
    with pytest.raises(TypeError):
        ew.fits.MATERIALS["lead"] = STEEL


@given(
    d=st.floats(5, 200),
    wall=st.floats(1.1, 4),
    hollow=st.one_of(st.just(0.0), st.floats(0.1, 0.9)),
    share=st.floats(0.001, 0.999),
)
def test_stresses_hold_each_other_in_every_layer(d, wall, hollow, share):
    # derived: equilibrium of a thin ring: hoop = d(r radial) / dr, by a central difference
    joint = {"diameter": d, "outer_diameter": wall * d, "inner_bore": hollow * d}
    for low, high in ((hollow * d / 2, d / 2), (d / 2, wall * d / 2)):
        r = low + share * (high - low)
        step = 1e-4 * min(r - low, high - r)
        above, here, below = (
            ew.fits.joint_stress(x, pressure=80.0, **joint) for x in (r + step, r, r - step)
        )
        slope = (above.radial * (r + step) - below.radial * (r - step)) / (2 * step)
        assert here.hoop == pytest.approx(slope, rel=1e-4, abs=1e-4)
    ends = ew.fits.joint_stress([hollow * d / 2, d / 2, wall * d / 2], pressure=80.0, **joint)
    assert list(ends.radial[1:]) == pytest.approx([-80.0, 0.0], abs=1e-9)
    assert ends.radial[0] == pytest.approx(0.0 if hollow else -80.0, abs=1e-9)


def test_stresses_at_the_joint_are_those_of_the_press_fit():
    sizes = {"outer_diameter": 34, "inner_bore": 8}
    pressed = ew.fits.press_fit(14, 0.04, 45, inner="steel", outer="grey iron", **sizes)
    at = ew.fits.joint_stress([4, 7, 7 + 1e-9], pressure=pressed.pressure, diameter=14, **sizes)
    assert list(at.hoop) == pytest.approx(
        [pressed.hoop_inner_bore, pressed.hoop_inner, pressed.hoop_outer], rel=1e-8
    )
    assert at.equivalent[2] == pytest.approx(pressed.equivalent_outer, rel=1e-8)
    with pytest.raises(ValueError, match="radius must be between 4 and 17 mm, got 3"):
        ew.fits.joint_stress(3, pressure=80, diameter=14, **sizes)


# --- Temperatures -------------------------------------------------------------------------------


@given(
    delta=st.floats(0.001, 0.3),
    expansions=st.tuples(*[st.floats(5e-6, 30e-6)] * 2),
    share=st.floats(0, 3),
)
def test_at_the_loosening_temperature_nothing_presses(delta, expansions, share):
    inner, outer = expansions
    got = ew.fits.loosening_temperature(
        90, delta, inner_expansion=inner, outer_expansion=outer, inner_share=share
    )
    if got.temperature is None:
        assert got.status == "never"
        return
    rise = got.temperature - 20
    left = delta + 90 * (inner * share * rise - outer * rise)
    assert left == pytest.approx(0, abs=1e-9 * max(1, abs(rise)))
    assert got.status == ("loosens when heated" if rise > 0 else "loosens when cooled")


def test_a_joint_may_never_loosen_or_be_loose_already():
    same = ew.fits.loosening_temperature(90, 0.08, inner_expansion=1e-5, outer_expansion=1e-5)
    assert (same.status, same.temperature, same.reason) == (
        "never",
        None,
        "both parts grow alike",
    )
    far = ew.fits.loosening_temperature(90, 0.5, inner_expansion=11e-6, outer_expansion=10e-6)
    assert far.status == "never" and "-273" in far.reason
    tiny = ew.fits.loosening_temperature(
        90, 0.5, inner_expansion=1e-5, outer_expansion=1.0000001e-5
    )
    assert tiny.status == "never"
    loose = ew.fits.loosening_temperature(90, 0.0, inner_expansion=1e-5, outer_expansion=2e-5)
    assert (loose.status, loose.temperature) == ("loose", None)


def test_the_housing_is_heated_the_part_chilled_or_neither():
    alloy = {"outer_expansion": 21.5e-6, "inner_expansion": 10.5e-6}
    none = ew.fits.assembly_temperature(90, -0.10, 0.05, **alloy)
    assert (none.status, none.outer_temperature, none.inner_temperature) == (
        "no heat needed",
        20.0,
        20.0,
    )
    assert none.gap == pytest.approx(0.10)
    heat = ew.fits.assembly_temperature(90, 0.08, 0.05, **alloy)
    assert heat.status == "heat" and heat.gap == pytest.approx(0.05)
    chill = ew.fits.assembly_temperature(90, 0.08, 0.05, outer_limit=60, **alloy)
    assert chill.status == "heat and chill" and chill.outer_temperature == 60
    assert chill.gap == pytest.approx(0.05)
    assert "below -50 °C" not in chill.reason and chill.inner_temperature == pytest.approx(
        -35.6, abs=0.1
    )
    deep = ew.fits.assembly_temperature(90, 0.08, 0.05, outer_limit=40, **alloy)
    assert deep.status == "heat and chill" and "below -50 °C" in deep.reason
    cannot = ew.fits.assembly_temperature(90, 0.5, 0.05, outer_limit=100, **alloy)
    assert (cannot.status, cannot.outer_temperature, cannot.gap) == ("cannot", None, None)


def test_temperatures_broadcast_and_carry_doubt():
    many = ew.fits.loosening_temperature(
        90, [0.05, 0.08, -0.1], inner_expansion=10.5e-6, outer_expansion=21.5e-6
    )
    assert list(many.status) == ["loosens when heated", "loosens when heated", "loose"]
    assert many.temperature.mask.tolist() == [False, False, True]
    one = ew.fits.assembly_temperature(
        90, Quantity(0.08, 0.004), 0.05, outer_expansion=21.5e-6, inner_expansion=10.5e-6
    )
    assert one.outer_temperature.standard_uncertainty == pytest.approx(0.004 / (90 * 21.5e-6))
    assert one.status == "heat"


@pytest.mark.parametrize("name", [n for n in ew.fits.__all__ if n != "MATERIALS"])
def test_examples_of_the_page_run(name):
    page = getattr(ew.fits, name).__doc__
    assert page
    example = doctest.DocTestParser().get_doctest(page, {"ew": ew}, name, None, 0)
    assert doctest.DocTestRunner().run(example).failed == 0
