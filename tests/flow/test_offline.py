"""What was set up once works without network."""

import sys
from pathlib import Path

import pytest
from places import OFFLINE, ROOT, run

pytestmark = pytest.mark.skipif(
    not (ROOT / "build" / "dev" / "enginewright.stamp").exists()
    or Path(sys.prefix) != ROOT / ".venv",
    reason="these tests are for an environment that python/setup.sh has made",
)


@pytest.mark.parametrize("group", ["shop", "dev"])
def test_a_second_set_up_asks_nobody_and_does_nothing(group):
    logs = {path: path.stat().st_mtime_ns for path in (ROOT / "build" / "logs").glob("*")}
    said = run("sh", "python/setup.sh", group, env=OFFLINE)
    assert (said.returncode, said.stdout, said.stderr) == (0, "", "")
    assert {path: path.stat().st_mtime_ns for path in (ROOT / "build" / "logs").glob("*")} == logs


def test_the_demo_runs_without_network():
    said = run("sh", "examples/demo.sh", env=OFFLINE)
    assert said.returncode == 0, said.stderr
    assert "setting up" not in said.stderr
