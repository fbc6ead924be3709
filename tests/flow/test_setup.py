"""The set-up script: what it asks of the machine, what it does once, what it does again."""

import shutil
import stat

import pytest
from places import ROOT, run

WORDS = ["sh", "cat", "chmod", "cut", "dirname", "env", "find", "grep", "head", "id", "ls", "mkdir"]
WORDS += ["mv", "printf", "rm", "sed", "sha256sum", "sort", "tail", "tr"]


@pytest.fixture
def checkout(tmp_path):
    """A checkout with nothing in it but the set-up script and what it looks at."""
    for folder in ("python", "cpp", "tests/cpp"):
        (tmp_path / folder).mkdir(parents=True)
    shutil.copy(ROOT / "python" / "setup.sh", tmp_path / "python")
    (tmp_path / "pyproject.toml").write_text("[project]\n")
    (tmp_path / "CMakeLists.txt").write_text("project(x)\n")
    (tmp_path / "cpp" / "rings.cpp").write_text("int x;\n")
    (tmp_path / "tests" / "cpp" / "rings_test.cpp").write_text("int y;\n")
    return tmp_path


@pytest.fixture
def bare(tmp_path_factory):
    """A machine that has the everyday tools and nothing to build with."""
    tools = tmp_path_factory.mktemp("bare")
    for word in WORDS:
        if found := shutil.which(word):
            (tools / word).symlink_to(found)
    return tools


def program(folder, name, text):
    file = folder / name
    file.unlink(missing_ok=True)
    file.write_text(f"#!/bin/sh\n{text}\n")
    file.chmod(file.stat().st_mode | stat.S_IXUSR)


def bare_run(checkout, tools):
    # Named by hand, so that the interpreter of this machine itself is not looked for.
    kept = {"PATH": str(tools), "HOME": str(checkout), "PYTHON": "python3", "CXX": "g++"}
    return run("sh", "python/setup.sh", "dev", cwd=checkout, env=kept)


def test_without_root_and_sudo_one_line_says_what_to_type(checkout, bare):
    program(bare, "id", "echo 1000")
    program(bare, "apt-get", "exit 99")
    said = bare_run(checkout, bare)
    assert said.returncode == 3
    lines = said.stderr.strip().splitlines()
    assert len(lines) == 1
    assert "apt-get update && apt-get install -y --no-install-recommends g++" in lines[0]
    assert "python3 python3-venv python3-dev" in lines[0]


def test_without_apt_what_is_missing_is_said_in_words(checkout, bare):
    said = bare_run(checkout, bare)
    assert said.returncode == 3
    assert len(said.stderr.strip().splitlines()) == 1
    assert "a C++20 compiler" in said.stderr and "Python 3.11 or newer" in said.stderr
    assert "apt-get" not in said.stderr


def test_as_root_the_missing_packages_are_installed(checkout, bare):
    program(bare, "id", "echo 0")
    program(bare, "apt-get", f'echo "$@" >>{checkout}/asked')
    said = bare_run(checkout, bare)
    asked = (checkout / "asked").read_text().splitlines()
    assert asked[0] == "update"
    assert asked[1].startswith("install -y --no-install-recommends ")
    assert "g++" in asked[1].split() and "python3-dev" in asked[1].split()
    # The apt of this test installs nothing, and that is noticed.
    assert said.returncode == 3
    assert "still missing after installing" in said.stderr


def test_sudo_is_used_when_it_asks_nothing(checkout, bare):
    program(bare, "id", "echo 1000")
    program(bare, "sudo", f'echo "sudo $*" >>{checkout}/asked; exit 0')
    program(bare, "apt-get", "exit 99")
    bare_run(checkout, bare)
    asked = (checkout / "asked").read_text()
    assert "sudo -n true" in asked
    assert "sudo apt-get update" in asked


def test_a_failing_package_manager_is_shown_with_its_log(checkout, bare):
    program(bare, "id", "echo 0")
    program(bare, "apt-get", "echo 'Could not resolve the mirror'; exit 100")
    said = bare_run(checkout, bare)
    assert said.returncode == 3
    assert "Could not resolve the mirror" in said.stderr
    assert "build/logs/packages.log" in said.stderr
    assert "next: no network?" in said.stderr


# The steps themselves are replaced, so that what is left is when they run.
STEPS = """
set -eu
. python/setup.sh
need_tools() { echo need >>steps; }
make_environment() {
    mkdir -p "$venv/bin"
    : >"$venv/bin/enginewright"
    chmod +x "$venv/bin/enginewright"
}
mend_moved_scripts() { echo mend >>steps; }
install_group() { echo "install $1" >>steps; }
build_core() { echo "build $1" >>steps; mkdir -p "$tree"; }
"""


def steps(checkout, words, change=""):
    """Run a set-up and return what it did and how it ended."""
    (checkout / "steps").write_text("")
    said = run("sh", "-c", f"{STEPS}\n{change}\n{words}", cwd=checkout)
    return (checkout / "steps").read_text().split("\n")[:-1], said


def test_the_first_run_does_everything_and_the_second_nothing(checkout):
    done, said = steps(checkout, "set_up dev")
    assert said.returncode == 0, said.stderr
    assert done == ["need", "mend", "install dev", "build ON"]
    done, said = steps(checkout, "set_up dev")
    assert (said.returncode, done, said.stderr) == (0, [], "")


def test_what_was_set_up_for_tests_serves_the_demo(checkout):
    steps(checkout, "set_up dev")
    assert steps(checkout, "set_up shop")[0] == []


def test_the_demo_does_not_take_the_tests_out_of_the_build(checkout):
    steps(checkout, "set_up dev")
    (checkout / "cpp" / "rings.cpp").write_text("changed\n")
    assert steps(checkout, "set_up shop")[0] == ["need", "build ON"]


def test_what_was_set_up_for_the_demo_is_completed_for_tests(checkout):
    assert steps(checkout, "set_up shop")[0] == ["need", "mend", "install shop", "build OFF"]
    assert steps(checkout, "set_up dev")[0] == ["need", "install dev", "build ON"]


@pytest.mark.parametrize(
    ("file", "again"),
    [
        ("pyproject.toml", ["need", "install dev", "build ON"]),
        ("cpp/rings.cpp", ["need", "build ON"]),
        ("tests/cpp/rings_test.cpp", ["need", "build ON"]),
        ("CMakeLists.txt", ["need", "build ON"]),
    ],
)
def test_a_change_repeats_the_steps_that_depend_on_it(checkout, file, again):
    steps(checkout, "set_up dev")
    (checkout / file).write_text("changed\n")
    assert steps(checkout, "set_up dev")[0] == again
    assert steps(checkout, "set_up dev")[0] == []


def test_a_failed_step_is_told_and_repeated(checkout):
    failing = "build_core() { echo 'rings.cpp:3: error: no such thing'; false; }"
    _, said = steps(checkout, "set_up dev", failing)
    assert said.returncode == 3
    assert "failed: building the calculation core" in said.stderr
    assert "| rings.cpp:3: error: no such thing" in said.stderr
    assert "the whole log: build/logs/build.log" in said.stderr
    assert "next: " in said.stderr
    assert steps(checkout, "set_up dev")[0] == ["need", "build ON"]


def test_a_moved_checkout_is_built_again_where_it_stands(checkout):
    steps(checkout, "set_up dev")
    moved = checkout.with_name(checkout.name + "-moved")
    checkout.rename(moved)
    done, said = steps(moved, "set_up dev")
    assert (done, said.returncode) == (["need", "mend", "build ON"], 0), said


def test_scripts_of_a_moved_environment_start_again(checkout):
    scripts = checkout / ".venv" / "bin"
    scripts.mkdir(parents=True)
    (scripts / "python").symlink_to(shutil.which("true"))
    program(scripts, "ctest", "exit 0")
    (scripts / "ctest").write_text("#!/old/place/.venv/bin/python3\nprint(1)\n")
    (scripts / "tool").write_bytes(b"\x7fELF\x00\x01")
    words = f"python={scripts}/python venv={checkout}/.venv; mend_moved_scripts"
    said = run("sh", "-c", f"set -eu; . python/setup.sh; {words}", cwd=checkout)
    assert said.returncode == 0, said.stderr
    assert (scripts / "ctest").read_text() == f"#!{scripts}/python\nprint(1)\n"
    assert (scripts / "ctest").stat().st_mode & stat.S_IXUSR
    assert (scripts / "tool").read_bytes() == b"\x7fELF\x00\x01"


def test_a_folder_that_is_no_environment_is_left_alone(checkout):
    (checkout / "precious").mkdir()
    (checkout / "precious" / "letter.txt").write_text("dear customer")
    words = "interpreter=python3; venv=$PWD/precious python=$PWD/precious/bin/python"
    said = run("sh", "-c", f"set -eu; . python/setup.sh; {words}; make_environment", cwd=checkout)
    assert said.returncode == 3
    assert "it is no Python environment" in said.stderr
    assert (checkout / "precious" / "letter.txt").read_text() == "dear customer"


@pytest.mark.skipif(shutil.which("shellcheck") is None, reason="shellcheck is not on this machine")
def test_the_scripts_are_plain_posix_shell():
    scripts = ["python/setup.sh", "examples/demo.sh", "tests/run.sh", "tests/deep.sh"]
    said = run("shellcheck", "-x", *scripts)
    assert said.returncode == 0, said.stdout
