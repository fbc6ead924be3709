"""Every public function of the extension under arguments that no caller should give.

What may come back: a finite answer, or a refusal that names a parameter. Never a crash, a wait, a
silent NaN or infinity, a changed argument, a kept reference. The functions are read from the types
of the extension and their good arguments from the reference values, so that a new function stands
in the storm as soon as it has a row.
"""

from __future__ import annotations

import ast
import contextlib
import copy
import inspect
import json
import pickle
import re
import sys
import time
from typing import Any

import numpy as np
import pytest
from hostile import VALUES, is_finite, same
from test_references import FILES, inputs_of
from test_stubs import STUB

import enginewright as ew
from enginewright import _core

SITES = [ew.balance.Site("A", "drill", 0, 0, 80, diameter=12, maximum_depth=20)]
PLAN = ew.balance.plan_correction([500, 0], [0, 360], SITES, 60)
#: Good arguments of functions that have no reference row of their own.
GOOD: dict[str, dict[str, Any]] = {
    "balance.apply_plan": {"plan": PLAN, "sites": SITES},
    "balance.plan_outcomes": {"plan": PLAN, "sites": SITES, "draws": 200},
    "balance.simulate_plan": {"plan": PLAN, "sites": SITES, "draws": 200},
    "balance.staged_assembly": {"stages": [ew.balance.Stage("bare crank", [5, 4j], tolerance=40)]},
    "crank_train.rod_bore_clearance": {
        "bore": 86, "stroke": 90, "rod_length": 145, "bore_bottom": 62, "rod_width": 24,
    },
    "crank_train.stroke_from_travel": {"travel": 90.0, "rod_length": 150.0},
    "fits.classes": {},
    "fits.joint_stress": {
        "radius": 10.0, "pressure": 20.0, "diameter": 14.0, "outer_diameter": 34.0,
    },
    "fits.materials": {},
    "matching.lightened": {"mass": 9000.0, "inertia": 60000.0, "removals": []},
    "measure.gauge": {"name": "micrometer", "resolution": 0.001},
    "measure.settle": {
        "reading": ew.measure.reading([59.99, 59.991], ew.measure.gauge("m", resolution=0.001)),
        "lower": 59.985,
    },
    "measure.stack": {"quantities": [ew.Quantity(1.0, 0.1), ew.Quantity(2.0, 0.1)]},
    "reciprocating.common_layout": {
        "name": "inline 4", "spacing": 100, "crank_radius": 40, "rod_length": 160,
        "reciprocating": 500,
    },
    "rings.gap_rules": {},
    "stats.signals": {"points": [0.1, -0.2, 0.3, 5.0], "centre": 0.0, "sigma": 1.0},
    "units.canonical": {"dimension": "length"},
    "units.table": {},
    "units.unit": {"symbol": "thou"},
}  # fmt: skip
#: Fields that are documented to be infinite at times.
MAY_BE_INFINITE = frozenset({"degrees_of_freedom", "calibration_freedom", "repeatability_freedom"})
#: No call may take longer, seconds.
PATIENCE = 2.0


def declared() -> list[str]:
    """Functions whose parameters the types name; those that only pass through have a face."""
    names = []
    for node in ast.parse(STUB.read_text(encoding="utf-8")).body:
        # Benches are in lower case; what all records have in common is no function.
        bench = isinstance(node, ast.ClassDef) and node.name.islower()
        for each in node.body if bench else []:  # type: ignore[attr-defined]
            if isinstance(each, ast.FunctionDef) and each.args.vararg is None:
                names.append(f"{node.name}.{each.name}")  # type: ignore[attr-defined]
    return names


def good_arguments() -> dict[str, dict[str, Any]]:
    """Arguments that each function answers, from its first row that is not a refusal."""
    good = dict(GOOD)
    for file in FILES:
        for row in json.loads(file.read_text(encoding="utf-8")):
            refused = isinstance(row["expected"], dict) and set(row["expected"]) == {"raises"}
            if row["function"] not in good and not refused and "quantities" not in row["inputs"]:
                good[row["function"]] = row
    return good


GOOD_ARGUMENTS = good_arguments()
#: What these refuse, the caller's own function refuses: its arguments have no names of ours.
ASK_THE_CALLER = {"measure.propagate", "measure.simulate"}
FUNCTIONS = [
    name
    for name in declared()
    if not name.startswith(("job.", "table.")) and name not in ASK_THE_CALLER
]


def good(name: str) -> dict[str, Any]:
    entry = GOOD_ARGUMENTS[name]
    return inputs_of(entry) if "inputs" in entry else dict(entry)


def function(name: str) -> Any:
    module, short = name.split(".")
    return getattr(getattr(_core, module), short)


def names_a_parameter(text: str, parameters: list[str]) -> bool:
    return any(re.search(rf"\b{re.escape(each)}\b", text) for each in parameters)


def quotes(text: str, arguments: dict[str, Any]) -> bool:
    """Tell whether a refusal shows the very text that was given: "unknown unit '86.00'"."""
    return any(f"'{each}'" in text for each in arguments.values() if isinstance(each, str))


def fault(name: str, arguments: dict[str, Any], parameters: list[str]) -> str | None:
    """Give what is wrong with a call, or None."""
    started = time.perf_counter()
    try:
        answer = function(name)(**arguments)
    except (ValueError, TypeError) as refused:
        said = str(refused)
        if not (names_a_parameter(said, parameters) or quotes(said, arguments)):
            return f"the refusal names no parameter: {refused}"
    except BaseException as other:
        return f"{type(other).__name__}: {other}"
    else:
        if not is_finite(answer, MAY_BE_INFINITE):
            return f"the answer is not finite: {answer!r}"
    if time.perf_counter() - started > PATIENCE:
        return f"took {time.perf_counter() - started:.1f} s"
    return None


def test_every_function_has_good_arguments():
    missing = [name for name in FUNCTIONS if name not in GOOD_ARGUMENTS]
    assert not missing, f"give them a reference row, or good arguments here: {missing}"


@pytest.mark.parametrize("name", FUNCTIONS)
@pytest.mark.filterwarnings("ignore")
def test_hostile_arguments_are_answered_or_refused(name):
    if name not in GOOD_ARGUMENTS:
        pytest.fail("no good arguments are known")
    parameters = list(inspect.signature(function(name)).parameters)
    assert fault(name, good(name), parameters) is None
    faults = []
    for parameter in parameters:
        for label, make in VALUES.items():
            value, untouched = make(), make()
            wrong = fault(name, {**good(name), parameter: value}, parameters)
            if wrong is None and not same(value, untouched):
                wrong = "the argument was changed"
            if wrong is not None:
                faults.append(f"{parameter} = {label}: {wrong}"[:300])
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("name", FUNCTIONS)
@pytest.mark.filterwarnings("ignore")
def test_no_call_keeps_its_arguments(name):
    if name not in GOOD_ARGUMENTS:
        pytest.fail("no good arguments are known")
    arguments = good(name)
    parameters = list(inspect.signature(function(name)).parameters)
    for parameter in parameters:
        for value in (np.array([1.5, 2.5]), [1.5, "x"], "some text" * 3, object(), 1234.5):
            before = sys.getrefcount(value)
            for _ in range(20):
                with contextlib.suppress(ValueError, TypeError):
                    function(name)(**{**arguments, parameter: value})
            # A generous allowance: a leak of one reference a call would be 20.
            assert sys.getrefcount(value) <= before + 2, (parameter, type(value))


def classes() -> list[type]:
    """Every class of the extension, the benches' and what all records have in common."""
    places = [_core, *(each for each in vars(_core).values() if inspect.ismodule(each))]
    found = [each for place in places for each in vars(place).values() if inspect.isclass(each)]
    return [each for each in found if not issubclass(each, BaseException)]


def uses_of(unmade: Any) -> list[tuple[str, Any]]:
    """What can be asked of an object with an argument at most: attributes, methods, itself."""
    cls = type(unmade)
    names = [
        name
        for name in dir(cls)
        if not name.startswith("__") and not isinstance(vars(cls).get(name), staticmethod)
    ]
    asked: list[tuple[str, Any]] = [("repr", lambda: repr(unmade)), ("hash", lambda: hash(unmade))]
    asked += [("len", lambda: len(unmade)), ("first", lambda: unmade[0])]
    asked += [("equal", lambda: unmade == cls.__new__(cls)), ("copy", lambda: copy.copy(unmade))]
    asked += [("pickle", lambda: pickle.dumps(unmade))]
    for name in names:
        asked.append((name, lambda name=name: getattr(unmade, name)))
        if callable(getattr(cls, name)):
            for given in ((), (0,), ("x",), ("x", "y")):
                asked.append(
                    (f"{name}{given}", lambda name=name, given=given: getattr(unmade, name)(*given))
                )
    return asked


@pytest.mark.parametrize("cls", classes(), ids=lambda cls: f"{cls.__module__}.{cls.__name__}")
@pytest.mark.filterwarnings("ignore")
def test_an_object_that_was_never_made_refuses_every_use(cls):
    unmade = cls.__new__(cls)
    refusals = []
    for _, use in uses_of(unmade):
        try:
            use()
        except TypeError as refused:
            refusals.append(str(refused))
    assert any("never made" in each for each in refusals), refusals


class Bare(_core.rings.GapRule):  # type: ignore[misc, name-defined]
    """A class of a user's own above a record, with a base beside it."""

    def __init__(self) -> None:
        """Forget to make the record."""


def test_a_constructor_that_forgets_its_base_is_refused():
    with pytest.raises(TypeError, match="__init__"):
        Bare()
    with pytest.raises(TypeError, match="never made"):
        Bare.__new__(Bare).as_dict()


def test_functions_refuse_an_object_that_was_never_made():
    unmade = ew.Quantity.__new__(ew.Quantity)
    for ask in (
        lambda: unmade + 1,
        lambda: 1 - unmade,
        lambda: ew.measure.stack([unmade, unmade]),
        lambda: ew.rings.gap_at_bore(unmade, bore=86, bore_new=86.25),
        lambda: np.add(unmade, 1.0),
    ):
        with pytest.raises(TypeError, match="never made"):
            ask()


@pytest.mark.parametrize("name", FUNCTIONS)
def test_missing_and_unknown_arguments_are_named(name):
    parameters = inspect.signature(function(name)).parameters
    needed = [p.name for p in parameters.values() if p.default is p.empty]
    if needed:
        with pytest.raises(TypeError, match="|".join(needed)):
            function(name)()
    with pytest.raises(TypeError, match="no_such_argument"):
        function(name)(**good(name), no_such_argument=1)
