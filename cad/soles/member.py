"""A member of a profile: one line or arc of it, with its name from the trade."""

from __future__ import annotations

from dataclasses import dataclass

from cad.outline import Segment


@dataclass(frozen=True)
class Member:
    """A segment of the sole in the (y, z) plane, mm, and what it is called: no two of a sole alike."""

    name: str
    segment: Segment
