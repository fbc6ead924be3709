"""A document as a PDF that archives keep and screen readers read."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from enginewright.report.needs import need

if TYPE_CHECKING:
    from enginewright.report.blocks import Document

__all__ = ["STANDARDS", "to_pdf"]

#: Both at once: the compiler refuses a picture without an alternative text, a letter without a
#: glyph, a page without a language.
STANDARDS = ("a-2a", "ua-1")


def to_pdf(document: Document) -> bytes:
    """Write a document as PDF/A-2a and PDF/UA-1.

    The document travels as data, so no text is ever taken for markup. The time in the file is the
    document's own day: the same document gives the same bytes.
    """
    typst = need("typst", "the PDF paper")
    need("matplotlib", "the PDF paper (its fonts)")
    day = document.day
    made = (
        datetime(day.year, day.month, day.day, tzinfo=UTC)
        if day
        else datetime(2000, 1, 1, tzinfo=UTC)
    )
    pdf: bytes = typst.compile(
        _template(),
        font_paths=_fonts(),
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"document": json.dumps(_spelled(document.as_dict()), ensure_ascii=False)},
        pdf_standards=list(STANDARDS),
        timestamp=int(made.timestamp()),
    )
    return pdf


@lru_cache(maxsize=1)
def _template() -> bytes:
    return (resources.files("enginewright") / "templates" / "paper.typ").read_bytes()


@lru_cache(maxsize=1)
def _fonts() -> Any:
    from enginewright.plots._letters import font_folder

    return need("typst", "the PDF paper").Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())]
    )


def _spelled(value: Any) -> Any:
    """Spell out letters that the fonts lack, everywhere but in the figures."""
    from enginewright.plots import drawable

    if isinstance(value, str):
        return drawable(value)
    if isinstance(value, dict):
        return {key: each if key == "svg" else _spelled(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [_spelled(each) for each in value]
    return value
