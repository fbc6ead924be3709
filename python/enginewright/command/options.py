"""The words of the command line, and the help that explains them."""

import argparse
from typing import NoReturn

from enginewright.command.outcome import Status

__all__ = ["parser"]

_STATUSES = """exit status (the first that applies):
  2  wrong usage
  3  input not fully understood (a row or cell rejected, a file unreadable; what was
     understood is still written), or an output could not be written
  1  at least one finding is outside its limits
  4  at least one is unproven, none outside
  0  all within, or without a limit"""

_CHECK = f"""Judge every reading of an export and say what to do next.

Without the options below, map.toml, limits.toml, gauges.toml and job.toml beside the
export, else in this folder, are taken and named. Files are written only with --out:
findings.xlsx, the work list or build sheet (HTML, PDF) and job.json; of several jobs
each has a folder of its own. The export itself is never touched.

{_STATUSES}"""

_EXPLAIN = """Say what stands behind a word or a finding.

WHAT is the name of a check ("ring gap"), a verdict ("unproven"), a quantity ("ovality"),
or a finding as JOB#14: JOB is job.json or its folder, 14 the number on the Findings sheet.
Without WHAT all checks are listed."""


class _Parser(argparse.ArgumentParser):
    """A parser whose mistakes are one line that names where the help is."""

    def error(self, message: str) -> NoReturn:
        self.exit(Status.USAGE, f"enginewright: {message}; see: {self.prog} --help\n")


def _threads(text: str) -> int:
    number = int(text)
    if number < 0:
        raise argparse.ArgumentTypeError(f"must be at least 0, got {number}")
    return number


def _version() -> str:
    from enginewright import __version__

    return f"enginewright {__version__}"


class _Version(argparse.Action):
    """Looks the version up only when it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *rest: object) -> None:
        """Print the version and end."""
        print(_version())
        parser.exit()


def parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command; the completions are made from it too."""
    top = _Parser(
        prog="enginewright",
        description="Engine machining: readings in, verdicts, next actions and papers out.",
        epilog="Each verb explains itself: enginewright check --help",
    )
    top.add_argument("--version", nargs=0, action=_Version, help="print the version and end")
    verbs = top.add_subparsers(dest="verb", metavar="VERB", required=True)
    _add_check(verbs)
    _add_map(verbs)
    _add_sheet(verbs)
    _add_report(verbs)
    _add_explain(verbs)
    return top


def _verb(
    verbs: "argparse._SubParsersAction[_Parser]", name: str, short: str, text: str
) -> argparse.ArgumentParser:
    return verbs.add_parser(
        name, help=short, description=text, formatter_class=argparse.RawDescriptionHelpFormatter
    )


def _add_check(verbs: "argparse._SubParsersAction[_Parser]") -> None:
    check = _verb(verbs, "check", "judge an export, write findings and papers", _CHECK)
    check.add_argument("files", nargs="+", metavar="FILE", help="workbook or CSV, one or several")
    check.add_argument("--map", metavar="MAP", help="which column means what")
    check.add_argument("--limits", metavar="LIMITS", help="limits and engine cards")
    check.add_argument("--gauges", metavar="GAUGES", help="the shop's gauges")
    check.add_argument("--job", metavar="JOB", help="head of the papers")
    check.add_argument("--engine", metavar="E", help="engine type, where the export names none")
    check.add_argument("--stage", metavar="S", help="stage, where the export names none")
    check.add_argument("--kind", metavar="K", help="kind of limits: wear, machining, new ...")
    check.add_argument(
        "--rule",
        choices=("guarded", "expanded", "simple"),
        default="guarded",
        help="decision rule (default: guarded)",
    )
    check.add_argument(
        "--checks",
        metavar="PY|installed",
        help="a file of checks of your own: this RUNS the file; or those of installed packages",
    )
    check.add_argument("--out", metavar="FOLDER", help="where to write; made when it is not there")
    check.add_argument(
        "--accept-partial",
        action="store_true",
        help="rejected rows and cells, all named, do not change the exit status",
    )
    check.add_argument(
        "--threads", type=_threads, default=0, metavar="N", help="0: as many as there are (default)"
    )
    how = check.add_mutually_exclusive_group()
    how.add_argument("--json", action="store_true", help="one JSON document on standard output")
    how.add_argument("--quiet", action="store_true", help="the outcome in one line")


def _add_map(verbs: "argparse._SubParsersAction[_Parser]") -> None:
    text = "Write a starting map for an export: a guess for every column, the doubtful ones marked."
    starting = _verb(verbs, "map", "write a starting map, guesses marked", text)
    starting.add_argument("file", metavar="FILE", help="workbook or CSV")
    starting.add_argument("-o", dest="output", metavar="MAP", help="file to write (default: shown)")


def _add_sheet(verbs: "argparse._SubParsersAction[_Parser]") -> None:
    text = "Write blank bench sheets for an engine; filled in, they are checked without a map."
    sheet = _verb(verbs, "sheet", "write blank bench sheets", text)
    sheet.add_argument("limits", metavar="LIMITS", help="limits file with the engine's card")
    sheet.add_argument("--engine", metavar="E", help="engine type, where the file holds several")
    sheet.add_argument("--gauges", metavar="GAUGES", help="the shop's gauges")
    sheet.add_argument(
        "-o", dest="output", metavar="FILE", default="bench.xlsx",
        help="workbook to write (default: bench.xlsx)",
    )  # fmt: skip


def _add_report(verbs: "argparse._SubParsersAction[_Parser]") -> None:
    text = "Make the work list or build sheet again from a finished check."
    report = _verb(verbs, "report", "make the paper again from a finished check", text)
    report.add_argument("job", metavar="FOLDER|JOB", help="job.json, or the folder that holds it")
    report.add_argument(
        "-o",
        dest="output",
        metavar="FILE.html|FILE.pdf",
        help="file to write (default: both, beside job.json)",
    )


def _add_explain(verbs: "argparse._SubParsersAction[_Parser]") -> None:
    explain = _verb(verbs, "explain", "the rule, the figures and the source", _EXPLAIN)
    explain.add_argument("what", nargs="*", metavar="WHAT", help="a check, verdict, JOB#14 ...")
