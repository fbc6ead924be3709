"""The job file, `job.json`: everything that a finished check knew, for `report` and `explain`.

    {"schema": "enginewright.job/1", "program": "0.1.0", "head": {...}, "engine": {...},
     "readings": {...}, "limits": {...}, "gauges": {...}, "findings": {...},
     "problems": [...], "account": {...}, "files": {...}, "rule": "guarded", "level": 0.95}

Tables stand as columns, a missing cell as null, a date as "2026-03-02"; numbers keep all their
digits. Fields of other programs are kept when the file is written again. A file of a newer schema,
or a damaged one, is refused by name and place; data is all that is ever read from it.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from enginewright._head import JobHead, head_from
from enginewright._rows import column

__all__ = ["SCHEMA", "Job", "JobFileError", "read", "rows_of", "write"]

NAME, VERSION = "enginewright.job", 1
SCHEMA = f"{NAME}/{VERSION}"
LARGEST = 512 * 1024 * 1024

_KNOWN = (
    "schema", "program", "head", "engine", "readings", "limits", "gauges", "findings", "problems",
    "account", "files", "rule", "level",
)  # fmt: skip


class JobFileError(ValueError):
    """A job file that cannot be read as it stands: one sentence, with the place in the file."""


@dataclass
class Job:
    """One job: its head, what was measured, what it was judged by and what came of it."""

    head: JobHead
    readings: Any
    findings: Any
    limits: Any
    gauges: Any
    engine: dict[str, Any] = field(default_factory=dict)
    problems: list[dict[str, Any]] = field(default_factory=list)
    account: dict[str, Any] = field(default_factory=dict)
    files: dict[str, str] = field(default_factory=dict)
    """Name and SHA-256 of each export that was read."""
    rule: str = "guarded"
    level: float = 0.95
    program: str = ""
    rest: dict[str, Any] = field(default_factory=dict)
    """Fields that this version does not know; written again as they were."""


def write(path: str | os.PathLike[str], job: Job) -> Path:
    """Write a job file, whole or not at all.

    The same job gives the same bytes. A number that JSON cannot hold (infinity) is a fault of this
    program and is raised as ValueError.
    """
    from enginewright import __version__
    from enginewright._files import write_whole

    content = {
        "schema": SCHEMA,
        "program": __version__,
        "head": job.head.as_dict(),
        "engine": job.engine,
        "readings": {"columns": _columns(job.readings)},
        "limits": json.loads(job.limits.to_json()),
        "gauges": json.loads(job.gauges.to_json()),
        "findings": _findings(job.findings),
        "problems": job.problems,
        "account": job.account,
        "files": job.files,
        "rule": job.rule,
        "level": job.level,
        **{key: value for key, value in job.rest.items() if key not in _KNOWN},
    }
    # A line a field: the file can be looked at, and a change of one shows in a comparison.
    fields = [f"{json.dumps(key)}: {_json(value)}" for key, value in content.items()]
    text = "{" + ",\n ".join(fields) + "}"
    return write_whole(path, (text + "\n").encode("utf-8"))


def rows_of(table: Any) -> Iterator[dict[str, Any]]:
    """Give a table row by row as JSON holds it: a missing cell is None, a date is text."""
    columns = _columns(table)
    for values in zip(*columns.values(), strict=True):
        yield dict(zip(columns, values, strict=True))


def _columns(table: Any) -> dict[str, list[Any]]:
    columns = {name: column(table, name) for name in table.columns}
    for values in columns.values():
        values[:] = [each.isoformat() if isinstance(each, date) else each for each in values]
    return columns


def _findings(findings: Any) -> dict[str, Any]:
    numbers = range(len(findings))
    return {
        "columns": _columns(findings),
        "readings_of": [[int(row) for row in findings.readings_of(i)] for i in numbers],
        "not_checked": [each.as_dict() for each in findings.not_checked],
    }


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def read(path: str | os.PathLike[str]) -> Job:
    """Read a job file, or the job.json of a folder.

    Raises
    ------
    JobFileError
        Not there, not JSON (with line and column), of another schema or a newer version, or a part
        of it is missing or of the wrong kind.
    """
    from enginewright.table import Gauges, Limits

    place = Path(path)
    if place.is_dir():
        place = place / "job.json"
    content = _content(place)
    _require_schema(place, content.get("schema"))
    for key, kind in _PARTS.items():
        if not isinstance(content.get(key), kind):
            lacking = "is missing" if key not in content else f"must be {_KINDS[kind]}"
            raise JobFileError(f"{place}: {key} {lacking}; make the file again with a new check")
    try:
        readings = _readings(content["readings"])
        return Job(
            head=head_from(content["head"], "head"),
            engine=content["engine"],
            readings=readings,
            limits=Limits.from_json(json.dumps(content["limits"])),
            gauges=Gauges.from_json(json.dumps(content["gauges"])),
            findings=_restored(content["findings"], readings),
            problems=content["problems"],
            account=content["account"],
            files=content.get("files", {}),
            rule=str(content.get("rule", "guarded")),
            level=float(content.get("level", 0.95)),
            program=str(content.get("program", "")),
            rest={key: value for key, value in content.items() if key not in _KNOWN},
        )
    except (ValueError, TypeError, KeyError) as fault:
        raise JobFileError(f"{place}: damaged: {fault}") from None


_PARTS = {
    "head": dict, "engine": dict, "readings": dict, "limits": dict, "gauges": dict,
    "findings": dict, "problems": list, "account": dict,
}  # fmt: skip
_KINDS = {dict: "an object", list: "a list"}


def _content(place: Path) -> dict[str, Any]:
    try:
        if place.stat().st_size > LARGEST:
            raise JobFileError(
                f"{place}: larger than {LARGEST // 2**20} MiB, so no job file of ours"
            )
        data = place.read_bytes()
    except FileNotFoundError:
        raise JobFileError(f"{place}: no such file") from None
    except OSError as trouble:
        raise JobFileError(f"{place}: {trouble.strerror}") from None
    try:
        content = json.loads(data.decode("utf-8"), parse_constant=_no_number)
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        column = fault.start - data.rfind(b"\n", 0, fault.start)
        raise JobFileError(f"{place}: line {line}, column {column}: not UTF-8 text") from None
    except json.JSONDecodeError as fault:
        where = f"line {fault.lineno}, column {fault.colno}"
        raise JobFileError(f"{place}: {where}: {fault.msg.lower()}; {_AGAIN}") from None
    except RecursionError:
        raise JobFileError(f"{place}: nested too deeply to be a job file") from None
    except ValueError as fault:
        raise JobFileError(f"{place}: {fault}") from None
    if not isinstance(content, dict):
        raise JobFileError(f"{place}: line 1, column 1: a job file is an object, this is none")
    return content


_AGAIN = "damaged or half written; make it again with a new check"


def _no_number(text: str) -> None:
    raise ValueError(f"{text} is no number; {_AGAIN}")


def _require_schema(place: Path, schema: Any) -> None:
    found = re.fullmatch(rf"{re.escape(NAME)}/(\d+)", schema) if isinstance(schema, str) else None
    if found is None:
        raise JobFileError(f"{place}: schema must be {SCHEMA}, got {schema!r}")
    if int(found[1]) > VERSION:
        raise JobFileError(
            f"{place}: {schema} is newer than what this program reads ({SCHEMA}); "
            "use a newer enginewright"
        )


def _readings(given: dict[str, Any]) -> Any:
    from enginewright.table import Readings

    return Readings.from_frame(_dated(given["columns"]))


def _restored(given: dict[str, Any], readings: Any) -> Any:
    """Make the findings again, each with the readings that it rests on."""
    from enginewright.table import Findings

    basis = given["readings_of"]
    for number, rows in enumerate(basis, 1):
        if not all(isinstance(row, int) and 0 <= row < len(readings) for row in rows):
            raise ValueError(f"finding {number} rests on readings that are not there")
    return Findings.from_frame(
        _dated(given["columns"]),
        readings=readings,
        readings_of=basis,
        not_checked=[_not_checked(each) for each in given["not_checked"]],
    )


def _not_checked(given: dict[str, str]) -> Any:
    """Make a record again from its fields, the way `pickle` does."""
    from enginewright import _core

    made: Any = _core.table.NotChecked
    record = made.__new__(made)
    record.__setstate__(((), ((given["job"], given["check"], given["missing"]),), {}))
    return record


def _dated(columns: dict[str, list[Any]]) -> dict[str, Any]:
    """Turn the dates of a table back into dates."""
    import numpy as np

    if "date" not in columns:
        return columns
    return columns | {"date": np.array(columns["date"], dtype="datetime64[D]")}
