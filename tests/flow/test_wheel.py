"""The wheel: built from the checkout, installed apart from it, run on the example."""

import os
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest
from places import LINNET, ROOT, run

pytestmark = pytest.mark.timeout(2400)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    # Taken from the tree that is built already; a build of its own would be the slowest test.
    tree = ["-Cbuild-dir=build/dev", "-Ccmake.define.ENGINEWRIGHT_TESTS=ON"]
    words = ["-m", "build", "--wheel", "--no-isolation", *tree, "--outdir", folder, ROOT]
    said = run(sys.executable, *words, timeout=2000)
    assert said.returncode == 0, said.stdout[-4000:] + said.stderr[-4000:]
    (made,) = folder.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def place(wheel, tmp_path_factory):
    """An environment of its own; the other packages are seen through one line, ours is not."""
    folder = tmp_path_factory.mktemp("place") / "venv"
    said = run(sys.executable, "-m", "venv", "--without-pip", folder)
    assert said.returncode == 0, said.stderr
    python = folder / "bin" / "python"
    words = ["-m", "pip", "--python", python, "install", "--no-deps", "--no-index", wheel]
    said = run(sys.executable, *words)
    assert said.returncode == 0, said.stderr
    (site,) = folder.glob("lib/python3.*/site-packages")
    # A line of a .pth file adds a folder to the path and does not read the .pth files in it, so the
    # editable installation of the checkout stays asleep.
    (site / "others.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return folder


def in_place(place, *words, cwd):
    kept = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    return run("env", "-i", *(f"{k}={v}" for k, v in kept.items()), *words, cwd=cwd)


def test_the_wheel_holds_the_package_and_nothing_of_the_build(wheel):
    names = zipfile.ZipFile(wheel).namelist()
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"enginewright"}
    for wanted in ("py.typed", "_core.pyi", "command/__init__.py", "completions/_enginewright"):
        assert f"enginewright/{wanted}" in names
    assert any(name.startswith("enginewright/templates/") for name in names)
    assert not [name for name in names if name.endswith((".hpp", ".cpp", ".a"))]


def test_it_is_the_wheel_that_is_imported(place, tmp_path):
    words = "import enginewright, enginewright._core as c; print(enginewright.__file__, c.__file__)"
    said = in_place(place, place / "bin" / "python", "-c", words, cwd=tmp_path)
    assert said.returncode == 0, said.stderr
    files = said.stdout.split()
    assert all(Path(file).is_relative_to(place) for file in files), files


def test_the_example_is_checked_outside_the_tree(place, tmp_path):
    command = place / "bin" / "enginewright"
    words = [command, "check", LINNET / "received.xlsx", "--out", "out", "--accept-partial"]
    said = in_place(place, *words, cwd=tmp_path)
    assert said.returncode == 1, said.stderr
    assert {path.name for path in (tmp_path / "out").iterdir()} == {
        "findings.xlsx",
        "job.json",
        "work_list.html",
        "work_list.pdf",
    }
