"""Every published and trade value of tests/references against the library.

A row whose function does not exist yet is counted and waits; a row whose function exists must pass.
"""

import cmath
import json
import math
from pathlib import Path

import numpy as np
import pytest

import enginewright as ew

FOLDER = Path(__file__).parent.parent / "references"
FILES = sorted(FOLDER.glob("*.json"))
PROVENANCE = {"published", "common practice", "from memory", "derived"}
# Modules that exist; of these, the functions that are still to come.
TO_COME: set[str] = set()
MODULES = (
    "units",
    "measure",
    "fits",
    "stats",
    "crank_train",
    "rings",
    "journals",
    "cylinders",
    "matching",
    "balance",
    "fasteners",
    "reciprocating",
)
MODULES_TO_COME = {"cams", "valves", "compression", "Engine"}


def rows():
    for file in FILES:
        for row in json.loads(file.read_text(encoding="utf-8")):
            yield pytest.param(row, id=row["id"])


def waits(function: str) -> bool:
    return function in TO_COME or function.split(".")[0] in MODULES_TO_COME


def quantity(entry, row):
    freedom = entry.get("degrees_of_freedom")
    named = {"degrees_of_freedom": math.inf if freedom is None else freedom}
    if entry.get("source"):
        # A source's name is its identity, and other tests name sources too.
        named["source"] = f"{row['id']}: {entry['source']}"
    return ew.Quantity(**{**entry, **named})


def summed(entries, row):
    total = quantity(entries[0], row)
    for entry in entries[1:]:
        total = total + quantity(entry, row)
    return total


def is_vector(entry):
    """Whether an entry writes a vector of unbalance or force: its amount and its angle."""
    return isinstance(entry, dict) and "amount" in entry and entry.keys() <= {"amount", "angle"}


def decoded(entry):
    """Vectors of the inputs as complex numbers."""
    if is_vector(entry):
        return cmath.rect(entry["amount"], math.radians(entry.get("angle", 0)))
    if isinstance(entry, list):
        return [decoded(each) for each in entry]
    if isinstance(entry, dict):
        return {key: decoded(value) for key, value in entry.items()}
    return entry


def inputs_of(row):
    """Arguments of a row's function, records and vectors made of their entries."""
    inputs = {name: decoded(value) for name, value in row["inputs"].items()}
    if "sites" in inputs:
        inputs["sites"] = [ew.balance.Site(**site) for site in inputs["sites"]]
    if isinstance(inputs.get("layout"), dict):
        inputs["layout"] = ew.reciprocating.EngineLayout(**inputs["layout"])
    if isinstance(inputs.get("quantity"), dict):
        inputs["quantity"] = quantity(inputs["quantity"], row)
    if isinstance(inputs.get("gauge"), dict):
        inputs["gauge"] = ew.measure.gauge(**inputs["gauge"])
    for part in ("inner", "outer"):
        if isinstance(inputs.get(part), dict):
            inputs[part] = ew.fits.Material(**inputs[part])
    if "values_rule" in inputs:
        rule = inputs.pop("values_rule")
        inputs["values"] = [rule["first"], *rule["then_alternate"] * rule["times"]]
    return inputs


def called(row):
    """Value of a row's function at its inputs."""
    function = row["function"]
    inputs = row["inputs"]
    if "quantities" in inputs:
        names = {name: summed(entries, row) for name, entries in inputs["quantities"].items()}
        formula = compile(inputs["expression"], row["id"], "eval")
        if function == "measure.propagate":
            return ew.measure.propagate(
                lambda *values: eval(
                    formula, {"__builtins__": {}}, dict(zip(names, values, strict=True))
                ),
                *names.values(),
                order=inputs["order"],
            )
        value = eval(formula, {"__builtins__": {}}, names)
        if function == "Quantity":
            return value
        return getattr(value, function.split(".")[1])(inputs["level"])
    module, name = function.split(".")
    return getattr(getattr(ew, module), name)(**inputs_of(row))


def field(record, name):
    """One expected field of a record; some are named after what they are taken from."""
    if name == "signal_indices":
        return [signal.index for signal in record.signals]
    if name in ("lower_first", "upper_first"):
        return getattr(record, name.removesuffix("_first"))[0]
    return getattr(record, name)


def compare(got, expected, row, where=""):
    if is_vector(expected) and isinstance(got, complex):
        if "angle" in expected:
            got, expected = complex(got), decoded(expected)
        else:
            got, expected = abs(got), expected["amount"]
    if isinstance(expected, dict) and not isinstance(got, dict):
        for key, value in expected.items():
            compare(field(got, key), value, row, f"{where}.{key}")
    elif isinstance(expected, dict):
        for key, value in expected.items():
            compare(got[key], value, row, f"{where}.{key}")
    elif expected is None or isinstance(expected, (str, bool)):
        assert got == expected, f"{where}: {got!r}, expected {expected!r}"
    elif isinstance(expected, list):
        assert len(got) == len(expected), f"{where}: {got!r}, expected {expected!r}"
        for i, (each, wanted) in enumerate(zip(got, expected, strict=True)):
            compare(each, wanted, row, f"{where}[{i}]")
    else:
        np.testing.assert_allclose(
            got, expected, rtol=row.get("rel_tol", 0), atol=row.get("abs_tol", 0), err_msg=where
        )


@pytest.mark.parametrize("row", list(rows()))
def test_the_library_gives_the_value_of_the_source(row):
    if waits(row["function"]):
        pytest.skip(f"{row['function']} is not built yet")
    note = f"{row['id']}: {row['provenance']}: {row['source']}"
    if isinstance(row["expected"], dict) and set(row["expected"]) == {"raises"}:
        error = {"UnitError": ew.UnitError, "ValueError": ValueError}[row["expected"]["raises"]]
        with pytest.raises(error):
            called(row)
        return
    try:
        compare(called(row), row["expected"], row)
    except AssertionError as wrong:
        raise AssertionError(f"{note}\n{wrong}") from None


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.stem)
def test_every_row_says_where_its_value_is_from(file):
    entries = json.loads(file.read_text(encoding="utf-8"))
    assert entries
    assert len({entry["id"] for entry in entries}) == len(entries)
    for entry in entries:
        assert entry["provenance"] in PROVENANCE, entry["id"]
        assert entry["source"], entry["id"]


def test_nothing_that_waits_exists():
    for function in TO_COME:
        module, name = function.split(".")
        assert not hasattr(getattr(ew, module), name), f"{function} exists: take it off the list"


# Public functions without a published or trade value of their own, and why.
WITHOUT_A_ROW = {
    "balance.apply_plan": "keeps the sites' books, tested in test_balance_plan.py",
    "balance.plan_outcomes": "random, held to the plan's spread in test_balance_plan.py",
    "balance.simulate_plan": "random, held to the plan's spread in test_balance_plan.py",
    "balance.staged_assembly": "differences of readings, tested in test_balance.py",
    "crank_train.rod_bore_clearance": "geometry, tested against sampling in test_crank_train.py",
    "crank_train.stroke_from_travel": "inverse of geometry, tested in test_crank_train.py",
    "reciprocating.common_layout": "a table of the trade, tested in test_reciprocating.py",
    "rings.gap_rules": "a table of the trade, tested in test_rings.py",
    "units.canonical": "one column of the table, tested in test_units.py",
    "units.table": "the table itself, tested in test_units.py",
    "units.unit": "one row of the table, tested in test_units.py",
    "matching.lightened": "differences of what others give, tested in test_matching.py",
    "measure.gauge": "a record that the user fills in",
    "fits.joint_stress": "held to the equilibrium of each layer in test_fits.py",
    "fits.classes": "a search over the classes, tested against all of them in test_fits.py",
    "stats.signals": "patterns from their definitions, tested in test_stats_charts.py",
    "measure.settle": "the rules of reading and check, thought through in test_measure_studies.py",
    "measure.simulate": "drawn lots, compared with closed forms in test_measure_formulas.py",
    "measure.stack": "puts quantities into a column, tested in test_measure.py",
}


def test_every_public_function_has_a_row_or_a_reason():
    seen = {
        row["function"] for file in FILES for row in json.loads(file.read_text(encoding="utf-8"))
    }
    for module in MODULES:
        page = getattr(ew, module)
        for name in page.__all__:
            full = f"{module}.{name}"
            if isinstance(getattr(page, name), type) or not callable(getattr(page, name)):
                continue
            assert full in seen or full in WITHOUT_A_ROW, f"{full} has no value from outside"
