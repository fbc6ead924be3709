"""A document as one HTML page: style and figures inside, nothing fetched, nothing run."""

from __future__ import annotations

from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from enginewright.report.needs import need

if TYPE_CHECKING:
    from enginewright.report.blocks import Document

__all__ = ["POLICY", "to_html"]

#: Nothing may be loaded or run but the style that stands in the page and pictures inside it.
POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; "
    "form-action 'none'"
)


def to_html(document: Document) -> str:
    """Write a document as an HTML page.

    Every text goes through the template's own escaping; only the style sheet and the figures, which
    this program has made, are taken as markup.
    """
    return str(
        _template().render(document=document.as_dict(), style=_text("print.css"), policy=POLICY)
    )


@lru_cache(maxsize=1)
def _template() -> Any:
    jinja2 = need("jinja2", "the HTML paper")
    environment = jinja2.Environment(
        autoescape=True, trim_blocks=True, lstrip_blocks=True, undefined=jinja2.StrictUndefined,
        keep_trailing_newline=True,
    )  # fmt: skip
    return environment.from_string(_text("paper.html"))


def _text(name: str) -> str:
    folder = resources.files("enginewright") / "templates"
    return (folder / name).read_text(encoding="utf-8")
