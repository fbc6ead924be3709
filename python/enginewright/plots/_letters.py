"""Which letters the paper's own fonts can draw, and what stands for those that they cannot."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from pathlib import Path

__all__ = ["FONT_FILES", "drawable", "font_folder"]

#: The four faces that papers use; a letter counts as known when all of them have it.
FONT_FILES = (
    "DejaVuSans.ttf",
    "DejaVuSans-Bold.ttf",
    "DejaVuSans-Oblique.ttf",
    "DejaVuSans-BoldOblique.ttf",
)


def font_folder() -> Path:
    """Give the folder of the fonts that matplotlib brings along."""
    import matplotlib

    return Path(matplotlib.get_data_path()) / "fonts" / "ttf"


@lru_cache(maxsize=1)
def _known() -> frozenset[int]:
    from matplotlib.ft2font import FT2Font

    tables = [set(FT2Font(str(font_folder() / name)).get_charmap()) for name in FONT_FILES]
    return frozenset(set.intersection(*tables))


def drawable(text: str) -> str:
    r"""Spell out letters that the fonts lack: a name never loses a letter without a trace.

    >>> from enginewright.plots import drawable
    >>> drawable("bore 1 \u4e2d")
    'bore 1 [U+4E2D]'
    """
    if text.isascii():
        return text
    known = _known()
    return "".join(
        letter if ord(letter) in known or letter.isspace() else f"[U+{ord(letter):04X}]"
        for letter in unicodedata.normalize("NFC", text)
    )
