"""Progress on standard error: a line that names the step on a terminal, nothing where nobody watches."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from shutil import get_terminal_size
from typing import TextIO

WIDTH = 24


@dataclass
class Progress:
    """Counts `steps` and names each as it begins. Writes only to a terminal."""

    steps: int
    stream: TextIO = sys.stderr
    done: int = 0

    def begin(self, what: str) -> None:
        """Show that the next step has begun."""
        self.show(what)
        self.done += 1

    def within(self, what: str, share: float) -> None:
        """Show what share (0 to 1) of the step that was begun last is done."""
        self.show(what, self.done - 1 + share)

    def show(self, what: str, done: float | None = None) -> None:
        """Show what is being done, without a step more; `done` where a step is done in part."""
        if self.stream.isatty():
            filled = int(WIDTH * (self.done if done is None else done) / max(self.steps, 1))
            bar = "█" * filled + "·" * (WIDTH - filled)
            # A longer line would wrap, and could not be cleared.
            room = max(get_terminal_size().columns - WIDTH - 2, 10)
            self.stream.write(f"\r\x1b[K{bar} {what[:room]}")
            self.stream.flush()

    def end(self) -> None:
        """Clear the line."""
        if self.stream.isatty():
            self.stream.write("\r\x1b[K")
            self.stream.flush()
