"""What many tests share: the demo plans, and one `make` of each demo spec as a user runs it."""

from __future__ import annotations

import fcntl
import os
import signal
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

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
    base = tmp_path_factory.getbasetemp()
    # A worker has a folder of its own in that of the run; above the run's own lie those of earlier runs.
    to = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "made"
    with (to.parent / "made.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not to.exists():
            done = planewright("make", *map(demo_path, DEMOS), "--to", to)
            assert done.returncode == 0, done.stderr
    return to
