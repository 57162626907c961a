"""The output folder: whole or not at all, whoever else writes and whenever the run ends."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path

import pytest

from cad.errors import OutputError
from cad.outputs import swap
from cad.outputs.files import OutFile
from cad.outputs.folder import check_target, write_folder
from cad.outputs.lock import locked
from cad.outputs.manifest import Manifest, manifest_of
from cad.outputs.swap import new_place, resting_place

NAME = "a-round"
VERSIONS = {"planewright": "0.0.0"}

WRITER = """
import sys
from pathlib import Path
sys.path.insert(0, {root!r})
from cad.outputs import swap
from tests.test_51_folder import generation, write
if {alone}:
    swap.exchange = lambda one, two: False
for turn in range({first}, {last}):
    write(Path({to!r}), turn)
    print(turn, flush=True)
"""
ROOT = str(Path(__file__).resolve().parents[1])


def generation(number: int) -> list[OutFile]:
    """Return a set of files that all tell which run they come from."""
    paths = [f"{folder}/{i}.step" for folder in ("parts", "fixtures", "papers/sheets") for i in range(6)]
    return [OutFile(path, f"{number}\n".encode() * 500, path) for path in ("plane.glb", *paths)]


def manifest(files: list[OutFile], spec: str = "s", versions: Mapping[str, str] = VERSIONS) -> Manifest:
    return manifest_of(NAME, spec, versions, 0.01, files, {})


def write(to: Path, number: int) -> Path:
    files = generation(number)
    return write_folder(to, NAME, files, manifest(files))


def whole(target: Path) -> int:
    """Return the run that the folder comes from, having checked that every file is there and of that run."""
    listed = json.loads((target / "manifest.json").read_bytes())["files"]
    found = {p.relative_to(target).as_posix() for p in target.rglob("*") if p.is_file()}
    assert found == {entry["path"] for entry in listed} | {"manifest.json"}
    runs = set()
    for entry in listed:
        data = (target / entry["path"]).read_bytes()
        assert sha256(data).hexdigest() == entry["sha256"] and len(data) == entry["size"]
        runs.add(int(data.split()[0]))
    assert len(runs) == 1
    return runs.pop()


def writer(to: Path, first: int, last: int, alone: bool = False) -> subprocess.Popen[str]:
    """Start a process that writes one generation after another; `alone`: without the one-step exchange."""
    code = WRITER.format(root=ROOT, to=str(to), first=first, last=last, alone=alone)
    return subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True)


def test_a_first_and_a_second_run_leave_nothing_else(tmp_path: Path) -> None:
    to = tmp_path / "deep" / "out"
    assert write(to, 1) == to / NAME
    assert whole(to / NAME) == 1
    write(to, 2)
    assert whole(to / NAME) == 2
    assert [p.name for p in to.iterdir()] == [NAME]


def test_an_empty_folder_is_filled(tmp_path: Path) -> None:
    (tmp_path / NAME).mkdir()
    write(tmp_path, 1)
    assert whole(tmp_path / NAME) == 1


def test_linux_exchanges_folders_in_one_step(tmp_path: Path) -> None:
    """renameat2(2), RENAME_EXCHANGE: both names exist at every moment."""
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / name).touch()
    if not swap.exchange(tmp_path / "one", tmp_path / "two"):
        assert sys.platform != "linux"
        return
    assert (tmp_path / "one" / "two").exists() and (tmp_path / "two" / "one").exists()


def test_without_the_exchange_two_renames_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(swap, "exchange", lambda one, two: False)
    write(tmp_path, 1)
    write(tmp_path, 2)
    assert whole(tmp_path / NAME) == 2
    assert [p.name for p in tmp_path.iterdir()] == [NAME]


def test_a_second_rename_that_fails_brings_the_old_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(tmp_path, 1)
    target, rename = tmp_path / NAME, Path.rename

    def failing(self: Path, to: Path) -> Path:
        if self == new_place(target):
            raise OSError(28, "No space left on device")
        return rename(self, to)

    monkeypatch.setattr(swap, "exchange", lambda one, two: False)
    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(OutputError, match="disk is full"):
        write(tmp_path, 2)
    assert whole(target) == 1
    assert [p.name for p in tmp_path.iterdir()] == [NAME]


def test_an_interrupted_swap_is_put_right(tmp_path: Path) -> None:
    """A run killed between the two renames leaves the old folder at rest: any later run brings it back."""
    write(tmp_path, 1)
    target = tmp_path / NAME
    target.rename(resting_place(target))
    new_place(target).mkdir()
    files = generation(2)
    with pytest.raises(OutputError, match="another spec"):
        write_folder(tmp_path, NAME, files, manifest(files, spec="other"), merge=True)
    assert whole(target) == 1
    assert [p.name for p in tmp_path.iterdir()] == [NAME]


@pytest.mark.parametrize("alone", [False, True], ids=["exchange", "two renames"])
def test_a_killed_run_leaves_old_or_new(tmp_path: Path, alone: bool) -> None:
    target, dice = tmp_path / NAME, random.Random(20)
    write(tmp_path, 0)
    for _ in range(6):
        child = writer(tmp_path, 1, 10_000, alone)
        assert child.stdout is not None
        child.stdout.readline()
        time.sleep(dice.uniform(0, 0.03))
        child.send_signal(signal.SIGKILL)
        child.wait()
        child.stdout.close()
        if alone and not target.exists():
            assert whole(resting_place(target)) >= 0
        else:
            assert whole(target) >= 1
    write(tmp_path, 7)
    assert whole(target) == 7
    assert [p.name for p in tmp_path.iterdir()] == [NAME]


@pytest.mark.parametrize("step", [1, 2, 3])
def test_a_run_killed_at_each_rename_is_put_right(tmp_path: Path, step: int) -> None:
    """Killed before the old folder rests, between the two renames, and before a first folder is in place."""
    target = tmp_path / NAME
    if step < 3:
        write(tmp_path, 1)
    code = f"""
import os, signal, sys
from pathlib import Path
sys.path.insert(0, {ROOT!r})
from cad.outputs import swap
from tests.test_51_folder import write
swap.exchange = lambda one, two: False
left, rename = [{step % 3}], Path.rename
def trapped(self, to):
    left[0] -= 1
    if left[0] <= 0:
        os.kill(os.getpid(), signal.SIGKILL)
    return rename(self, to)
Path.rename = trapped
write(Path({str(tmp_path)!r}), 2)
"""
    done = subprocess.run([sys.executable, "-c", code], check=False)
    assert done.returncode == -signal.SIGKILL
    assert target.exists() == (step == 1)
    if step < 3:
        few = generation(5)[:1]
        with pytest.raises(OutputError, match="another spec"):
            write_folder(tmp_path, NAME, few, manifest(few, spec="other"), merge=True)
        assert whole(target) == 1
    write(tmp_path, 3)
    assert whole(target) == 3
    assert [p.name for p in tmp_path.iterdir()] == [NAME]


def test_an_interrupt_leaves_the_old(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path, 1)
    calls = iter([None] * 5)

    def interrupted(handle: int) -> None:
        if next(calls, StopIteration) is StopIteration:
            raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write(tmp_path, 2)
    assert whole(tmp_path / NAME) == 1
    assert [p.name for p in tmp_path.iterdir()] == [NAME]


def test_runs_at_one_time_take_turns(tmp_path: Path) -> None:
    children = [writer(tmp_path, first, first + 15) for first in (100, 200, 300)]
    until = time.monotonic() + 300
    while any(child.poll() is None for child in children):
        assert time.monotonic() < until
        time.sleep(0.01)
    for child in children:
        assert child.communicate()[0].split()[-1].endswith("14") and child.returncode == 0
    assert whole(tmp_path / NAME) in {114, 214, 314}
    assert [p.name for p in tmp_path.iterdir()] == [NAME]


def test_a_lock_that_is_held_is_waited_for_and_said(tmp_path: Path) -> None:
    path = tmp_path / ".lock"
    with locked(path), pytest.raises(OutputError, match="another run"), locked(path, wait_s=0.1):
        raise AssertionError("two hold one lock")
    assert not path.exists()


def test_a_lock_file_without_an_owner_is_no_lock(tmp_path: Path) -> None:
    (tmp_path / f".{NAME}.lock").touch()
    write(tmp_path, 1)
    assert [p.name for p in tmp_path.iterdir()] == [NAME]


def test_what_is_not_ours_is_refused(tmp_path: Path) -> None:
    target, elsewhere = tmp_path / NAME, tmp_path / "elsewhere"
    elsewhere.mkdir()
    for spoil in (
        lambda: target.write_text("mine"),
        lambda: target.symlink_to(elsewhere),
        lambda: (target.mkdir(), (target / "notes.txt").write_text("mine")),
        lambda: (target / "manifest.json").write_text('{"name": "someone else\'s"}'),
    ):
        spoil()
        for call in (lambda: check_target(tmp_path, NAME), lambda: write(tmp_path, 1)):
            with pytest.raises(OutputError, match="not made by planewright: move it away"):
                call()
        if not target.is_dir() or target.is_symlink():
            target.unlink()
    assert (target / "notes.txt").read_text() == "mine"
    assert not any(elsewhere.iterdir())


def test_files_of_the_makers_own_are_carried_over(tmp_path: Path) -> None:
    write(tmp_path, 1)
    target = tmp_path / NAME
    (target / "parts" / "notes.txt").write_text("sharp")
    (target / "mine").mkdir()
    (target / "mine" / "link").symlink_to("../plane.glb")
    write(tmp_path, 2)
    assert (target / "parts" / "notes.txt").read_text() == "sharp"
    assert (target / "mine" / "link").readlink() == Path("../plane.glb")
    assert (target / "plane.glb").read_text().startswith("2\n")


def test_a_file_of_the_makers_own_is_never_overwritten(tmp_path: Path) -> None:
    few = generation(1)[:1]
    write_folder(tmp_path, NAME, few, manifest(few))
    own = tmp_path / NAME / "parts" / "0.step"
    own.parent.mkdir()
    own.write_text("mine")
    with pytest.raises(OutputError, match="move it away"):
        write(tmp_path, 2)
    assert own.read_text() == "mine"
    assert (tmp_path / NAME / "plane.glb").read_text().startswith("1\n")


def test_files_of_an_earlier_run_do_not_linger(tmp_path: Path) -> None:
    write(tmp_path, 1)
    few = generation(2)[:3]
    write_folder(tmp_path, NAME, few, manifest(few))
    found = {p.relative_to(tmp_path / NAME).as_posix() for p in (tmp_path / NAME).rglob("*") if p.is_file()}
    assert found == {"manifest.json", *(file.path for file in few)}


def test_merge_keeps_the_other_files(tmp_path: Path) -> None:
    write(tmp_path, 1)
    few = [OutFile("parts/0.step", b"2\n", "0"), OutFile("parts/new.stl", b"2\n", "new")]
    write_folder(tmp_path, NAME, few, manifest(few), merge=True)
    listed = json.loads((tmp_path / NAME / "manifest.json").read_bytes())["files"]
    assert {e["path"] for e in listed} == {f.path for f in generation(1)} | {"parts/new.stl"}
    for entry in listed:
        data = (tmp_path / NAME / entry["path"]).read_bytes()
        assert sha256(data).hexdigest() == entry["sha256"]
        assert data.startswith(b"2\n" if entry["path"] in {f.path for f in few} else b"1\n")


@pytest.mark.parametrize(
    ("spec", "versions", "words"),
    [("t", VERSIONS, "another spec"), ("s", {"planewright": "9"}, "other versions")],
)
def test_merge_refuses_what_does_not_match(
    tmp_path: Path, spec: str, versions: dict[str, str], words: str
) -> None:
    write(tmp_path, 1)
    files = generation(2)
    with pytest.raises(OutputError, match=f"{words}.*Run without --only.*another --to"):
        write_folder(tmp_path, NAME, files, manifest(files, spec, versions), merge=True)
    assert whole(tmp_path / NAME) == 1


def test_merge_refuses_a_file_changed_since(tmp_path: Path) -> None:
    write(tmp_path, 1)
    changed = tmp_path / NAME / "parts" / "1.step"
    changed.write_text("edited")
    few = generation(2)[:1]
    with pytest.raises(OutputError, match=r"1\.step: missing or changed"):
        write_folder(tmp_path, NAME, few, manifest(few), merge=True)
    assert changed.read_text() == "edited"


def test_a_disk_that_refuses_is_explained_and_the_old_kept(tmp_path: Path) -> None:
    """A limit on the size of files makes the system itself refuse the write."""
    write(tmp_path, 1)
    code = f"""
import resource, sys
from pathlib import Path
sys.path.insert(0, {ROOT!r})
from cad.errors import OutputError
from tests.test_51_folder import write
resource.setrlimit(resource.RLIMIT_FSIZE, (200, 200))
try:
    write(Path({str(tmp_path)!r}), 2)
except OutputError as error:
    print(error)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "File too large. Choose another --to" in done.stdout
    assert whole(tmp_path / NAME) == 1
    assert [p.name for p in tmp_path.iterdir()] == [NAME]


def test_a_place_that_is_no_folder_is_explained(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    with pytest.raises(OutputError, match=r"out: .*choose another --to"):
        write(tmp_path / "out", 1)
    with pytest.raises(OutputError, match="choose another --to"):
        write(tmp_path / "out" / "below", 1)


def test_a_path_that_leaves_the_folder_is_a_fault_of_ours(tmp_path: Path) -> None:
    for path in ("../out.step", "/tmp/out.step"):
        files = [OutFile(path, b"")]
        with pytest.raises(ValueError, match="leaves the output folder"):
            write_folder(tmp_path, NAME, files, manifest(files))
    assert not any(tmp_path.iterdir())
