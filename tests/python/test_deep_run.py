"""What the deep run feeds on is complete: every record, and seeds for every target."""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
FUZZ = ROOT / "tests" / "cpp" / "fuzz"
#: Records that a binding file calls by a shorter name.
SHORTER = {"Record": "balance::BalanceRecord", "Verdict": "measure::Verdict"}


def test_every_record_is_read_from_damaged_json():
    bound = {
        SHORTER.get(name, name)
        for file in (ROOT / "cpp" / "bindings").glob("*.cpp")
        for name in re.findall(r"bind_record<([\w:]+)>", file.read_text(encoding="utf-8"))
    }
    listed = dict(
        re.findall(r'named<([\w:]+)>\("([\w.]+)"\)', (FUZZ / "every_record.hpp").read_text())
    )
    assert listed.keys() == bound
    assert all(name == each.replace("::", ".") for each, name in listed.items())


def test_every_target_has_seeds_and_every_seed_a_target():
    made = re.search(r"foreach\(target ([\w\s]+)\)", (FUZZ / "CMakeLists.txt").read_text())
    targets = set(made.group(1).split())
    folders = {each.name for each in FUZZ.iterdir() if each.is_dir()}
    assert folders == targets
    assert all(any((FUZZ / each).iterdir()) for each in targets)
    assert {each.stem.removeprefix("fuzz_") for each in FUZZ.glob("fuzz_*.cpp")} == targets


def test_the_lowest_versions_are_those_of_the_project():
    said = subprocess.run([sys.executable, ROOT / "tests" / "lowest.py", "--check"], timeout=60)
    assert said.returncode == 0, "run tests/lowest.py"
