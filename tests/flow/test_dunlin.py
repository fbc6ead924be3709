"""The V-twin's balance: made from readable text, and answered as it would be by hand."""

import importlib.util
import math
import re
import subprocess
import sys

from places import ROOT

DUNLIN = ROOT / "examples" / "dunlin"


def test_the_list_is_that_of_the_text(tmp_path):
    spec = importlib.util.spec_from_file_location("make", ROOT / "examples" / "make.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.make_dunlin(tmp_path)
    made = (tmp_path / "weighings.csv").read_bytes()
    assert made == (DUNLIN / "weighings.csv").read_bytes()


def test_the_answers_are_those_of_a_pocket_calculator():
    run = subprocess.run(
        [sys.executable, DUNLIN / "balance.py"], capture_output=True, text=True, timeout=120
    )
    assert run.returncode == 0, run.stderr
    # By hand, equal cylinders: 1/2 + (2 - 1)/(2 + 1) * cos(75 deg)/2
    factor = 0.5 + math.cos(math.radians(75)) / 6
    said = float(re.search(r"balance factor ([\d.]+)", run.stdout).group(1))
    assert abs(said - factor) < 0.001
    # By hand: both big ends, both pairs of shells, the oil; the factor's share of both pistons
    turning = 402.6 + 402.4 + 48.0 + 48.1 + 4.0
    going = 158.3 + 158.6 + 411.5 + 411.9 + 96.2 + 96.1
    mass = float(re.search(r"bobweight ([\d.]+) g", run.stdout).group(1))
    assert abs(mass - (turning + factor * going)) < 0.5
    # By hand: cylinder 2 comes to the top 75 deg before cylinder 1.
    assert "285 and 435 degrees" in run.stdout
    assert "Caution" in run.stdout
    assert (ROOT / "out" / "dunlin" / "shaking.png").stat().st_size > 10_000
