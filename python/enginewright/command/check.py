"""`enginewright check`: exports in, verdicts on the screen, workbook, paper and job file out."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from enginewright.command.exports import Export, Exports, read_exports
from enginewright.command.files import beside, folder_name, require_apart
from enginewright.command.outcome import Refusal, Status
from enginewright.command.progress import Progress

if TYPE_CHECKING:
    from enginewright._head import JobHead
    from enginewright._job_file import Job

__all__ = ["run"]

SCHEMA = "enginewright.check/1"


def run(given: argparse.Namespace) -> Status:
    """Read, judge, write, and say how it went."""
    from enginewright.command import shown
    from enginewright.sheets import Account

    with Progress() as progress:
        bench = Bench(given)
        exports = read_exports(bench.files, given.map, bench.defaults(), progress)
        for text in exports.unreadable:
            print(f"enginewright: {text}", file=sys.stderr)
        jobs = bench.judge(exports, progress)
        if given.out is not None:
            bench.write(jobs, exports, Path(given.out), progress)
    problems = [problem for export in exports.read for problem in export.read.problems]
    for problem in problems:
        print(problem, file=sys.stderr)
    account = Account.together(export.read.account for export in exports.read)
    counts = shown.count(jobs)
    rejected = account.total.cells["rejected"]
    if given.json:
        _print_json(jobs, problems, account)
    elif given.quiet:
        print(shown.outcome_line(jobs, counts, rejected))
    else:
        for job in jobs:
            print(*shown.job_lines(job), "", sep="\n")
        print("account", *shown.account_lines(account), sep="\n")
    if exports.unreadable or (account.rejected and not given.accept_partial):
        return Status.TROUBLE
    if counts["outside"]:
        return Status.OUTSIDE
    return Status.UNPROVEN if counts["unproven"] else Status.GOOD


class Bench:
    """What lies ready for a check: limits, gauges, head, checks of the shop's own."""

    def __init__(self, given: argparse.Namespace) -> None:
        from enginewright.table import Gauges, Limits

        self.given = given
        self.files = [Path(file) for file in given.files]
        self.used: list[Path] = []
        limits = self._companion("limits.toml", given.limits)
        gauges = self._companion("gauges.toml", given.gauges)
        head = self._companion("job.toml", given.job)
        if limits is None:
            raise Refusal(
                "no limits: name them with --limits, or put limits.toml beside the export",
                Status.USAGE,
            )
        self.limits = _understood(Limits.read, limits)
        self.gauges = Gauges.empty() if gauges is None else _understood(Gauges.read, gauges)
        self.head = None if head is None else self._read_head(head)
        self.checks = self._load_checks(given.checks)

    def _companion(self, name: str, given: str | None) -> Path | None:
        path = beside(name, given, self.files)
        if path is not None:
            self.used.append(path)
            if given is None:
                print(f"using {path}", file=sys.stderr)
        return path

    def _read_head(self, path: Path) -> JobHead:
        from enginewright._head import read_head

        head: JobHead = _understood(read_head, path)
        return head

    def _load_checks(self, source: str | None) -> tuple[Any, ...]:
        if source is None:
            return ()
        from enginewright.job import CheckError, load_checks

        try:
            return load_checks(source)
        except CheckError as refused:
            raise Refusal(str(refused), Status.USAGE) from None

    def defaults(self) -> dict[str, str]:
        """Words for what neither the map nor the sheet says."""
        said = {"engine": self.given.engine, "stage": self.given.stage}
        if self.head is not None:
            said["job"] = self.head.number
        return {key: value for key, value in said.items() if value is not None}

    def judge(self, exports: Exports, progress: Progress) -> list[Job]:
        """Judge each job by itself, in the order in which the jobs come."""
        from enginewright.command.jobs import readings_by_job

        jobs = []
        for number, readings in readings_by_job(exports.read).items():
            progress.now(f"judging job {number}, {len(readings)} readings")
            jobs.append(self._judged(number, readings, exports.read))
        return jobs

    def _judged(self, number: str, readings: Any, exports: Sequence[Export]) -> Job:
        from enginewright._job_file import Job
        from enginewright.command.jobs import engine_of, files_of
        from enginewright.job import CheckError, inspect
        from enginewright.sheets import Account

        try:
            findings = inspect(
                readings,
                self.limits,
                self.gauges,
                self.checks,
                self.given.kind,
                self.given.rule,
                threads=_threads(self.given.threads),
            )
        except CheckError as refused:
            raise Refusal(f"a check of your own failed: {refused}") from None
        except ValueError as refused:
            raise Refusal(str(refused)) from None
        mine = [export for export in exports if export.read.file in files_of(readings)]
        return Job(
            head=self._head_of(number),
            readings=readings,
            findings=findings,
            limits=self.limits,
            gauges=self.gauges,
            engine=engine_of(readings, self.limits),
            problems=[problem.as_dict() for each in mine for problem in each.read.problems],
            account=Account.together(each.read.account for each in mine).as_dict(),
            files={each.read.file: each.read.sha256 for each in mine},
            rule=self.given.rule,
        )

    def _head_of(self, number: str) -> JobHead:
        from enginewright._head import head_from

        if self.head is not None and self.head.number == number:
            return self.head
        if self.head is not None:
            print(
                f"warning: the head is of job {self.head.number}, not of {number}: left out",
                file=sys.stderr,
            )
        return head_from({"number": number})

    def write(
        self, jobs: Sequence[Job], exports: Exports, folder: Path, progress: Progress
    ) -> None:
        """Write workbook, paper and job file of each job; of several jobs each has its folder."""
        from enginewright.command.jobs import write_job

        folders = _folders(folder, jobs)
        inputs = [*self.files, *self.used, *exports.used]
        for job, place in zip(jobs, folders, strict=True):
            progress.now(f"writing job {job.head.number}")
            place.mkdir(parents=True, exist_ok=True)
            write_job(job, exports.read, place, lambda outputs: require_apart(outputs, inputs))


def _folders(folder: Path, jobs: Sequence[Job]) -> list[Path]:
    if len(jobs) == 1:
        return [folder]
    folders: list[Path] = []
    for job in jobs:
        name, count = folder_name(job.head.number), 1
        while folder / name in folders:
            count += 1
            name = f"{folder_name(job.head.number)}_{count}"
        folders.append(folder / name)
    return folders


def _understood(read: Any, path: Path) -> Any:
    """Read a companion file; what is wrong with it is one line, however many faults it has."""
    try:
        return read(path)
    except ValueError as refused:
        raise Refusal(str(refused)) from None


def _threads(given: int) -> int:
    if given:
        return given
    text = os.environ.get("ENGINEWRIGHT_THREADS", "0")
    if not text.isdecimal():
        raise Refusal(f"ENGINEWRIGHT_THREADS must be a whole number, got {text!r}", Status.USAGE)
    return int(text)


def _print_json(jobs: Iterable[Job], problems: Iterable[Any], account: Any) -> None:
    from enginewright._job_file import rows_of
    from enginewright._rows import not_checked_rows

    jobs = list(jobs)
    document = {
        "schema": SCHEMA,
        "findings": [row for job in jobs for row in rows_of(job.findings)],
        "problems": [problem.as_dict() for problem in problems],
        "account": account.as_dict(),
        "not_checked": [
            {"job": each.job, "check": each.check, "missing": each.missing}
            for job in jobs
            for each in not_checked_rows(job.findings)
        ],
    }
    json.dump(document, sys.stdout, ensure_ascii=False, allow_nan=False, indent=1)
    print()
