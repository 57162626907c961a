"""Writing TO/<name>/ whole or not at all.

The folder is built beside its place under a hidden name, made to last, and put in place in one step. A lock
keeps two runs apart; whatever a killed run left behind is cleared by the next. Files of the maker's own that
lie in the folder are carried over.
"""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path, PurePosixPath

from cad.errors import OutputError
from cad.outputs import manifest as manifests
from cad.outputs.files import OutFile
from cad.outputs.lock import locked
from cad.outputs.manifest import Manifest
from cad.outputs.swap import new_place, put_in_place, recover, resting_place, sync_folder

CURES = {
    errno.ENOSPC: "The disk is full: make room, or choose another --to",
    errno.EDQUOT: "Your share of the disk is full: make room, or choose another --to",
    errno.EROFS: "The disk is read-only: choose another --to",
    errno.EACCES: "You may not write there: choose another --to",
    errno.EPERM: "You may not write there: choose another --to",
    errno.EEXIST: "A file has that name already: move it away, or choose another --to",
    errno.ENOTDIR: "A file stands where a folder is needed: choose another --to",
}


class GoneError(OutputError):
    """A file of the earlier output is not there any more as it was written."""


def check_target(to: Path, name: str) -> None:
    """Raise OutputError when TO/<name> holds something that we did not make and would have to replace."""
    target = to / name
    if target.is_symlink():
        _refuse(target, "is a link")
    if target.exists() and not target.is_dir():
        _refuse(target, "is a file")
    if target.is_dir() and _manifest_in(target) is None and any(target.iterdir()):
        _refuse(target, f"has no {manifests.NAME} of ours")


def settle(to: Path, name: str) -> None:
    """Clear what a killed run left beside TO/<name>, having waited for one that is still writing.

    Raises OutputError when the lock is not free in time or the disk refuses.
    """
    target = to / name
    with _explained(target):
        if new_place(target).exists() or resting_place(target).exists():
            with locked(to / f".{name}.lock"):
                recover(target)


def write_folder(
    to: Path, name: str, files: Sequence[OutFile], manifest: Manifest, merge: bool = False
) -> Path:
    """Write the files and their manifest to TO/<name>/, and return that folder.

    With `merge` the files of an earlier output that are not among these are kept, when they come from the
    same spec and the same versions. A file that the manifest lists and that is not among these is taken over
    from the earlier output. Raises OutputError, and leaves what was there before, when the folder is not ours
    to replace, when the earlier output does not match, or when the disk refuses; GoneError, an OutputError,
    when a file to be taken over is not there as the manifest has it.
    """
    target = to / name
    with _explained(target):
        to.mkdir(parents=True, exist_ok=True)
        with locked(to / f".{name}.lock"):
            recover(target)
            check_target(to, name)
            old = _manifest_in(target)
            whole = manifests.merged(old, manifest) if merge and old else manifest
            try:
                _build(new_place(target), target, files, old, whole)
                put_in_place(target)
            finally:
                recover(target)
    return target


def _build(
    new: Path, target: Path, files: Sequence[OutFile], old: Manifest | None, manifest: Manifest
) -> None:
    """Fill the new folder: the files, those kept of the earlier output, the maker's own, the manifest."""
    new.mkdir()
    made = {file.path for file in files}
    for file in files:
        _write(new / _inside(file.path), file.data)
    for entry in manifest["files"]:
        if entry["path"] not in made:
            _write(new / _inside(entry["path"]), _kept(target, entry["path"], entry["sha256"]))
    _write(new / manifests.NAME, manifests.encoded(manifest))
    if old is not None:
        listed = {manifests.NAME, *(str(entry["path"]) for entry in old["files"])}
        _carry_over(target, new, listed)
    _sync(new)


def _write(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("xb") as file:
        file.write(data)


def _inside(path: str) -> PurePosixPath:
    """Return a relative path. Raises ValueError for one that would leave the folder."""
    inside = PurePosixPath(path)
    if inside.is_absolute() or ".." in inside.parts:
        raise ValueError(f"{path} leaves the output folder")
    return inside


def _kept(target: Path, path: str, sha256: str) -> bytes:
    """Return a file of the earlier output. Raises GoneError when it is no longer what was written."""
    place = target / _inside(path)
    data = place.read_bytes() if place.is_file() else b""
    if manifests.sha256(data) != sha256:
        raise GoneError(f"{place}: missing or changed since it was made. Run without --only and --formats")
    return data


def _carry_over(target: Path, new: Path, listed: Iterable[str]) -> None:
    """Copy the files in the old folder that we did not make. Raises OutputError where a new one stands."""
    ours = set(listed)
    for path in _all_files(target):
        relative = path.relative_to(target)
        if relative.as_posix() in ours:
            continue
        place = new / relative
        if place.exists():
            raise OutputError(f"{path}: not made by planewright: move it away or choose another --to")
        place.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(path, place, follow_symlinks=False)


def _all_files(folder: Path) -> Iterator[Path]:
    """Yield every file and link under a folder, in order, following no links."""
    for path in sorted(folder.iterdir()):
        if path.is_dir() and not path.is_symlink():
            yield from _all_files(path)
        else:
            yield path


def _sync(folder: Path) -> None:
    for path in folder.iterdir():
        if path.is_symlink():
            continue
        if path.is_dir():
            _sync(path)
        else:
            with path.open("rb") as file:
                os.fsync(file.fileno())
    sync_folder(folder)


def _manifest_in(target: Path) -> Manifest | None:
    return manifests.decoded(manifests.bytes_in(target))


def _refuse(target: Path, why: str) -> None:
    raise OutputError(f"{target} {why}: not made by planewright: move it away or choose another --to")


@contextmanager
def _explained(target: Path) -> Iterator[None]:
    """Turn the system's errors into ours, with the cure."""
    try:
        yield
    except OSError as error:
        cure = CURES.get(error.errno or 0, "Choose another --to")
        place = error.filename or target
        raise OutputError(f"{place}: {error.strerror}. {cure}") from error
