"""Papers read as a browser and a PDF reader find them; contrast as the standard counts it."""

from __future__ import annotations

import functools
import io
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import paper_jobs
import pypdf

import enginewright as ew
from enginewright.report import Heading, Table

TEMPLATES = Path(ew.report.__file__).parents[1] / "templates"


@functools.cache
def made(paper: str) -> Any:
    """Give a paper of the invented job, made once."""
    make = paper_jobs.received if paper == "work list" else paper_jobs.finished
    return ew.report.build_sheet(*make())


class Page(HTMLParser):
    """Texts, tags and ids of a page, as a browser finds them."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    @property
    def all(self) -> str:
        return squeezed(" ".join(self.texts))


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def pdf_text(data: bytes) -> str:
    """Everything a reader of the PDF is given: its text, its title, what its pictures show."""
    read = pypdf.PdfReader(io.BytesIO(data))
    texts = [page.extract_text() for page in read.pages]
    return squeezed(" ".join([*texts, *alternatives(read)]))


def alternatives(read: pypdf.PdfReader) -> Iterator[str]:
    for number in range(1, int(read.trailer["/Size"])):
        found = read.get_object(number)
        if isinstance(found, pypdf.generic.DictionaryObject) and "/Alt" in found:
            yield str(found["/Alt"])


def tables(document: Any, style: str) -> list[Table]:
    return [b for b in document.blocks if isinstance(b, Table) and b.style == style]


def under(document: Any, heading: str) -> list[Any]:
    """Blocks of one section."""
    found: list[Any] = []
    inside = False
    for block in document.blocks:
        if isinstance(block, Heading) and block.level == 2:
            inside = block.text == heading
        elif inside:
            found.append(block)
    return found


def luminance(colour: str) -> float:
    # published: WCAG 2.1, definition of relative luminance
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    # published: WCAG 2.1, definition of contrast ratio
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
