"""The work list: what to do next, machine by machine, with room to tick and to write."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from enginewright._lines import Line, is_plan
from enginewright.report import sections
from enginewright.report.balancing import balance_plan, balance_record, is_balance
from enginewright.report.benches import CAUTIONS_AT, topic_of
from enginewright.report.blocks import Block, Cell, Column, Heading, Paragraph, Table
from enginewright.report.classes import classes
from enginewright.report.desk import NOTHING, Desk
from enginewright.report.drawings import ladder
from enginewright.report.filing import filing_band
from enginewright.report.part_orders import part_orders, to_fill_in
from enginewright.report.plans import Cut, SetPlan, set_plan
from enginewright.report.raw import as_written
from enginewright.report.remarks import remarks, remarks_of_part, with_remarks
from enginewright.report.tasks import Work, work
from enginewright.report.weight_tasks import weight_tasks

__all__ = ["work_list"]


def work_list(desk: Desk) -> Iterator[Block]:
    """Give the blocks of the work list."""
    todo = work(desk.now)
    yield from sections.head(desk)
    yield from sections.outcome(desk, _outcome(desk, todo))
    told = {bench for machine, bench in CAUTIONS_AT.items() if machine in todo.machines}
    for machine in todo.machines:
        yield Heading(desk.say(f"machines.{machine}"))
        yield from sections.caution(desk, CAUTIONS_AT.get(machine, ""))
        here = (*todo.plans[machine], *todo.single[machine])
        for topic in dict.fromkeys(topic_of(line.worst) for line in here):
            yield from sections.caution(desk, topic)
            told.add(topic)
        for line in todo.plans[machine]:
            yield from _plan(desk, line)
        rows = [_task(desk, line) for line in todo.single[machine]]
        if todo.orders_at(machine):
            rows += part_orders(desk, todo)
        if rows:
            yield _tasks(desk, rows)
        yield from weight_tasks(desk, todo.single[machine])
    yield from _unproven(desk, todo)
    yield from _not_checked(desk)
    yield from _not_read(desk)
    used = (*sections.benches_used(desk), *sections.topics_used(desk))
    left = [each for each in used if each not in told]
    if any(desk.say.all(f"cautions.{bench}.items") for bench in left):
        yield Heading(desk.say("cautions.title"))
        for bench in left:
            yield from sections.caution(desk, bench)
    yield from balance_record(desk)
    yield Heading(desk.say("results.title"))
    yield from sections.results(desk, desk.now, remarks=partial(remarks, desk))
    if desk.before:
        yield Heading(desk.say("results.before"))
        yield from sections.results(
            desk, desk.before, pictures=False, remarks=partial(remarks, desk)
        )
    yield from classes(desk)
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
    one = desk.say.say("feature", row.feature)
    several = desk.say.say("set of", row.feature)
    name = one if several == row.feature else several
    yield Heading(desk.say("tasks.plan", feature=name, check=desk.asked(row)), 3)
    yield Paragraph(row.next or row.reason, "order")
    if row.next and row.reason:
        yield Paragraph(desk.say("tasks.because", reason=row.reason))
    if is_balance(line):
        yield from balance_plan(desk, line)
        return
    plan = set_plan(row, desk.findings, desk.readings, desk.facts) if row.readings else None
    if plan is None:
        yield _tasks(desk, [_task(desk, line)])
        return
    yield from ladder(desk, row, plan)
    for what in dict.fromkeys(cut.what for cut in plan.cuts):
        yield _cuts(desk, line, plan, what)


def _columns(desk: Desk, *, cuts: bool = False) -> tuple[Column, ...]:
    say = desk.say
    # A cut needs no sentence: its part is named in a word, its band in one line.
    cut = [("part", 2.5), ("read", 2.9), ("bring_to", 2.9), ("off", 1.6)]
    task = [("do", 4.6), ("read", 2.0), ("bring_to", 2.5), ("how_much", 1.4)]
    to_fill_in = [("done", 0.8), ("made", 1.7), ("initials", 1.1)]
    names = [*(cut if cuts else task), *to_fill_in]
    return tuple(Column(say(f"columns.{name}"), share) for name, share in names)


def _cuts(desk: Desk, line: Line, plan: SetPlan, what: str) -> Table:
    rows = tuple(_cut(desk, line, cut) for cut in plan.cuts if cut.what == what)
    aim = getattr(plan.record, "target" if what == "grind" else "finish_bore", None)
    aimed = "" if aim is None else desk.length(float(aim), line.worst).text
    caption = desk.say(f"tasks.{what}", aim=aimed)
    return Table(_columns(desk, cuts=True), rows, caption, "tasks")


def _cut(desk: Desk, line: Line, cut: Cut) -> tuple[Cell, ...]:
    row = line.worst
    feature = desk.say.say("feature", row.feature)
    name = desk.say("parts.numbered", feature=feature, number=cut.number)
    under = desk.say("tasks.decides") if cut.decides and cut.what != "hone" else ""
    under = with_remarks(under, remarks_of_part(desk, row, cut.number))
    if cut.what == "hone":
        read = Cell(desk.say("tasks.as_bored"))
    else:
        read = desk.band(cut.least, cut.greatest, row)
        read = Cell(read.text, read.under)
    return (
        Cell(name, under, strong=True), read, desk.band(cut.lower, cut.upper, row),
        desk.length(cut.off, row), *to_fill_in(),
    )  # fmt: skip


def _tasks(desk: Desk, rows: Sequence[tuple[Cell, ...]]) -> Table:
    return Table(_columns(desk), tuple(rows), style="tasks")


def _task(desk: Desk, line: Line) -> tuple[Cell, ...]:
    row = line.worst
    name = desk.say("tasks.one", part=desk.part(row), asked=desk.asked(row))
    order = "" if is_plan(row) else row.next or row.reason
    # Weights are listed part by part below, with what was written beside each.
    told = "" if row.check == "mass match" else remarks(desk, line)
    read = desk.value(line)
    bring_to = filing_band(desk, row) if row.check == "ring gap" else desk.limits(row)
    return (
        Cell(name, with_remarks(order, told), strong=True), Cell(read.text, read.under), bring_to,
        desk.off(row), *to_fill_in(),
    )  # fmt: skip


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
                Cell(
                    desk.part(row), with_remarks(desk.asked(row), remarks(desk, line)), strong=True
                ),
                desk.value(line), desk.doubt(row), desk.limits(row), Cell(row.reason or NOTHING),
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
        (Cell(say.say("check alone", each.check), strong=True), Cell(each.missing))
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
