"""Killed at random moments of building and writing: the earlier output is whole each time, and readable."""

from __future__ import annotations

import json
import random
import signal
import subprocess
import sys
import time
from hashlib import sha256
from pathlib import Path

import trimesh

from tests.narrowed import ROOT, command, narrowed
from tests.planes import spec_text

KILLS = 50
KILLS_OF_THE_COMMAND = 2
NAME = "drawn-by-lot"


def specs_of_one_name(folder: Path) -> list[Path]:
    """Write two specs that fill one folder, and return their paths."""
    specs = []
    for radius in (16, 17.5):
        spec = folder / f"r{radius}.toml"
        spec.write_text(spec_text("round", radius, 60, 50, "right"))
        specs.append(spec)
    return specs


def spec_hash(folder: Path) -> str:
    """Return the hash of the spec that a folder was made from, having checked that each file is whole."""
    manifest = json.loads((folder / "manifest.json").read_bytes())
    found = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    assert found == {entry["path"] for entry in manifest["files"]} | {"manifest.json"}
    for entry in manifest["files"]:
        data = (folder / entry["path"]).read_bytes()
        assert (len(data), sha256(data).hexdigest()) == (entry["size"], entry["sha256"]), entry["path"]
    assert trimesh.load_mesh(folder / "parts" / "iron.stl").is_watertight
    return str(manifest["spec_sha256"])


def test_nothing_is_lost_in_fifty_kills(tmp_path: Path) -> None:
    """Two specs of one name in turn: what lies in the folder is all of the one or all of the other."""
    specs, to = specs_of_one_name(tmp_path), tmp_path / "out"
    hashes = {sha256(spec.read_bytes()).hexdigest() for spec in specs}
    seed = random.randrange(10**6)
    killed, ends, left = 0, set(), set()
    with subprocess.Popen(
        [sys.executable, "-m", "tests.killing", str(to), str(seed), *map(str, specs)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    ) as killer:
        assert killer.stdin is not None and killer.stdout is not None
        for run in range(20 * KILLS):
            word = killer.stdout.readline().strip()
            assert word in ("killed", "done"), (seed, run, word)
            killed += word == "killed"
            left.add(spec_hash(to / NAME))
            ends.add(word)
            if killed == KILLS:
                break
            killer.stdin.write("next\n")
            killer.stdin.flush()
        killer.kill()
    assert killed == KILLS and left <= hashes, seed
    assert ends == {"killed", "done"}, seed


def test_the_command_killed_leaves_what_was_there(tmp_path: Path) -> None:
    """The command, killed as it loads, builds or writes: the next run clears up after it."""
    specs, to = specs_of_one_name(tmp_path), tmp_path / "out"
    started = time.monotonic()
    first = narrowed("make", specs[0], "--to", to)
    longest_s = time.monotonic() - started
    assert first.returncode == 0, first.stderr
    old, new = (sha256(spec.read_bytes()).hexdigest() for spec in specs)
    assert spec_hash(to / NAME) == old
    seed = random.randrange(10**6)
    dice = random.Random(seed)
    for _ in range(KILLS_OF_THE_COMMAND):
        making = [*command(), "make", str(specs[1]), "--to", str(to)]
        child = subprocess.Popen(making, stdout=subprocess.DEVNULL)
        time.sleep(dice.uniform(0, longest_s))
        child.send_signal(signal.SIGKILL)
        ended = child.wait()
        assert ended in (-signal.SIGKILL, 0), seed
        assert spec_hash(to / NAME) in (old, new), seed  # new, too, when killed after the last step
        if ended == 0:
            assert spec_hash(to / NAME) == new
    again = narrowed("make", specs[1], "--to", to)
    assert again.returncode == 0, again.stderr
    assert spec_hash(to / NAME) == new
    assert [path.name for path in to.iterdir()] == [NAME]
