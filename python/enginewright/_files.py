"""Files out: written whole or not at all.

A full disk, a missing permission or a pulled plug leaves either the old file or the new one, never
half of one: the bytes go to a temporary file in the same folder, reach the disk, and then take the
target's name in one step.
"""

from __future__ import annotations

import contextlib
import os
import secrets
from pathlib import Path

__all__ = ["write_whole"]


def write_whole(path: str | os.PathLike[str], data: bytes) -> Path:
    """Write a file so that its old content stays until the new one is complete.

    Parameters
    ----------
    path : str or path
        Target. A link is followed: the file it points to is replaced, the link stays.
    data : bytes
        Everything the file shall hold.

    Returns
    -------
    Path
        The target as it was given.

    Raises
    ------
    OSError
        The folder is missing or may not be written, or the disk is full. The old file is untouched.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_whole(Path(folder) / "job.json", b"{}").read_bytes()
    b'{}'
    """
    target = Path(os.path.realpath(path))
    temporary = target.with_name(f".{target.name[:80]}.{secrets.token_hex(6)}.part")
    # Created here and not by tempfile: the usual permissions of the user apply to the result.
    handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        with contextlib.suppress(OSError):
            os.chmod(temporary, target.stat().st_mode & 0o777)
        os.replace(temporary, target)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise
    _settle_folder(target.parent)
    return Path(path)


def _settle_folder(folder: Path) -> None:
    """Bring the new name to the disk as well, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
