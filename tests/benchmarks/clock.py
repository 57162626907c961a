"""Running a command and measuring it: whole process, as a user waits for it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryFile
from time import perf_counter

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Run:
    """One run of a process: seconds from start to end, seconds of processors, greatest memory, its output."""

    wall_s: float
    cpu_s: float
    peak_mb: float  # of its largest process
    output: str


def run(command: Sequence[str], python: str = sys.executable) -> Run:
    """Run Python with these arguments, from the project's tree. Ends the benchmark when that fails."""
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    with TemporaryFile() as output, TemporaryFile() as errors:
        start = perf_counter()
        process = subprocess.Popen(
            [python, *command], cwd=ROOT, env=environment, stdout=output, stderr=errors
        )
        _, status, used = os.wait4(process.pid, 0)  # unlike Popen's own, it tells what was used
        wall = perf_counter() - start
        process.returncode = os.waitstatus_to_exitcode(status)
        output.seek(0)
        errors.seek(0)
        if process.returncode:
            sys.exit(f"{' '.join(command)} ended with {process.returncode}: {errors.read().decode()}")
        return Run(wall, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, output.read().decode())


def best(runs: Sequence[Run]) -> Run:
    """Return the shortest of several runs: whatever else the machine does can only lengthen one."""
    return min(runs, key=lambda one: one.wall_s)


def rounds(count: int, *commands: Sequence[str]) -> list[Run]:
    """Return the best run of each command, run in turn so that a busy spell falls on all of them alike."""
    found: list[list[Run]] = [[] for _ in commands]
    for _ in range(count):
        for runs, command in zip(found, commands, strict=True):
            runs.append(run(command))
    return [best(runs) for runs in found]
