"""What many tests share: the demo plans, and one `make` of each demo spec as a user runs it."""

from __future__ import annotations

import fcntl
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from cad.geometry import Plan, derive
from cad.spec import read_spec

# A shell that starts a run in the background has it ignore interrupts, and so would all that the tests start.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)

# How long an example takes says how busy the machine is, nothing of the program. What one run draws, the next
# draws too, so that it fails for a change of ours or not at all: new examples are for the night.
settings.register_profile(
    "planewright",
    deadline=None,
    derandomize="PLANEWRIGHT_PLANES" not in os.environ,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("planewright")

DEMOS = ("cornice-round", "cornice-hollow", "skirting-round")


def demo_path(name: str) -> Path:
    """Return the path of a demo spec."""
    return Path(str(files("cad") / "demos" / f"{name}.toml"))


ASKED = "the network was asked for"
# Python's own audit events (PEP 578) tell of every socket that reaches out, name that is looked up, and page
# that is asked for, whichever library does it; the hook is there before any of our code.
NO_NETWORK = f"""
import sys
def refuse(event, arguments):
    if event in ("socket.connect", "socket.getaddrinfo", "socket.gethostbyname", "socket.sendto",
                 "urllib.Request", "http.client.connect", "ftplib.connect", "smtplib.connect"):
        raise RuntimeError(f"{ASKED}: {{event}} {{arguments}}")
sys.addaudithook(refuse)
"""


def planewright(*arguments: object, env: Mapping[str, str] | None = None) -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own."""
    command = [sys.executable, "-m", "cad", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, env=env, check=False)


def cut_off(folder: Path) -> dict[str, str]:
    """Return the environment of a process that cannot ask for the network, by a file put in the folder."""
    (folder / "sitecustomize.py").write_text(NO_NETWORK)
    return {**os.environ, "PYTHONPATH": os.pathsep.join([str(folder), *sys.path])}


@pytest.fixture(params=DEMOS)
def demo(request: pytest.FixtureRequest) -> Plan:
    """Return the plan of each demo spec in turn."""
    return derive(read_spec(demo_path(request.param)))


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder that all workers of a run share, and no other run."""
    base = tmp_path_factory.getbasetemp()
    # A worker has a folder of its own in that of the run; above the run's own lie those of earlier runs.
    to = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "shared"
    to.mkdir(exist_ok=True)
    return to


@contextmanager
def first(path: Path) -> Iterator[bool]:
    """Hold others off from what is being put at a path, and say whether it has yet to be done."""
    done = path.with_name(f"{path.name}.done")
    with path.with_name(f"{path.name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield not done.exists()
        done.touch()


@pytest.fixture(scope="session")
def made(shared: Path) -> Path:
    """Return the folder that one `make` of all demo specs filled, with no network."""
    to = shared / "made"
    with first(to) as missing:
        if missing:
            env = cut_off(shared) | {"TZ": "UTC", "LANG": "C", "PYTHONHASHSEED": "1"}
            done = planewright("make", *map(demo_path, DEMOS), "--to", to, env=env)
            assert done.returncode == 0 and ASKED not in done.stderr, done.stderr
    return to


@pytest.fixture(scope="session")
def proved(shared: Path) -> Callable[[str], Any]:
    """Return what returns what one `prove --json` of a demo spec told, with no network."""

    def prove(name: str) -> Any:
        file = shared / f"{name}.json"
        with first(file) as missing:
            if missing:
                done = planewright("prove", demo_path(name), "--json", env=cut_off(shared))
                assert done.returncode == 0 and ASKED not in done.stderr, done.stdout + done.stderr
                file.write_text(done.stdout)
        return json.loads(file.read_text())

    return prove
