"""Figures: readings and verdicts as a machinist would draw them on the bench.

Each function takes tables or records and returns a matplotlib `Figure` made without pyplot, so
nothing is kept alive and any thread may draw. Verdicts differ by the shape of their mark first,
by lightness second and by hue last: a grey copy says the same.

A figure knows its `title` and `description` (what it shows, in words), shows itself in a notebook,
and `figure.to_svg()` gives the text that the papers carry; `figure.savefig(path)` writes any format
that matplotlib knows.
"""

from enginewright.plots._bend_line import straightness
from enginewright.plots._bore_map import wear_map
from enginewright.plots._budget_ladder import budget
from enginewright.plots._canvas import Picture
from enginewright.plots._crank_strip import crank_strip
from enginewright.plots._dials import dials
from enginewright.plots._firing_ring import firing
from enginewright.plots._fit_diagram import fit
from enginewright.plots._gap_ladder import ring_gaps
from enginewright.plots._gram_scale import gram_scale, pairing, rods_at_pads
from enginewright.plots._joint import bolt_lineup, joint_diagram, preload_band
from enginewright.plots._journal_ladder import undersizes
from enginewright.plots._letters import drawable
from enginewright.plots._liner_row import liners
from enginewright.plots._plan_cloud import plan_cloud
from enginewright.plots._press_section import press_fit
from enginewright.plots._process_chart import process
from enginewright.plots._shaking_ellipses import shaking
from enginewright.plots._stage_ladder import stages
from enginewright.plots._svg import svg_text
from enginewright.plots._verdict_strip import verdicts

__all__ = [
    "Picture",
    "bolt_lineup",
    "budget",
    "crank_strip",
    "dials",
    "drawable",
    "firing",
    "fit",
    "gram_scale",
    "joint_diagram",
    "liners",
    "pairing",
    "plan_cloud",
    "preload_band",
    "press_fit",
    "process",
    "ring_gaps",
    "rods_at_pads",
    "shaking",
    "straightness",
    "stages",
    "svg_text",
    "undersizes",
    "verdicts",
    "wear_map",
]
