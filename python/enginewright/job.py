"""The job: readings in, findings out; the shop's own checks among them.

What goes wrong at the bench is rarely a single reading: it is the reading nobody took, the gauge
that could not decide, the plan made from one journal. `inspect` judges every reading, runs the
derived checks whose rows are there, says which could not run and why, and names the next action.

Caution: a verdict is only as good as the last calibration of the gauge. "Unproven" is not "good".
"""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import ModuleType
from typing import Any, Literal

from enginewright import _core
from enginewright._head import JobHead, read_head
from enginewright.measure import Quantity
from enginewright.table import Findings, Gauges, Limits, Readings

__all__ = [
    "Assembly",
    "CheckError",
    "CheckInfo",
    "CustomCheck",
    "JobHead",
    "JobReadings",
    "ReadingRow",
    "SpunStage",
    "assemblies",
    "check",
    "checks",
    "explain",
    "finding",
    "inspect",
    "load_checks",
    "read_head",
]

Assembly = _core.job.Assembly
CheckInfo = _core.job.CheckInfo
SpunStage = _core.job.SpunStage
checks = _core.job.checks


class CheckError(ValueError):
    """A custom check that failed: names the check, the job and the cell."""


@dataclass(frozen=True)
class ReadingRow:
    """One reading of a custom check, in the canonical unit and at 20 °C."""

    index: int
    """Row in the readings, from 0."""
    job: str
    stage: str | None
    feature: str | None
    number: int | None
    part: str | None
    station: str | None
    axis: str | None
    quantity_word: str | None
    observation: str | None
    unit: str
    cell: str
    _sizes: Any = field(repr=False, compare=False)

    @property
    def quantity(self) -> Quantity:
        """Value with its doubt; readings of one gauge share its certificate."""
        size: Quantity = self._sizes.at(self.index)
        return size

    @property
    def value(self) -> float:
        """Value alone."""
        return float(self._sizes.at(self.index).value)


_WORDS = ("job", "stage", "feature", "part", "station", "axis", "quantity", "observation")


class JobReadings:
    """Readings of one job as a custom check sees them: selected, canonical units, 20 °C.

    Iterating gives `ReadingRow`s in the order in which they were written.
    """

    def __init__(self, rows: Sequence[ReadingRow]) -> None:
        self.rows = tuple(rows)

    def __len__(self) -> int:
        return len(self.rows)

    def __iter__(self) -> Iterator[ReadingRow]:
        return iter(self.rows)

    def __repr__(self) -> str:
        return f"JobReadings({len(self.rows)} rows)"

    def where(self, **words: Any) -> JobReadings:
        """Rows whose columns hold these words; a tuple stands for any of its words."""
        return JobReadings([row for row in self.rows if _suits(row, words)])

    def split(self, column: str) -> Iterator[tuple[Any, JobReadings]]:
        """Give groups by a column, in the order in which its values first appear."""
        groups: dict[Any, list[ReadingRow]] = {}
        for row in self.rows:
            groups.setdefault(_value_of(row, column), []).append(row)
        for value, rows in groups.items():
            yield value, JobReadings(rows)

    def one(self, **words: Any) -> ReadingRow:
        """Return the one row that matches; none or several is an error that says so."""
        found = self.where(**words).rows
        if len(found) != 1:
            asked = ", ".join(f"{name} {value!r}" for name, value in words.items())
            raise LookupError(f"one reading with {asked} is needed, there are {len(found)}")
        return found[0]


def _value_of(row: ReadingRow, column: str) -> Any:
    name = "quantity_word" if column == "quantity" else column
    if name not in row.__dataclass_fields__ or name.startswith("_"):
        raise ValueError(f"column must be one of number, {', '.join(_WORDS)}; got {column!r}")
    return getattr(row, name)


def _suits(row: ReadingRow, words: Mapping[str, Any]) -> bool:
    for column, wanted in words.items():
        value = _value_of(row, column)
        if isinstance(wanted, (tuple, list, set, frozenset)):
            if value not in wanted:
                return False
        elif value != wanted:
            return False
    return True


@dataclass(frozen=True)
class CustomCheck:
    """A check of the shop's own: its name, the readings it needs, its function."""

    name: str
    needs: Mapping[str, Any]
    function: Callable[[JobReadings, Limits], Iterable[Any]]

    def __call__(self, readings: JobReadings, limits: Limits) -> Iterable[Any]:
        """Run the check on the readings of one job."""
        return self.function(readings, limits)


def check(
    name: str, *, needs: Mapping[str, Any] | None = None
) -> Callable[[Callable[[JobReadings, Limits], Iterable[Any]]], CustomCheck]:
    """Make a function a custom check.

    Parameters
    ----------
    name
        Name in the findings, with the shop's word before a point: "shop.top_gap".
    needs
        Columns and words that select its readings; a tuple stands for any of its words. A job
        without such readings is passed over.

    Examples
    --------
    >>> @ew.check("shop.top_gap", needs={"feature": "ring", "quantity": "gap"})
    ... def top_gap(readings, limits):
    ...     for cylinder, group in readings.split("number"):
    ...         yield ew.finding(group, value=group.one(part="top ring").quantity, lower=0.3)
    >>> top_gap.name
    'shop.top_gap'
    """
    if not isinstance(name, str) or not name.strip():
        raise ValueError(f"name must be a text that is not empty, got {name!r}")
    if name in {each.check for each in checks()}:
        raise ValueError(f"name must not be that of a check of the library, got {name!r}")

    def made(function: Callable[[JobReadings, Limits], Iterable[Any]]) -> CustomCheck:
        return CustomCheck(name, dict(needs or {}), function)

    return made


def finding(
    group: JobReadings,
    *,
    value: float | Quantity | None = None,
    lower: float | None = None,
    upper: float | None = None,
    target: float | None = None,
    unit: str = "mm",
    quantity: str = "",
    next: str = "",  # noqa: A002 - the column's own name
    reason: str = "",
    amount: float | None = None,
    amount_unit: str = "",
    source: str = "",
    rows: Sequence[ReadingRow] | None = None,
    verdict: Literal["within", "outside", "unproven", "unlimited"] | None = None,
) -> Any:
    """Make one finding of a custom check.

    Verdict, margin and probability follow from value and limits as everywhere in the library;
    `next` and `reason` are kept unless the value is within.

    Parameters
    ----------
    group
        Readings that the finding is about.
    value
        Figure to judge, a number or a Quantity that keeps its doubt.
    lower, upper, target
        Limits and target in `unit`.
    unit
        Unit of the figure.
    next, reason
        What to do and why, one sentence each.
    rows
        Readings that count, when not all of the group.
    verdict
        Only where no figure can be judged; then `reason` must be given.

    Raises
    ------
    ValueError
        No readings, no value and no verdict, a verdict without a reason.
    """
    chosen = tuple(rows if rows is not None else group.rows)
    if not chosen:
        raise ValueError("rows must name at least one reading, got none")
    if value is None and verdict is None:
        raise ValueError("value must be given, unless verdict and reason are")
    if verdict is not None and not reason:
        raise ValueError("reason must be given with a verdict")
    return _core.job.custom_finding(
        rows=[row.index for row in chosen],
        value=value,
        lower=lower,
        upper=upper,
        target=target,
        unit=unit,
        quantity=quantity,
        next=next,
        reason=reason,
        amount=amount,
        amount_unit=amount_unit,
        source=source,
        verdict=verdict,
    )


def inspect(
    readings: Readings,
    limits: Limits,
    gauges: Gauges | None = None,
    checks: Sequence[CustomCheck] = (),
    kind: str | None = None,
    rule: Literal["guarded", "expanded", "simple"] = "guarded",
    level: float = 0.95,
    threads: int = 0,
    *,
    plans: Literal["when worn", "always"] = "when worn",
    on_error: Literal["raise", "report"] = "raise",
) -> Findings:
    """Judge every reading of every job and say what to do next.

    Parameters
    ----------
    readings
        One row a reading, any number of jobs.
    limits
        Limits with the engine cards.
    gauges
        Cards of the gauges that the readings name; None counts every reading as without gauge.
    checks
        The shop's own checks, run after those of the library.
    kind
        Which limits: "wear", "machining", "new", "repair size"; None: by the stage.
    rule, level
        Decision rule and the probability it asks for.
    threads
        0: as many as this process may use. The findings never depend on it.
    plans
        "always" plans a regrind and a rebore even where nothing is worn.
    on_error
        What an exception inside a custom check does: "raise" stops with a `CheckError`, "report"
        keeps it in `findings.problems`.

    Returns
    -------
    Findings
        In a fixed order: jobs as first seen, then checks, number, part, station.

    Raises
    ------
    ValueError
        An unknown unit, a unit that does not suit its quantity, limits that contradict each other.
    CheckError
        A custom check failed.
    """
    if plans not in ("when worn", "always"):
        raise ValueError(f"plans must be one of when worn, always; got {plans!r}")
    if on_error not in ("raise", "report"):
        raise ValueError(f"on_error must be one of raise, report; got {on_error!r}")
    gauges = Gauges.empty() if gauges is None else gauges
    found: Findings = _core.job.inspect(
        readings, limits, gauges, kind, rule, level, threads, plans == "always"
    )
    if not checks:
        return found
    custom, problems = _run_custom(readings, limits, gauges, checks, on_error)
    joined: Findings = _core.job.join(found, readings, custom, rule, level, gauges)
    return joined.with_problems(problems) if problems else joined


def assemblies(
    readings: Readings,
    limits: Limits,
    gauges: Gauges | None = None,
    kind: str | None = None,
    rule: Literal["guarded", "expanded", "simple"] = "guarded",
    level: float = 0.95,
    *,
    plans: Literal["when worn", "always"] = "when worn",
) -> tuple[Any, ...]:
    """Return the rotors of all jobs: every state spun, what each part brought, and the hole plan.

    These are the records behind the findings of the check "balance", made by the same rules; the
    figures of `plots` are drawn from them.

    Parameters
    ----------
    readings, limits, gauges, kind, rule, level, plans
        As `inspect` takes them.

    Returns
    -------
    tuple of Assembly
        One for each rotor that was spun, in the order of the jobs.

    Examples
    --------
    >>> limits = ew.Limits.from_json('''{"engine": [{"name": "Curlew V8",
    ...     "rotor": {"zero": "0 deg", "counted": "clockwise", "tolerance": "40 g mm"}}]}''')
    >>> spin = ew.Readings(job="C1", engine="Curlew V8", stage="bare crank", feature="rotor",
    ...     station=["left plane", "left plane", "right plane", "right plane"], repeat=1,
    ...     quantity=["amount", "phase"] * 2, value=[30, 90, 12, 0], unit=["g mm", "deg"] * 2)
    >>> ew.job.assemblies(spin, limits)[0].stages[0].residual.round(6)
    array([ 0.+30.j, 12. +0.j])
    """
    if plans not in ("when worn", "always"):
        raise ValueError(f"plans must be one of when worn, always; got {plans!r}")
    gauges = Gauges.empty() if gauges is None else gauges
    found: tuple[Any, ...] = _core.job.assemblies(
        readings, limits, gauges, kind, rule, level, plans == "always"
    )
    return found


def _run_custom(
    readings: Readings,
    limits: Limits,
    gauges: Gauges,
    checks: Sequence[CustomCheck],
    on_error: str,
) -> tuple[list[Any], list[str]]:
    sizes = _core.job.Sizes(readings, limits, gauges)
    jobs: dict[str, list[ReadingRow]] = {}
    for row in _rows_of(readings, sizes):
        jobs.setdefault(row.job, []).append(row)
    custom: list[Any] = []
    problems: list[str] = []
    for each in checks:
        for job, rows in jobs.items():
            chosen = JobReadings(rows).where(**each.needs)
            if not chosen.rows:
                continue
            try:
                custom += [made.named(each.name) for made in each(chosen, limits) or ()]
            except Exception as error:
                text = f"{each.name}, job {job}, {chosen.rows[0].cell}: {error}"
                if on_error == "raise":
                    raise CheckError(text) from error
                problems.append(text)
    return custom, problems


def _rows_of(readings: Readings, sizes: Any) -> Iterator[ReadingRow]:
    words = {name: readings[name].values for name in _WORDS if name in readings.columns}
    number = readings["number"]
    cells = readings.cells()
    for index in range(len(readings)):
        at = {name: (values[index] or None) for name, values in words.items()}
        yield ReadingRow(
            index=index,
            job=at.get("job") or "",
            stage=at.get("stage"),
            feature=at.get("feature"),
            number=None if number.missing[index] else int(number.values[index]),
            part=at.get("part"),
            station=at.get("station"),
            axis=at.get("axis"),
            quantity_word=at.get("quantity"),
            observation=at.get("observation"),
            unit=sizes.unit(index),
            cell=cells[index],
            _sizes=sizes,
        )


def load_checks(source: str | Path) -> tuple[CustomCheck, ...]:
    """Load custom checks from a Python file, which is run, or the installed ones ("installed").

    Raises
    ------
    CheckError
        The file cannot be run, or holds no check.
    """
    if str(source) == "installed":
        from importlib.metadata import entry_points

        return tuple(each.load() for each in sorted(entry_points(group="enginewright.checks")))
    module = _run_file(Path(source))
    found = tuple(each for each in vars(module).values() if isinstance(each, CustomCheck))
    if not found:
        raise CheckError(f"{source} must hold at least one function under @ew.check")
    return found


def _run_file(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"shop_checks_{path.stem}", path)
    if spec is None or spec.loader is None or not path.is_file():
        raise CheckError(f"{path} must be a Python file")
    module = importlib.util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
    except Exception as error:
        raise CheckError(f"{path} cannot be run: {error}") from error
    return module


def explain(what: str) -> str:
    """Text that explains a check, a verdict or a quantity.

    Parameters
    ----------
    what
        Name of a check ("ring gap"), a verdict ("unproven") or a quantity ("ovality").

    Raises
    ------
    ValueError
        No such word; the nearest known ones are named.

    Examples
    --------
    >>> print(ew.job.explain("unproven").splitlines()[0])
    unproven: the gauge cannot decide.
    """
    from enginewright._explain import text_of

    return text_of(what)
