"""What the blocks of measurement have in common: one order for all of them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from enginewright._words import Words
from enginewright.report.blocks import Block, Caution, Drawing, Facts, Heading, Paragraph

if TYPE_CHECKING:
    from enginewright.plots import Picture

__all__ = ["in_order"]


def in_order(
    kind: str,
    say: Words,
    *,
    title: str,
    sense: str,
    rows: Iterable[tuple[str, str]],
    drawn: Picture | None,
    source: str,
    level: int,
) -> tuple[Block, ...]:
    """Put the blocks of one question in their order.

    kind    of the block, as its words are called: "fit"
    title   what it is about
    sense   what it comes to, in one line
    rows    figures: the key of the name under the kind, and the text
    source  where limits or figures are from, beside what the calculation follows
    level   of the heading
    """
    follows = say(f"measured.{kind}.source")
    notes = [follows if not source else say("measured.sources", source=source, follows=follows)]
    picture = [] if drawn is None else [Drawing(drawn.to_svg(), drawn.title, drawn.description)]
    return (
        Heading(title, level),
        Paragraph(sense, "order"),
        Facts(tuple((say(f"measured.{kind}.{key}"), text) for key, text in rows if text)),
        *picture,
        Caution(say(f"measured.{kind}.before"), say.all(f"measured.{kind}.cautions")),
        *(Paragraph(note, "note") for note in notes),
    )
