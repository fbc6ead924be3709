"""What is to be done, in the order of the machines; what is not proven; what a plan settles."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from enginewright._lines import Line, is_plan
from enginewright._rows import FindingRow
from enginewright.report.benches import MACHINES, machine_of

__all__ = ["Work", "work"]

#: Checks whose complaint a plan for the whole set answers.
ANSWERED = ("limits", "ovality", "taper", "wear")


@dataclass(frozen=True)
class Work:
    """The work of a job. `plans` and `single` by machine; `settled` is answered by a plan."""

    plans: dict[str, tuple[Line, ...]]
    single: dict[str, tuple[Line, ...]]
    unproven: tuple[Line, ...]
    settled: tuple[Line, ...]

    @property
    def machines(self) -> tuple[str, ...]:
        """The machines that have something to do, in the order of a paper."""
        return tuple(name for name in MACHINES if self.plans[name] or self.single[name])


def work(found: Sequence[Line]) -> Work:
    """Sort the lines that count into work, open questions and what a plan settles.

    found  lines of the stage that counts
    """
    plans = [line for line in found if is_plan(line.worst)]
    covered = {line.worst.feature for line in plans if line.verdict != "outside"}
    # What no step saves is its own task; its parts still say what is wrong with them.
    single, unproven, settled = [], [], []
    for line in found:
        row = line.worst
        if is_plan(row):
            continue
        open_question = line.verdict in ("outside", "unproven")
        if open_question and row.feature in covered and _answered(row):
            settled.append(line)
        elif line.verdict == "unproven":
            unproven.append(line)
        elif line.verdict == "outside" or (line.verdict == "unlimited" and row.next):
            single.append(line)
    return Work(_by_machine(plans), _by_machine(single), tuple(unproven), tuple(settled))


def _answered(row: FindingRow) -> bool:
    """Say whether a plan for the feature answers a complaint; a part to blame stays its own."""
    return row.check in ANSWERED or (row.check == "balance" and " itself" not in row.next)


def _by_machine(found: Iterable[Line]) -> dict[str, tuple[Line, ...]]:
    found = tuple(found)
    return {
        name: tuple(line for line in found if machine_of(line.worst) == name) for name in MACHINES
    }
