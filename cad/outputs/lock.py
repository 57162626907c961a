"""One writer at a time: a lock file that the system frees when its owner ends, however it ends (POSIX)."""

from __future__ import annotations

import fcntl
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from cad.errors import OutputError

WAIT_S = 60.0  # a folder is written in well under a second: longer means something is stuck
_POLL_S = 0.02


@contextmanager
def locked(path: Path, wait_s: float = WAIT_S) -> Iterator[None]:
    """Hold the lock file at `path`, waiting for another run to let go of it; remove it afterwards.

    Raises OutputError when it is not free in time, OSError when it cannot be made.
    """
    until = time.monotonic() + wait_s
    while (held := _try(path)) is None:
        if time.monotonic() > until:
            raise OutputError(
                f"{path}: another run has been writing here for {wait_s:g} s. "
                "Wait for it to finish, or choose another --to"
            )
        time.sleep(_POLL_S)
    try:
        yield
    finally:
        # Removed while still held, so that whoever waits for this file finds that it is gone and asks anew.
        path.unlink()
        os.close(held)


def _try(path: Path) -> int | None:
    """Return the open lock file when it is ours, None when another run holds it or has just removed it."""
    handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o644)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        if path.stat().st_ino == os.fstat(handle).st_ino:
            return handle
    except (BlockingIOError, FileNotFoundError):
        os.close(handle)
        return None
    except BaseException:
        os.close(handle)
        raise
    os.close(handle)
    return None
