"""The regrind and rebore of a job: worn sides, scores, gaps to file to; each figure by hand."""

import json

import pytest

import enginewright as ew

SOURCE = {"source": "data card (invented)", "provenance": "common practice"}
LIMITS = [
    {"feature": "main journal", "quantity": "diameter", "kind": "new",
     "lower": "59.970 mm", "upper": "59.990 mm"},
    {"feature": "main journal", "quantity": "diameter", "kind": "wear", "lower": "59.940 mm"},
    {"feature": "bore", "quantity": "diameter", "kind": "wear", "upper": "86.10 mm"},
    {"feature": "piston", "quantity": "diameter", "kind": "new",
     "lower": "85.95 mm", "upper": "85.97 mm"},
    {"feature": "piston", "quantity": "clearance", "kind": "new",
     "lower": "0.03 mm", "upper": "0.05 mm"},
]  # fmt: skip
CARD = {
    "name": "Linnet 2.0", "undersizes": {"main journal": ["0.25 mm", "0.50 mm"]},
    "oversizes": ["0.25 mm", "0.50 mm"], "grinding_allowance": "0.03 mm",
    "hone_allowance": "0.06 mm", "clean_up": "0.05 mm",
}  # fmt: skip
JOURNALS = [("main journal", 1, "", 59.975), ("main journal", 2, "", 59.87),
            ("main journal", 2, "", 59.98), ("main journal", 3, "", 59.96)]  # fmt: skip
BORES = [("bore", 1, "", 86.01), ("bore", 1, "", 86.12), ("bore", 2, "", 86.02)]


def given(*rows, limits=LIMITS, stage="as received", **card):
    """Readings of feature, number, part, and a length or the word in its place.

    Those of one part lie one below the other.
    """
    heights = [sum(row[:3] == before[:3] for before in rows[:i]) for i, row in enumerate(rows)]
    names = ("feature", "number", "part")
    columns = {name: [row[i] for row in rows] for i, name in enumerate(names)}
    numbers = [None if isinstance(row[3], str) else row[3] for row in rows]
    words = [row[3] if isinstance(row[3], str) else "" for row in rows]
    readings = ew.Readings(
        job="L-1", engine="Linnet 2.0", stage=stage, value=numbers, observation=words,
        quantity=["gap" if row[0] == "ring" else "diameter" for row in rows], unit="mm",
        uncertainty=0.001, station=[("top", "middle", "bottom")[each] for each in heights],
        **columns,
    )  # fmt: skip
    known = {"limit": [{**row, **SOURCE} for row in limits], "engine": [{**CARD, **card}]}
    return readings, ew.Limits.from_json(json.dumps(known))


def plan(check, *rows, **how):
    found = ew.inspect(*given(*rows, **how))
    (at,) = (i for i in range(len(found)) if found["check"][i] == check)
    names = ("value", "lower", "upper", "target", "verdict", "next", "reason")
    return {name: found[name][at] for name in names}


def test_wear_on_one_side_is_worked_out_where_the_card_is_silent():
    # Even: 59.87 - 0.03 = 59.84 cleans up at 59.73. One side: 2 * 59.87 - 59.99 - 0.03 = 59.72,
    # a hundredth too small for 59.73; 59.48 is next.
    row = plan("regrind", *JOURNALS)
    assert row["value"] == 0.25
    assert "worn on one side, 0.50 mm under would be the first to clean up" in row["reason"]
    near = plan("regrind", *JOURNALS[:1], ("main journal", 2, "", 59.92))
    assert "worn on one side, the same size would still clean up" in near["reason"]
    far = plan("regrind", *JOURNALS[:1], ("main journal", 2, "", 59.60))
    assert "worn on one side, no undersize of the card would clean up" in far["reason"]


@pytest.mark.parametrize(("side", "step"), [("even", 0.25), ("one side", 0.50)])
def test_a_card_that_says_which_side_is_not_asked_again(side, step):
    row = plan("regrind", *JOURNALS, wear_side=side)
    assert row["value"] == step
    assert "worn on one side" not in row["reason"]


def test_a_rebore_works_out_one_side_and_the_band_of_the_finished_bore():
    # Even: 86.12 + 0.05 = 86.17 of 86.19 bored. One side: 2 * 86.12 - 86.00 + 0.05 = 86.29.
    row = plan("rebore", *BORES)
    assert row["value"] == 0.25
    assert "worn on one side, 0.50 mm over would be the first to clean up" in row["reason"]
    # The piston is 86.21; 0.03 to 0.05 of clearance more.
    assert (row["lower"], row["target"], row["upper"]) == pytest.approx((86.24, 86.25, 86.26))
    lost = plan("rebore", *BORES[:2], ("bore", 2, "", 86.30))
    assert "worn on one side, no oversize would clean up cylinder 2" in lost["reason"]


def test_a_score_is_named_with_how_deep_it_may_be():
    # Journal 3 is clean at 59.96 - 0.03 = 59.93, ground to 59.73: 0.20 on diameter to spare.
    row = plan("regrind", *JOURNALS, ("main journal", 3, "", "scored"))
    assert row["reason"].startswith(
        "main journal 3 is written 'scored', its depth is unknown and not counted: measure it "
        "before grinding, the size holds only if it cleans up, at most 0.100 mm deep"
    )
    # Bore 2 is clean at 86.02 + 0.05 = 86.07, bored to 86.19: 0.12 to spare.
    row = plan("rebore", *BORES, ("bore", 2, "", "scored"))
    assert "measure it before boring" in row["reason"]
    assert "at most 0.060 mm deep" in row["reason"]


def test_a_plan_that_has_no_size_left_says_no_depth():
    row = plan(
        "regrind", *JOURNALS[:1], ("main journal", 2, "", 59.3), ("main journal", 2, "", "scored")
    )
    assert (row["value"], row["verdict"]) == (None, "outside")
    assert "main journal 2 is written 'scored'" in row["reason"]
    assert "deep" not in row["reason"]


def test_a_plan_names_the_numbers_that_the_parts_bear():
    # Journals 4 and 5 of a set whose first three were not read: the fifth decides.
    row = plan("regrind", ("main journal", 4, "", 59.97), ("main journal", 5, "", 59.70))
    assert "main journal 5 decides" in row["next"]
    lost = plan("rebore", ("bore", 4, "", 86.02), ("bore", 6, "", 86.60))
    assert "cylinder 6" in lost["next"] and "cylinder 2" not in lost["next"]


WEAR = {"feature": "ring", "quantity": "gap", "kind": "wear", "lower": "0.20 mm",
        "upper": "0.80 mm"}  # fmt: skip
CUT = {"feature": "ring", "quantity": "gap", "lower": "0.30 mm", "upper": "0.45 mm"}


@pytest.mark.parametrize("kind", [{"kind": "machining"}, {"kind": "new"}, {}])
def test_a_ring_is_filed_to_the_gap_of_a_ring_that_goes_in(kind):
    fitting = {**CUT, **kind}
    tight = plan("ring gap", ("ring", 1, "top ring", 0.15), limits=[WEAR, fitting])
    assert tight["next"] == (
        "File 0.050 mm off the ends of the top ring of cylinder 1, to 0.300-0.450 mm."
    )
    wide = plan("ring gap", ("ring", 1, "top ring", 0.90), limits=[WEAR, fitting])
    assert wide["next"].endswith(
        "find a ring with a smaller gap; file the new one to 0.300-0.450 mm."
    )
    # It is judged by the wear limit all the same.
    assert (wide["lower"], wide["upper"]) == (0.2, 0.8)
    readings, limits = given(("ring", 1, "top ring", 0.15), limits=[WEAR, fitting])
    paper = ew.report.build_sheet({"limits": limits}, readings, ew.inspect(readings, limits))
    (task,) = (
        row
        for block in paper.blocks
        if getattr(block, "style", "") == "tasks"
        for row in block.rows
    )
    assert task[2].text.replace("\u00a0", " ") == "0.300 – 0.450 mm"


def test_without_a_gap_for_fitting_only_the_wear_limit_is_known():
    tight = plan("ring gap", ("ring", 1, "top ring", 0.15), limits=[WEAR])
    assert tight["next"].endswith("to at least 0.200 mm.")
    wide = plan("ring gap", ("ring", 1, "top ring", 0.90), limits=[WEAR])
    assert wide["next"].endswith("find a ring with a smaller gap.")
