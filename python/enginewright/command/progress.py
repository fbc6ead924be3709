"""Progress on long work: one line on the terminal, after a second, gone when the work is done."""

from __future__ import annotations

import sys
import threading
import time
from types import TracebackType

__all__ = ["Progress"]

_PATIENCE = 1.0


class Progress:
    """Says what is being done and for how long; silent when standard error is no terminal.

    >>> with Progress() as progress:
    ...     progress.now("reading received.xlsx")
    """

    def __init__(self) -> None:
        self._what = ""
        self._width = 0
        self._began = time.monotonic()
        self._done = threading.Event()
        self._thread: threading.Thread | None = None

    def now(self, what: str) -> None:
        """Say what is being done from now on."""
        self._what = what

    def __enter__(self) -> Progress:
        """Begin to count."""
        if sys.stderr is not None and sys.stderr.isatty():
            self._thread = threading.Thread(target=self._show, daemon=True)
            self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Take the line away."""
        self._done.set()
        if self._thread is not None:
            self._thread.join()
            if self._width:
                sys.stderr.write("\r" + " " * self._width + "\r")
                sys.stderr.flush()

    def _show(self) -> None:
        wait = _PATIENCE
        while not self._done.wait(wait):
            text = f"{self._what}, {time.monotonic() - self._began:.0f} s"
            sys.stderr.write("\r" + text.ljust(self._width))
            sys.stderr.flush()
            self._width = max(self._width, len(text))
            wait = 0.5
