"""The program with a few fixtures and formats, for tests of what does not hang on which and how many."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
FIXTURES = ("saw_guide", "sanding_blocks")
FORMATS = ("step", "stl", "dxf", "notes")


def narrow(
    put: Callable[[object, str, object], None],
    fixtures: Iterable[str] = FIXTURES,
    formats: Iterable[str] = FORMATS,
) -> None:
    """Let the program have these alone; `put` sets an attribute, for good or, by monkeypatch, for a test."""
    from cad.outputs import again, tasks
    from cad.outputs import formats as package

    # Making loads the kernel: where nobody has asked for it yet, it will find the names where they come from.
    making = [module for name, module in sys.modules.items() if name == "cad.outputs.making"]
    for module in (tasks, *making):
        put(module, "fixture_names", lambda: sorted(fixtures))
    for module in (package, again, *making):
        put(module, "format_names", lambda: sorted(formats))


def command(fixtures: Iterable[str] = FIXTURES, formats: Iterable[str] = FORMATS) -> list[str]:
    """Return how to start the command so narrowed; its arguments follow."""
    code = (
        f"import sys\nsys.path.insert(0, {str(ROOT)!r})\n"
        "from cad.cli.entry import entry\nfrom tests.narrowed import narrow\n"
        f"narrow(setattr, {tuple(fixtures)!r}, {tuple(formats)!r})\nentry()"
    )
    return [sys.executable, "-c", code]


def narrowed(
    *arguments: object, fixtures: Iterable[str] = FIXTURES, formats: Iterable[str] = FORMATS
) -> subprocess.CompletedProcess[str]:
    """Run the narrowed command in a process of its own."""
    line = [*command(fixtures, formats), *map(str, arguments)]
    return subprocess.run(line, capture_output=True, text=True, check=False)
