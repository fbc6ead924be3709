"""How the workbook that goes back looks: marks, fills, fonts, and text that stays text.

Four verdicts differ by their sign first, by lightness second, by hue last, so a grey copy, a greasy
thumb or an eye that does not tell red from green sees the same.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

__all__ = ["LEGEND", "MARKS", "NOT_READ", "POINTS_ON", "Look", "Style", "height_of", "mark_of"]

INK, QUIET, RULE = "1A1A1A", "565656", "A8A8A8"


@dataclass(frozen=True)
class Look:
    """One verdict: its sign and word, the fill and the ink of a cell that bears it."""

    sign: str
    word: str
    fill: str | None
    ink: str
    bold: bool
    meaning: str

    @property
    def text(self) -> str:
        """The mark as it stands in the Verdict column: "✗ outside"."""
        return f"{self.sign} {self.word}"


MARKS = {
    "outside": Look("✗", "outside", "8C2413", "FFFFFF", True, "outside its limits"),
    "unproven": Look("?", "unproven", "F3C65F", INK, True, "too near a limit for the gauge, or"
                     " something is missing: not good, not bad"),
    "within": Look("✓", "within", "E2F0F2", INK, False, "inside its limits, the gauge's doubt"
                   " counted"),
    "unlimited": Look("–", "no limit", None, QUIET, False, "shown, not judged"),
    "plan": Look("→", "plan", "C3CBD0", INK, True, "what to do with the whole set"),
}  # fmt: skip
NOT_READ = Look("!", "not read", None, INK, True, "the cell could not be read; nothing was guessed")
POINTS_ON = Look("»", "elsewhere", "EDEFF0", INK, False, "judged together with other cells: Limit"
                 " says which cell bears the verdict")  # fmt: skip
LEGEND = (*MARKS.values(), NOT_READ, POINTS_ON)


def mark_of(verdict: str, plan: bool = False) -> Look:
    """Return the look of a verdict; a plan that solves the matter has its own."""
    return MARKS["plan"] if plan and verdict == "unlimited" else MARKS[verdict]


def height_of(text: str, width: float, size: float = 11) -> float:
    """Return the height of a row that shows a text in a column of some width."""
    # A column is as wide as so many digits of size 11, which are wider than most letters.
    letters = max(int(width * 1.12 * 11 / size), 1)
    lines = sum(1 + max(len(line) - 1, 0) // letters for line in text.split("\n"))
    return 1.3 * size * lines + 2


_ILLEGAL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")


class Style:
    """Fonts, fills and borders of one workbook, made once and shared by its cells."""

    def __init__(self) -> None:
        from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

        thin, thick = Side("thin", color=RULE), Side("medium", color=INK)
        self.title = Font(name="Calibri", size=18, bold=True, color=INK)
        self.heading = Font(name="Calibri", size=12, bold=True, color=INK)
        self.plain = Font(name="Calibri", size=11, color=INK)
        self.strong = Font(name="Calibri", size=11, bold=True, color=INK)
        self.order = Font(name="Calibri", size=13, color=INK)
        self.quiet = Font(name="Calibri", size=10, color=QUIET)
        self.heading_fill = PatternFill("solid", fgColor="D9DEE1")
        self.under = Border(bottom=thick)
        self.row = Border(bottom=thin)
        self.edge = Border(left=thick, bottom=thin)
        self.broken = Border(*[Side("mediumDashed", color=INK)] * 4)
        self.wrap = Alignment(wrap_text=True, vertical="top")
        self.middle = Alignment(vertical="top", horizontal="center")
        self.top = Alignment(vertical="top")
        self.level = Alignment(vertical="center")
        self.indented = Alignment("left", "center", wrap_text=True, indent=1)
        self.head = Alignment("left", "center", indent=1)
        self.beside = Alignment("left", "top", indent=1)
        self.wrap_beside = Alignment("left", "top", wrap_text=True, indent=1)
        self.right = Alignment("right", "center", indent=1)
        self._fills = {
            look.text: PatternFill("solid", fgColor=look.fill) for look in LEGEND if look.fill
        }
        self._fonts = {
            look.text: Font(name="Calibri", size=12, bold=look.bold, color=look.ink)
            for look in LEGEND
        }

    def dress(self, cell: Any, look: Look) -> None:
        """Give a cell the fill and ink of a verdict."""
        if look.fill is not None:
            cell.fill = self._fills[look.text]
        cell.font = self._fonts[look.text]
        if look is NOT_READ:
            cell.border = self.broken

    @staticmethod
    def text(cell: Any, text: str) -> None:
        """Write a text so that it stays one, whatever it begins with."""
        cell.value = _ILLEGAL.sub("", text)[:32_767]
        # Said outright: a text that begins with "=" would become a formula otherwise.
        cell.data_type = "s"
