"""Rings as a user meets them: gaps, rules, clearances, and which ring goes where."""

import doctest
import math
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

import enginewright as ew

# published: Callister & Rethwisch, 3rd ed., table B.6: grey iron 11.4, alloy 356.0 21.5, 1e-6/K
IRON, ALLOY = 11.4e-6, 21.5e-6


def test_a_ring_opens_by_three_and_a_bit_for_one_of_bore():
    # common practice: "3.14 of gap for 1 of bore"
    gap = ew.rings.gap_at_bore(0.30, bore=86.00, bore_new=86.25)
    assert gap == pytest.approx(0.30 + 3.14 * 0.25, abs=1e-3)


def test_a_ring_carried_there_and_back_has_its_old_gap():
    bores = [85.9, 86.0, 86.5]
    there = ew.rings.gap_at_bore(0.30, bore=86.00, bore_new=bores)
    assert ew.rings.gap_at_bore(there, bore=bores, bore_new=86.00) == pytest.approx([0.30] * 3)


def test_gaps_broadcast_like_arrays():
    gaps = ew.rings.gap_at_bore(np.full((3, 1), 0.3), 86.0, [86.0, 86.1, 86.2, 86.3])
    assert gaps.shape == (3, 4)
    assert gaps[2, 1] == pytest.approx(0.3 + math.pi * 0.1)


def test_a_refusal_names_argument_rule_value_and_element():
    with pytest.raises(ValueError, match=r"^bore must be above 0 mm, got -86\.0$"):
        ew.rings.gap_at_bore(0.3, -86, 86)
    with pytest.raises(ValueError, match=r"got nan \(element 1 of the arrays\)"):
        ew.rings.gap_at_bore([0.3, math.nan], 86, 86)
    with pytest.raises(TypeError, match="bore"):
        ew.rings.gap_at_bore(0.3, "86", 86)


def test_a_gap_carries_its_doubt_to_another_bore():
    ring = ew.Quantity(0.0, 0.002, source="setting ring 86")
    old, new = ring + 86.00, ring + 86.25
    gap = ew.rings.gap_at_bore(ew.Quantity(0.30, 0.005), old, new)
    # The ring's error is in both bores and drops out of their difference.
    assert gap.standard_uncertainty == pytest.approx(0.005, rel=1e-9)
    assert gap.value == pytest.approx(0.30 + math.pi * 0.25)


def test_the_thermal_gap_just_touches_when_hot():
    cold = ew.rings.thermal_gap(86, 220, 120, ring_expansion=IRON, bore_expansion=IRON)
    hot = {"ring_expansion": IRON, "bore_expansion": IRON}
    assert ew.rings.hot_gap(86, cold, 220, 120, **hot) == pytest.approx(0, abs=1e-12)
    assert ew.rings.hot_gap(86, cold - 0.001, 220, 120, **hot) < 0
    assert ew.rings.thermal_gap(86, 130, 120, ring_expansion=IRON, bore_expansion=ALLOY) == 0


def test_expansions_are_keywords():
    with pytest.raises(TypeError):
        ew.rings.thermal_gap(86, 220, 120, IRON, IRON)


def test_eighteen_rules_come_with_the_library():
    rules = ew.rings.gap_rules()
    assert isinstance(rules, tuple) and len(rules) == 18
    gaps = {(rule.duty, rule.position): rule.per_bore for rule in rules}
    duties = {duty for duty, _ in gaps}
    assert len(duties) == 6
    for duty in duties:
        # common practice, no source: the second ring is the wider one
        assert gaps[duty, "second"] > gaps[duty, "top"]
    assert {rule.provenance for rule in rules} == {"common practice"}
    rails = [rule for rule in rules if rule.position == "oil rail"]
    # common practice, no source: fifteen thou
    assert [rule.least for rule in rails] == [pytest.approx(0.015 * 25.4, abs=0.0015)] * 6


def test_a_shops_rule_that_stands_first_goes_first():
    duty = "road, naturally aspirated"
    mine = [ew.rings.GapRule(duty, "top", 0.006, provenance="measured here", source="dyno 4")]
    found = ew.rings.gap_by_rule(100, "top", duty, rules=mine + list(ew.rings.gap_rules()))
    assert (found.gap, found.provenance, found.source) == (0.6, "measured here", "dyno 4")
    assert ew.rings.gap_by_rule(100, "top", duty).gap == pytest.approx(0.4)


def test_a_rule_without_a_match_is_refused_with_the_words_there_are():
    with pytest.raises(ValueError, match="position must be one of top, second, oil rail; got 'x'"):
        ew.rings.gap_by_rule(86, "x", "road, supercharged")
    with pytest.raises(ValueError, match="duty must be one of 'road, naturally aspirated'"):
        ew.rings.gap_by_rule(86, "top", "rally")
    with pytest.raises(ValueError, match="rules must hold at least 1 rule"):
        ew.rings.gap_by_rule(86, "top", "rally", rules=[])
    with pytest.raises(TypeError, match=r"rules\[0\] must be a GapRule, got dict"):
        ew.rings.gap_by_rule(86, "top", "rally", rules=[{"duty": "rally"}])


@pytest.mark.parametrize(
    "wrong, text",
    [
        ({"duty": ""}, "duty"),
        ({"position": ""}, "position"),
        ({"per_bore": 0.06}, "per_bore must be between 0 and 0.05"),
        ({"per_bore": 0.0}, "per_bore must be above 0 where least is 0 mm"),
        ({"least": -0.1}, "least must be at least 0 mm"),
        ({"provenance": "hearsay"}, "provenance must be one of published"),
    ],
)
def test_a_rule_that_cannot_be_is_refused(wrong, text):
    given_rule = {"duty": "any", "position": "top", "per_bore": 0.004} | wrong
    with pytest.raises(ValueError, match=text):
        ew.rings.GapRule(**given_rule)


def test_the_second_ring_is_within_exactly_at_its_difference():
    assert ew.rings.second_ring(0.40, 0.45).verdict == "within"
    near = ew.rings.second_ring(0.40, [0.447, 0.450, 0.453, 0.48, 0.42], uncertainty=0.005)
    assert list(near.verdict) == ["unproven"] * 3 + ["within", "outside"]
    assert near.next[0] == "measure both gaps again"
    assert near.next[4] == "file 0.030 mm off the ends of the second ring"


def test_the_second_ring_is_judged_with_the_doubt_of_its_quantities():
    feeler = ew.Quantity(0.0, 0.005, source="feeler")
    shared = ew.rings.second_ring(feeler + 0.40, feeler + 0.453)
    # One feeler for both: its error leaves the difference.
    assert shared.verdict == "within"
    assert shared.difference.standard_uncertainty == pytest.approx(0, abs=1e-12)
    own = ew.rings.second_ring(ew.Quantity(0.40, 0.005), ew.Quantity(0.453, 0.005))
    assert own.verdict == "unproven"
    assert own.difference.standard_uncertainty == pytest.approx(0.005 * math.sqrt(2))


def test_a_top_gap_too_small_for_a_ratio_is_refused():
    with pytest.raises(ValueError, match="top_gap must be at least 1e-09 mm"):
        ew.rings.second_ring(5e-324, 0.4)


def test_the_leak_of_equal_rings_falls_by_the_root_of_their_number():
    one = ew.rings.leak_area([0.4], 86, 85.4).series_area
    for rings in (2, 3, 5):
        many = ew.rings.leak_area([0.4] * rings, 86, 85.4)
        assert many.series_area == pytest.approx(one / math.sqrt(rings))
    assert ew.rings.leak_area([0.4, 0.0], 86, [85.4, 85.5]).series_area == 0


def test_a_plan_names_rings_and_figures():
    plan = ew.rings.gap_plan([0.3, 0.45], target=0.35, bores=[86.0, 86.0], reference_bore=86.0)
    assert plan.rings == (0, 1)
    assert not plan.filing.flags.writeable
    assert plan.total_filing == pytest.approx(0.05)
    assert plan.next == "file 0.050 mm off ring 1 for cylinder 1; the others go in as they are"
    assert plan.status == "planned" and plan.reason == "" and plan.upper is None
    assert ew.rings.GapPlan.units["filing"] == "mm"
    assert pickle.loads(pickle.dumps(plan)) == plan


def test_a_plan_without_rings_enough_is_an_outcome():
    plan = ew.rings.gap_plan([[0.3, 0.3]], target=0.35)
    assert plan.status == "not enough rings"
    assert (plan.rings, plan.total_filing, plan.spare) == ((), None, (0,))


@pytest.mark.parametrize("seed", range(20))
def test_the_filing_is_the_least_there_is(seed):
    # SciPy's assignment is the independent judge: least filing, then least over the target.
    draw = np.random.default_rng(seed)
    rings, bores = 24, 20
    gaps = np.round(draw.uniform(0.2, 0.5, (rings, bores)), 2)
    filing = np.maximum(0, 0.35 - gaps).T
    over = np.maximum(0, gaps - 0.35).T
    plan = ew.rings.gap_plan(gaps, target=0.35)
    assert plan.total_filing == pytest.approx(filing[linear_sum_assignment(filing)].sum(), abs=1e-9)
    both = filing * 1e4 + over  # hundredths: 1e4 of filing outweighs all that can be over
    chosen = linear_sum_assignment(both)
    assert np.maximum(0, plan.gaps - 0.35).sum() == pytest.approx(over[chosen].sum(), abs=1e-9)


@pytest.mark.parametrize("seed", range(20))
def test_the_fewest_gaps_are_too_large(seed):
    draw = np.random.default_rng(seed)
    gaps = np.round(draw.uniform(0.38, 0.48, (12, 12)), 2)
    plan = ew.rings.gap_plan(gaps, target=0.35, upper=0.40)
    above = (gaps > 0.40 + 1e-9).T.astype(float)
    assert len(plan.too_large) == above[linear_sum_assignment(above)].sum()


@given(
    gaps=st.lists(st.integers(-5, 60), min_size=4, max_size=7),
    sizes=st.lists(st.integers(0, 6), min_size=4, max_size=4),
)
def test_one_reading_a_ring_and_each_in_each_bore_agree(gaps, sizes):
    gaps = np.array(gaps) / 100
    bores = 86 + np.array(sizes) / 100
    tried = gaps[:, None] + math.pi * (bores - 86)
    one = ew.rings.gap_plan(gaps, target=0.35, upper=0.45, bores=bores, reference_bore=86)
    all_tried = ew.rings.gap_plan(tried, target=0.35, upper=0.45)
    assert one.rings == all_tried.rings
    assert one.finished == pytest.approx(all_tried.finished, abs=1e-12)


def test_a_plan_refuses_what_does_not_belong_together():
    with pytest.raises(ValueError, match="bores must be given with one gap a ring"):
        ew.rings.gap_plan([0.3], target=0.35)
    with pytest.raises(ValueError, match="bores must be left out"):
        ew.rings.gap_plan([[0.3]], target=0.35, bores=[86.0])
    with pytest.raises(ValueError, match=r"upper must be at least target, 0\.35 mm, got 0\.3"):
        ew.rings.gap_plan([[0.3]], target=0.35, upper=0.3)
    with pytest.raises(ValueError, match="gaps must have one or two dimensions, got 3"):
        ew.rings.gap_plan([[[0.3]]], target=0.35)


@pytest.mark.parametrize("name", ew.rings.__all__)
def test_examples_of_the_page_run(name):
    page = getattr(ew.rings, name).__doc__
    assert page
    example = doctest.DocTestParser().get_doctest(page, {"ew": ew}, name, None, 0)
    assert doctest.DocTestRunner().run(example).failed == 0
