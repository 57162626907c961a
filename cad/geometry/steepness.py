"""Where the sole is steep: the stretches of its members beyond an angle, and its plumb walls."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import degrees

from cad.geometry.sole import PLUMB_MM, Sole
from cad.outline import Arc, Line, Segment


@dataclass(frozen=True)
class Stretch:
    """A part of a member, by the member's name, with the most that it turns from level."""

    name: str
    segment: Segment
    turned_deg: float


def is_wall(segment: Segment) -> bool:
    """Return whether a member is a plumb wall, which the corner of the iron beside it leaves standing."""
    return isinstance(segment, Line) and abs(segment.end[0] - segment.start[0]) <= PLUMB_MM


def walls(sole: Sole) -> tuple[Stretch, ...]:
    """Return the plumb walls of the sole, from the rabbet face to the blind side."""
    members = zip(sole.names, sole.path, strict=True)
    return tuple(Stretch(name, segment, 90.0) for name, segment in members if is_wall(segment))


def steepest_sloped_deg(sole: Sole) -> float:
    """Return the most that the sole turns from level anywhere but at its plumb walls."""
    return max((max(_ends(s)) for s in sole.path if not is_wall(s)), default=0.0)


def stretches(sole: Sole, beyond_deg: float) -> tuple[Stretch, ...]:
    """Return what of the members turns further from level than an angle, in their order; no plumb walls.

    On an arc the heading grows evenly with its length, so the ends of a stretch are exact.
    """
    members = zip(sole.names, sole.path, strict=True)
    return tuple(
        Stretch(name, part, max(_ends(part)))
        for name, segment in members
        if not is_wall(segment)
        for part in _beyond(segment, beyond_deg)
    )


def turned_deg(segment: Segment, share: float) -> float:
    """Return how far a member has turned from level at a share of its length, 0 to 90 degrees."""
    return abs(segment.heading_deg(share))


def _ends(segment: Segment) -> tuple[float, float]:
    return turned_deg(segment, 0.0), turned_deg(segment, 1.0)


def _beyond(segment: Segment, beyond_deg: float) -> Iterator[Segment]:
    if isinstance(segment, Line):
        if turned_deg(segment, 0.0) > beyond_deg:
            yield segment
        return
    start, turn = segment.heading_deg(0.0), degrees(segment.turn)
    shares = sorted({(way * beyond_deg - start) / turn for way in (-1, 1)} | {0.0, 1.0})
    for first, last in pairwise(share for share in shares if 0.0 <= share <= 1.0):
        if last - first > 1e-9 and abs(start + turn * (first + last) / 2) > beyond_deg:
            yield _part(segment, first, last)


def _part(arc: Arc, first: float, last: float) -> Arc:
    start = arc.start if first == 0.0 else arc.point(first)
    end = arc.end if last == 1.0 else arc.point(last)
    return Arc(start, end, arc.centre, arc.ccw)
