"""The work list: what to do next, machine by machine, with room to tick and to write."""

from __future__ import annotations

from collections.abc import Iterator

from enginewright._lines import Line, is_plan
from enginewright.report import sections
from enginewright.report.balancing import balance_plan, balance_record, is_balance
from enginewright.report.benches import CAUTIONS_AT
from enginewright.report.blocks import Block, Cell, Column, Heading, Paragraph, Table
from enginewright.report.desk import NOTHING, Desk
from enginewright.report.drawings import ladder
from enginewright.report.plans import Cut, SetPlan, set_plan
from enginewright.report.raw import as_written
from enginewright.report.tasks import Work, work

__all__ = ["work_list"]


def work_list(desk: Desk) -> Iterator[Block]:
    """Give the blocks of the work list."""
    todo = work(desk.now)
    yield from sections.head(desk)
    yield from sections.outcome(desk, _outcome(desk, todo))
    told = {bench for machine, bench in CAUTIONS_AT.items() if machine in todo.machines}
    if any(is_balance(line) for line in todo.plans["balancer"]):
        told.add("balance")
    for machine in todo.machines:
        yield Heading(desk.say(f"machines.{machine}"))
        yield from sections.caution(desk, CAUTIONS_AT.get(machine, ""))
        for line in todo.plans[machine]:
            yield from _plan(desk, line)
        if todo.single[machine]:
            yield _tasks(desk, todo.single[machine])
    yield from _unproven(desk, todo)
    yield from _not_checked(desk)
    yield from _not_read(desk)
    left = [bench for bench in sections.benches_used(desk) if bench not in told]
    if any(desk.say.all(f"cautions.{bench}.items") for bench in left):
        yield Heading(desk.say("cautions.title"))
        for bench in left:
            yield from sections.caution(desk, bench)
    yield from balance_record(desk)
    yield Heading(desk.say("results.title"))
    yield from sections.results(desk, desk.now)
    if desk.before:
        yield Heading(desk.say("results.before"))
        yield from sections.results(desk, desk.before, pictures=False)
    yield from as_written(desk)
    yield from sections.foot(desk)


def _outcome(desk: Desk, todo: Work) -> str:
    if todo.machines:
        names = (desk.say(f"machines.{name}") for name in todo.machines)
        return desk.say("outcome.work", list=desk.say("outcome.join").join(names))
    if todo.unproven:
        return desk.say("outcome.only_unproven", count=len(todo.unproven))
    return desk.say("outcome.nothing")


def _plan(desk: Desk, line: Line) -> Iterator[Block]:
    row = line.worst
    name = desk.say.say("feature", row.feature)
    yield Heading(desk.say("tasks.plan", feature=name, check=desk.asked(row)), 3)
    yield Paragraph(row.next or row.reason, "order")
    if row.next and row.reason:
        yield Paragraph(desk.say("tasks.because", reason=row.reason))
    if is_balance(line):
        yield from balance_plan(desk, line)
        return
    plan = set_plan(row, desk.findings, desk.readings, desk.facts) if row.readings else None
    if plan is None:
        yield _tasks(desk, (line,))
        return
    yield from ladder(desk, row, plan)
    for what in dict.fromkeys(cut.what for cut in plan.cuts):
        yield _cuts(desk, line, plan, what)


def _columns(desk: Desk, *, cuts: bool = False) -> tuple[Column, ...]:
    say = desk.say
    # A cut needs no sentence: its part is named in a word, its band in one line.
    cut = [("part", 2.5), ("read", 2.9), ("bring_to", 2.9), ("off", 1.6)]
    task = [("do", 4.6), ("read", 2.2), ("bring_to", 2.3), ("how_much", 1.5)]
    to_fill_in = [("done", 0.8), ("made", 1.9), ("initials", 1.2)]
    names = [*(cut if cuts else task), *to_fill_in]
    return tuple(Column(say(f"columns.{name}"), share) for name, share in names)


def _cuts(desk: Desk, line: Line, plan: SetPlan, what: str) -> Table:
    rows = tuple(_cut(desk, line, cut) for cut in plan.cuts if cut.what == what)
    aim = getattr(plan.record, "target", None)
    aimed = "" if aim is None else desk.length(float(aim), line.worst).text
    caption = desk.say(f"tasks.{what}", aim=aimed)
    return Table(_columns(desk, cuts=True), rows, caption, "tasks")


def _cut(desk: Desk, line: Line, cut: Cut) -> tuple[Cell, ...]:
    row = line.worst
    feature = desk.say.say("feature", row.feature)
    name = desk.say("parts.numbered", feature=feature, number=cut.number)
    under = desk.say("tasks.decides") if cut.decides and cut.what != "hone" else ""
    if cut.what == "hone":
        read = Cell(desk.say("tasks.as_bored"))
    else:
        read = desk.band(cut.least, cut.greatest, row)
        read = Cell(read.text, read.under)
    return (
        Cell(name, under, strong=True), read, desk.band(cut.lower, cut.upper, row),
        desk.length(cut.off, row), *_to_fill_in(),
    )  # fmt: skip


def _tasks(desk: Desk, found: tuple[Line, ...]) -> Table:
    rows = []
    for line in found:
        row = line.worst
        name = desk.say("tasks.one", part=desk.part(row), asked=desk.asked(row))
        order = "" if is_plan(row) else row.next or row.reason
        read = desk.value(line)
        rows.append(
            (
                Cell(name, order, strong=True), Cell(read.text, read.under), desk.limits(row),
                desk.off(row), *_to_fill_in(),
            )
        )  # fmt: skip
    return Table(_columns(desk), tuple(rows), style="tasks")


def _to_fill_in() -> tuple[Cell, Cell, Cell]:
    return Cell("☐", form="tick"), Cell(form="blank"), Cell(form="blank")


def _unproven(desk: Desk, todo: Work) -> Iterator[Block]:
    if not todo.unproven and not todo.settled:
        return
    say = desk.say
    yield Heading(say("unproven.title"))
    yield from sections.caution(desk, "measure")
    if todo.unproven:
        columns = (
            Column(say("columns.part"), 2.3), Column(say("columns.read"), 2.3),
            Column(desk.doubt_title(), 1.4), Column(say("columns.limits"), 2.6),
            Column(say("columns.why"), 2.8), Column(say("columns.settle"), 3.0),
        )  # fmt: skip
        rows = tuple(
            (
                Cell(desk.part(row), desk.asked(row), strong=True), desk.value(line),
                desk.doubt(row), desk.limits(row), Cell(row.reason or NOTHING),
                Cell(row.next or NOTHING, strong=True),
            )
            for line in todo.unproven
            for row in (line.worst,)
        )  # fmt: skip
        yield Table(columns, rows, style="results")
    if todo.settled:
        names = dict.fromkeys(
            say("unproven.one", part=desk.part(line.worst), asked=desk.asked(line.worst))
            for line in todo.settled
        )
        yield Paragraph(say("unproven.settled", list=say("outcome.join").join(names)), "note")


def _not_checked(desk: Desk) -> Iterator[Block]:
    if not desk.not_checked:
        return
    say = desk.say
    yield Heading(say("not_checked.title"))
    rows = tuple(
        (Cell(say.say("check", each.check), strong=True), Cell(each.missing))
        for each in dict.fromkeys(desk.not_checked)
    )
    yield Table((Column(say("columns.check"), 1.0), Column(say("columns.missing"), 3.0)), rows)


def _not_read(desk: Desk) -> Iterator[Block]:
    problems = [each for each in desk.facts.problems if each.severity != "note"]
    if not problems and not desk.facts.rejected:
        return
    say = desk.say
    yield Heading(say("not_read.title"))
    if desk.facts.rejected:
        yield Paragraph(say("not_read.rejected", count=desk.facts.rejected))
    if problems:
        columns = (
            Column(say("columns.place"), 1.2), Column(say("columns.found"), 1.6),
            Column(say("columns.message"), 3.4), Column(say("columns.suggestion"), 3.0),
        )  # fmt: skip
        rows = tuple(
            (Cell(each.place), Cell(each.found), Cell(each.message), Cell(each.suggestion))
            for each in problems
        )
        yield Table(columns, rows)
