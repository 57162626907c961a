"""What many tests share: the demo plans, and one `make` of each demo spec as a user runs it."""

from __future__ import annotations

import fcntl
import signal
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest

from cad.geometry import Plan, derive
from cad.spec import read_spec

# A shell that starts a run in the background has it ignore interrupts, and so would all that the tests start.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)

DEMOS = ("cornice-round", "cornice-hollow", "skirting-round")


def demo_path(name: str) -> Path:
    """Return the path of a demo spec."""
    return Path(str(files("cad") / "demos" / f"{name}.toml"))


def planewright(*arguments: object, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "cad", *map(str, arguments)],
        capture_output=True,
        text=True,
        cwd=cwd,
        check=False,
    )


@pytest.fixture(params=DEMOS)
def demo(request: pytest.FixtureRequest) -> Plan:
    """Return the plan of each demo spec in turn."""
    return derive(read_spec(demo_path(request.param)))


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder that one `make` of all demo specs filled, shared by all workers of a run."""
    to = tmp_path_factory.getbasetemp().parent / "made"
    with (to.parent / "made.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not to.exists():
            done = planewright("make", *map(demo_path, DEMOS), "--to", to)
            assert done.returncode == 0, done.stderr
    return to
