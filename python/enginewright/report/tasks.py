"""What is to be done, in the order of the machines; what is not proven; what a plan settles."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from enginewright._answers import answered_by
from enginewright._lines import Line, is_plan
from enginewright._orders import too_wide
from enginewright.report.benches import MACHINES, arranged, machine_of

__all__ = ["Work", "work"]

#: The group of what must be sent for.
ORDERS_AT = "order"
#: Plans that ask for other parts than those that came with the job.
ASK_FOR_PARTS = ("regrind", "rebore")


@dataclass(frozen=True)
class Work:
    """The work of a job.

    plans, single  by machine
    orders         rings too wide for the bores as they will be: other rings, not another cut
    new_parts      plans whose size asks for pistons or shells to match
    settled        answered by a plan
    """

    plans: dict[str, tuple[Line, ...]]
    single: dict[str, tuple[Line, ...]]
    orders: tuple[Line, ...]
    new_parts: tuple[Line, ...]
    unproven: tuple[Line, ...]
    settled: tuple[Line, ...]

    @property
    def machines(self) -> tuple[str, ...]:
        """The machines that have something to do, in the order of a paper."""
        return tuple(
            name
            for name in MACHINES
            if self.plans[name] or self.single[name] or self.orders_at(name)
        )

    def orders_at(self, machine: str) -> tuple[Line, ...]:
        """Give the lines that ask for parts, in their own group."""
        return (*self.new_parts, *self.orders) if machine == ORDERS_AT else ()


def work(found: Sequence[Line]) -> Work:
    """Sort the lines that count into work, open questions and what a plan settles.

    found  lines of the stage that counts
    """
    plans = [line for line in found if is_plan(line.worst)]
    covered = {line.worst.feature for line in plans if line.verdict != "outside"}
    # What no step saves is its own task; its parts still say what is wrong with them.
    single, orders, unproven, settled = [], [], [], []
    for line in found:
        row = line.worst
        if is_plan(row):
            continue
        if answered_by(row) in covered:
            settled.append(line)
        elif "bore" in covered and too_wide(row):
            orders.append(line)
        elif line.verdict == "unproven":
            unproven.append(line)
        elif line.verdict == "outside" or (line.verdict == "unlimited" and row.next):
            single.append(line)
    return Work(
        _by_machine(arranged(plans)), _by_machine(single), tuple(arranged(orders)),
        tuple(line for line in arranged(plans) if _asks_for_parts(line)),
        tuple(unproven), tuple(settled),
    )  # fmt: skip


def _asks_for_parts(line: Line) -> bool:
    row = line.worst
    return row.check in ASK_FOR_PARTS and line.verdict != "outside" and row.value is not None


def _by_machine(found: Iterable[Line]) -> dict[str, tuple[Line, ...]]:
    found = tuple(found)
    return {
        name: tuple(line for line in found if machine_of(line.worst) == name) for name in MACHINES
    }
