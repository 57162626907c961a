"""Smooth curves as circular arcs that meet in common tangents, for what knows lines and arcs alone.

Source of the biarc: the joint of equal tangent lengths, plane geometry (Bolton, Biarc curves, Computer-Aided
Design 7, 1975, from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil, hypot, sqrt

from cad.outline import Arc, Line, Point, Segment
from cad.parallel import distance_from

SAMPLES = 16  # steps at which a biarc is measured against the curve, for each span that it covers
SHORTEST = 2.0**-12  # the least share of a curve that two arcs are tried for
MOST_ARCS = 500  # that may stand for one curve

Ray = Callable[[float], tuple[Point, Point]]  # from a share, 0 to 1, of a curve to its point and unit tangent


def arcs_along(ray: Ray, within_mm: float, spans: int = 1) -> tuple[Segment, ...]:
    """Return tangent arcs within `within_mm` of any smooth curve; `ray` gives point and way at a share of it.

    A curve put together of several `spans` is measured the more closely. It is halved where its arcs stray.
    Raises ValueError when the distance asked for is out of reach.
    """
    found: list[Segment] = []
    waiting = [(0.0, 1.0)]
    while waiting:
        first, last = waiting.pop()
        arcs = _biarc(ray(first), ray(last))
        samples = ceil(SAMPLES * max(1.0, spans * (last - first)))
        spots = (ray(first + (last - first) * i / samples)[0] for i in range(samples + 1))
        if arcs and all(_off(arcs, spot) <= within_mm for spot in spots):
            found += arcs
        elif last - first < SHORTEST or len(found) > MOST_ARCS:
            (a, b), _ = ray(first)
            raise ValueError(
                f"no {MOST_ARCS} arcs come within {within_mm:g} mm of it near ({a:.3f}, {b:.3f})"
            )
        else:
            middle = (first + last) / 2
            waiting += [(middle, last), (first, middle)]
    return tuple(found)


def strays_mm(ray: Ray, arcs: Sequence[Segment], samples: int) -> float:
    """Return the greatest distance of a curve from segments laid along it, at so many steps."""
    return max(_off(arcs, ray(i / samples)[0]) for i in range(samples + 1))


def _off(arcs: Sequence[Segment], p: Point) -> float:
    return min(distance_from(arc, p) for arc in arcs)


def _biarc(first: tuple[Point, Point], last: tuple[Point, Point]) -> tuple[Segment, ...]:
    """Return two arcs with a common tangent from one point and way to another; none where none exist."""
    (p, t), (q, u) = first, last
    va, vb = q[0] - p[0], q[1] - p[1]
    along = va * (t[0] + u[0]) + vb * (t[1] + u[1])
    turned = 2 * (1 - t[0] * u[0] - t[1] * u[1])
    length2 = va * va + vb * vb
    if turned >= 1e-12:
        reach = (sqrt(along * along + turned * length2) - along) / turned
    elif along > 0:
        reach = length2 / (2 * along)
    else:
        return ()
    joint = ((p[0] + q[0] + reach * (t[0] - u[0])) / 2, (p[1] + q[1] + reach * (t[1] - u[1])) / 2)
    back = _arc(q, (-u[0], -u[1]), joint)
    return (_arc(p, t, joint), back.reversed())


def _arc(start: Point, way: Point, end: Point) -> Segment:
    """Return the arc that leaves `start` along a unit vector and comes to `end`, or the line."""
    a, b = end[0] - start[0], end[1] - start[1]
    aside = -way[1] * a + way[0] * b  # to the left of the way
    if abs(aside) <= 1e-12 * hypot(a, b):  # of no length, too
        return Line(start, end)
    radius = (a * a + b * b) / (2 * aside)
    return Arc(start, end, (start[0] - way[1] * radius, start[1] + way[0] * radius), ccw=aside > 0)
