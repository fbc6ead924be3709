"""The completion scripts: shipped as they were made, and knowing every word of the command."""

import re
import shutil

import pytest
from places import ROOT, run

from enginewright.command.options import parser
from enginewright.completions import FILES

# Who develops has it; who only uses the scripts needs it not.
shtab = pytest.importorskip("shtab")

FOLDER = ROOT / "python" / "enginewright" / "completions"


@pytest.mark.parametrize("name", FILES.values())
def test_they_are_what_would_be_made_today(name):
    shipped = (FOLDER / name).read_text(encoding="utf-8")
    made_with = re.search(r"made with shtab (\S+)", shipped)[1]
    if made_with != shtab.__version__:
        pytest.skip(f"made with shtab {made_with}, this is {shtab.__version__}")
    from enginewright.completions.__main__ import scripts

    assert scripts()[name] == shipped


@pytest.mark.parametrize("name", FILES.values())
def test_they_know_every_verb_and_option(name):
    shipped = (FOLDER / name).read_text(encoding="utf-8")
    verbs = next(action.choices for action in parser()._actions if action.dest == "verb")
    for verb, words in verbs.items():
        assert verb in shipped
        for action in words._actions:
            for option in action.option_strings:
                assert option.lstrip("-") in shipped, option


@pytest.mark.skipif(shutil.which("bash") is None, reason="bash is not on this machine")
def test_the_shell_completes_a_verb():
    words = (
        f"source {FOLDER / FILES['bash']}; COMP_WORDS=(enginewright ch); COMP_CWORD=1; "
        "_shtab_enginewright; echo ${COMPREPLY[@]}"
    )
    said = run("bash", "-c", words)
    assert said.stdout.strip() == "check", said.stderr
