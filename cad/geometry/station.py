"""Where across the sole a gauge of some thickness is best held: on a stretch as level as there is."""

from __future__ import annotations

from cad.geometry.sole import Sole
from cad.outline import Arc, Line, Point

SPOTS = 9  # at which a stretch is judged
ALIKE_DEG = 10.0  # stretches less apart than this are level enough alike


def lowest_over(sole: Sole, first: float, last: float) -> Point:
    """Return the lowest point (y, z) of the sole between two y, as far as it reaches there, mm."""
    low, high = max(first, 0.0), min(last, sole.width)
    spots = {low, high}
    for segment in sole.path:
        turning = segment.centre[0] if isinstance(segment, Arc) else segment.start[0]
        spots |= {y for y in (turning, segment.end[0]) if low <= y <= high}
    return min(((y, sole.height(y)) for y in spots), key=lambda p: (p[1], p[0]))


def levellest(sole: Sole, wide: float, last: float) -> float:
    """Return the first y of the stretch `wide` mm across that is the most level, ending at `last` at most.

    Of equally level ones that nearest the middle of the sole; for one that fits nowhere, about the middle.
    """
    middle = min(sole.width / 2 - wide / 2, last - wide)
    level = {middle}
    for segment in sole.path:
        if isinstance(segment, Line):
            level.add((segment.start[0] + segment.end[0] - wide) / 2)
        elif segment.start[0] <= segment.centre[0] <= segment.end[0]:
            level.add(segment.centre[0] - wide / 2)
    fitting = [first for first in sorted(level) if first >= 0 and first + wide <= min(last, sole.width)]
    if not fitting:
        return middle

    def steepest(first: float) -> float:
        return max(sole.turned_deg(first + wide * i / (SPOTS - 1)) for i in range(SPOTS))

    least = min(map(steepest, fitting))
    return min(
        (first for first in fitting if steepest(first) <= least + ALIKE_DEG),
        key=lambda first: abs(first - middle),
    )
