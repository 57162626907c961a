"""Putting a finished folder in the place of an old one, so that either the old or the new is there whole.

Linux exchanges two names in one step. Where that is not to be had, the old folder is first renamed to a
resting place beside it; a run killed between the two renames is put right by `recover`, at the next run.
"""

from __future__ import annotations

import ctypes
import errno
import os
import shutil
import sys
from pathlib import Path

_AT_FDCWD = -100  # linux/fcntl.h
_RENAME_EXCHANGE = 2  # linux/fs.h
_UNABLE = (
    errno.ENOSYS,
    errno.EINVAL,
    errno.ENOTSUP,
    errno.EPERM,
)  # this kernel or file system has no exchange


def new_place(target: Path) -> Path:
    """Return where the folder that is to become `target` is built."""
    return target.with_name(f".{target.name}.new")


def resting_place(target: Path) -> Path:
    """Return where the old `target` rests between two renames."""
    return target.with_name(f".{target.name}.old")


def recover(target: Path) -> None:
    """Put right what a killed run left beside `target`. Call it only while holding the lock."""
    resting = resting_place(target)
    if resting.exists() and not target.exists():
        resting.rename(target)
    for stale in (new_place(target), resting):
        if stale.exists():
            shutil.rmtree(stale)


def put_in_place(target: Path) -> None:
    """Make the folder built at `new_place(target)` the target, and remove the old one.

    Raises OSError; the old folder is then still in place.
    """
    new, resting = new_place(target), resting_place(target)
    if not target.exists():
        new.rename(target)
    elif not exchange(new, target):
        target.rename(resting)
        try:
            new.rename(target)
        except BaseException:
            resting.rename(target)
            raise
    sync_folder(target.parent)
    recover(target)


def exchange(one: Path, two: Path) -> bool:
    """Exchange two folders in one step and return True; return False where the system cannot."""
    rename = (
        getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None) if sys.platform == "linux" else None
    )
    if rename is None:
        return False
    if rename(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(two), _RENAME_EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in _UNABLE:
        return False
    raise OSError(number, os.strerror(number), str(two))


def sync_folder(folder: Path) -> None:
    """Make the names in a folder last through a power cut."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
