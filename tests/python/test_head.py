"""The head of a job's paper: read whole, or refused with every fault named."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from enginewright._head import JobHead, Shop, head_from, read_head

WHOLE = """
number = "2417"
engine = "Linnet 2.0"
customer = "J. Bramley"
received = 2026-03-02
promised = "before Easter"
asked = "Knocks when warm"
found = ["Number two main bearing picked up."]
done = []
signed_by = "A. Turner"

[shop]
name = "Hollow Lane Engine Works"
address = ["3 Hollow Lane", "Fenbridge"]
phone = "0100 555 010"
"""


def written(folder: Path, text: str | bytes) -> Path:
    path = folder / "job.toml"
    path.write_bytes(text.encode("utf-8") if isinstance(text, str) else text)
    return path


def test_a_head_is_read_as_it_was_written(tmp_path: Path) -> None:
    head = read_head(written(tmp_path, WHOLE))
    assert head == JobHead(
        number="2417", engine="Linnet 2.0", customer="J. Bramley",
        received=datetime.date(2026, 3, 2), promised="before Easter", asked=("Knocks when warm",),
        found=("Number two main bearing picked up.",), done=(), signed_by="A. Turner",
        shop=Shop("Hollow Lane Engine Works", ("3 Hollow Lane", "Fenbridge"), "0100 555 010"),
    )  # fmt: skip


def test_a_number_is_all_that_must_be_there(tmp_path: Path) -> None:
    assert read_head(written(tmp_path, "number = 2417")).number == "2417"
    for text in ("", 'number = ""', 'customer = "J. Bramley"'):
        with pytest.raises(ValueError, match=r"job\.toml: number must be given"):
            read_head(written(tmp_path, text))


def test_a_head_comes_back_from_the_job_file_as_it_was(tmp_path: Path) -> None:
    head = read_head(written(tmp_path, WHOLE))
    assert head_from(head.as_dict()) == head


def test_all_faults_are_named_together(tmp_path: Path) -> None:
    text = (
        'number = "1"\ncustmer = "x"\nfound = [1]\nreceived = 12\nsigned_by = true\n'
        '[shop]\nfone = "1"'
    )
    with pytest.raises(ValueError) as refused:
        read_head(written(tmp_path, text))
    said = str(refused.value)
    assert "'custmer' is not a key of this file; did you mean 'customer'?" in said
    assert "'fone' is not a key of this file; did you mean 'phone'?" in said
    assert "found must be a list of sentences, got [1]" in said
    assert "received must be a date (2026-03-02) or text, got 12" in said
    assert "signed_by must be text, got True" in said


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b'number = "1\n', r"job\.toml is not valid TOML: .*line 1"),
        (b'number = "\xff"', r"job\.toml must be UTF-8 text"),
        (b"#" * 1_000_001, r"job\.toml must hold at most 1000000 bytes"),
        (b'number = "1"\nnumber = "2"', r"job\.toml is not valid TOML"),
        (b'number = "1"\nshop = 3', r"shop must be a table with name, address and phone, got 3"),
    ],
)
def test_a_file_that_is_no_head_is_refused_in_one_line(
    tmp_path: Path, content: bytes, said: str
) -> None:
    with pytest.raises(ValueError, match=said) as refused:
        read_head(written(tmp_path, content))
    assert "\n" not in str(refused.value)


def test_a_file_that_is_not_there_is_the_systems_own_error(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        read_head(tmp_path / "job.toml")
