"""Figures of weights and bolts: what they say, and what they refuse."""

import xml.etree.ElementTree as ET

import pytest

import enginewright as ew


def plain(text):
    """Text with ordinary blanks: figures keep their unit on the line by one that does not break."""
    return text.replace("\u00a0", " ")


def drawn_text(picture):
    """All that is written on a figure."""
    return {plain(text.get_text()) for text in picture.axes[0].texts}


def test_the_gram_scale_names_each_removal():
    plan = ew.matching.match_masses([612.4, 610.1, 611.0, 615.2], removable=4.0)
    picture = ew.plots.gram_scale(plan)
    assert {"take off 2.3 g", "4.0 g off: too heavy", "Down to 610.1 g"} <= drawn_text(picture)
    assert "part 4: 615.2 g, take off 4.0 g." in plain(picture.description)
    ET.fromstring(picture.to_svg())


def test_a_part_that_is_too_light_is_said_so():
    plan = ew.matching.match_masses([609.0, 610.1], target=610.1, tolerance=0.3)
    picture = ew.plots.gram_scale(plan, tolerance=0.3, names=("piston 1", "piston 2"))
    assert {"609.0 g: too light", "piston 1"} <= drawn_text(picture)
    with pytest.raises(ValueError, match="names must hold 2 names, one a part, got 1"):
        ew.plots.gram_scale(plan, names=("one",))


def test_rods_come_down_to_the_lightest_at_each_pad():
    plan = ew.matching.match_rods([432.0, 430.0], [166.0, 167.0], 140, -28, 154)
    picture = ew.plots.rods_at_pads(plan)
    written = drawn_text(picture)
    # The corner is drawn at the lightest of each pad.
    for least in (min(plan.at_pad_big), min(plan.at_pad_small)):
        assert f"{least:.1f} g" in written
    assert picture.description.startswith("rod 1: ")


def test_a_rod_that_is_near_enough_is_said_to_stay():
    near = {"tolerance_big": 0.9, "tolerance_small": 0.9}
    plan = ew.matching.match_rods(
        [430.2, 430.6, 433.9], [170.1, 169.8, 170.8], 145, -27, 160, **near
    )
    assert [big > 0 for big in plan.remove_big] == [False, False, True]
    picture = ew.plots.rods_at_pads(plan)
    assert "Rods that are ground come down to the corner" in drawn_text(picture)
    assert picture.description.startswith("rod 1 stays as it is. rod 2 stays as it is. rod 3: ")


def test_the_ladder_of_pairs_bears_its_sums():
    first, second = [500, 502, 505], [600, 601, 604]
    pairs = ew.matching.pair_parts(first, second)
    picture = ew.plots.pairing(pairs, first, second)
    assert {"1104.0 g", "1103.0 g", "1105.0 g", "1: 500.0 g"} <= drawn_text(picture)
    assert "1 with 3: 1104.0 g." in plain(picture.description)


@pytest.mark.parametrize(
    "load, word, clamp", [(12000, "stays clamped", "21.0"), (52000, "comes apart", "0.0")]
)
def test_the_joint_diagram_says_whether_it_holds(load, word, clamp):
    picture = ew.plots.joint_diagram(30000, load, 300e3, 900e3, hot=42000)
    written = drawn_text(picture)
    assert any(word in text for text in written)
    assert f"{clamp} kN" in written and "preload hot, 42.0 kN" in written


def test_the_band_of_preloads_stands_against_the_proof_load():
    ranges = {
        "torque": ew.fasteners.preload_range(60, 10, nut_factor=0.15, proof_load=48100),
        "stretch": ew.fasteners.preload_range(
            60, 10, nut_factor=0.15, scatter=0.05, proof_load=48100
        ),
    }
    picture = ew.plots.preload_band(ranges)
    assert {"proof load, 48.1 kN", "30.0 to 50.0 kN", "?", "✓"} <= drawn_text(picture)
    with pytest.raises(ValueError, match="at least one preload range"):
        ew.plots.preload_band({})


def test_the_line_up_marks_the_bolts_to_replace():
    bolts = [
        ew.fasteners.reuse(58 + stretch, 58, limit=0.03, shank_diameter=shank, shank_limit=7.9)
        for stretch, shank in ((0.006, 7.95), (0.052, 7.95), (0.004, 7.85), (-0.05, 7.95))
    ]
    picture = ew.plots.bolt_lineup(bolts)
    assert "Bolt 2: 0.052 mm, replace." in plain(picture.description)
    assert "Bolt 4: -0.050 mm, measure again." in plain(picture.description)
    assert "0.030 mm" in drawn_text(picture)
    with pytest.raises(ValueError, match="at least one bolt"):
        ew.plots.bolt_lineup([])
