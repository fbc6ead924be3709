"""Write the lowest versions that pyproject.toml allows to tests/lowest.txt.

    .venv/bin/python tests/lowest.py [--check]

The deep run installs them and runs the Python tests with them; `--check` only compares. What only
builds the extension is left out: it is built once, with the newest.
"""

import re
import sys
import tomllib
from pathlib import Path

TESTS = Path(__file__).resolve().parent
LIST = TESTS / "lowest.txt"
#: The tests' own group; what else it takes in is followed, but for what only builds.
GROUP = "test"
BUILDS = "build"
HEAD = "# The lowest versions that pyproject.toml allows; written by tests/lowest.py.\n"


def requirements(project, group):
    """Return the requirements of a group, those of the groups within it first."""
    found = []
    for each in project["dependency-groups"][group]:
        if not isinstance(each, dict):
            found.append(each)
        elif each["include-group"] != BUILDS:
            found += requirements(project, each["include-group"])
    return found


def everything(project):
    """Return what a user may have installed, and what the tests need besides."""
    own = project["project"]
    extras = [each for extra in own["optional-dependencies"].values() for each in extra]
    return [*own["dependencies"], *extras, *requirements(project, GROUP)]


def lowest(requirement):
    """Return "pandas" and "2.2" from "pandas>=2.2,<4"; None for the project itself."""
    name, bounds = re.fullmatch(r"([\w.-]+(?:\[[\w,-]+\])?)(.*)", requirement).groups()
    if name.startswith("enginewright["):
        return None
    floor = re.search(r">=\s*([\d.]+)", bounds)
    if floor is None:
        raise SystemExit(f"{requirement} has no lowest version: write one in pyproject.toml")
    return name, floor.group(1)


def text():
    """Return the list as it should be."""
    project = tomllib.loads((TESTS.parent / "pyproject.toml").read_text(encoding="utf-8"))
    floors = {}
    for requirement in everything(project):
        if (found := lowest(requirement)) is None:
            continue
        name, floor = found
        if floors.setdefault(name, floor) != floor:
            raise SystemExit(f"{name} has two lowest versions: {floors[name]} and {floor}")
    return HEAD + "".join(f"{name}=={floor}\n" for name, floor in sorted(floors.items()))


if __name__ == "__main__":
    if sys.argv[1:] == ["--check"]:
        sys.exit(LIST.read_text(encoding="utf-8") != text())
    LIST.write_text(text(), encoding="utf-8")
