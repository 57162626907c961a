"""Where lines and arcs meet: the points in which two segments of outlines cross or touch."""

from __future__ import annotations

from math import atan2, pi, sqrt

from cad.outline import Arc, Line, Point, Segment, distance

ON_MM = 1e-7  # a point nearer than this to a segment lies on it


def meetings(one: Segment, two: Segment) -> list[Point]:
    """Return the points that two segments share, ends included; stretches that coincide give their ends."""
    shared = [p for p in crossings(one, two) if lies_on(one, p) and lies_on(two, p)]
    for segment, other in ((one, two), (two, one)):
        for p in (segment.start, segment.end):
            if lies_on(other, p) and all(distance(p, q) > ON_MM for q in shared):
                shared.append(p)
    return shared


def lies_on(segment: Segment, p: Point) -> bool:
    """Return whether a point lies on a segment, its ends included."""
    if min(distance(p, segment.start), distance(p, segment.end)) <= ON_MM:
        return True
    if isinstance(segment, Line):
        (a0, b0), (a1, b1), length = segment.start, segment.end, segment.length
        along = ((p[0] - a0) * (a1 - a0) + (p[1] - b0) * (b1 - b0)) / length
        aside = ((p[1] - b0) * (a1 - a0) - (p[0] - a0) * (b1 - b0)) / length
        return 0 <= along <= length and abs(aside) <= ON_MM
    if abs(distance(p, segment.centre) - segment.radius) > ON_MM:
        return False
    (x, y), (x0, y0) = ((q[0] - segment.centre[0], q[1] - segment.centre[1]) for q in (p, segment.start))
    forward = (atan2(y, x) - atan2(y0, x0)) * (1 if segment.ccw else -1)
    return forward % (2 * pi) <= abs(segment.turn)


def crossings(one: Segment, two: Segment) -> list[Point]:
    """Return where the whole line or circle of one segment crosses that of another: none, one or two points.

    Lines that are parallel, and circles about one centre, cross nowhere. Source: plane geometry.
    """
    if isinstance(one, Line) and isinstance(two, Line):
        return _line_line(one, two)
    if isinstance(one, Line) and isinstance(two, Arc):
        return _line_circle(one, two.centre, two.radius)
    if isinstance(one, Arc) and isinstance(two, Line):
        return _line_circle(two, one.centre, one.radius)
    assert isinstance(one, Arc) and isinstance(two, Arc)
    return _circle_circle(one, two)


def _line_line(one: Line, two: Line) -> list[Point]:
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = one.start, one.end, two.start, two.end
    cross = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    if abs(cross) <= 1e-12 * one.length * two.length:
        return []
    return [one.point(((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / cross)]


def _line_circle(line: Line, centre: Point, radius: float) -> list[Point]:
    (a0, b0), (a1, b1), length = line.start, line.end, line.length
    foot = ((centre[0] - a0) * (a1 - a0) + (centre[1] - b0) * (b1 - b0)) / length
    off = distance(centre, line.point(foot / length))
    if off > radius:
        return []
    half = sqrt((radius - off) * (radius + off))
    return [line.point((foot - half) / length), line.point((foot + half) / length)]


def _circle_circle(one: Arc, two: Arc) -> list[Point]:
    apart, r, s = distance(one.centre, two.centre), one.radius, two.radius
    if apart > r + s or apart < abs(r - s) or apart == 0:
        return []
    foot = (apart**2 + r**2 - s**2) / (2 * apart)
    half = sqrt(max(r**2 - foot**2, 0.0))
    a, b = ((two.centre[i] - one.centre[i]) / apart for i in range(2))
    (x, y) = one.centre
    return [(x + foot * a - side * half * b, y + foot * b + side * half * a) for side in (1, -1)]
