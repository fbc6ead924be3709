"""One builder, two papers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, Literal

from enginewright import _words
from enginewright._rows import AnyRow, column, finding_rows, not_checked_rows, reading_rows
from enginewright.report.blocks import Block, Document, Drawing
from enginewright.report.build_paper import build_paper
from enginewright.report.desk import Desk
from enginewright.report.job_facts import job_facts
from enginewright.report.work_list import work_list

__all__ = ["build_sheet"]

PAPERS = ("auto", "work list", "build sheet")


def build_sheet(
    job: Any,
    readings: Any,
    findings: Any,
    figures: bool | Iterable[Any] = True,
    words: str | Path | Mapping[str, Any] | _words.Words = "en",
    *,
    paper: Literal["auto", "work list", "build sheet"] = "auto",
) -> Document:
    """Put together the paper of one job: its work list, or the customer's build sheet.

    Parameters
    ----------
    job
        What belongs to the job besides readings and findings, as a mapping: `head` (a `JobHead`, or
        a mapping with the keys of job.toml), `engine`, `limits`, `gauges`, `problems`, `account`,
        `files` (name and SHA-256 of each export), `rule`, `level`; all may be left out. A head
        alone will do, and so will a job file that was read.
    readings
        The `Readings` of this job.
    findings
        The `Findings` made from them.
    figures
        True: the papers' own figures; False: none (matplotlib is then not needed). A list
        of figures of your own (matplotlib's): they follow the papers' own.
    words
        Language: "en", the path of a words file, or its content.
    paper
        "work list", "build sheet", or "auto": the build sheet once a reading of the stage
        "finished" is there, else the work list.

    Returns
    -------
    Document
        Blocks in order; `to_html()`, `to_pdf()`, `write(path)`.

    Raises
    ------
    ValueError
        More than one job, a head of another job, an unknown paper, a language with a hole in it.

    Examples
    --------
    >>> readings = ew.Readings(job=["7"], stage=["finished"], feature=["bore"], number=[1],
    ...                        quantity=["diameter"], value=[86.012], unit=["mm"])
    >>> findings = ew.inspect(readings, ew.Limits.from_json("{}"))
    >>> ew.report.build_sheet({}, readings, findings, figures=False).stem
    'build_sheet'
    """
    if paper not in PAPERS:
        raise ValueError(f"paper must be one of {', '.join(PAPERS)}; got {paper!r}")
    say = _words.load(words)
    read, found = reading_rows(readings), finding_rows(findings)
    engines = dict.fromkeys(str(name) for name in column(readings, "engine") if name)
    facts = job_facts(job, read, found, next(iter(engines), ""))
    own = figures if isinstance(figures, bool) else True
    desk = Desk(facts, findings, readings, found, read, not_checked_rows(findings), say, own)
    if paper == "auto":
        rows: tuple[AnyRow, ...] = (*read, *found)
        finished = any(row.stage == "finished" for row in rows)
        paper = "build sheet" if finished else "work list"
    blocks = list(work_list(desk) if paper == "work list" else build_paper(desk))
    if not isinstance(figures, bool):
        blocks += [_own(figure, i, say) for i, figure in enumerate(figures, start=1)]
    return _document(desk, blocks, paper.replace(" ", "_"))


def _document(desk: Desk, blocks: Sequence[Block], stem: str) -> Document:
    """Put head and foot to the blocks of a paper."""
    say, head = desk.say, desk.facts.head
    shop = head.shop
    return Document(
        title=say(f"paper.{stem}"),
        subject=say("paper.subject", number=head.number),
        stem=stem,
        language=say.language,
        shop=tuple(filter(None, (shop.name, *shop.address, shop.phone))),
        blocks=tuple(blocks),
        page=say("paper.page"),
        foot=say("paper.foot", number=head.number, program=desk.facts.program),
        day=max((row.date for row in desk.reading_rows if row.date is not None), default=None),
    )


def _own(figure: Any, number: int, say: _words.Words) -> Drawing:
    """Take in a figure of the caller's own; one of plain matplotlib is called by its title."""
    from enginewright.plots import Picture, svg_text

    if isinstance(figure, Picture):
        return Drawing(figure.to_svg(), figure.title, figure.description)
    titles = [figure.get_suptitle(), *(axes.get_title() for axes in figure.axes)]
    title = next(filter(None, titles), say("figures.own", number=number))
    return Drawing(svg_text(figure, f"own {number}", title, title), title, "")
