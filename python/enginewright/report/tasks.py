"""What is to be done, in the order of the machines; what is not proven; what a plan settles."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from enginewright._answers import answered_by
from enginewright._lines import Line, is_plan
from enginewright._orders import too_wide
from enginewright.report.benches import MACHINES, arranged, machine_of

__all__ = ["Work", "work"]

#: The machine, or rather the bench, at which rings for a new size are ordered.
ORDERS_AT = "fitting"


@dataclass(frozen=True)
class Work:
    """The work of a job.

    plans, single  by machine
    orders         rings too wide for the bores as they will be: other rings, not another cut
    settled        answered by a plan
    """

    plans: dict[str, tuple[Line, ...]]
    single: dict[str, tuple[Line, ...]]
    orders: tuple[Line, ...]
    unproven: tuple[Line, ...]
    settled: tuple[Line, ...]

    @property
    def machines(self) -> tuple[str, ...]:
        """The machines that have something to do, in the order of a paper."""
        return tuple(
            name
            for name in MACHINES
            if self.plans[name] or self.single[name] or (self.orders and name == ORDERS_AT)
        )

    def orders_at(self, machine: str) -> tuple[Line, ...]:
        """Give the rings to order, at the bench where they are gapped."""
        return self.orders if machine == ORDERS_AT else ()


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
        tuple(unproven), tuple(settled),
    )  # fmt: skip


def _by_machine(found: Iterable[Line]) -> dict[str, tuple[Line, ...]]:
    found = tuple(found)
    return {
        name: tuple(line for line in found if machine_of(line.worst) == name) for name in MACHINES
    }
