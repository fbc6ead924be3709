"""The document: an immutable list of blocks that knows nothing of pages."""

from __future__ import annotations

import dataclasses
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from html import escape
from pathlib import Path
from typing import Any, ClassVar

__all__ = [
    "Block",
    "Caution",
    "Cell",
    "Column",
    "Document",
    "Drawing",
    "Facts",
    "Heading",
    "Paragraph",
    "Points",
    "SignOff",
    "Table",
]


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; level 2 opens a section, level 3 a part of it."""

    kind: ClassVar[str] = "heading"
    text: str
    level: int = 2


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph. Style: "plain", "lead" (the outcome), "order" (what to do), "note" (small)."""

    kind: ClassVar[str] = "paragraph"
    text: str
    style: str = "plain"


@dataclass(frozen=True, slots=True)
class Points:
    """A list of sentences."""

    kind: ClassVar[str] = "points"
    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """Names and what belongs to them: job number, customer, sources of the limits."""

    kind: ClassVar[str] = "facts"
    rows: tuple[tuple[str, str], ...]
    style: str = "plain"


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its title, and its share of the width."""

    title: str
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: a text, a smaller one under it, and what else it is.

    verdict  a verdict word makes a badge of the text
    strong   heavy letters
    form     "tick" for a box to tick, "blank" for a line to write on
    """

    text: str = ""
    under: str = ""
    verdict: str = ""
    strong: bool = False
    form: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table; its heading is repeated on every page it runs over."""

    kind: ClassVar[str] = "table"
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    caption: str = ""
    style: str = "plain"


@dataclass(frozen=True, slots=True)
class Drawing:
    """A figure: SVG text, its title, and what it shows in words for those who cannot see it."""

    kind: ClassVar[str] = "drawing"
    svg: str
    title: str
    description: str


@dataclass(frozen=True, slots=True)
class Caution:
    """Cautions of one bench."""

    kind: ClassVar[str] = "caution"
    title: str
    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SignOff:
    """Places to sign: what is to be written, and what stands there already."""

    kind: ClassVar[str] = "signoff"
    text: str
    places: tuple[tuple[str, str], ...]


Block = Heading | Paragraph | Points | Facts | Table | Drawing | Caution | SignOff


@dataclass(frozen=True, slots=True, repr=False)
class Document:
    """One paper: its head, its blocks in order, its foot. It never changes.

    Two documents with the same content give the same bytes, today and on any other machine.
    """

    title: str
    """What the paper is: "Work list"."""
    subject: str
    """What it is about: the job's number."""
    stem: str
    """Name of its file without the ending: "work_list" or "build_sheet"."""
    language: str
    shop: tuple[str, ...]
    """Name, address lines and telephone of the shop."""
    blocks: tuple[Block, ...]
    page: str
    """Text for the foot of a page, with the places {page} and {pages}."""
    foot: str
    """Text that stands at the foot of every page."""
    day: date | None = None
    """The day it stands for: that of the latest reading."""

    def __post_init__(self) -> None:
        for one in dataclasses.fields(self):
            object.__setattr__(self, one.name, _plain(getattr(self, one.name)))

    def __repr__(self) -> str:
        return f"<Document {self.title!r}, {self.subject}, {len(self.blocks)} blocks>"

    def _repr_html_(self) -> str:
        """Show the paper in a notebook, in a frame of its own in which nothing runs."""
        page = escape(self.to_html(), quote=True)
        style = "width: 100%; height: 48em; border: 1px solid #a8a8a8"
        title = escape(f"{self.title} {self.subject}", quote=True)
        return f'<iframe sandbox title="{title}" style="{style}" srcdoc="{page}"></iframe>'

    def texts(self) -> Iterator[str]:
        """Give every text of the document, in order; of a figure its title and description."""
        yield from (self.title, self.subject, *self.shop)
        for block in self.blocks:
            yield from filter(None, _texts(block))
        yield self.foot

    def as_dict(self) -> dict[str, Any]:
        """Give the document as plain lists and dictionaries, each block with its kind."""
        return {
            "title": self.title,
            "subject": self.subject,
            "language": self.language,
            "shop": list(self.shop),
            "blocks": [{"kind": each.kind, **dataclasses.asdict(each)} for each in self.blocks],
            "page": self.page,
            "foot": self.foot,
            "day": self.day.isoformat() if self.day else None,
        }

    def to_html(self) -> str:
        """Write the document as one HTML page: style and figures inside, no scripts, no links out.

        Needs Jinja2 (the extra `shop`).
        """
        from enginewright.report.html import to_html

        return to_html(self)

    def to_pdf(self) -> bytes:
        """Write the document as a PDF for archives and for screen readers (PDF/A-2a, PDF/UA-1).

        Needs typst and matplotlib, whose fonts it uses (the extra `shop`).
        """
        from enginewright.report.pdf import to_pdf

        return to_pdf(self)

    def write(self, path: str | Path) -> Path:
        """Write the document to a file, whole or not at all; the ending says which way.

        path  ends in .html or .pdf; a folder gets both, under the paper's own name

        Returns
        -------
        Path
            The file, or the folder.

        Raises
        ------
        ValueError
            For any other ending.
        """
        from enginewright._files import write_whole

        path = Path(path)
        if path.is_dir():
            self.write(path / f"{self.stem}.html")
            self.write(path / f"{self.stem}.pdf")
            return path
        ending = path.suffix.lower()
        if ending not in (".html", ".pdf"):
            raise ValueError(f"path must end in .html or .pdf, got {path.name!r}")
        write_whole(path, self.to_pdf() if ending == ".pdf" else self.to_html().encode("utf-8"))
        return path


#: Marks that turn the direction of writing around: shown as what they are, never obeyed.
TURNING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def plain_text(text: str) -> str:
    r"""Give a text in which nothing acts: blanks made one, control marks spelled out.

    >>> plain_text("bore\n1 \u202e2")
    'bore 1 [U+202E]2'
    """
    if text.isascii() and text.isprintable() and "  " not in text:
        return text.strip()
    spelled = "".join(
        f"[U+{ord(letter):04X}]"
        if letter in TURNING
        or (unicodedata.category(letter) in "Cc Cs Co Cn" and not letter.isspace())
        else letter
        for letter in text
    )
    # Not \s: a no-break space and its narrow sister are part of the figures they hold together.
    return re.sub(r"[ \t\n\r\f\v\x1c-\x1f\x85\u2028\u2029]+", " ", spelled).strip()


def _plain(value: Any) -> Any:
    if isinstance(value, str):
        return plain_text(value)
    if isinstance(value, tuple):
        return tuple(_plain(each) for each in value)
    if isinstance(value, Drawing):
        return Drawing(value.svg, plain_text(value.title), plain_text(value.description))
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        changed = {one.name: _plain(getattr(value, one.name)) for one in dataclasses.fields(value)}
        return dataclasses.replace(value, **changed)
    return value


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for each in value:
            yield from _texts(each)
    elif isinstance(value, Drawing):
        yield from (value.title, value.description)
    elif isinstance(value, Cell):
        yield from (value.text, value.under)
    elif isinstance(value, Column):
        yield value.title
    elif isinstance(value, (Paragraph, Heading)):
        yield value.text
    elif isinstance(value, Table):
        yield value.caption
        yield from _texts(value.columns)
        yield from _texts(value.rows)
    elif isinstance(value, Facts):
        yield from _texts(value.rows)
    elif isinstance(value, SignOff):
        yield value.text
        yield from _texts(value.places)
    elif isinstance(value, (Points, Caution)):
        yield from _texts((getattr(value, "title", ""), *value.items))
