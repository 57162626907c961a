"""Profiles as corners and bulges, the way a DXF polyline holds them, and as paths of lines and arcs.

The bulge of a corner shapes the way to the next: the tangent of a quarter of the angle that its arc takes in,
0 for a straight line, 1 for a half circle, negative when the arc runs clockwise (DXF reference, LWPOLYLINE,
group code 42).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import tan

from cad.outline import Arc, Line, Path, Point, Segment, distance

Corner = tuple[float, float, float]  # y, z and bulge

STRAIGHT_MM = 1e-7  # an arc that rises less from its chord is a line
PLACES = 9  # decimals kept of a coordinate in mm: far below any tolerance, and free of the dust of sums


def bulge_of(segment: Segment) -> float:
    """Return the bulge of a segment.

    >>> round(bulge_of(Arc((1.0, 0.0), (-1.0, 0.0), (0.0, 0.0), ccw=True)), 9)
    1.0
    """
    return tan(segment.turn / 4) if isinstance(segment, Arc) else 0.0


def segment_of(start: Point, end: Point, bulge: float) -> Segment:
    """Return the line, or the arc that a bulge makes between two points."""
    chord = distance(start, end)
    if abs(bulge) * chord / 2 < STRAIGHT_MM:
        return Line(start, end)
    # The centre lies on the chord's perpendicular, (1 − b²) / 4b of the chord to its left.
    reach = (1 - bulge * bulge) / (4 * bulge)
    centre = (
        (start[0] + end[0]) / 2 - reach * (end[1] - start[1]),
        (start[1] + end[1]) / 2 + reach * (end[0] - start[0]),
    )
    return Arc(start, end, centre, ccw=bulge > 0)


def path_of(corners: Sequence[Corner]) -> Path:
    """Return the path through at least two corners; the bulge of the last shapes nothing."""
    return Path(
        tuple(segment_of((y0, z0), (y1, z1), bulge) for (y0, z0, bulge), (y1, z1, _) in pairwise(corners))
    )


def corners_of(segments: Iterable[Segment]) -> tuple[Corner, ...]:
    """Return the corners of segments that follow one another; where two ends differ, the middle of them."""
    chain = tuple(segments)
    inner = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in _joints(chain)]
    places = [chain[0].start, *inner, chain[-1].end]
    bulges = [*map(bulge_of, chain), 0.0]
    return tuple((y, z, bulge) for (y, z), bulge in zip(places, bulges, strict=True))


def set_level(corners: Sequence[Corner]) -> tuple[Corner, ...]:
    """Return a profile as a sole lies: from left to right, left end at y = 0, lowest point at z = 0."""
    turned = corners if corners[0][0] <= corners[-1][0] else _backwards(corners)
    low = path_of(turned).bounds()[1]
    left = turned[0][0]
    return tuple((_tidy(y - left), _tidy(z - low), bulge + 0.0) for y, z, bulge in turned)


def _joints(chain: Sequence[Segment]) -> list[tuple[Point, Point]]:
    return [(one.end, two.start) for one, two in pairwise(chain)]


def _backwards(corners: Sequence[Corner]) -> tuple[Corner, ...]:
    bulges = [-bulge for _, _, bulge in reversed(corners[:-1])]
    return tuple((y, z, bulge) for (y, z, _), bulge in zip(reversed(corners), [*bulges, 0.0], strict=True))


def _tidy(mm: float) -> float:
    return round(mm, PLACES) + 0.0  # no -0.0
