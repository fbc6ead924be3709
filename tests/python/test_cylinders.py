"""Cylinders as a user meets them: form, the oversize of a block, sizes to finish to."""

import doctest
import math
import pickle

import numpy as np
import pytest

import enginewright as ew

WORN = [[86.081, 86.060], [86.040, 86.031], [86.012, 86.010]]
BLOCK = {"piston_standard": 85.96, "clearance": 0.04}


def test_a_form_tells_wear_ridge_and_where():
    found = ew.cylinders.form(WORN, original=86.005, unworn_top=86.007, ridge_limit=0.020)
    assert (found.wear, found.ridge) == (pytest.approx(0.076), pytest.approx(0.037))
    assert (found.largest_station, found.largest_axis, found.shape) == (0, 0, "tapered")
    assert found.end_difference < 0
    assert found.ridge_verdict == found.verdict == "outside"
    assert found.next.startswith("cut the ridge before the pistons come out")


def test_a_ridge_without_the_unworn_size_is_unproven():
    found = ew.cylinders.form(WORN, ridge_limit=0.020)
    assert (found.ridge, found.ridge_verdict) == (None, "unproven")
    assert found.next == "measure the bore above the ring travel"


def test_readings_of_one_gauge_lose_its_ring_in_differences():
    ring = ew.Quantity(0.0, 0.004)
    readings = [[ring + each + ew.Quantity(0, 0.001) for each in row] for row in WORN]
    found = ew.cylinders.form(readings, unworn_top=ring + 86.007, original=86.005, upper=86.10)
    assert found.ovality.standard_uncertainty == pytest.approx(0.001 * math.sqrt(2))
    assert found.ridge.standard_uncertainty == pytest.approx(0.0005)
    assert found.maximum.standard_uncertainty == pytest.approx(math.hypot(0.004, 0.001))
    assert found.wear.value == pytest.approx(0.076)
    assert found.size_verdict == "within"


def test_a_column_of_quantities_is_a_form_too():
    readings = ew.Quantity(np.array(WORN), 0.002)
    found = ew.cylinders.form(readings, ovality_limit=0.030)
    assert found.ovality.standard_uncertainty == pytest.approx(0.002 * math.sqrt(2))
    assert found.ovality_verdict == "within"


def test_the_oversize_is_the_first_that_cleans_all():
    plan = ew.cylinders.oversize_plan(
        [[[86.30]], [[86.02]]], oversizes=(0.25, 0.5, 1.0), hone_allowance=0.06, **BLOCK
    )
    assert (plan.oversize, plan.piston) == (0.5, pytest.approx(86.46))
    assert plan.oversize_by_cylinder == (0.5, 0.25)
    assert [option.sleeve for option in plan.sleeve_options] == [(0,), (), ()]
    assert plan.reason == "0.250 would do with cylinder 1 sleeved"
    assert pickle.loads(pickle.dumps(plan)) == plan


def test_a_cylinder_that_no_step_cleans_is_sleeved():
    plan = ew.cylinders.oversize_plan(
        [[[86.02]], [[87.50]], [[86.03]]], oversizes=(0.25, 0.5), **BLOCK
    )
    assert (plan.status, plan.sleeve) == ("needs sleeving", (1,))
    assert (plan.oversize, plan.finish_bore, plan.steps_left) == (None, None, 0)
    assert plan.oversize_without_sleeved == 0.25
    assert plan.next == ("sleeve cylinder 2; bore the others and hone to 86.250 mm (0.250 over)")


@pytest.mark.parametrize("seed", range(200))
def test_the_plan_agrees_with_a_plain_loop(seed):
    draw = np.random.default_rng(seed)
    bores = [
        86.0 + draw.uniform(0, 0.6, (draw.integers(1, 4), draw.integers(1, 3)))
        for _ in range(draw.integers(1, 7))
    ]
    damage = draw.uniform(0, 0.2, len(bores)) * draw.integers(0, 2, len(bores))
    steps = np.cumsum(draw.uniform(0.1, 0.3, draw.integers(1, 6)))
    hone, clean_up = draw.uniform(0, 0.08, 2)
    largest = draw.choice([86.4, 90.0])
    one_side = bool(draw.integers(0, 2))
    plan = ew.cylinders.oversize_plan(
        bores,
        oversizes=steps,
        hone_allowance=hone,
        clean_up=clean_up,
        damage_depth=damage,
        wear_side="one side" if one_side else "even",
        largest_bore=largest,
        **BLOCK,
    )
    cleanups = []
    for grid, depth in zip(bores, damage, strict=True):
        flank = grid.max() - min(86.0, grid.min()) if one_side else 0
        cleanups.append(grid.max() + flank + 2 * depth + clean_up)
    allowed = [step for step in steps if 86.0 + step <= largest + 1e-9]
    left = [
        tuple(i for i, size in enumerate(cleanups) if size > 86.0 + step - hone + 1e-9)
        for step in allowed
    ]
    expected = next((s for s, sleeve in zip(allowed, left, strict=True) if not sleeve), None)
    assert plan.oversize == expected
    assert [option.sleeve for option in plan.sleeve_options] == left
    assert plan.governing == int(np.argmax(cleanups))


def test_sleeve_lists_shrink_as_steps_grow():
    draw = np.random.default_rng(5)
    bores = [[[size]] for size in draw.uniform(86.0, 87.2, 8)]
    plan = ew.cylinders.oversize_plan(bores, oversizes=np.arange(0.1, 1.3, 0.1), **BLOCK)
    sizes = [set(option.sleeve) for option in plan.sleeve_options]
    assert all(fewer <= more for more, fewer in zip(sizes, sizes[1:], strict=False))
    assert sizes[0] > sizes[-1]


def test_bores_are_finished_to_the_pistons_in_the_box():
    plan = ew.cylinders.finish_bores([86.21, 86.22], 0.04, bores=[86.0, 86.23], hone_allowance=0.05)
    assert plan.finish_bore == pytest.approx([86.25, 86.26])
    assert (plan.status, plan.too_large) == ("hone only", ())
    large = ew.cylinders.finish_bores([86.21, 86.22], 0.04, bores=[86.0, 86.27])
    assert (large.status, large.too_large) == ("bore too large", (1,))
    assert "find a piston of at least 86.230 mm" in large.next
    unchecked = ew.cylinders.finish_bores([86.21], 0.04)
    assert (unchecked.status, len(unchecked.stock)) == ("unchecked", 0)
    with pytest.raises(ValueError, match="bores must hold 1, one a piston, got 2"):
        ew.cylinders.finish_bores([86.21], 0.04, bores=[86.0, 86.1])


def test_a_refusal_names_argument_rule_and_value():
    with pytest.raises(ValueError, match=r"oversizes\[1\] must be above the step before, 0\.5 mm"):
        ew.cylinders.oversize_plan([WORN], oversizes=[0.5, 0.25], **BLOCK)
    with pytest.raises(ValueError, match="wear_side must be one of even, one side; got 'left'"):
        ew.cylinders.oversize_plan([WORN], oversizes=[0.5], wear_side="left", **BLOCK)
    with pytest.raises(ValueError, match=r"damage_depth\[1\] must be at least 0 mm, got -0\.1"):
        ew.cylinders.oversize_plan([WORN] * 2, oversizes=[0.5], damage_depth=[0, -0.1], **BLOCK)


@pytest.mark.parametrize("name", ew.cylinders.__all__)
def test_examples_of_the_page_run(name):
    page = getattr(ew.cylinders, name).__doc__
    assert page
    example = doctest.DocTestParser().get_doctest(page, {"ew": ew}, name, None, 0)
    assert doctest.DocTestRunner().run(example).failed == 0
