"""The balance of the rotor on paper: the holes to drill, the record, the verdict, the marks."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from enginewright._lines import Line
from enginewright._numbers import figure
from enginewright.report.blocks import Block, Cell, Column, Drawing, Heading, Paragraph, Table
from enginewright.report.desk import NOTHING, Desk

__all__ = ["balance_plan", "balance_record", "is_balance"]

#: The planes of a rotor as readings name them.
PLANES = ("left plane", "right plane")


def is_balance(line: Line) -> bool:
    """Say whether a line comes of the spins of a rotor."""
    return line.worst.check == "balance"


def balance_plan(desk: Desk, line: Line) -> Iterator[Block]:
    """Give the holes of a plan, one a line, with room to tick and to write; then its figures."""
    rotor = _rotor_of(desk, line)
    plan = None if rotor is None else rotor.plan
    if rotor is None or plan is None:
        return
    say = desk.say
    names = [
        ("at", 1.2), ("angle", 1.1), ("dial", 1.1), ("along", 1.1), ("set_to", 2.4), ("takes", 1.5),
        ("done", 0.8), ("made", 1.9), ("initials", 1.2),
    ]  # fmt: skip
    columns = tuple(Column(_title(desk, name), share) for name, share in names)
    sites = {site.name: site for site in rotor.sites}
    dial = _dial_of(desk)
    rows = tuple(
        _operation(desk, step, sites.get(step.site), dial(step.angle)) for step in plan.operations
    )
    yield Table(columns, rows, say("balance.holes"), "tasks")
    yield Paragraph(_promise(desk, plan), "note")
    if desk.figures:
        from enginewright import plots

        shown = [
            plots.crank_strip(
                plan, rotor.sites, name=desk.figure_name("crank strip"), words=desk.say
            ),
            plots.plan_cloud(
                plan, rotor.sites, name=desk.figure_name("plan cloud"), words=desk.say
            ),
        ]  # fmt: skip
        for each in shown:
            yield Drawing(each.to_svg(), each.title, each.description)


def balance_record(desk: Desk) -> Iterator[Block]:
    """Give verdict, record and marks of every rotor of the job; nothing where none was spun."""
    for rotor in _rotors(desk):
        if any(len(state.found) for state in rotor.stages):
            yield Heading(desk.say("balance.title"))
            yield _verdict(desk, rotor)
            yield from _figures(desk, rotor)
            yield _record(desk, rotor)
            yield from _notes(desk, rotor)
            if len(rotor.parts) > 1:
                yield _marks(desk, rotor)


def _title(desk: Desk, name: str) -> str:
    own = (
        "angle",
        "dial",
        "along",
        "set_to",
        "takes",
        "plane",
        "spins",
        "heavy",
        "tolerance",
        "chance",
    )
    return desk.say(f"{'balance' if name in own else 'columns'}.{name}")


def _dial_of(desk: Desk) -> Callable[[float], str]:
    """Give what the machine's own dial shows at an angle of the rotor, by the engine's card."""
    from enginewright.balance import rotor_angle
    from enginewright.table import Limits

    limits = desk.facts.limits
    cards = limits.cards if isinstance(limits, Limits) else {}
    engine = desk.facts.engine or next(iter(cards), "")
    card = cards[engine].rotor if engine in cards else {}
    if "zero" not in card or "counted" not in card:
        return lambda angle: NOTHING
    way = {key: card[key] for key in ("seen_from", "counted") if key in card}
    # The way back: the same turn about the mark, from its other side where both count alike.
    alike = rotor_angle(1.0, 0.0, **way) < 180
    zero = -card["zero"] if alike else card["zero"]
    return lambda angle: f"{rotor_angle(angle, zero, **way):.0f}°"


def _operation(desk: Desk, step: Any, site: Any, dial: str) -> tuple[Cell, ...]:
    unit = "g" if step.kind == "weight" else "mm"
    under = ""
    if site is not None and site.diameter is not None:
        way = desk.say(f"balance.{site.direction}")
        under = desk.say("balance.hole", diameter=f"{site.diameter:g}", way=way)
    return (
        Cell(step.site, strong=True), Cell(f"{step.angle:.0f}°"), Cell(dial),
        Cell(f"{step.position:.0f} mm"),
        Cell(f"{desk.say(f'balance.{step.kind}')} {step.setting:.1f} {unit}", under, strong=True),
        Cell(f"{-step.moment:.0f} g·mm", f"{-step.mass:.1f} g"),
        Cell("☐", form="tick"), Cell(form="blank"), Cell(form="blank"),
    )  # fmt: skip


def _promise(desk: Desk, plan: Any) -> str:
    planes = [
        desk.say(
            "balance.left",
            plane=desk.say(f"balance.plane_{p + 1}"),
            amount=f"{abs(plan.residual[p]):.0f}",
            tolerance=f"{plan.tolerance[p]:.0f}",
            chance=_chance(plan.probability[p]),
        )
        for p in range(2)
    ]
    return desk.say("balance.then", list="; ".join(planes))


def _rotors(desk: Desk) -> tuple[Any, ...]:
    from enginewright.job import assemblies
    from enginewright.table import Limits, Readings

    readings, limits = desk.readings, desk.facts.limits
    if not isinstance(readings, Readings) or not isinstance(limits, Limits):
        return ()
    if not any(row.feature == "rotor" for row in desk.reading_rows):
        return ()
    rule: Any = desk.facts.rule
    rule = rule if rule in ("guarded", "expanded", "simple") else "guarded"
    return assemblies(readings, limits, rule=rule, level=desk.facts.level)


def _rotor_of(desk: Desk, line: Line) -> Any:
    """Give the rotor of a plan's line."""
    number = line.worst.number
    return next((rotor for rotor in _rotors(desk) if rotor.number == number), None)


def _last(rotor: Any) -> Any:
    """Give the last state that could be worked out."""
    return next(state for state in reversed(rotor.stages) if len(state.found))


def _verdict(desk: Desk, rotor: Any) -> Table:
    say, last = desk.say, _last(rotor)
    columns = (
        Column(_title(desk, "plane"), 2.2), Column(say("columns.read"), 1.6),
        Column(_title(desk, "heavy"), 1.3), Column(desk.doubt_title(), 1.4),
        Column(_title(desk, "tolerance"), 1.6), Column(_title(desk, "chance"), 1.5),
        Column(say("columns.verdict"), 2.0),
    )  # fmt: skip
    from enginewright.balance import amount_of, angle_of

    rows = []
    for p in range(2):
        at = f"z = {rotor.tolerance_planes[p]:g} mm" if len(rotor.tolerance_planes) else ""
        tolerance = None if last.tolerance is None else float(last.tolerance[p])
        chance = f"{_chance(last.probability[p])} %" if len(last.probability) else NOTHING
        rows.append(
            (
                Cell(say(f"balance.plane_{p + 1}"), at, strong=True),
                Cell(_amount(float(amount_of(last.residual[p]))), strong=True),
                Cell(f"{angle_of(last.residual[p]):.0f}°"),
                Cell(_doubt(desk, rotor, last.stage, p)),
                Cell(NOTHING if tolerance is None else _amount(tolerance)),
                Cell(chance), desk.verdict(last.verdict[p]),
            )
        )  # fmt: skip
    caption = say("balance.verdict", stage=say.say("stage", last.stage), spins=last.spins)
    return Table(columns, tuple(rows), caption, "results")


def _doubt(desk: Desk, rotor: Any, stage: str, plane: int) -> str:
    """Give the expanded uncertainty of a residual, as the finding of its plane states it."""
    for row in desk.finding_rows:
        of_rotor = row.check == "balance" and row.number == rotor.number
        if (
            of_rotor
            and row.quantity == "residual"
            and (row.stage, row.station)
            == (
                stage,
                PLANES[plane],
            )
        ):
            return _amount(row.uncertainty or 0.0)
    return NOTHING


def _chance(probability: float) -> str:
    """Write a probability in percent: nothing that was measured is certain."""
    percent = 100 * float(probability)
    return "> 99.9" if percent > 99.9 else "< 0.1" if percent < 0.1 else f"{percent:.1f}"


def _amount(value: float) -> str:
    return figure(value, "g·mm").first


def _record(desk: Desk, rotor: Any) -> Table:
    from enginewright.balance import amount_of, angle_of

    say = desk.say
    columns = (
        Column(say("facts.stage"), 2.2), Column(_title(desk, "spins"), 0.9),
        Column(say("balance.plane_1"), 2.2), Column(say("balance.plane_2"), 2.2),
        Column(say("columns.verdict"), 2.2),
    )  # fmt: skip
    rows = []
    for state in rotor.stages:
        if not len(state.found):
            rows.append((Cell(state.stage, strong=True), *[Cell(NOTHING)] * 3, Cell(state.reason)))
            continue
        vectors = [
            Cell(f"{_amount(float(amount_of(each)))}, {angle_of(each):.0f}°")
            for each in state.residual
        ]
        worst = next(
            (word for word in ("outside", "unproven", "within") if word in state.verdict), ""
        )
        over = say("balance.overtaken", stage=state.overtaken) if state.overtaken else NOTHING
        badge = desk.verdict(worst) if worst else Cell(over)
        rows.append(
            (Cell(state.stage, strong=True), Cell(str(state.spins)), *vectors, badge)
        )  # fmt: skip
    return Table(columns, tuple(rows), say("balance.record"))


def _notes(desk: Desk, rotor: Any) -> Iterator[Paragraph]:
    """Say what the core noted of the spins of a state: what a trial mass proved of the machine."""
    for state in rotor.stages:
        # A state that could not be worked out has its reason in the record.
        if len(state.found) and state.reason:
            stage = desk.say.say("stage", state.stage)
            yield Paragraph(desk.say("balance.noted", stage=stage, reason=state.reason), "note")


def _marks(desk: Desk, rotor: Any) -> Table:
    say = desk.say
    columns = (
        Column(say("columns.part"), 2.0), Column(say("balance.to"), 2.4),
        Column(say("balance.mark"), 3.6), Column(say("columns.done"), 0.8),
    )  # fmt: skip
    # What a part is bolted to is known to whoever bolted it, not to the order of the spins.
    rows = tuple(
        (Cell(part.name, strong=True), Cell(form="blank"), Cell(form="blank"),
         Cell("☐", form="tick"))
        for part in rotor.parts[1:]
    )  # fmt: skip
    return Table(columns, rows, say("balance.marks"))


def _figures(desk: Desk, rotor: Any) -> Iterator[Drawing]:
    if not desk.figures:
        return
    from enginewright import balance, plots

    last = _last(rotor)
    if len(rotor.planes) and last.tolerance is not None:
        record = balance.BalanceRecord(
            rotor.planes, last.tolerance, rotor.tolerance_planes,
            uncertainty=float(max(last.uncertainty)), level=desk.facts.level,
        )  # fmt: skip
        for state in rotor.stages:
            if len(state.found):
                record = record.with_run(state.found, note=state.stage)
        shown = plots.dials(
            record, sites=rotor.sites, name=desk.figure_name("dials"), words=desk.say
        )
        yield Drawing(shown.to_svg(), shown.title, shown.description)
    if len(rotor.parts) > 1:
        shown = plots.stages(rotor.parts, name=desk.figure_name("stages"), words=desk.say)
        yield Drawing(shown.to_svg(), shown.title, shown.description)
