"""Figures as SVG text that can stand inside a page: own ids, a title, no style for its neighbours.

matplotlib numbers the parts of every figure alike (`figure_1`, `axes_1`), adds the day it was drawn
and a style rule for `*`, which inside a page would reach everything else. Here each id bears the
figure's name, and the text is the same, byte for byte, for the same figure.
"""

from __future__ import annotations

import io
import re
import threading
from typing import Any
from xml.etree import ElementTree

import matplotlib
from matplotlib.figure import Figure

__all__ = ["svg_text"]

SVG = "http://www.w3.org/2000/svg"
LINK = "http://www.w3.org/1999/xlink"
WITHIN_URL = re.compile(r"url\(#([^)]+)\)")
ElementTree.register_namespace("", SVG)
ElementTree.register_namespace("xlink", LINK)
#: What matplotlib's style rule says of every element, said once at the root instead.
ROOT_STYLE = {"stroke-linejoin": "round", "stroke-linecap": "butt"}
#: Settings of matplotlib belong to the whole process: one figure at a time borrows a few.
_borrowing = threading.Lock()


def svg_text(figure: Figure, name: str, title: str, description: str) -> str:
    """Give a figure as SVG text.

    figure       any matplotlib figure
    name         goes into every id: two figures of one page have different names
    title        what it is called
    description  what it shows, for those who cannot see it

    >>> from matplotlib.figure import Figure
    >>> svg_text(Figure(figsize=(1, 1)), "blank", "Blank", "nothing").startswith("<svg")
    True
    """
    drawn = io.StringIO()
    settings: dict[Any, Any] = {
        "svg.fonttype": "path",
        "svg.hashsalt": f"enginewright {name}",
        "savefig.bbox": "standard",
    }
    with _borrowing, matplotlib.rc_context(settings):
        figure.savefig(
            drawn, format="svg", metadata={"Date": None, "Creator": None}, transparent=False,
            facecolor=figure.get_facecolor(), edgecolor="none", bbox_inches=None,
        )  # fmt: skip
    root = ElementTree.fromstring(drawn.getvalue())
    _strip(root)
    prefix = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "figure"
    _own_ids(root, prefix)
    _describe(root, prefix, title, description)
    return ElementTree.tostring(root, encoding="unicode")


def _strip(root: ElementTree.Element) -> None:
    for parent in list(root.iter()):
        for child in list(parent):
            if child.tag in (f"{{{SVG}}}metadata", f"{{{SVG}}}style"):
                parent.remove(child)
    for name, value in ROOT_STYLE.items():
        root.set(name, value)


def _own_ids(root: ElementTree.Element, name: str) -> None:
    for element in root.iter():
        for key, value in list(element.attrib.items()):
            if key == "id":
                element.set(key, f"{name}-{value}")
            elif key in ("href", f"{{{LINK}}}href") and value.startswith("#"):
                element.set(key, f"#{name}-{value[1:]}")
            elif "url(#" in value:
                element.set(key, WITHIN_URL.sub(rf"url(#{name}-\1)", value))


def _describe(root: ElementTree.Element, prefix: str, title: str, description: str) -> None:
    for place, (tag, text) in enumerate((("title", title), ("desc", description))):
        element = ElementTree.Element(f"{{{SVG}}}{tag}", {"id": f"{prefix}-{tag}"})
        element.text = text
        root.insert(place, element)
    root.set("role", "img")
    root.set("aria-labelledby", f"{prefix}-title {prefix}-desc")
