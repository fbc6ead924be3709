"""Figures as SVG text that can stand inside a page: own ids, a title, no style for its neighbours.

matplotlib numbers the parts of every figure alike (`figure_1`, `axes_1`), adds the day it was drawn
and a style rule for `*`, which inside a page would reach everything else. Here each id bears the
figure's name, and the text is the same, byte for byte, for the same figure.
"""

from __future__ import annotations

import io
import re
import threading
from xml.etree import ElementTree

import matplotlib

from enginewright.plots._canvas import Picture

__all__ = ["to_svg"]

SVG = "http://www.w3.org/2000/svg"
LINK = "http://www.w3.org/1999/xlink"
WITHIN_URL = re.compile(r"url\(#([^)]+)\)")
ElementTree.register_namespace("", SVG)
ElementTree.register_namespace("xlink", LINK)
#: What matplotlib's style rule says of every element, said once at the root instead.
ROOT_STYLE = {"stroke-linejoin": "round", "stroke-linecap": "butt"}
#: Settings of matplotlib belong to the whole process: one figure at a time borrows these two.
_borrowing = threading.Lock()


def to_svg(picture: Picture) -> str:
    """Give a picture as SVG text.

    picture  a figure of `ew.plots`; its name goes into every id

    >>> from enginewright.plots._canvas import Canvas
    >>> to_svg(Canvas("blank", height=20).done("Blank", "nothing")).startswith("<svg")
    True
    """
    drawn = io.StringIO()
    settings = {"svg.fonttype": "path", "svg.hashsalt": f"enginewright {picture.name}"}
    with _borrowing, matplotlib.rc_context(settings):
        picture.savefig(
            drawn, format="svg", metadata={"Date": None, "Creator": None}, transparent=False,
            facecolor=picture.get_facecolor(), edgecolor="none", bbox_inches=None,
        )  # fmt: skip
    root = ElementTree.fromstring(drawn.getvalue())
    _strip(root)
    name = re.sub(r"[^a-z0-9]+", "-", picture.name.lower()).strip("-") or "picture"
    _own_ids(root, name)
    _describe(root, name, picture)
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


def _describe(root: ElementTree.Element, name: str, picture: Picture) -> None:
    title = ElementTree.Element(f"{{{SVG}}}title", {"id": f"{name}-title"})
    title.text = picture.title
    description = ElementTree.Element(f"{{{SVG}}}desc", {"id": f"{name}-desc"})
    description.text = picture.description
    root.insert(0, title)
    root.insert(1, description)
    root.set("role", "img")
    root.set("aria-labelledby", f"{name}-title {name}-desc")
