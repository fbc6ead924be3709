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


FIGURES: dict[str, Callable[[], Any]] = {
    "verdicts": lambda: ew.plots.verdicts(findings()),
    "wear map": lambda: ew.plots.wear_map(findings()),
    "ring gaps": lambda: ew.plots.ring_gaps(findings(), readings()),
    "undersizes": lambda: ew.plots.undersizes(
        JOURNALS, plan(), standard_lower=59.97, standard_upper=59.99, steps=[0.25, 0.5, 0.75]
    ),
    "shaking ellipses": lambda: ew.plots.shaking_ellipses(
        ew.reciprocating.common_layout("cross-plane V8", 112, 44, 150, 760), 5000
    ),
    "firing ring": lambda: ew.plots.firing_ring([0, 0], [45, -45], [1, 2]),
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
    figure.canvas.draw()
    width, height = figure.get_size_inches() * figure.dpi
    for text in figure.axes[0].texts:
        box = text.get_window_extent()
        assert box.x0 >= -1 and box.y0 >= -1 and box.x1 <= width + 1 and box.y1 <= height + 1, text


def test_no_two_texts_lie_over_each_other(figure: Any) -> None:
    figure.canvas.draw()
    boxes = [(t.get_text(), t.get_window_extent()) for t in figure.axes[0].texts if t.get_text()]
    for (one, a), (other, b) in combinations(boxes, 2):
        across = min(a.x1, b.x1) - max(a.x0, b.x0)
        down = min(a.y1, b.y1) - max(a.y0, b.y0)
        assert across < 1 or down < 1, (one, other)


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
    test_no_two_texts_lie_over_each_other(figure)


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


# Shaking ellipses and the firing ring


def test_a_factor_of_a_half_leaves_a_right_angle_twin_nothing() -> None:
    twin = ew.reciprocating.common_layout("V-twin", 0, 45, 150, 600, bank=90)
    figure = ew.plots.shaking_ellipses(twin, 5000, orders=[1, 2], factors=[0, 0.5])
    drawn = letters(figure)
    assert "factor 0.5" in drawn and "order 2" in drawn
    # derived: m r omega² = 0.6 kg * 0.045 m * (5000 rpm)²
    assert "7 400 N" in drawn
    # Both couples of cylinders side by side, and the primary force at a half.
    assert drawn.count("none") == 3
    with pytest.raises(ValueError, match="orders must"):
        ew.plots.shaking_ellipses(twin, 5000, orders=[])


def test_a_firing_ring_says_the_gaps_and_which_are_uneven() -> None:
    figure = ew.plots.firing_ring([0, 0], [45, -45], [1, 2])
    drawn = letters(figure)
    assert {"270°", "450°", "720°", "uneven", "1", "2"} <= set(drawn)
    even = letters(ew.plots.firing_ring([0, 180, 180, 0], 0.0, [1, 3, 4, 2]))
    assert even.count("180°") == 4 and "even" in even
    with pytest.raises(ValueError, match="possible"):
        ew.plots.firing_ring([0, 240, 120], 0.0, [1, 3, 2], strokes=2)
