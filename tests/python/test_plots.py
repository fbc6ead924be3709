"""The figures: what they show is what was found, to everybody and every time alike."""

from __future__ import annotations

import re
import subprocess
import sys
import threading
from collections.abc import Callable
from itertools import combinations
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from xml.etree import ElementTree

import matplotlib
import numpy as np
import paper_jobs
import pytest
from matplotlib.figure import Figure
from paper_reading import contrast, luminance

import enginewright as ew
from enginewright.plots import _palette
from enginewright.plots._verdict_strip import LOWER, UPPER, _acceptance, _Scale, _tolerance

JOURNALS = [[[59.955, 59.961], [59.957, 59.964]], [[59.921, 59.927], [59.923, 59.930]]]


def plan() -> Any:
    return ew.journals.regrind_plan(
        JOURNALS, standard_lower=59.97, standard_upper=59.99, undersizes=[0.25, 0.5, 0.75],
        grinding_allowance=0.03,
    )  # fmt: skip


def findings() -> Any:
    return paper_jobs.received()[2]


def readings() -> Any:
    return paper_jobs.received()[1]


def clearance() -> Any:
    ring = ew.Quantity(82.0, 0.0010, source="82 mm setting ring")
    bore = ring + ew.Quantity(0.015, 0.0016, degrees_of_freedom=9, kind="A")
    piston = ew.Quantity(81.97, 0.0012, source="micrometer 75-100: certificate")
    return bore - piston - ew.Quantity(0.0, 0.0004) + ew.Quantity(0.0, 0.0005, source="room")


#: A hole and a shaft measured from one ring.
RING = ew.Quantity(40.0, 0.0006, source="ring of the fit diagram")
PARTS = (RING + ew.Quantity(0.012, 0.0008), RING + ew.Quantity(0.035, 0.0008))
GUIDE: dict[str, Any] = {
    "outer_diameter": 34, "inner_bore": 8, "inner": "phosphor bronze", "outer": "cast aluminium",
    "hot": 150.0,
}  # fmt: skip
#: Eighty bores that step up by a fifth of their tolerance after the sixtieth.
YEAR = 82.008 + np.random.default_rng(3).normal(0, 0.0015, 80) + 0.0035 * (np.arange(80) >= 60)


def beside_the_paper(figure: Any) -> list[str]:
    """Texts that are not wholly on the paper."""
    figure.canvas.draw()
    width, height = figure.get_size_inches() * figure.dpi
    boxes = [(t.get_text(), t.get_window_extent()) for t in figure.axes[0].texts]
    return [
        text
        for text, box in boxes
        if box.x0 < -1 or box.y0 < -1 or box.x1 > width + 1 or box.y1 > height + 1
    ]


def over_each_other(figure: Any) -> list[tuple[str, str]]:
    """Pairs of texts that share more than a pixel."""
    figure.canvas.draw()
    boxes = [(t.get_text(), t.get_window_extent()) for t in figure.axes[0].texts if t.get_text()]
    return [
        (one, other)
        for (one, a), (other, b) in combinations(boxes, 2)
        if min(a.x1, b.x1) - max(a.x0, b.x0) >= 1 and min(a.y1, b.y1) - max(a.y0, b.y0) >= 1
    ]


def flanges() -> Any:
    heights = [[0.050, 0.055, 0.060, 0.055], [-0.010, -0.010, -0.010, -0.010], [0.06] * 4]
    return ew.cylinders.liner_standing(heights, angle=[0, 90, 180, 270], radius=50)


def bent() -> Any:
    turn = [0, 72, 144, 216, 288]
    swing = [0.020, 0.006, -0.016, -0.016, 0.006]
    return ew.journals.runout(turn, [[0] * 5, swing, [0] * 5], limit=0.03, uncertainty=0.001)


FIGURES: dict[str, Callable[[], Any]] = {
    "verdicts": lambda: ew.plots.verdicts(findings()),
    "wear map": lambda: ew.plots.wear_map(findings()),
    "ring gaps": lambda: ew.plots.ring_gaps(findings(), readings()),
    "budget": lambda: ew.plots.budget(clearance()),
    "liners": lambda: ew.plots.liners(flanges(), lower=0.03, upper=0.08),
    "straightness": lambda: ew.plots.straightness(bent(), limit=0.03),
    "undersizes": lambda: ew.plots.undersizes(
        JOURNALS, plan(), standard_lower=59.97, standard_upper=59.99, steps=[0.25, 0.5, 0.75]
    ),
    "fit diagram": lambda: ew.plots.fit("40 H7/p6", *PARTS),
    "press section": lambda: ew.plots.press_fit(14, 0.04, **GUIDE),
    "process chart": lambda: ew.plots.process(YEAR, baseline=30, lower=82.000, upper=82.018),
    "shaking ellipses": lambda: ew.plots.shaking(
        ew.reciprocating.common_layout("cross-plane V8", 112, 44, 150, 760), 5000
    ),
    "firing ring": lambda: ew.plots.firing([0, 0], [45, -45], [1, 2]),
}


@pytest.fixture(params=FIGURES)
def figure(request: pytest.FixtureRequest) -> Any:
    return FIGURES[request.param]()


def letters(figure: Figure) -> list[str]:
    """Texts of a figure, their no-break blanks as plain ones."""
    return [text.get_text().replace("\u00a0", " ") for text in figure.axes[0].texts]


# What every figure holds to


def test_a_figure_is_matplotlibs_own_and_knows_what_it_shows(figure: Any) -> None:
    assert isinstance(figure, Figure)
    assert figure.title and figure.description
    root = ElementTree.fromstring(figure.to_svg())
    space = "{http://www.w3.org/2000/svg}"
    assert root.find(f"{space}title").text == figure.title  # type: ignore[union-attr]
    assert root.find(f"{space}desc").text == figure.description  # type: ignore[union-attr]
    assert figure._repr_svg_() == figure.to_svg()


def test_a_figure_is_the_same_every_time(figure: Any) -> None:
    assert figure.to_svg() == FIGURES[figure.name]().to_svg()


def test_letters_are_outlines_and_nothing_is_dated(figure: Any) -> None:
    text = figure.to_svg()
    assert "<text" not in text and "font-family" not in text
    assert not re.search(r"metadata|<style|<script|dc:date|<!--|<\?xml|DOCTYPE", text)


def test_ids_of_two_figures_never_meet() -> None:
    shown = [make().to_svg() for make in FIGURES.values()]
    ids = [re.findall(r'\bid="([^"]+)"', text) for text in shown]
    for one, other in combinations(ids, 2):
        assert not set(one) & set(other)
    for text, own in zip(shown, ids, strict=True):
        used = set(re.findall(r'(?:href="#|url\(#)([^")]+)', text))
        assert used <= set(own)


def test_a_users_settings_do_not_change_a_figure(figure: Any) -> None:
    plain = figure.to_svg()
    wild = {
        "path.sketch": (3, 100, 2), "text.usetex": False, "lines.linewidth": 9.0,
        "font.family": ["DejaVu Serif"], "font.size": 30.0, "axes.facecolor": "black",
        "figure.facecolor": "red", "text.color": "lime", "savefig.facecolor": "blue",
        "figure.constrained_layout.use": True, "savefig.bbox": "tight", "svg.fonttype": "none",
        "lines.marker": "o", "patch.edgecolor": "red", "patch.force_edgecolor": True,
    }  # fmt: skip
    with matplotlib.rc_context(wild):
        assert FIGURES[figure.name]().to_svg() == plain


def test_threads_may_draw() -> None:
    alone = [make().to_svg() for make in FIGURES.values()]
    drawn: dict[int, list[str]] = {}

    def draw(number: int) -> None:
        drawn[number] = [make().to_svg() for make in FIGURES.values()]

    threads = [threading.Thread(target=draw, args=(i,)) for i in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=120)
    assert [drawn[i] for i in range(3)] == [alone] * 3


def test_pyplot_is_never_touched() -> None:
    script = (
        "import sys, enginewright as ew, paper_jobs\n"
        "ew.plots.verdicts(paper_jobs.received()[2]).to_svg()\n"
        "print('matplotlib.pyplot' in sys.modules)"
    )
    path = f"{Path(__file__).parent}:{Path(ew.plots.__file__).parents[2]}"
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60,
                         env={"PYTHONPATH": path, "PATH": "/usr/bin:/bin"})  # fmt: skip
    assert run.stdout.strip() == "False", run.stderr


def test_a_figure_is_written_in_any_format(figure: Any, tmp_path: Path) -> None:
    figure.savefig(tmp_path / "a.png", dpi=50)
    assert (tmp_path / "a.png").read_bytes().startswith(b"\x89PNG")


def test_nothing_is_drawn_beside_the_paper(figure: Any) -> None:
    assert not beside_the_paper(figure)


def test_no_two_texts_lie_over_each_other(figure: Any) -> None:
    assert not over_each_other(figure)


def test_a_dollar_is_a_dollar_and_a_strange_letter_is_spelled_out() -> None:
    given = findings()
    for row in given.rows:
        if row["feature"] == "bore":
            row["station"] = {"top": "$x^2$ 山", "bottom": r"\frac{1}{2"}[
                row.get("station") or "top"
            ]
    drawn = letters(ew.plots.wear_map(given))
    assert "$x^2$ [U+5C71]"[:5] in " ".join(drawn)
    assert any(text.startswith("\\frac") for text in drawn)


# Colours


def lightness(colour: str) -> float:
    # published: CIE 1976 L*, from relative luminance
    y = luminance(colour)
    return 116 * y ** (1 / 3) - 16 if y > 216 / 24389 else y * 24389 / 27


#: published: Machado, Oliveira, Fernandes 2009, table 1, severity 1.0; they act on linear RGB.
DEFICIENT = {
    "protan": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
               [-0.003882, -0.048116, 1.051998]],
    "deutan": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
               [-0.011820, 0.042940, 0.968881]],
    "tritan": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
               [0.004733, 0.691367, 0.303900]],
}  # fmt: skip


def as_seen(colour: str, kind: str) -> str:
    given = np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    linear = np.where(given <= 0.04045, given / 12.92, ((given + 0.055) / 1.055) ** 2.4)
    seen = np.clip(np.array(DEFICIENT[kind]) @ linear, 0, 1)
    back = np.where(seen <= 0.0031308, 12.92 * seen, 1.055 * seen ** (1 / 2.4) - 0.055)
    return "#" + "".join(f"{round(float(c) * 255):02x}" for c in back)


@pytest.mark.parametrize("kind", [None, *DEFICIENT])
def test_verdicts_differ_in_lightness_to_every_eye(kind: str | None) -> None:
    colours = [_palette.MARKS[v].colour for v in ("within", "outside", "unproven", "unlimited")]
    seen = [c if kind is None else as_seen(c, kind) for c in colours]
    for one, other in combinations(seen, 2):
        # from memory: a difference of 5 in L* is plain side by side.
        assert abs(lightness(one) - lightness(other)) >= 5, (one, other)


def test_verdicts_differ_in_shape_first() -> None:
    marks = [_palette.MARKS[v] for v in ("within", "outside", "unproven", "unlimited")]
    assert len({mark.shape for mark in marks}) == 4
    assert len({mark.sign for mark in marks}) == 4


def test_letters_of_figures_stand_out_from_the_paper() -> None:
    inks = [_palette.INK, _palette.QUIET, *(mark.ink for mark in _palette.MARKS.values())]
    # published: WCAG 2.1, success criterion 1.4.3: at least 4.5 to 1
    assert all(contrast(ink, _palette.PAPER) >= 4.5 for ink in inks)
    assert contrast(_palette.INK, _palette.PLAN) >= 4.5


# The verdict strip


def test_every_judged_part_has_its_value_and_its_sign() -> None:
    drawn = letters(ew.plots.verdicts(findings()))
    assert "59.921 ± 0.004 mm" in drawn and "main journal 2" in drawn
    assert drawn.count("✗") == 7 and drawn.count("?") == 1
    assert "86.100 mm" in drawn and "59.945 mm" in drawn


def test_the_accepted_zone_is_that_of_the_decision_rule() -> None:
    row = SimpleNamespace(value=0.045, uncertainty=0.006, lower=0.03, upper=0.06)
    lower, upper = _acceptance(row, "guarded", 0.95)  # type: ignore[arg-type]
    # published: JCGM 106:2012, 8.3.2: guard band of 1.645 standard uncertainties for 95 %, and
    # 1.960 of them are the expanded uncertainty of a normal quantity.
    assert lower == pytest.approx(0.03 + 0.006 * 1.6449 / 1.9600, abs=1e-5)
    assert upper == pytest.approx(0.06 - 0.006 * 1.6449 / 1.9600, abs=1e-5)
    assert _acceptance(row, "simple", 0.95) == (0.03, 0.06)  # type: ignore[arg-type]


def test_limits_stand_at_the_same_two_places_for_every_tolerance() -> None:
    for lower, upper in ((0.03, 0.06), (59.97, 59.99), (8.0, 8.03)):
        row = SimpleNamespace(lower=lower, upper=upper, value=lower, uncertainty=0.001)
        zero, span = _tolerance([SimpleNamespace(worst=row)])  # type: ignore[list-item]
        scale = _Scale(zero, (UPPER - LOWER) / span)
        assert scale.at(lower) == pytest.approx(LOWER)
        assert scale.at(upper) == pytest.approx(UPPER)


def test_the_worst_are_kept_when_the_page_has_no_room() -> None:
    whole, small = (ew.plots.verdicts(findings(), tallest=room) for room in (250.0, 75.0))
    assert small.get_size_inches()[1] * 25.4 <= 75.0 < whole.get_size_inches()[1] * 25.4
    drawn, judged = letters(small), letters(whole)
    kept = sum(drawn.count(sign) for sign in "✓✗?")
    left = sum(judged.count(sign) for sign in "✓✗?") - kept
    assert drawn.count("✗") == kept > 2
    assert f"not drawn, better placed: {left}" in drawn
    assert not any("not drawn" in text for text in judged)


def test_a_table_without_a_limit_gives_an_empty_strip() -> None:
    figure = ew.plots.verdicts(paper_jobs.Findings([]))
    assert "Within limits: 0." in figure.description


# The bore map


def test_wear_is_counted_from_the_size_as_made() -> None:
    figure = ew.plots.wear_map(findings())
    drawn = letters(figure)
    assert "wall as made, 86.000 mm" in drawn and "limit, 86.100 mm" in drawn
    assert "0.111" in drawn and "0.089" in drawn
    assert "Cylinder 1: worst 0.111 mm at top, thrust." in figure.description.replace("\u00a0", " ")


def test_bare_readings_are_drawn_from_the_size_given() -> None:
    drawn = letters(ew.plots.wear_map(readings(), original=86.05, limit=86.1))
    assert "0.061" in drawn and "wall as made, 86.050 mm" in drawn
    assert "least reading, 86.015 mm" in letters(ew.plots.wear_map(readings()))


def test_a_table_without_bores_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one diameter of a bore, got none"):
        ew.plots.wear_map(paper_jobs.Findings([]))


@pytest.mark.parametrize("cylinders", [1, 2, 5, 8, 12])
def test_any_number_of_cylinders_has_its_place(cylinders: int) -> None:
    bench = paper_jobs.Bench("as received")
    for number in range(1, cylinders + 1):
        for station in ("top", "middle", "bottom"):
            bench.size("bore", number, station, "thrust", 86.0 + number / 100, "within", upper=86.2)
    figure = ew.plots.wear_map(paper_jobs.Findings(bench.findings))
    assert [f"cylinder {n}" in letters(figure) for n in range(1, cylinders + 1)] == [
        True
    ] * cylinders
    assert not over_each_other(figure)


# The gap ladder


def test_a_ring_shows_what_to_do_with_it() -> None:
    drawn = letters(ew.plots.ring_gaps(findings(), readings()))
    assert "file 0.045 mm" in drawn and "too large: another ring" in drawn and "0.432 mm" in drawn
    assert "0.350 mm" in drawn and "0.600 mm" in drawn


def test_a_gap_plan_is_drawn_by_itself() -> None:
    plan = SimpleNamespace(gaps=[0.3, 0.5], finished=[0.4, 0.5], filing=[0.1, 0.0], too_large=(),
                           target=0.4, upper=0.6)  # fmt: skip
    drawn = letters(ew.plots.ring_gaps({"top ring": plan}, floor=0.21))
    assert "top ring" in drawn and "file 0.100 mm" in drawn
    assert "ends touch hot, 0.210 mm" in drawn


def test_gaps_need_findings_or_a_plan() -> None:
    with pytest.raises(ValueError, match="at least one ring gap, got none"):
        ew.plots.ring_gaps(paper_jobs.Findings([]))
    with pytest.raises(TypeError, match="findings or a gap plan"):
        ew.plots.ring_gaps(readings())


# The journal ladder


def test_the_chosen_step_and_the_deciding_journal_are_named() -> None:
    figure = FIGURES["undersizes"]()
    drawn = letters(figure)
    bold = [t.get_text() for t in figure.axes[0].texts if t.get_fontweight() == "bold"]
    assert "0.250\u00a0mm under" in bold and "main journal 2" in bold
    assert "0.500 mm under" in drawn and "0.750 mm under" not in drawn
    # By hand: the least of journal 2, 59.921, less 0.03 to grind.
    assert "Number 2: least 59.921 mm, clean at 59.891 mm." in figure.description.replace(
        "\u00a0", " "
    )
    assert "Number 2 decides. The step is 0.250" in figure.description


def test_journals_are_drawn_without_a_plan() -> None:
    drawn = letters(ew.plots.undersizes(findings()))
    assert "main journal 3" in drawn and "standard" not in drawn
    with pytest.raises(ValueError, match="at least one diameter of a big-end journal, got none"):
        ew.plots.undersizes(findings(), feature="big-end journal")


def test_inch_shops_read_inches() -> None:
    figure = ew.plots.undersizes(
        JOURNALS, plan(), standard_lower=59.97, standard_upper=59.99, steps=[0.25], inch=True
    )
    assert "9.8 thou under" in letters(figure) and "2.3591 in" in letters(figure)


# --- The budget ladder ---------------------------------------------------------------------------


def test_a_budget_names_its_sources_and_ends_at_the_expanded_uncertainty() -> None:
    gap = clearance()
    shown = " ".join(letters(ew.plots.budget(gap)))
    for row in gap.budget().rows:
        assert row.source.startswith("#") or row.source in shown
    assert f"together {gap.standard_uncertainty * 1000:.1f} µm" in shown
    assert f"± {gap.expanded() * 1000:.1f} µm (k = {gap.coverage_factor():.2f}, 95 %)" in shown


def test_the_smallest_sources_are_put_together() -> None:
    many = sum((ew.Quantity(0.0, 0.001 * k) for k in range(1, 21)), ew.Quantity(1.0))
    shown = letters(ew.plots.budget(many, most=6))
    assert "15 smaller sources" in shown
    # derived: root of the sum of squares of 1 to 15
    assert "35 µm" in shown


def test_a_budget_can_be_drawn_from_its_record_and_in_thou() -> None:
    record = clearance().budget(0.99)
    shown = " ".join(letters(ew.plots.budget(record, inch=True)))
    assert "99 %" in shown and "thou" in shown and "µm" not in shown


def test_shared_sources_are_those_that_are_named() -> None:
    only = ew.plots.budget(clearance(), shared=["room"])
    assert only.to_svg() != FIGURES["budget"]().to_svg()


def test_a_value_without_doubt_has_no_ladder() -> None:
    with pytest.raises(ValueError, match="quantity must have an uncertainty, got none"):
        ew.plots.budget(ew.Quantity(1.0))
    with pytest.raises(ValueError, match="most must be at least 2, got 1"):
        ew.plots.budget(clearance(), most=1)


# The fit diagram


def test_a_fit_is_drawn_to_scale_with_its_parts() -> None:
    figure = FIGURES["fit diagram"]()
    drawn = letters(figure)
    # published: ISO 286-1:2010, tables 1, 4, 5: 40 H7 is 0 and +25, p6 is +26 and +42
    assert {"hole H7", "shaft p6", "+25", "+42", "+26", "−1", "−42"} <= set(drawn)
    # The ring's error is in both parts and not in their clearance: 1.96 root 2 of 0.8 µm.
    assert "clearance of these two: -0.023 ± 0.002 mm, within" in drawn
    assert "40.012 ± 0.002 mm, allowed 40.000 – 40.025 mm" in " ".join(drawn)


def test_a_fit_without_parts_has_its_zones_alone() -> None:
    drawn = letters(ew.plots.fit(ew.fits.fit("60 H7/f7"), inch=True))
    assert "clearance" in drawn and "+1.18" in drawn and "−1.18" in drawn
    assert not any("of these two" in text for text in drawn)
    one = letters(ew.plots.fit("60 H7/h6", shaft=59.99))
    assert any("shaft: 59.990 mm, allowed" in text for text in one)


@pytest.mark.parametrize("fit", ["3 H6/h5", "40 H7/h6", "40 H7/k6", "500 H8/u8", "1.5 JS7/js6"])
def test_figures_of_a_fit_keep_out_of_each_others_way(fit: str) -> None:
    figure = ew.plots.fit(fit)
    assert not over_each_other(figure)
    assert not beside_the_paper(figure)


# The press-fit section


def test_a_pressed_joint_is_drawn_cold_and_hot() -> None:
    figure = FIGURES["press section"]()
    cold = ew.fits.press_fit(14, 0.04, 14, **{k: v for k, v in GUIDE.items() if k != "hot"})
    assert f"{float(cold.pressure):.1f} MPa cold" in figure.description.replace("\u00a0", " ")
    loose = ew.fits.loosening_temperature(
        14, 0.04, inner_expansion=17.8e-6, outer_expansion=21.5e-6
    )
    assert loose.reason in figure.description
    assert "7.000 mm" in letters(figure) and "17.000 mm" in letters(figure)


@pytest.mark.parametrize(
    "change",
    [
        {"inner_bore": 0.0},
        {"hot": 20.5},
        {"inner": "cast aluminium", "outer": "steel", "hot": -50.0},
        {"inner": "steel", "outer": "steel"},
        {"inch": True},
    ],
)
def test_any_joint_has_its_section(change: dict[str, Any]) -> None:
    figure = ew.plots.press_fit(14, 0.04, **(GUIDE | change))
    assert not over_each_other(figure)
    assert not beside_the_paper(figure)


# The process chart


def test_signals_are_numbered_and_named() -> None:
    figure = FIGURES["process chart"]()
    chart = ew.stats.chart(YEAR, baseline=30)
    drawn = letters(figure)
    assert chart.signals and "1" in drawn
    first = chart.signals[0]
    assert any(t.startswith(f"1: {first.rule}, point") and str(first.index + 1) in t for t in drawn)
    able = ew.stats.capability(YEAR, 82.000, 82.018)
    assert able.reason in drawn and "82.018" in drawn


def test_a_steady_process_says_so() -> None:
    values = 82.008 + np.tile([0.001, -0.001, 0.0005, -0.0005], 10).reshape(-1, 4)
    figure = ew.plots.process(values + np.linspace(-1e-4, 1e-4, 10)[::-1, None] % 1e-4)
    assert "no signal among 10 points" in letters(figure)
    assert not any("outside" in text for text in letters(figure))


@pytest.mark.parametrize("count", [2, 30, 401, 20_000])
def test_a_chart_of_any_length_has_room(count: int) -> None:
    values = np.random.default_rng(count).normal(10, 1, count)
    figure = ew.plots.process(values, upper=14.0)
    assert not over_each_other(figure)
    assert not beside_the_paper(figure)
    assert len(figure.to_svg()) < 400_000


# Shaking ellipses and the firing ring


def test_a_factor_of_a_half_leaves_a_right_angle_twin_nothing() -> None:
    twin = ew.reciprocating.common_layout("V-twin", 0, 45, 150, 600, bank=90)
    figure = ew.plots.shaking(twin, 5000, orders=[1, 2], factors=[0, 0.5])
    drawn = letters(figure)
    assert "factor 0.5" in drawn and "order 2" in drawn
    # derived: m r omega² = 0.6 kg * 0.045 m * (5000 rpm)²
    assert "7 400 N" in drawn
    # Both couples of cylinders side by side, and the primary force at a half.
    assert drawn.count("none") == 3
    with pytest.raises(ValueError, match="orders must"):
        ew.plots.shaking(twin, 5000, orders=[])


def test_a_firing_ring_says_the_gaps_and_which_are_uneven() -> None:
    figure = ew.plots.firing([0, 0], [45, -45], [1, 2])
    drawn = letters(figure)
    assert {"270°", "450°", "720°", "uneven", "1", "2"} <= set(drawn)
    even = letters(ew.plots.firing([0, 180, 180, 0], 0.0, [1, 3, 4, 2]))
    assert even.count("180°") == 4 and "even" in even
    with pytest.raises(ValueError, match="possible"):
        ew.plots.firing([0, 240, 120], 0.0, [1, 3, 2], strokes=2)


def test_liners_on_their_shims_say_where_they_stand() -> None:
    shims = ew.cylinders.liner_shims(flanges().mean, [0.03, 0.06], lower=0.03, upper=0.08)
    drawn = letters(ew.plots.liners(flanges(), shims, lower=0.03, upper=0.08))
    assert "at most 0.080 mm" in drawn
    assert "0.060" in drawn and drawn.count("no shim") == 2
    with pytest.raises(ValueError, match="shims must hold 3 liners, got 1"):
        one = ew.cylinders.liner_shims([0.05], [0.03], lower=0.03, upper=0.08)
        ew.plots.liners(flanges(), one)


def test_the_journal_that_runs_out_most_is_named() -> None:
    picture = ew.plots.straightness(bent(), position=[0, 100, 250], limit=0.03)
    assert "Journal 2 runs out most" in picture.description
    assert "limit 0.030 mm" in letters(picture)
    with pytest.raises(ValueError, match="position must hold 3 places, one a journal, got 2"):
        ew.plots.straightness(bent(), position=[0, 1])
