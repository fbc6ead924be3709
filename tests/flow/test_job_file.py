"""The job file: everything of a check comes back, and what is damaged is refused with its place."""

import json

import pytest
from places import LINNET

import enginewright as ew
from enginewright import _job_file
from enginewright._head import read_head
from enginewright._rows import finding_rows, not_checked_rows, reading_rows


@pytest.fixture(scope="module")
def job():
    read = ew.sheets.read(LINNET / "received.xlsx", map=LINNET / "map.toml")
    limits = ew.Limits.read(LINNET / "limits.toml")
    gauges = ew.Gauges.read(LINNET / "gauges.toml")
    return _job_file.Job(
        head=read_head(LINNET / "job.toml"),
        readings=read.readings,
        findings=ew.inspect(read.readings, limits, gauges),
        limits=limits,
        gauges=gauges,
        engine={"name": "Linnet 2.0"},
        problems=[problem.as_dict() for problem in read.problems],
        account=read.account.as_dict(),
        files={read.file: read.sha256},
    )


@pytest.fixture
def file(job, tmp_path):
    return _job_file.write(tmp_path / "job.json", job)


def test_schema_name_and_version_stand_first(file):
    assert file.read_text().startswith('{"schema": "enginewright.job/1",\n')
    content = json.loads(file.read_text())
    assert {"head", "readings", "limits", "gauges", "findings"} <= set(content)
    assert {"problems", "account", "engine"} <= set(content)


def test_everything_comes_back(job, file):
    back = _job_file.read(file.parent)
    assert back.head == job.head
    assert reading_rows(back.readings) == reading_rows(job.readings)
    assert finding_rows(back.findings) == finding_rows(job.findings)
    assert not_checked_rows(back.findings) == not_checked_rows(job.findings)
    assert back.limits.to_json() == job.limits.to_json()
    assert back.gauges.to_json() == job.gauges.to_json()
    assert (back.problems, back.account) == (job.problems, job.account)
    assert (back.engine, back.files) == (job.engine, job.files)


def test_the_same_job_gives_the_same_bytes(job, file, tmp_path):
    again = _job_file.write(tmp_path / "again.json", _job_file.read(file))
    assert again.read_bytes() == file.read_bytes()


def test_what_came_back_is_judged_the_same_again(file):
    back = _job_file.read(file)
    again = ew.inspect(back.readings, back.limits, back.gauges)
    assert finding_rows(again) == finding_rows(back.findings)


def test_fields_of_other_programs_are_kept(file):
    content = json.loads(file.read_text())
    content["till"] = {"paid": True}
    file.write_text(json.dumps(content))
    back = _job_file.read(file)
    assert back.rest == {"till": {"paid": True}}
    _job_file.write(file, back)
    assert json.loads(file.read_text())["till"] == {"paid": True}


def test_a_newer_version_is_refused_by_name(file):
    file.write_text(file.read_text().replace("enginewright.job/1", "enginewright.job/2"))
    with pytest.raises(_job_file.JobFileError, match=r"enginewright\.job/2 is newer"):
        _job_file.read(file)


@pytest.mark.parametrize("schema", ["enginewright.findings/1", "x", "enginewright.job/1.5", ""])
def test_another_schema_is_refused(file, schema):
    file.write_text(file.read_text().replace("enginewright.job/1", schema))
    with pytest.raises(_job_file.JobFileError, match="schema must be enginewright.job/1"):
        _job_file.read(file)


@pytest.mark.parametrize("share", [0.0, 0.01, 0.3, 0.7, 0.999])
def test_a_half_written_file_is_refused_with_line_and_column(file, share):
    data = file.read_bytes()
    file.write_bytes(data[: int(len(data) * share)])
    with pytest.raises(_job_file.JobFileError, match=r"line \d+, column \d+"):
        _job_file.read(file)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('"head"', '"haed"', "head is missing"),
        ('"problems": [', '"problems": 3, "x": [', "problems must be a list"),
        ("L-1047", "L\udcff", "not UTF-8"),
        ('"level": 0.95', '"level": NaN', "NaN is no number"),
        ('"level": 0.95', '"level": "high"', "damaged"),
    ],
)
def test_hand_made_damage_is_named(file, old, new, says):
    text = file.read_text().replace(old, new, 1)
    file.write_bytes(text.encode("utf-8", "surrogateescape"))
    with pytest.raises(_job_file.JobFileError, match=says):
        _job_file.read(file)


def test_columns_of_unequal_length_are_refused(file):
    content = json.loads(file.read_text())
    content["readings"]["columns"]["value"].pop()
    file.write_text(json.dumps(content))
    with pytest.raises(_job_file.JobFileError, match="damaged"):
        _job_file.read(file)


def test_a_basis_beyond_the_readings_is_refused(file):
    content = json.loads(file.read_text())
    content["findings"]["readings_of"][0] = [10_000]
    file.write_text(json.dumps(content))
    with pytest.raises(_job_file.JobFileError, match="damaged"):
        _job_file.read(file)


def test_a_file_nested_without_end_is_refused(file):
    file.write_text("[" * 200_000)
    with pytest.raises(_job_file.JobFileError):
        _job_file.read(file)


def test_what_is_not_there_is_one_sentence(tmp_path):
    with pytest.raises(_job_file.JobFileError, match="no such file"):
        _job_file.read(tmp_path)
