"""Builds and writes planes over and over, killed at random moments: a script for a process of its own.

The kernel is loaded once, before the first fork, so that every moment drawn is one of building or writing.
The first run of each spec is let live, to learn how long one takes; each later one that ends before its
moment teaches it anew, for the machine may have stood still meanwhile. Each line printed is one run: `killed`
or `done`. The next run waits for a line on standard input: the test looks at the folder meanwhile.

    python -m tests.killing TO SEED SPEC...
"""

from __future__ import annotations

import os
import random
import signal
import sys
import time
from itertools import count, cycle
from pathlib import Path

from cad.cli.interrupts import load_kernel
from cad.geometry import derive
from cad.outputs.product import Product
from cad.outputs.write import write_product
from cad.parts import build_part, part_names
from cad.spec import read_spec
from fixtures.bench.workshop import build_fixture

FORMATS = {"step", "stl", "glb", "notes"}
STUCK_S = 600.0


def main(to: Path, seed: int, specs: list[Path]) -> None:
    """Make the specs in turn for as long as lines come in, every run but the first of each to be killed."""
    load_kernel()
    dice, whole_s = random.Random(seed), 0.0
    for turn, spec in zip(count(), cycle(specs)):
        started = time.monotonic()
        child = os.fork()
        if child == 0:
            _make(spec, to)
        how = _ended(child, STUCK_S if turn < len(specs) else dice.uniform(0, whole_s))
        if how == "done":
            whole_s = time.monotonic() - started
        print(how, flush=True)
        if not sys.stdin.readline():
            return


def _make(spec: Path, to: Path) -> None:
    """Build the parts and the saw guide of a plane, write them, and end this process."""
    status = 1
    try:
        plan = derive(read_spec(spec))
        parts = tuple(build_part(name, plan) for name in part_names())
        write_product(Product(plan, parts, (build_fixture("saw_guide", plan),)), to, FORMATS)
        status = 0
    finally:
        os._exit(status)


def _ended(child: int, after_s: float) -> str:
    """Wait for a process, kill it when it outlives its time, and say how it ended."""
    until = time.monotonic() + after_s
    while time.monotonic() < until:
        ended, status = os.waitpid(child, os.WNOHANG)
        if ended:
            return "done" if status == 0 else f"failed with {status}"
        time.sleep(0.002)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    return "killed" if os.WIFSIGNALED(status) else "done"


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), [Path(spec) for spec in sys.argv[3:]])
