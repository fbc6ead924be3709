"""Feed every reader of files with damaged ones for a while; part of the deep run.

    .venv/bin/python tests/flow/fuzz_files.py [SECONDS [SEED]]

Allowed are an answer and a refusal in one sentence. Anything else, and anything that takes longer
than two seconds, is kept under build/fuzz/found with what it did, and ends the run with status 1.
"""

import random
import resource
import sys
import tempfile
import time
import traceback
from pathlib import Path

from places import LINNET, ROOT, run

import enginewright as ew
from enginewright import _job_file
from enginewright._head import read_head

FOUND = ROOT / "build" / "fuzz" / "found"
LONGEST = 2.0
MEMORY = 2 * 1024**3


def readers(folder):
    """Return each reader with the file it begins from."""
    run(sys.executable, "-m", "enginewright", "check", LINNET / "received.csv", "--out", folder)
    received_map = LINNET / "map.toml"
    return [
        (LINNET / "received.xlsx", lambda path: ew.sheets.read(path, map=received_map)),
        (LINNET / "received.csv", lambda path: ew.sheets.read(path, map=received_map)),
        (LINNET / "received.csv", ew.sheets.starting_map),
        (received_map, lambda path: ew.sheets.read(LINNET / "received.csv", map=path)),
        (LINNET / "limits.toml", ew.Limits.read),
        (LINNET / "gauges.toml", ew.Gauges.read),
        (LINNET / "job.toml", read_head),
        (folder / "job.json", _job_file.read),
    ]


def damaged(data, dice):
    """Return bytes with a few things wrong with them."""
    data = bytearray(data)
    for _ in range(dice.randint(1, 6)):
        at, length = dice.randrange(len(data) + 1), dice.randint(1, 64)
        match dice.randrange(6):
            case 0:
                del data[at : at + length]
            case 1:
                data[at:at] = dice.randbytes(length)
            case 2:
                data[at:at] = data[at : at + length] * dice.randint(1, 20)
            case 3:
                del data[at:]
            case 4 if at < len(data):
                data[at] ^= 1 << dice.randrange(8)
            case _:
                data[at:at] = dice.choice(WORDS)
        if not data:
            break
    return bytes(data)


WORDS = [
    b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\r\n", b'"', b",", b";", b"=1+1", b"nan", b"inf",
    b"1e999", b"-0", b"<!DOCTYPE x>", b"{", b"}", b"[[", b"]]", b"null", b"\xe2\x80\xae", b"86,O1",
]  # fmt: skip


def main(seconds, seed):
    """Run for so long; return the exit status."""
    print(f"fuzzing files for {seconds} s, seed {seed}")
    dice = random.Random(seed)
    tried = refused = 0
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        sources = [(path.read_bytes(), path.name, read) for path, read in readers(folder)]
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            data, name, read = dice.choice(sources)
            path = folder / name
            path.write_bytes(damaged(data, dice))
            began = time.monotonic()
            told = ""
            try:
                read(path)
            except ValueError:
                refused += 1
            except BaseException:
                told = traceback.format_exc()
            took = time.monotonic() - began
            if took > LONGEST:
                told = f"took {took:.1f} s"
            if told:
                return keep(path, told, tried)
            tried += 1
    print(f"{tried} files, {refused} refused")
    return 0 if refused else 1


def keep(path, told, tried):
    """Keep what broke a reader, and say where."""
    FOUND.mkdir(parents=True, exist_ok=True)
    kept = FOUND / f"{tried}_{path.name}"
    kept.write_bytes(path.read_bytes())
    print(told, f"kept as {kept}", sep="\n")
    return 1


if __name__ == "__main__":
    SECONDS = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    sys.exit(main(SECONDS, int(sys.argv[2]) if len(sys.argv) > 2 else int(time.time())))
