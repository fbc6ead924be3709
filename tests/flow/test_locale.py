"""The same bytes where the decimal sign of the land is a comma."""

import shutil
import subprocess
import sys

import pytest
from places import ROOT, run

LINNET = ROOT / "examples" / "linnet"
#: What a program of a user may do before it calls this library.
PROGRAM = """
import locale, sys
locale.setlocale(locale.LC_ALL, "")
sign = locale.localeconv()["decimal_point"]
assert sign == sys.argv.pop(1), sign
from enginewright.command import main
sys.exit(main(sys.argv[1:]))
"""
NAME = "de_DE.UTF-8"


@pytest.fixture(scope="module")
def comma(tmp_path_factory):
    """Environment in which numbers have a decimal comma."""
    known = subprocess.run(["locale", "-a"], capture_output=True, text=True, check=False).stdout
    if "de_DE.utf8" in known.split():
        return {"LC_ALL": NAME}
    folder = tmp_path_factory.mktemp("locales")
    if shutil.which("localedef"):
        made = run("localedef", "-f", "UTF-8", "-i", "de_DE", folder / NAME)
        if made.returncode == 0:
            return {"LC_ALL": NAME, "LOCPATH": str(folder)}
    pytest.skip("this machine has no locale with a decimal comma, nor what makes one")


def checked(python, folder, sign, env):
    """Check the Linnet and return what was said and what was written."""
    said = run(
        python, "-c", PROGRAM, sign, "check", LINNET / "received.xlsx", "--out", folder,
        "--accept-partial", "--json", env=env,
    )  # fmt: skip
    assert said.returncode in (0, 1, 4), said.stderr
    pages = {path.name: path.read_bytes() for path in folder.iterdir() if path.suffix != ".xlsx"}
    return said.stdout.replace(str(folder), "OUT"), pages


def test_a_check_says_and_writes_the_same_under_a_decimal_comma(comma, tmp_path):
    plain = checked(sys.executable, tmp_path / "plain", ".", {"LC_ALL": "C.UTF-8"})
    other = checked(sys.executable, tmp_path / "comma", ",", comma)
    assert "86.172" in plain[0]
    assert other[0] == plain[0]
    assert other[1].keys() == plain[1].keys() and len(plain[1]) >= 3
    assert [name for name in plain[1] if other[1][name] != plain[1][name]] == []
