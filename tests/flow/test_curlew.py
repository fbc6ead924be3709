"""The V8's balance by the command alone: from raw spins to the holes, and to the last verdict."""

import cmath
import importlib.util
import json
import math
import re
import subprocess
import sys

import openpyxl
import pytest
from places import ROOT

CURLEW = ROOT / "examples" / "curlew"


@pytest.mark.parametrize("name", ["spins.xlsx", "finished.xlsx"])
def test_the_workbooks_are_those_of_the_text(name, tmp_path):
    spec = importlib.util.spec_from_file_location("make", ROOT / "examples" / "make.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.make_curlew(tmp_path)

    def cells(path):
        return [[list(row) for row in sheet.values] for sheet in openpyxl.load_workbook(path)]

    assert cells(tmp_path / name) == cells(CURLEW / name)


def check(name, *words):
    return subprocess.run(
        [sys.executable, "-m", "enginewright", "check", CURLEW / name, *words],
        capture_output=True,
        text=True,
        timeout=120,
    )


def residual_by_hand(found, holes):
    """What holes of 12 mm and 118 degrees at a radius of 78 mm leave in both bearing planes."""
    left = list(found)
    for along, angle, depth in holes:
        half = 6.0
        tip = half / math.tan(math.radians(59))
        deep = depth - tip
        whole, cone = math.pi * half**2 * deep, math.pi * half**2 * tip / 3
        first = whole * deep / 2 + cone * (deep + tip / 4)
        moment = 7.85e-3 * ((whole + cone) * 78 - first)
        heavy = cmath.rect(moment, math.radians(angle))
        # Bearings at 0 and 430 mm.
        left[0] -= heavy * (430 - along) / 430
        left[1] -= heavy * along / 430
    return left


def test_the_spins_end_in_holes_that_a_pocket_calculator_confirms():
    run = check("spins.xlsx", "--json")
    assert run.returncode == 1, run.stderr
    findings = json.loads(run.stdout)["findings"]
    plan = next(each for each in findings if each["quantity"] == "planned residual")
    holes = [
        ({"CW1": 20.0, "CW8": 400.0}[site], float(angle), float(depth))
        for site, angle, depth in re.findall(
            r"(CW\d)\w \(([\d.]+) deg\) to ([\d.]+) mm", plan["next"]
        )
    ]
    assert len(holes) == 2
    last = [each for each in findings if each["stage"] == "clutch" and each["check"] == "balance"]
    found = [
        cmath.rect(float(re.search(r"Take ([\d.]+)", each["next"]).group(1)),
                   math.radians(float(re.search(r"at ([\d.]+) deg", each["next"]).group(1))))
        for each in last
        if each["quantity"] == "residual"
    ]  # fmt: skip
    assert len(found) == 2
    left = [abs(each) for each in residual_by_hand(found, holes)]
    # The sentences give the spins to 1 g mm and 1 degree, so 450 g mm to 4 g mm.
    assert max(left) == pytest.approx(
        float(re.search(r"keeps (\d+)", plan["reason"]).group(1)), abs=5
    )


def test_after_the_holes_both_planes_are_within():
    run = check("finished.xlsx", "--json")
    assert run.returncode == 0, run.stderr
    findings = json.loads(run.stdout)["findings"]
    made = [each for each in findings if each["stage"] == "finished" and each["check"] == "balance"]
    assert [each["verdict"] for each in made] == ["within", "within"]
    assert all(each["probability"] > 0.95 for each in made)


def test_the_work_list_says_how_the_machine_read_the_trial_mass(tmp_path):
    run = check("spins.xlsx", "--out", str(tmp_path))
    assert run.returncode == 1, run.stderr
    page = (tmp_path / "work_list.html").read_text(encoding="utf-8")
    (told,) = re.findall(r"bare crank: spin 4 carried[^<]*", page)
    # 12.0 g at 80 mm; read from the flywheel, the dial's 285 degrees are 15 - 285 of the rotor.
    assert "a trial mass, 960 g mm at 90 deg in the left plane, not counted" in told

    def vector(amount, dial):
        return cmath.rect(amount, math.radians(dial))

    # As written on the sheet; how far two vectors lie apart is the same on dial and rotor.
    left = [vector(369, 336), vector(376, 337), vector(371, 337)]
    right = [vector(513, 163), vector(522, 163), vector(523, 163)]
    off = abs(vector(1222, 299) - sum(left) / 3 - vector(960, 285))
    across = abs(vector(519, 164) - sum(right) / 3)
    said = re.search(r"deg, ([\d.]+) g mm .* and ([\d.]+) g mm in the other plane", told)
    assert [float(each) for each in said.groups()] == pytest.approx([off, across], abs=0.06)
    assert "no limit is set for this, it is not judged" in told
