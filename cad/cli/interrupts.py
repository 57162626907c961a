"""Interrupts from the keyboard, kept whole while the kernel loads."""

from __future__ import annotations

import signal
from types import FrameType


def load_kernel() -> None:
    """Load the CAD kernel, and only then let an interrupt through.

    The kernel's loader turns an interrupt into an ImportError, which nobody could tell from a broken
    installation. Raises KeyboardInterrupt when one came meanwhile.
    """
    came: list[int] = []

    def keep(number: int, frame: FrameType | None) -> None:
        came.append(number)

    before = signal.signal(signal.SIGINT, keep)
    try:
        from cad.kernel.loading import load_cadquery

        load_cadquery()
    finally:
        signal.signal(signal.SIGINT, before)
    if came:
        raise KeyboardInterrupt
