"""Plane curves made ready for the drawing formats. Needs no kernel."""

from __future__ import annotations

from math import pi

from cad.outline import Arc, Path, Segment


def half_turns(path: Path) -> list[Segment]:
    """Return the segments of a path with every arc of more than half a turn split in two.

    Both formats describe an arc by its ends: of a full circle they are one point and say nothing.
    """
    return [piece for segment in path for piece in _split(segment)]


def _split(segment: Segment) -> list[Segment]:
    if not isinstance(segment, Arc) or abs(segment.turn) <= pi + 1e-9:
        return [segment]
    middle = segment.point(0.5)
    return [
        Arc(segment.start, middle, segment.centre, segment.ccw),
        Arc(middle, segment.end, segment.centre, segment.ccw),
    ]
