"""Folders that refuse, runs that meet, a machine with no network: through the command, as a user has them."""

from __future__ import annotations

import resource
import signal
import subprocess
import sys
import urllib.request
from hashlib import sha256
from pathlib import Path

import pytest

from cad.cli.app import app
from tests.conftest import DEMOS, cut_off, demo_path, planewright
from tests.narrowed import command as narrowed_command
from tests.test_70_kills import NAME, spec_hash, specs_of_one_name

FEW = ("--only", "iron,saw_guide", "--formats", "step,stl")


def told(done: subprocess.CompletedProcess[str], status: int, words: str) -> None:
    """Assert how a command ended: its status, one line that says these words, and no traceback."""
    assert done.returncode == status, done.stderr
    assert words in done.stderr and "Traceback" not in done.stderr, done.stderr


SPEC = str(demo_path(DEMOS[0]))
COMMANDS = {  # all but `serve`, which must be talked to, and those that are run once for all tests
    "new": ["new", "mine.toml"],
    "look": ["look", SPEC, "--study"],
    "mate": ["mate", SPEC, "--to", "mate.toml"],
}


@pytest.mark.parametrize(
    "command", [one.callback.__name__ for one in app.registered_commands if one.callback]
)
def test_no_command_asks_for_the_network(
    tmp_path: Path, command: str, request: pytest.FixtureRequest
) -> None:
    if command == "serve":
        assert_served(tmp_path)
        return
    if command in ("make", "prove"):  # which were cut off, and told if they had asked
        shared = request.getfixturevalue("made" if command == "make" else "proved")
        assert (shared / DEMOS[0]).is_dir() if command == "make" else shared(DEMOS[0])["name"] == DEMOS[0]
        return
    env = cut_off(tmp_path)
    done = subprocess.run(
        [sys.executable, "-m", "cad", *COMMANDS[command]],
        capture_output=True,
        text=True,
        env=env,
        cwd=tmp_path,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "the network was asked for" not in done.stderr


def assert_served(folder: Path) -> None:
    """Assert that the live page is served, its plane built, by a process that asks for nothing outside."""
    spec = folder / "mine.toml"
    spec.write_bytes(Path(SPEC).read_bytes())
    with subprocess.Popen(
        [sys.executable, "-m", "cad", "serve", str(spec)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        env=cut_off(folder),
        cwd=folder,
    ) as server:
        try:
            assert server.stderr is not None
            address = server.stderr.readline().split()[-1]
            with urllib.request.urlopen(address, timeout=120) as page:
                assert page.status == 200 and b"cheek_plate" in page.read()
        finally:
            server.send_signal(signal.SIGINT)
        assert "the network was asked for" not in server.stderr.read()
        assert server.wait(60) == 0


def test_whoever_asks_for_the_network_is_told(tmp_path: Path) -> None:
    env = cut_off(tmp_path)
    asking = subprocess.run(
        [sys.executable, "-c", "import socket; socket.create_connection(('127.0.0.1', 9))"],
        capture_output=True,
        text=True,
        env=env,
        check=False,
    )
    assert "the network was asked for" in asking.stderr, "the hook is not there"


@pytest.mark.parametrize("name", ["../up", "a/b", "/tmp/x", "..", "a\\\\b", "con\\u0000", "\\u202egnp"])
def test_a_name_that_would_leave_the_folder_is_refused(tmp_path: Path, name: str) -> None:
    spec = tmp_path / "in" / "deep" / "x.toml"
    spec.parent.mkdir(parents=True)
    spec.write_text(f'name = "{name}"\n[sole]\nform = "round"\nradius = 16\n')
    before = sorted(tmp_path.rglob("*"))
    done = planewright("make", spec, "--to", tmp_path / "in" / "out")
    told(done, 2, "x.toml:1: name = ")
    assert all(line.isprintable() for line in done.stderr.splitlines())
    assert sorted(tmp_path.rglob("*")) == before


def test_two_runs_into_one_folder_at_once(tmp_path: Path) -> None:
    """Whichever is last, the folder is whole and all of one spec, and nothing is left beside it."""
    specs = specs_of_one_name(tmp_path)
    runs = [
        subprocess.Popen(
            [*narrowed_command(), "make", str(spec), "--to", str(tmp_path / "out")],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
        )
        for spec in specs
    ]
    for run in runs:
        said = run.communicate()[1]
        assert run.returncode == 0, said
    assert spec_hash(tmp_path / "out" / NAME) in {sha256(spec.read_bytes()).hexdigest() for spec in specs}
    assert [path.name for path in (tmp_path / "out").iterdir()] == [NAME]


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_a_disk_that_fills_up_leaves_what_was_there(tmp_path: Path) -> None:
    """The system refuses to write more than so many bytes to a file (RLIMIT_FSIZE), as a full disk would."""
    spec = specs_of_one_name(tmp_path)[0]
    to = tmp_path / "out"
    assert planewright("make", spec, "--to", to, *FEW).returncode == 0
    before = contents(to)
    done = subprocess.run(
        [*narrowed_command(), "make", str(spec), "--to", str(to)],
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000)),
    )
    told(done, 2, "choose another --to".capitalize())
    assert contents(to) == before


def test_places_that_cannot_be_written_are_told(tmp_path: Path) -> None:
    spec = specs_of_one_name(tmp_path)[0]
    (tmp_path / "file").write_text("mine")
    loop = tmp_path / "loop"
    loop.symlink_to(loop)
    for place in (tmp_path / "file", tmp_path / "file" / "below", loop, Path("/proc/planewright")):
        told(planewright("make", spec, "--to", place, *FEW), 2, "hoose another --to")
    assert (tmp_path / "file").read_text() == "mine"


def test_a_folder_reached_by_a_link_is_filled_and_a_linked_plane_refused(tmp_path: Path) -> None:
    spec = specs_of_one_name(tmp_path)[0]
    real, link = tmp_path / "real", tmp_path / "link"
    real.mkdir()
    link.symlink_to(real)
    assert planewright("make", spec, "--to", link, *FEW).returncode == 0
    assert link.is_symlink() and (real / NAME / "parts" / "iron.step").is_file()
    moved = (real / NAME).rename(tmp_path / "elsewhere")
    (real / NAME).symlink_to(moved)
    before = contents(moved)
    told(planewright("make", spec, "--to", real, *FEW), 2, "is a link")
    assert contents(moved) == before
