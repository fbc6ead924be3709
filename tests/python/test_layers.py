"""The layers of the core, read from its includes: a room may enter lower ones only."""

import re
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent / "cpp"
LAYERS = [
    {"check", "record", "version"},
    {"units", "measure"},
    {"fits", "stats", "crank_train"},
    {
        "journals",
        "cylinders",
        "rings",
        "matching",
        "balance",
        "reciprocating",
        "cams",
        "valves",
        "compression",
        "fasteners",
    },
    {"engine"},
    {"table", "arrow", "job"},
]
# Neighbours inside a layer that may be entered.
NEIGHBOURS = {
    ("record", "check"),
    ("measure", "units"),
    ("valves", "cams"),
    ("table", "arrow"),
    ("job", "table"),
    ("job", "arrow"),
}
INCLUDE = re.compile(r'#include "enginewright/([\w/]+)\.hpp"')
LEVEL = {name: level for level, layer in enumerate(LAYERS) for name in layer}


def module_of(path: Path) -> str | None:
    """Module of a header or source: a large one keeps further rooms in a folder of its name."""
    parts = path.with_suffix("").parts
    for part in reversed(parts[-2:]):
        if part in LEVEL:
            return part
    return None


def entered(path: Path) -> set[str]:
    names = {name.split("/")[0] for name in INCLUDE.findall(path.read_text(encoding="utf-8"))}
    unknown = names - LEVEL.keys()
    assert not unknown, f"{path.name} enters {unknown}, which no layer lists"
    return names


def test_a_module_includes_lower_layers_only():
    files = [*ROOT.glob("include/enginewright/**/*.hpp"), *ROOT.glob("src/**/*.[ch]pp")]
    assert len(files) > 10
    for path in files:
        own = module_of(path)
        if own is None:
            continue
        for other in entered(path) - {own}:
            lower = LEVEL[other] < LEVEL[own]
            assert lower or (own, other) in NEIGHBOURS, f"{path.name}: {own} enters {other}"


def test_numerics_knows_nothing_of_the_trade():
    for path in ROOT.glob("src/numerics/*"):
        assert not INCLUDE.findall(path.read_text(encoding="utf-8")), path.name


def test_the_core_does_not_know_python():
    for path in [*ROOT.glob("include/**/*.hpp"), *ROOT.glob("src/**/*.[ch]pp")]:
        assert "pybind11" not in path.read_text(encoding="utf-8"), path.name


def test_json_stays_in_the_sources():
    for path in ROOT.glob("include/**/*.hpp"):
        assert "nlohmann" not in path.read_text(encoding="utf-8"), path.name
