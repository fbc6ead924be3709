"""The command as a user types it: what it writes, what it says, how it ends."""

import hashlib
import json
import os
import resource
import shutil
import signal
import subprocess
import sys
import time

import openpyxl
import pytest
from places import LINNET, run

PYTHON = sys.executable
WORDS = [PYTHON, "-m", "enginewright"]


def command(*words, cwd, **more):
    return run(*WORDS, *words, cwd=cwd, **more)


@pytest.fixture
def desk(tmp_path):
    """A folder with the example in it, as a shop would have it."""
    folder = tmp_path / "desk"
    folder.mkdir()
    for path in LINNET.glob("*.*"):
        if path.suffix != ".txt":
            shutil.copy(path, folder)
    return folder


@pytest.fixture(scope="module")
def checked(tmp_path_factory):
    """The received export, checked once: the folder that was written, and what was said."""
    folder = tmp_path_factory.mktemp("checked")
    words = ["check", LINNET / "received.xlsx", "--out", "out", "--accept-partial"]
    return folder / "out", command(*words, cwd=folder)


def one_line(text):
    assert len(text.strip().splitlines()) == 1, text
    assert "Traceback" not in text
    return text.strip()


# --- words ---


def test_help_needs_no_array_library():
    words = (
        "import sys\nfrom enginewright.command import main\n"
        "try: main(['check', '--help'])\nexcept SystemExit as end: assert end.code == 0\n"
        "heavy = {'numpy', 'openpyxl', 'jinja2', 'matplotlib', 'pandas', 'pyarrow', 'typst'}\n"
        "print(sorted(heavy & set(sys.modules)), file=sys.stderr)"
    )
    said = run(PYTHON, "-c", words)
    assert (said.returncode, said.stderr.strip()) == (0, "[]")
    assert "exit status" in said.stdout


def test_importing_the_package_loads_none_of_the_extras():
    words = (
        "import sys, enginewright as ew\newl = ew.rings.gap_at_bore(0.3, 86.0, 86.25)\n"
        "heavy = {'openpyxl', 'jinja2', 'matplotlib', 'pandas', 'pyarrow', 'typst', 'dask'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    said = run(PYTHON, "-c", words)
    assert (said.returncode, said.stdout.strip()) == (0, "[]"), said.stderr


@pytest.mark.parametrize(
    "words",
    [
        (),
        ("check",),
        ("chekc", "x.xlsx"),
        ("check", "x.xlsx", "--rule", "generous"),
        ("check", "x.xlsx", "--threads", "-1"),
        ("check", "x.xlsx", "--json", "--quiet"),
        ("map",),
        ("report", "out", "extra"),
    ],
)
def test_wrong_words_are_one_line_and_status_two(words, tmp_path):
    said = command(*words, cwd=tmp_path)
    assert said.returncode == 2
    assert one_line(said.stderr).endswith("--help")


def test_without_limits_it_says_where_they_belong(desk):
    (desk / "limits.toml").unlink()
    said = command("check", "received.xlsx", cwd=desk)
    assert said.returncode == 2
    assert "--limits" in said.stderr and "Traceback" not in said.stderr


# --- the main job ---


def test_the_received_export_gives_workbook_paper_and_job_file(checked):
    folder, said = checked
    assert said.returncode == 1, said.stderr
    names = {path.name for path in folder.iterdir()}
    assert names == {"findings.xlsx", "work_list.html", "work_list.pdf", "job.json"}
    assert (folder / "work_list.pdf").read_bytes().startswith(b"%PDF")


def test_the_finished_export_gives_the_build_sheet(tmp_path):
    said = command("check", LINNET / "finished.xlsx", "--out", "out", cwd=tmp_path)
    assert said.returncode == 0, said.stdout + said.stderr
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert names == {"findings.xlsx", "build_sheet.html", "build_sheet.pdf", "job.json"}


def test_the_screen_says_what_to_do_where_and_how_the_cells_went(checked):
    text = checked[1].stdout
    assert "L-1047" in text and "Linnet 2.0" in text
    assert "Block!E8" in text or "Block!C8" in text
    assert "grind all 5" in text.lower() or "grind all five" in text.lower()
    assert "rows 107 = " in text and "1 rejected" in text


def test_companions_and_problems_are_named_on_standard_error(checked):
    text = checked[1].stderr
    for name in ("map.toml", "limits.toml", "gauges.toml", "job.toml"):
        assert f"{LINNET / name}" in text
    assert "Crank!A45" in text and "Main brg" in text


def test_a_rejected_cell_ends_in_status_three_unless_it_is_accepted(desk):
    assert command("check", "received.xlsx", "--quiet", cwd=desk).returncode == 3
    said = command("check", "received.xlsx", "--quiet", "--accept-partial", cwd=desk)
    assert said.returncode == 1
    assert "not understood" in one_line(said.stdout)


def test_unproven_alone_ends_in_status_four(desk):
    csv = "job,stage,feature,number,station,axis,quantity,value,unit,uncertainty,engine\n"
    (desk / "one.csv").write_text(
        csv + "1,as received,piston,1,,,diameter,85.921,mm,0.004,Linnet 2.0\n"
    )
    (desk / "map.toml").unlink()
    (desk / "job.toml").unlink()
    said = command("check", "one.csv", cwd=desk)
    assert said.returncode == 4, said.stdout + said.stderr


def test_json_is_one_document_and_nothing_else(desk):
    said = command("check", "received.xlsx", "--json", "--accept-partial", cwd=desk)
    document = json.loads(said.stdout, parse_constant=pytest.fail)
    assert list(document)[0] == "schema"
    assert document["schema"] == "enginewright.check/1"
    assert set(document) == {"schema", "findings", "problems", "account", "not_checked"}
    verdicts = {row["verdict"] for row in document["findings"]}
    assert verdicts <= {"within", "outside", "unproven", "unlimited"} and "outside" in verdicts
    assert document["account"]["total"]["rows"]["rejected"] == 1


def test_nothing_is_written_without_a_folder(desk):
    before = sorted(path.name for path in desk.iterdir())
    command("check", "received.xlsx", "--quiet", cwd=desk)
    assert sorted(path.name for path in desk.iterdir()) == before


def test_the_export_is_never_touched(desk):
    before = hashlib.sha256((desk / "received.xlsx").read_bytes()).hexdigest()
    command("check", "received.xlsx", "--out", ".", "--accept-partial", cwd=desk)
    assert hashlib.sha256((desk / "received.xlsx").read_bytes()).hexdigest() == before


def test_an_export_that_bears_the_name_of_an_output_is_not_overwritten(desk):
    (desk / "findings.xlsx").write_bytes((desk / "received.xlsx").read_bytes())
    before = (desk / "findings.xlsx").read_bytes()
    said = command("check", "findings.xlsx", "--out", ".", "--accept-partial", cwd=desk)
    assert said.returncode == 3
    assert "would overwrite" in said.stderr and "Traceback" not in said.stderr
    assert (desk / "findings.xlsx").read_bytes() == before
    assert not (desk / "job.json").exists()


def test_threads_change_nothing(desk):
    words = ["check", "received.xlsx", "--json", "--accept-partial", "--threads"]
    said = {count: command(*words, count, cwd=desk).stdout for count in (1, 2, 7)}
    assert said[1] == said[2] == said[7]


def test_the_list_is_judged_like_the_sheets(desk):
    words = ["--json", "--accept-partial"]
    sheets = json.loads(command("check", "received.xlsx", *words, cwd=desk).stdout)["findings"]
    listed = json.loads(command("check", "received.csv", *words, cwd=desk).stdout)["findings"]

    def judged(rows):
        keys = ("check", "feature", "number", "part", "station", "axis", "value", "verdict")
        return sorted(json.dumps([row[key] for key in keys]) for row in rows)

    assert judged(sheets) == judged(listed)


# --- several files, several jobs ---


def test_an_unreadable_file_does_not_stop_the_others(desk):
    (desk / "empty.xlsx").write_bytes(b"")
    said = command("check", "empty.xlsx", "finished.xlsx", "--quiet", cwd=desk)
    assert said.returncode == 3
    assert "empty.xlsx" in said.stderr and "Traceback" not in said.stderr
    assert "L-1047" in said.stdout


def test_a_file_that_is_not_there_is_one_line(tmp_path, desk):
    said = command("check", "nowhere.xlsx", cwd=desk)
    assert said.returncode == 3
    assert "nowhere.xlsx" in said.stderr and "Traceback" not in said.stderr


@pytest.fixture
def two_jobs(desk):
    csv = "job,engine,stage,feature,number,quantity,value,unit\n"
    rows = ["../../x", "L-7"]
    (desk / "two.csv").write_text(
        csv + "".join(f"{job},Linnet 2.0,as received,piston,1,diameter,85.950,mm\n" for job in rows)
    )
    (desk / "map.toml").unlink()
    (desk / "job.toml").unlink()
    return desk


def test_of_several_jobs_each_has_a_folder_inside_the_one_named(two_jobs):
    said = command("check", "two.csv", "--out", "out", cwd=two_jobs)
    assert said.returncode == 0, said.stdout + said.stderr
    assert {path.name for path in (two_jobs / "out").iterdir()} == {"x", "L-7"}
    assert (two_jobs / "out" / "x" / "job.json").exists()
    assert not (two_jobs.parent / "x").exists()


# --- faults of the machine ---


def limited():
    resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))


def test_a_full_disk_leaves_the_old_files_and_no_halves(desk):
    out = desk / "out"
    out.mkdir()
    for name in ("findings.xlsx", "work_list.html", "work_list.pdf", "job.json"):
        (out / name).write_text("old")
    words = ["check", "received.xlsx", "--out", "out", "--accept-partial"]
    said = command(*words, cwd=desk, preexec_fn=limited)
    assert said.returncode == 3
    assert "Traceback" not in said.stderr
    assert sorted(path.name for path in out.iterdir()) == [
        "findings.xlsx",
        "job.json",
        "work_list.html",
        "work_list.pdf",
    ]
    for path in out.iterdir():
        assert path.read_bytes() == b"old" or path.stat().st_size < 20_000


def test_a_folder_that_cannot_be_made_is_one_line(desk):
    (desk / "taken").write_text("a file")
    said = command("check", "finished.xlsx", "--out", "taken", "--quiet", cwd=desk)
    assert said.returncode == 3
    assert "taken" in said.stderr and "Traceback" not in said.stderr


def test_a_reader_that_goes_away_is_no_traceback(desk):
    with subprocess.Popen(
        [*WORDS, "check", "received.xlsx", "--json"],
        cwd=desk,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        process.stdout.close()
        said = process.stderr.read().decode()
    assert process.returncode == 3
    assert "Traceback" not in said and "Exception ignored" not in said


@pytest.mark.parametrize("moment", [0.05, 0.2, 0.4, 0.6, 0.8, 1.0, 1.3, 1.6, 2.0, 2.5])
def test_a_run_that_is_ended_leaves_whole_files_or_none(desk, moment):
    words = ["check", "received.xlsx", "--out", "out", "--accept-partial"]
    with subprocess.Popen([*WORDS, *words], cwd=desk, stderr=subprocess.PIPE) as process:
        time.sleep(moment)
        process.send_signal(signal.SIGTERM)
        said = process.stderr.read().decode()
    assert "Traceback" not in said
    if (desk / "out").exists():
        names = {path.name for path in (desk / "out").iterdir()}
        assert names <= {"findings.xlsx", "work_list.html", "work_list.pdf", "job.json"}
        if "job.json" in names:
            json.loads((desk / "out" / "job.json").read_text())


def test_no_colour_where_nobody_sees_it(checked):
    assert "\x1b" not in checked[1].stdout + checked[1].stderr


# --- sheet ---


def test_blank_sheets_are_written_once_and_check_without_a_map(desk):
    made = command("sheet", "limits.toml", "-o", "bench.xlsx", cwd=desk)
    assert made.returncode == 0, made.stderr
    assert "enginewright check bench.xlsx" in made.stdout
    again = command("sheet", "limits.toml", "-o", "bench.xlsx", cwd=desk)
    assert again.returncode == 3 and "is there already" in again.stderr
    book = openpyxl.load_workbook(desk / "bench.xlsx")
    book["Instructions"]["B3"].value = "L-1048"
    book["Bores"]["B8"].value = 86.051
    book.save(desk / "bench.xlsx")
    (desk / "map.toml").unlink()
    checked = command("check", "bench.xlsx", "--quiet", cwd=desk)
    assert checked.returncode in (0, 1, 4), checked.stderr


def test_an_engine_that_the_limits_do_not_hold_is_named(desk):
    said = command("sheet", "limits.toml", "--engine", "Dunlin", cwd=desk)
    assert said.returncode == 3
    assert "'Linnet 2.0'" in said.stderr and "'Dunlin'" in said.stderr


# --- map, report, explain ---


def test_a_starting_map_is_shown_or_written_and_never_lost(desk):
    shown = command("map", "received.xlsx", cwd=desk)
    assert shown.returncode == 0 and "[[table]]" in shown.stdout
    assert command("map", "received.xlsx", "-o", "new.toml", cwd=desk).returncode == 0
    (desk / "new.toml").write_text("mine")
    said = command("map", "received.xlsx", "-o", "new.toml", cwd=desk)
    assert said.returncode == 3
    assert "already" in one_line(said.stderr)
    assert (desk / "new.toml").read_text() == "mine"


def test_the_paper_is_made_again_from_the_job_file(checked, tmp_path):
    folder = checked[0]
    before = {name: (folder / name).read_bytes() for name in ("work_list.html", "work_list.pdf")}
    copy = tmp_path / "out"
    copy.mkdir()
    shutil.copy(folder / "job.json", copy)
    said = command("report", "out", cwd=tmp_path)
    assert said.returncode == 0, said.stderr
    assert {name: (copy / name).read_bytes() for name in before} == before


def test_one_paper_under_a_name_of_ones_own(checked, tmp_path):
    said = command("report", checked[0] / "job.json", "-o", "mine.html", cwd=tmp_path)
    assert said.returncode == 0, said.stderr
    assert b"L-1047" in (tmp_path / "mine.html").read_bytes()
    assert command("report", checked[0], "-o", "mine.doc", cwd=tmp_path).returncode == 2


@pytest.mark.parametrize("what", ["ring gap", "unproven", "ovality", "regrind"])
def test_a_word_is_explained(what, tmp_path):
    said = command("explain", what, cwd=tmp_path)
    assert said.returncode == 0, said.stderr
    assert said.stdout.startswith(what)


def test_every_check_is_listed_and_explained(tmp_path):
    import enginewright as ew

    listed = command("explain", cwd=tmp_path).stdout
    for each in ew.job.checks():
        assert each.check in listed
        assert ew.job.explain(each.check)


def test_a_word_nobody_knows_is_answered_with_near_ones(tmp_path):
    said = command("explain", "ring gpa", cwd=tmp_path)
    assert said.returncode == 2
    assert "ring gap" in one_line(said.stderr)


def test_a_finding_is_explained_by_its_figures_and_source(checked, tmp_path):
    folder = checked[0]
    findings = json.loads((folder / "job.json").read_text())["findings"]["columns"]
    number = 1 + next(
        i
        for i, (check, which) in enumerate(zip(findings["check"], findings["number"], strict=True))
        if check == "ovality" and which == 2 and findings["feature"][i] == "main journal"
    )
    said = command("explain", f"{folder}#{number}", cwd=tmp_path)
    assert said.returncode == 0, said.stderr
    # By hand: 59.899 - 59.842 = 0.057 at the back, of two readings on the sheet Crank.
    assert "0.057" in said.stdout and "59.842" in said.stdout and "59.899" in said.stdout
    assert "Crank!G" in said.stdout
    assert "data card, line 26" in said.stdout
    beyond = command("explain", f"{folder}#9999", cwd=tmp_path)
    assert beyond.returncode == 2 and "9999" in one_line(beyond.stderr)


# --- checks of the shop's own ---


def test_a_check_of_ones_own_appears_in_every_output(desk):
    (desk / "shop.py").write_text(
        "import enginewright as ew\n"
        "@ew.check('shop.top_gap', needs={'feature': 'ring', 'quantity': 'gap'})\n"
        "def top_gap(readings, limits):\n"
        "    for cylinder, group in readings.where(part='top ring').split('number'):\n"
        "        yield ew.finding(group, value=group.one(part='top ring').quantity, lower=5.0,\n"
        "                         quantity='gap', next='fit another ring', reason='too tight')\n"
    )
    words = ["check", "received.xlsx", "--checks", "shop.py", "--accept-partial", "--out", "out"]
    said = command(*words, cwd=desk)
    assert said.returncode == 1, said.stderr
    assert "shop.top_gap" in said.stdout
    assert "shop.top_gap" in (desk / "out" / "work_list.html").read_text()
    assert "shop.top_gap" in (desk / "out" / "job.json").read_text()


def test_a_check_that_fails_is_one_line_with_check_job_and_cell(desk):
    (desk / "shop.py").write_text(
        "import enginewright as ew\n"
        "@ew.check('shop.bad', needs={'feature': 'ring'})\n"
        "def bad(readings, limits):\n    return 1 / 0\n"
    )
    said = command("check", "finished.xlsx", "--checks", "shop.py", cwd=desk)
    assert said.returncode == 3
    assert "Traceback" not in said.stderr
    line = said.stderr.strip().splitlines()[-1]
    assert "shop.bad" in line and "L-1047" in line and "Rings!" in line


def test_a_fault_of_the_program_is_one_line_unless_it_is_asked_for(tmp_path):
    words = (
        "from enginewright import command\n"
        "def broken(verb, given): raise RuntimeError('no such thing')\n"
        "command._run = broken\nraise SystemExit(command.main(['explain']))"
    )
    said = run(PYTHON, "-c", words, cwd=tmp_path)
    assert said.returncode == 3
    assert "no such thing" in one_line(said.stderr)
    said = run(PYTHON, "-c", words, cwd=tmp_path, env={"ENGINEWRIGHT_TRACEBACK": "1"})
    assert "Traceback" in said.stderr


def test_the_environment_may_name_the_threads(desk):
    said = command(
        "check", "finished.xlsx", "--quiet", cwd=desk, env={"ENGINEWRIGHT_THREADS": "many"}
    )
    assert said.returncode == 2
    assert "ENGINEWRIGHT_THREADS" in said.stderr
    assert os.environ.get("ENGINEWRIGHT_THREADS") is None
