"""How making many planes grows: time and memory for families of 4, 12 and 36 planes on one and two workers.

Not a test: nothing is asserted. Run with the project's own environment, on an idle machine:
python tests/benchmarks/families.py [--formats step,stl] [sizes]

The time of the processor, all workers together, tells the work done; it stays what it is on a busy machine.
The memory is that of each worker after its first plane and after its last.
"""

from __future__ import annotations

import argparse
import os
import resource
from collections.abc import Sequence
from functools import partial
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from cad.cli.crew import Done, Job, Tell, side_by_side
from cad.cli.plane import Order, make_plane
from cad.family import family_of
from cad.geometry import Plan, derive
from cad.spec.source import load_text

TEXT = 'name = "bench"\nunit = "mm"\n[family]\nfirst = 6\nstep = 1.5\ncount = {count}\n'
Sample = tuple[int, float]  # which worker, MB in its hands after a plane


def plans(count: int) -> list[Plan]:
    """Return so many planes, half of them rounds."""
    text = TEXT.format(count=count // 2)
    family = family_of(load_text(text, "bench.toml", sha256(text.encode())))
    return [derive(member.spec) for member in family.members]


def made(plan: Plan, order: Order, tell: Tell) -> Sample:
    """Make a plane and return what its worker holds afterwards."""
    make_plane(plan, order, tell)
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return os.getpid(), pages * resource.getpagesize() / 1e6


def run(count: int, workers: int, formats: Sequence[str]) -> tuple[float, float, list[Sample]]:
    """Return seconds by the clock, seconds of processor, and the samples of memory in order."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = perf_counter()
    with TemporaryDirectory() as folder:
        order = Order(Path(folder), (), tuple(formats))
        jobs = [Job(plan.spec.name, partial(made, plan, order)) for plan in plans(count)]
        samples = [event.value for event in side_by_side(jobs, workers) if isinstance(event, Done)]
    spent = perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    processor = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return spent, processor, samples


def main() -> None:
    """Print the table."""
    asked = argparse.ArgumentParser()
    asked.add_argument("sizes", nargs="*", type=int, default=[4, 12, 36])
    asked.add_argument("--formats", default="")
    given = asked.parse_args()
    formats = [name for name in given.formats.split(",") if name]
    alone: dict[int, float] = {}
    for workers in (1, 2):
        for count in given.sizes:
            spent, processor, samples = run(count, workers, formats)
            held = [[mb for pid, mb in samples if pid == one] for one in dict.fromkeys(p for p, _ in samples)]
            memory = ", ".join(f"{of[0]:.0f} to {of[-1]:.0f} MB" for of in held)
            ratio = f", {spent / alone[count]:.0%} of one worker's" if count in alone else ""
            alone.setdefault(count, spent)
            print(
                f"{count:3} planes on {workers}: {spent:6.1f} s, {spent / count:5.2f} s a plane{ratio}; "
                f"processor {processor:6.1f} s, {processor / count:5.2f} s a plane; {memory}",
                flush=True,
            )


if __name__ == "__main__":
    main()
