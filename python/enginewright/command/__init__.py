"""The command `enginewright`: a spreadsheet in, findings and papers out.

    enginewright check received.xlsx --out out/L-1047
    enginewright map received.xlsx -o map.toml
    enginewright sheet limits.toml -o bench.xlsx
    enginewright report out/L-1047
    enginewright explain "ring gap"

Every mistake of the user ends in one line that says what to do, never in a traceback. This room
holds the way in and the exit statuses; `options` the words of the command line, and one room each
for what each verb does. Nothing heavy is loaded before the words are understood.
"""

import gc
import os
import signal
import sys
from collections.abc import Sequence
from types import FrameType

from enginewright.command.options import parser
from enginewright.command.outcome import Refusal, Status

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status.

    Parameters
    ----------
    arguments
        the words after `enginewright`; those of the running program when absent

    Returns
    -------
    int
        0 all within or without a limit, 1 something outside, 2 wrong usage, 3 input not fully
        understood or an output not written, 4 something unproven and nothing outside
    """
    given = parser().parse_args(arguments)
    # A name that the terminal cannot show is written with escapes; it stops nothing.
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    before = signal.signal(signal.SIGTERM, _stop) if _in_main_thread() else None
    # What a library's abandoned loop says on its way out is no news beside the one line.
    said_by_loops, sys.unraisablehook = sys.unraisablehook, lambda unraisable: None
    whole = False
    try:
        status = _run(given.verb, given)
        sys.stdout.flush()
        whole = True
        return status
    except BrokenPipeError:
        # Nobody reads on; what Python still wants to write at the end goes nowhere.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return _end("the reader of this output has gone; the rest was not shown", Status.TROUBLE)
    except Refusal as refused:
        return _end(str(refused), refused.status)
    except KeyboardInterrupt:
        return _end("stopped; files are either as they were or whole", Status.TROUBLE)
    except OSError as trouble:
        return _end(_of_the_system(trouble), Status.TROUBLE)
    except MemoryError:
        return _end("not enough memory for this input", Status.TROUBLE)
    except Exception as fault:
        if os.environ.get("ENGINEWRIGHT_TRACEBACK"):
            raise
        text = " ".join(f"{type(fault).__name__}: {fault}".split())
        hint = "set ENGINEWRIGHT_TRACEBACK=1 and send what it shows"
        return _end(f"a fault of the program itself ({text}); {hint}", Status.TROUBLE)
    finally:
        if not whole:
            gc.collect()
        sys.unraisablehook = said_by_loops
        if before is not None:
            signal.signal(signal.SIGTERM, before)


def _run(verb: str, given: object) -> int:
    # One import a verb: `map` needs no report, `explain` no spreadsheet.
    from importlib import import_module

    room = import_module(f"enginewright.command.{verb}")
    status: int = room.run(given)
    return status


def _end(text: str, status: int) -> int:
    print(f"enginewright: {text}", file=sys.stderr)
    return int(status)


def _stop(number: int, frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def _in_main_thread() -> bool:
    import threading

    return threading.current_thread() is threading.main_thread()


def _of_the_system(trouble: OSError) -> str:
    name = f"{trouble.filename}: " if trouble.filename else ""
    return f"{name}{trouble.strerror or trouble}"
