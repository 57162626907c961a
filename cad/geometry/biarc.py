"""An arc of an ellipse as circular arcs that meet in common tangents, for formats that know no ellipse.

Source of the biarc: the joint of equal tangent lengths, plane geometry (Bolton, Biarc curves, Computer-Aided
Design 7, 1975, from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from math import atan2, cos, hypot, pi, sin, sqrt

from cad.geometry.iron import EdgeArc
from cad.outline import Arc, Line, Path, Point, Segment, distance

WITHIN_MM = 0.005
SAMPLES = 16  # points of the ellipse measured for each biarc
MOST_PIECES = 4096

Ray = Callable[[float], tuple[Point, Point]]  # from a share, 0 to 1, of a curve to its point and unit tangent


def tangent_arcs(edge: EdgeArc, within_mm: float = WITHIN_MM) -> tuple[Segment, ...]:
    """Return arcs from the edge's start to its end that keep within `within_mm` of it.

    Ends and their tangents are exact. Raises ValueError when the distance asked for is out of reach.
    """
    return arcs_along(lambda share: _ray(edge, share), within_mm)


def arcs_along(ray: Ray, within_mm: float = WITHIN_MM) -> tuple[Segment, ...]:
    """Return tangent arcs within `within_mm` of any smooth curve; `ray` gives point and way at a share of it.

    Raises ValueError when the distance asked for is out of reach.
    """
    pieces = 1
    while pieces <= MOST_PIECES:
        found = [_biarc(ray, i / pieces, (i + 1) / pieces) for i in range(pieces)]
        if max(_strays(ray, i / pieces, 1 / pieces, arcs) for i, arcs in enumerate(found)) <= within_mm:
            return tuple(arc for arcs in found for arc in arcs)
        pieces *= 2
    raise ValueError(f"no {MOST_PIECES} arcs come within {within_mm:g} mm of the curve")


def drawn(segments: tuple[Line | Arc | EdgeArc, ...], within_mm: float = WITHIN_MM) -> Path:
    """Return segments as a path of lines and arcs, ellipses within `within_mm`."""
    plain: list[Segment] = []
    for segment in segments:
        plain += tangent_arcs(segment, within_mm) if isinstance(segment, EdgeArc) else (segment,)
    return Path(tuple(plain))


def _biarc(ray: Ray, first: float, last: float) -> tuple[Segment, ...]:
    """Return two arcs with a common tangent between two shares of a curve, tangent to it at both."""
    (p, t), (q, u) = ray(first), ray(last)
    va, vb = q[0] - p[0], q[1] - p[1]
    along = va * (t[0] + u[0]) + vb * (t[1] + u[1])
    turned = 2 * (1 - t[0] * u[0] - t[1] * u[1])
    length2 = va * va + vb * vb
    if turned < 1e-12:
        reach = length2 / (2 * along)
    else:
        reach = (sqrt(along * along + turned * length2) - along) / turned
    joint = ((p[0] + q[0] + reach * (t[0] - u[0])) / 2, (p[1] + q[1] + reach * (t[1] - u[1])) / 2)
    back = _arc(q, (-u[0], -u[1]), joint)
    return (_arc(p, t, joint), back.reversed())


def _arc(start: Point, way: Point, end: Point) -> Segment:
    """Return the arc that leaves `start` along a unit vector and comes to `end`, or the line."""
    a, b = end[0] - start[0], end[1] - start[1]
    aside = -way[1] * a + way[0] * b  # to the left of the way
    if abs(aside) < 1e-12 * hypot(a, b):
        return Line(start, end)
    radius = (a * a + b * b) / (2 * aside)
    return Arc(start, end, (start[0] - way[1] * radius, start[1] + way[0] * radius), ccw=aside > 0)


def _ray(edge: EdgeArc, share: float) -> tuple[Point, Point]:
    """Return the point at a share of an edge and the unit vector along it."""
    (v, u), (cv, cu) = edge.point(share), edge.centre
    a = atan2((u - cu) / edge.along, (v - cv) / edge.across)
    way = 1.0 if edge.ccw else -1.0
    dv, du = -edge.across * sin(a) * way, edge.along * cos(a) * way
    length = hypot(dv, du)
    return (v, u), (dv / length, du / length)


def _strays(ray: Ray, first: float, wide: float, arcs: tuple[Segment, ...]) -> float:
    """Return the greatest distance of the curve, over a stretch of it, from the arcs."""
    spots = (ray(first + wide * i / SAMPLES)[0] for i in range(SAMPLES + 1))
    return max(min(_off(arc, spot) for arc in arcs) for spot in spots)


def _off(segment: Segment, p: Point) -> float:
    """Return the distance of a point from a segment."""
    ends = min(distance(p, segment.start), distance(p, segment.end))
    if isinstance(segment, Line):
        along = (segment.end[0] - segment.start[0], segment.end[1] - segment.start[1])
        share = ((p[0] - segment.start[0]) * along[0] + (p[1] - segment.start[1]) * along[1]) / max(
            along[0] ** 2 + along[1] ** 2, 1e-30
        )
        return distance(p, segment.point(share)) if 0 <= share <= 1 else ends
    (a, b), turn = segment.centre, segment.turn
    start = atan2(segment.start[1] - b, segment.start[0] - a)
    turned = (atan2(p[1] - b, p[0] - a) - start) * (1 if turn > 0 else -1) % (2 * pi)
    return abs(distance(p, segment.centre) - segment.radius) if turned <= abs(turn) else ends
