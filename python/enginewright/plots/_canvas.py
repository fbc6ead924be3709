"""The drawing board: a figure ruled in millimetres, from the top left corner, without pyplot.

Every property of every line and letter is set here, so neither a user's settings nor another thread
changes a figure, and nothing is kept alive after it.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import cos, pi, sin
from typing import Any

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch, Polygon, Rectangle
from matplotlib.path import Path
from matplotlib.textpath import TextToPath

from enginewright.plots._letters import drawable
from enginewright.plots._palette import INK, PAPER, RULE, mark
from enginewright.plots._svg import svg_text

__all__ = ["WIDTH", "Canvas", "Picture"]

#: Width of the text on an A4 page, mm: a figure is printed as large as it is drawn.
WIDTH = 182.0
FAMILY = "DejaVu Sans"
#: Size of small and of ordinary letters, points: read at arm's length.
SMALL, NORMAL, LARGE = 7.5, 8.5, 10.0
MM = 25.4
#: Distance between the lines of a hatching, mm.
HATCH = 1.3


class Picture(Figure):
    """A matplotlib figure that knows its name, its title and what it shows in words.

    It shows itself in a notebook; `to_svg()` gives the text that papers carry.
    """

    name: str = "picture"
    title: str = ""
    description: str = ""

    def to_svg(self) -> str:
        """Give the figure as SVG text: letters as outlines, the same bytes for the same figure."""
        return svg_text(self, self.name, self.title, self.description)

    def _repr_svg_(self) -> str:
        return self.to_svg()


class Canvas:
    """A board of `WIDTH` x `height` millimetres; x to the right, y downwards."""

    def __init__(self, name: str, height: float, width: float = WIDTH) -> None:
        self.height, self.width = height, width
        self.picture = Picture(figsize=(width / MM, height / MM), dpi=144, facecolor=PAPER)
        self.picture.set_layout_engine("none")
        self.picture.name = name
        FigureCanvasAgg(self.picture)
        self.axes: Axes = self.picture.add_axes((0.0, 0.0, 1.0, 1.0))
        self.axes.set_axis_off()
        self.axes.set_xlim(0, width)
        self.axes.set_ylim(height, 0)
        for ground in (self.picture.patch, self.axes.patch):
            _as_drawn(ground)
        self._layer = 1.0

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float = NORMAL,
        bold: bool = False,
        colour: str = INK,
        align: str = "left",
        room: float | None = None,
    ) -> float:
        """Write a line of text, its middle at height `y`; give its width. `room` shortens it."""
        text = fitted(drawable(text), size, bold, room)
        properties: dict[str, Any] = {
            "fontfamily": FAMILY,
            "fontsize": size,
            "fontweight": "bold" if bold else "normal",
            "color": colour,
            "ha": align,
            "va": "center_baseline",
            "parse_math": False,
        }
        written = self.axes.text(x, y, text, zorder=self._above(), usetex=False, **properties)
        _as_drawn(written)
        return text_width(text, size, bold)

    def line(
        self,
        x: Sequence[float],
        y: Sequence[float],
        *,
        colour: str = INK,
        width: float = 0.8,
        dashes: tuple[float, float] | None = None,
    ) -> None:
        """Draw a line through points; `width` in points, `dashes` in millimetres."""
        drawn = Line2D(
            list(x), list(y), color=colour, linewidth=width, marker="", zorder=self._above(),
            solid_capstyle="butt", dash_capstyle="butt", solid_joinstyle="miter", antialiased=True,
            linestyle="-" if dashes is None else (0.0, tuple(d * 72 / MM / width for d in dashes)),
        )  # fmt: skip
        self._put(drawn)

    def box(
        self,
        left: float,
        top: float,
        width: float,
        height: float,
        *,
        fill: str | None = None,
        edge: str | None = None,
        edge_width: float = 0.8,
    ) -> None:
        """Draw a rectangle."""
        self._put(
            Rectangle(
                (left, top), width, height, facecolor=fill or "none", edgecolor=edge or "none",
                linewidth=edge_width if edge else 0, zorder=self._above(), antialiased=True,
            )
        )  # fmt: skip

    def shape(
        self,
        points: Sequence[tuple[float, float]],
        *,
        fill: str | None,
        edge: str | None = None,
        edge_width: float = 0.8,
    ) -> None:
        """Draw a closed shape."""
        self._put(
            Polygon(
                list(points), closed=True, facecolor=fill or "none", edgecolor=edge or "none",
                linewidth=edge_width if edge else 0, zorder=self._above(), antialiased=True,
                joinstyle="miter",
            )
        )  # fmt: skip

    def disc(
        self, x: float, y: float, radius: float, *, fill: str | None, edge: str, width: float = 1.3
    ) -> None:
        """Draw a disc, or a ring when `fill` is the paper."""
        points = [(x + radius * cos(k * pi / 16), y + radius * sin(k * pi / 16)) for k in range(32)]
        self.shape(points, fill=fill, edge=edge, edge_width=width)

    def hatch(self, left: float, top: float, width: float, height: float, colour: str) -> None:
        """Hatch a rectangle with slanting lines, each ending on its edges."""
        points: list[tuple[float, float]] = []
        start = -height
        while start < width:
            # The line x = start + t, y = top + height - t for t in 0..height, cut to the box.
            first, last = max(0.0, -start), min(height, width - start)
            if last > first:
                points += [(left + start + t, top + height - t) for t in (first, last)]
            start += HATCH
        # One path for all of them: a figure of many lines is slow to write and to open.
        codes = [Path.MOVETO, Path.LINETO] * (len(points) // 2)
        if points:
            self._put(
                PathPatch(
                    Path(points, codes), facecolor="none", edgecolor=colour, linewidth=0.7,
                    capstyle="butt", antialiased=True, zorder=self._above(),
                )
            )  # fmt: skip

    def verdict(self, x: float, y: float, verdict: str) -> None:
        """Draw the mark of a verdict: disc, diamond, open ring or bar."""
        how = mark(verdict)
        size = how.size
        if how.shape == "diamond":
            corners = [(x - size, y), (x, y - size), (x + size, y), (x, y + size)]
            self.shape(corners, fill=how.colour, edge=PAPER, edge_width=0.5)
        elif how.shape == "bar":
            self.box(x - size, y - 0.45, 2 * size, 0.9, fill=how.colour)
        elif how.filled:
            self.disc(x, y, size, fill=how.colour, edge=PAPER, width=0.5)
        else:
            self.disc(x, y, size, fill=PAPER, edge=how.colour, width=2.0)

    def guide(self, x: Sequence[float], y: Sequence[float]) -> None:
        """Draw a thin line that only leads the eye."""
        self.line(x, y, colour=RULE, width=0.6)

    def done(self, title: str, description: str) -> Picture:
        """Give the finished picture, with its title and what it shows in words."""
        self.picture.title = title
        self.picture.description = description
        return self.picture

    def _put(self, artist: Artist) -> None:
        # The board's limits stand: no artist need be asked how far it reaches, none is cut.
        artist.set_clip_on(False)
        _as_drawn(artist)
        self.axes.add_artist(artist)

    def _above(self) -> float:
        # Everything lies over what was drawn before it, whatever kind of artist it is.
        self._layer += 0.001
        return self._layer


def _as_drawn(artist: Artist) -> None:
    """Undo what a user's settings do to every artist that is made: shaky lines, shadows."""
    artist.set_sketch_params(None)
    artist.set_path_effects([])


@lru_cache(maxsize=4096)
def text_width(text: str, size: float, bold: bool = False) -> float:
    """Give the width of a line of text, mm."""
    if not text:
        return 0.0
    font = FontProperties(family=FAMILY, weight="bold" if bold else "normal", size=size)
    width, _, _ = TextToPath().get_text_width_height_descent(text, font, ismath=False)
    return float(width) * MM / 72


def fitted(text: str, size: float, bold: bool, room: float | None) -> str:
    """Shorten a text that has no room; the tables beside a figure hold it whole."""
    if room is None or text_width(text, size, bold) <= room:
        return text
    while text and text_width(text.rstrip() + "…", size, bold) > room:
        text = text[:-1]
    return text.rstrip() + "…"
