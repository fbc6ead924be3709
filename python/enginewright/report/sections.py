"""Sections that both papers share: head, outcome, results of a bench, figures, cautions, foot."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from enginewright._counts import counted, told
from enginewright._lines import Line, is_plan
from enginewright._rows import AnyRow
from enginewright.report.benches import BENCHES, arranged, bench_of, topic_of
from enginewright.report.blocks import (
    Block,
    Caution,
    Cell,
    Column,
    Facts,
    Heading,
    Paragraph,
    Table,
)
from enginewright.report.desk import Desk
from enginewright.report.drawings import drawings

__all__ = [
    "benches_used",
    "caution",
    "customer_cautions",
    "doubt",
    "foot",
    "groups_of",
    "head",
    "outcome",
    "results",
    "still_open",
    "topics_used",
]


def head(desk: Desk) -> Iterator[Block]:
    """Job, engine, customer, dates, and what the customer asked for."""
    job, say = desk.facts.head, desk.say
    stages = dict.fromkeys(row.stage for row in desk.reading_rows if row.stage)
    rows = (
        ("engine", desk.facts.engine),
        ("customer", job.customer),
        ("received", desk.day(job.received)),
        ("promised", desk.day(job.promised)),
        ("stage", ", ".join(say.say("stage", stage) for stage in stages)),
        ("read_on", _days(desk)),
        ("asked", " ".join(job.asked)),
    )
    yield Facts(tuple((say(f"facts.{key}"), text) for key, text in rows if text))


def _days(desk: Desk) -> str:
    days = sorted({row.date for row in desk.reading_rows if row.date is not None})
    if not days:
        return ""
    if days[0] == days[-1]:
        return desk.day(days[0])
    first, last = days[0], days[-1]
    alike = (first.year, first.month) == (last.year, last.month)
    started = desk.say("numbers.day", day=first.day) if alike else desk.day(first)
    return desk.say("facts.from_to", first=started, last=desk.day(last))


def outcome(desk: Desk, text: str) -> Iterator[Block]:
    """Say in one line where the job stands, then count: what stands, then what was before it."""
    yield Paragraph(text, "lead")
    sums = []
    for key, found in (("all", desk.now), ("earlier", desk.before)):
        total = counted(row for line in found for row in line.findings)
        if total:
            sums.append(desk.say(f"outcome.{key}", list=told(total, desk.say)))
    if sums:
        yield Paragraph(" ".join(sums))


def still_open(found: Iterable[Line]) -> tuple[Line, ...]:
    """Give the lines that are not settled: outside or unproven."""
    return tuple(line for line in found if line.verdict in ("outside", "unproven"))


def benches_used(desk: Desk) -> tuple[str, ...]:
    """Give the benches that the readings come from, in the order of a paper."""
    rows: tuple[AnyRow, ...] = (*desk.reading_rows, *desk.finding_rows)
    used = {bench_of(row.feature) for row in rows}
    return tuple(bench for bench in BENCHES if bench in used)


def topics_used(desk: Desk) -> tuple[str, ...]:
    """Give what has cautions of its own at the benches, in the order of the readings."""
    rows: tuple[AnyRow, ...] = (*desk.reading_rows, *desk.finding_rows)
    return tuple(filter(None, dict.fromkeys(map(topic_of, rows))))


def results(
    desk: Desk,
    found: Iterable[Line],
    *,
    pictures: bool = True,
    remarks: Callable[[Line], str] = lambda line: "",
) -> Iterator[Block]:
    """One table a bench: part, what was asked, what was read, limits, margin, verdict.

    remarks  gives what was written beside the readings of a line
    """
    found = tuple(line for line in found if not is_plan(line.worst))
    for bench in BENCHES:
        own = desk.of_bench(bench, found)
        if own:
            yield Heading(desk.say(f"benches.{bench}"), 3)
            if pictures:
                yield from drawings(desk, bench)
            yield table(desk, own, remarks)


def table(
    desk: Desk, found: Iterable[Line], remarks: Callable[[Line], str] = lambda line: ""
) -> Table:
    """Lines as a table; the stage is said where the paper holds several."""
    say = desk.say
    columns = (
        Column(say("columns.part"), 2.6), Column(say("columns.asked"), 1.4),
        Column(say("columns.read"), 3.0), Column(desk.doubt_title(), 1.4),
        Column(say("columns.limits"), 2.7), Column(say("columns.margin"), 1.4),
        Column(say("columns.verdict"), 1.8),
    )  # fmt: skip
    several = len({line.worst.stage for line in desk.now + desk.before}) > 1
    rows = []
    for alike in groups_of(arranged(found)):
        row = alike[0].worst
        stage = say.say("stage", row.stage) if several else ""
        under = " · ".join(filter(None, (stage, *map(remarks, alike))))
        rows.append(
            (
                Cell(desk.parts(alike), under), Cell(desk.asked(row)), desk.values(alike),
                doubt(desk, alike), desk.limits(row),
                desk.margin(row), desk.verdict(alike[0].verdict),
            )
        )  # fmt: skip
    return Table(columns, tuple(rows), style="results")


def groups_of(
    found: Iterable[Line], apart: Callable[[Line], bool] = lambda line: False
) -> Iterator[list[Line]]:
    """Put lines without a limit side by side: nothing is said of them but their figures.

    apart  says which lines stand by themselves all the same
    """
    group: list[Line] = []
    for line in found:
        kind = None if apart(line) else _kind(line)
        if group and kind is not None and kind == _kind(group[0]) and not apart(group[0]):
            group.append(line)
            continue
        if group:
            yield group
        group = [line]
    if group:
        yield group


def _kind(line: Line) -> tuple[str, ...] | None:
    row = line.worst
    if line.verdict != "unlimited" or row.next or row.reason or row.value is None:
        return None
    return row.stage, row.check, row.feature, row.part, row.quantity, row.unit


def doubt(desk: Desk, alike: Iterable[Line]) -> Cell:
    """Show the greatest uncertainty of lines that stand side by side."""
    rows = [line.worst for line in alike]
    return desk.doubt(max(rows, key=lambda row: row.uncertainty or 0.0))


def caution(desk: Desk, bench: str) -> Iterator[Block]:
    """Give the cautions of one bench, when it has any."""
    items = desk.say.all(f"cautions.{bench}.items")
    if items:
        yield Caution(desk.say(f"cautions.{bench}.title"), items)


def customer_cautions(desk: Desk) -> Iterator[Block]:
    """Give what whoever fits and runs the parts must know, bench by bench.

    How the shop works safely stands on the work list.
    """
    blocks = [
        Caution(desk.say(f"cautions.{bench}.after"), items)
        for bench in ("measure", *benches_used(desk))
        if (items := desk.say.all(f"cautions.{bench}.customer"))
    ]
    if blocks:
        yield Heading(desk.say("cautions.title"))
        yield from blocks


def foot(desk: Desk) -> Iterator[Block]:
    """Say how it was judged, where the limits are from, and which files were read."""
    say, facts = desk.say, desk.facts
    yield Heading(say("foot.title"))
    rule = facts.rule if facts.rule in ("guarded", "expanded", "simple") else "guarded"
    level = f"{100 * facts.level:g}"
    yield Paragraph(say(f"foot.{rule}", level=level), "note")
    yield Paragraph(say("foot.doubt", level=level), "note")
    numbers = [row for row in desk.reading_rows if row.value is not None]
    assumed = sum(row.temperature is None for row in numbers)
    if assumed:
        yield Paragraph(say("foot.temperature", count=assumed, all=len(numbers)), "note")
    gauges = dict.fromkeys(row.gauge for row in desk.reading_rows if row.gauge)
    if gauges:
        yield Paragraph(say("foot.gauges", list=", ".join(gauges)), "note")
    if desk.sources:
        yield Heading(say("foot.sources"), 3)
        yield Facts(
            tuple((f"[{number}]", _source(desk, text)) for text, number in desk.sources.items()),
            "notes",
        )
    yield Heading(say("foot.files"), 3)
    rows = [(name, say("foot.hash", hash=digest)) for name, digest in facts.files]
    rows.append((say("foot.program"), facts.program))
    yield Facts(tuple(rows), "notes")


def _source(desk: Desk, text: str) -> str:
    """Give a source with how well it is founded, where the limits say so."""
    to_json = getattr(desk.facts.limits, "to_json", None)
    if to_json is None:
        return text
    import json

    for limit in json.loads(to_json()).get("limit", ()):
        if limit.get("source") == text and limit.get("provenance"):
            how = desk.say.say("provenance", str(limit["provenance"]))
            return desk.say("foot.source", source=text, provenance=how)
    return text
