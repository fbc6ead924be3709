"""Blocks of your own on a paper that is made already."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

from enginewright.report.blocks import Block, Document, Heading

__all__ = ["with_blocks"]


def with_blocks(document: Document, blocks: Iterable[Block | Iterable[Block]]) -> Document:
    """Give the paper with more blocks on it, before the section that says how it was judged.

    The document itself stays as it is.

    document  a paper, as `build_sheet` makes it
    blocks    blocks, or what `budget_block` and its like give; in their order

    Returns
    -------
    Document
        A new one.

    Raises
    ------
    TypeError
        For what is neither a block nor several of them.

    Examples
    --------
    >>> readings = ew.Readings(job=["7"], stage=["finished"], feature=["bore"], number=[1],
    ...                        quantity=["diameter"], value=[86.012], unit=["mm"])
    >>> findings = ew.inspect(readings, ew.Limits.from_json("{}"))
    >>> paper = ew.report.build_sheet({}, readings, findings, figures=False)
    >>> more = ew.report.with_blocks(paper, [ew.report.fit_block("60 h6", figures=False)])
    >>> len(more.blocks) - len(paper.blocks)
    5
    """
    added: list[Block] = []
    for each in blocks:
        added += [each] if _is_block(each) else list(each)  # type: ignore[list-item, arg-type]
    for one in added:
        if not _is_block(one):
            raise TypeError(f"blocks must be blocks of a paper, got {type(one).__name__}")
    place = _foot(document.blocks)
    before, after = document.blocks[:place], document.blocks[place:]
    return dataclasses.replace(document, blocks=(*before, *added, *after))


def _is_block(given: object) -> bool:
    return isinstance(given, Block)


def _foot(blocks: tuple[Block, ...]) -> int:
    """Give the place of the last section: how the job was judged."""
    sections = [i for i, b in enumerate(blocks) if isinstance(b, Heading) and b.level == 2]
    return sections[-1] if sections else len(blocks)
