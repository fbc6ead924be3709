"""Files out: the old one or the new one, never half of one."""

import os
import resource
import stat
import subprocess
import sys

import pytest

from enginewright._files import write_whole


def test_a_file_is_written_and_replaced(tmp_path):
    path = tmp_path / "job.json"
    assert write_whole(path, b"one") == path
    write_whole(str(path), b"two")
    assert path.read_bytes() == b"two"
    assert [entry.name for entry in tmp_path.iterdir()] == ["job.json"]


def test_it_has_the_permissions_of_a_file_made_by_hand_and_keeps_those_it_had(tmp_path):
    path, other = tmp_path / "job.json", tmp_path / "by_hand"
    other.write_bytes(b"")
    write_whole(path, b"one")
    assert stat.S_IMODE(path.stat().st_mode) == stat.S_IMODE(other.stat().st_mode)
    path.chmod(0o640)
    write_whole(path, b"two")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_link_stays_a_link_to_the_new_content(tmp_path):
    path, link = tmp_path / "job.json", tmp_path / "link.json"
    path.write_bytes(b"old")
    link.symlink_to(path)
    write_whole(link, b"new")
    assert link.is_symlink()
    assert path.read_bytes() == b"new"


def test_a_missing_folder_leaves_nothing_behind(tmp_path):
    with pytest.raises(FileNotFoundError):
        write_whole(tmp_path / "no" / "job.json", b"x")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is read-only to the superuser")
def test_a_folder_that_may_not_be_written_leaves_the_old_file(tmp_path):
    path = tmp_path / "job.json"
    path.write_bytes(b"old")
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(PermissionError):
            write_whole(path, b"new")
    finally:
        tmp_path.chmod(0o700)
    assert path.read_bytes() == b"old"


CHILD = """
import resource, signal, sys
from enginewright._files import write_whole
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
try:
    write_whole(sys.argv[1], b"x" * 100_000)
except OSError as error:
    print(error.strerror)
"""


def test_a_full_disk_leaves_the_old_file_and_no_remains(tmp_path):
    path = tmp_path / "job.json"
    path.write_bytes(b"old")
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[0] == resource.RLIM_INFINITY
    done = subprocess.run(
        [sys.executable, "-c", CHILD, str(path)], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "File too large"
    assert path.read_bytes() == b"old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["job.json"]


def test_an_interruption_leaves_the_old_file(tmp_path, monkeypatch):
    path = tmp_path / "job.json"
    path.write_bytes(b"old")

    def interrupted(handle):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["job.json"]
