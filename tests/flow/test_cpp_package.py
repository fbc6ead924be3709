"""The installed C++ package: found by CMake, used by a program with nothing of the checkout."""

import os
import shutil
import sys
from pathlib import Path

import pytest
from places import ROOT, run

TREE = ROOT / "build" / "dev"
TOOLS = Path(sys.prefix) / "bin"
CMAKE = TOOLS / "cmake"

pytestmark = pytest.mark.timeout(900)


def configure(source, build, prefix):
    """Configure as the example's head says: ninja is that of the set-up, make may be missing."""
    path = os.pathsep.join([str(TOOLS), os.environ["PATH"]])
    return run(
        CMAKE, "-S", source, "-B", build, "-G", "Ninja", f"-DCMAKE_PREFIX_PATH={prefix}",
        env={"PATH": path},
    )  # fmt: skip


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    prefix = tmp_path_factory.mktemp("prefix")
    said = run(CMAKE, "--install", TREE, "--component", "cpp", "--prefix", prefix)
    assert said.returncode == 0, said.stderr
    return prefix


def test_it_holds_headers_library_and_package_and_nothing_of_python(installed):
    names = {path.relative_to(installed).as_posix() for path in installed.rglob("*")}
    assert "include/enginewright/rings.hpp" in names
    assert any(name.endswith("libenginewright.a") for name in names)
    assert any(name.endswith("enginewrightConfig.cmake") for name in names)
    assert not [name for name in names if "_core" in name or name.endswith(".py")]


def test_a_program_of_ones_own_is_built_on_it_alone(installed, tmp_path):
    source = tmp_path / "bench"
    shutil.copytree(ROOT / "examples" / "cpp", source)
    build = tmp_path / "build"
    said = configure(source, build, installed)
    assert said.returncode == 0, said.stderr
    said = run(CMAKE, "--build", build, timeout=600)
    assert said.returncode == 0, said.stdout + said.stderr
    said = run(build / "bench", cwd=tmp_path)
    assert said.returncode == 0, said.stderr
    ring, mains = said.stdout.splitlines()[:2]
    # By hand: 0.05 + pi * (86.50 - 86.40) = 0.364; 0.0040 * 86.50 = 0.346, so nothing to file.
    assert ring == ("top ring: 0.364 mm in the finished bore, 0.346 mm wanted; file off 0.000 mm")
    # By hand: 59.842 - 0.030 = 59.812 cleans journal 2; 59.970 - 0.250 + 0.010 = 59.730 is aimed
    # at, and 59.812 - 59.730 = 0.082 is to spare.
    assert "grind all 5 to 59.720-59.740 mm (0.250 under)" in mains
    assert "journal 2 decides, 0.082 mm to spare" in mains
    said = run(build / "doubt", cwd=tmp_path)
    assert said.returncode == 0, said.stderr
    bore, settling, clearance = said.stdout.splitlines()
    assert bore.startswith("bore: unproven, 2.0 µm below the upper limit")
    assert settling.startswith("  more readings: ")
    # By hand: 0.048 + 0.012, and the ring drops out.
    assert clearance.startswith("clearance: 0.0600 ± ")
    assert clearance.endswith("mm, of which the ring 0.0000")


def test_a_version_that_it_does_not_promise_is_refused(installed, tmp_path):
    (tmp_path / "CMakeLists.txt").write_text(
        "cmake_minimum_required(VERSION 3.25)\nproject(x LANGUAGES CXX)\n"
        "find_package(enginewright 99.0 CONFIG REQUIRED)\n"
    )
    said = configure(tmp_path, tmp_path / "b", installed)
    assert said.returncode != 0
    assert "99.0" in said.stderr
