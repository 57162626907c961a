"""The command with a few fixtures and formats, for tests of what does not hang on which and how many.

python -m tests.narrowed make SPEC --to TO
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterable
from pathlib import Path

from cad.cli.entry import entry
from cad.cli.interrupts import load_kernel

COMMAND = (sys.executable, "-m", "tests.narrowed")  # from the folder above tests
ROOT = Path(__file__).resolve().parents[1]
FIXTURES = ("saw_guide", "sanding_blocks")
FORMATS = ("step", "stl", "dxf", "notes")


def narrow(
    put: Callable[[object, str, object], None],
    fixtures: Iterable[str] = FIXTURES,
    formats: Iterable[str] = FORMATS,
) -> None:
    """Let the program have these alone; `put` sets an attribute, for good or, by monkeypatch, for a test."""
    from cad.outputs import again, making, tasks

    for module in (tasks, making):
        put(module, "fixture_names", lambda: sorted(fixtures))
    for module in (again, making):
        put(module, "format_names", lambda: sorted(formats))


def narrowed(*arguments: object) -> subprocess.CompletedProcess[str]:
    """Run the narrowed command in a process of its own."""
    command = [*COMMAND, *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)


if __name__ == "__main__":
    load_kernel()  # as the command does, before anything asks for the whole of it
    narrow(setattr)
    entry()
