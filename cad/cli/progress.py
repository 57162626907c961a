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

    def show(self, what: str) -> None:
        """Show what is being done, without a step more."""
        if self.stream.isatty():
            filled = WIDTH * self.done // max(self.steps, 1)
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
