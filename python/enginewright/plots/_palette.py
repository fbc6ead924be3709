"""Colours and marks: four verdicts that differ by shape first, by lightness second, by hue last.

A page that has been through a grey copier, a greasy thumb or an eye that does not tell red from
green says the same.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["INK", "MARKS", "PAPER", "QUIET", "RULE", "SHADES", "Mark", "mark"]

PAPER = "#ffffff"
INK = "#1a1a1a"
#: Second-rank text.
QUIET = "#565656"
#: Lines that only guide the eye.
RULE = "#a8a8a8"
#: The zone in which a reading is accepted, the lines that hatch a guard zone, a planned band.
ACCEPT = "#cfe3e8"
GUARD = "#5f97a4"
PLAN = "#f0c46c"
#: One hue from light to dark, for amounts; the last two carry white text.
SHADES = ("#eef4f5", "#cfe3e8", "#a5c8d1", "#6fa5b3", "#2c7488", "#0d4a5c")


@dataclass(frozen=True, slots=True)
class Mark:
    """How one verdict is drawn: its sign and the sign's colour, its mark and the mark's colour."""

    sign: str
    ink: str
    shape: str
    colour: str
    filled: bool
    size: float


#: Signs are those of the workbook. Shapes: disc, diamond, open ring, bar.
MARKS = {
    "within": Mark("✓", "#175364", "disc", "#2c7488", True, 1.25),
    "outside": Mark("✗", "#7a1500", "diamond", "#7a1500", True, 1.7),
    "unproven": Mark("?", "#6b4600", "ring", "#b97a00", False, 1.35),
    "unlimited": Mark("–", QUIET, "bar", "#9d9d9d", True, 1.3),
    "plan": Mark("→", INK, "disc", INK, True, 1.25),
}


def mark(verdict: str) -> Mark:
    """Give the mark of a verdict; a word that is none is drawn as unlimited."""
    return MARKS.get(verdict, MARKS["unlimited"])
