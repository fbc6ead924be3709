"""Where the tests of whole paths find the checkout, and what they may assume of the machine."""

import os
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LINNET = ROOT / "examples" / "linnet"

#: A port on this machine that nobody listens at: whatever goes to the network fails at once.
NOWHERE = "http://127.0.0.1:9"
OFFLINE = {
    "PIP_NO_INDEX": "1",
    **{name: NOWHERE for name in ("http_proxy", "https_proxy", "ftp_proxy", "all_proxy")},
    **{name: NOWHERE for name in ("HTTP_PROXY", "HTTPS_PROXY", "FTP_PROXY", "ALL_PROXY")},
    "no_proxy": "",
    "NO_PROXY": "",
}


def run(*words, cwd=ROOT, env=None, timeout=240, **more):
    """Run a command and return what it said; its status is the test's business."""
    given = {**os.environ, **(env or {})}
    return subprocess.run(
        [str(word) for word in words],
        cwd=cwd,
        env=given,
        timeout=timeout,
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        **more,
    )
