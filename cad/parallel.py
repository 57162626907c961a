"""Parallel curves in closed form: a path of lines and arcs moved to the right of its way of travel.

A sole travels from the rabbet face to the blind side with its wood on the left, so its right is below it.
Where the wood's corner is convex the moved segments part and something must link them; where it is
re-entrant they cross and are trimmed to the crossing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import atan2, cos, hypot, pi, radians, sin

from cad.crossings import crossings
from cad.errors import OffsetError
from cad.outline import Arc, Line, Path, Point, Segment, distance

SMOOTH_DEG = 1e-6  # two segments that turn less than this at their joint run on smoothly
NEAR_MM = 1e-6  # how far rounding may bring a parallel too near its source
SAMPLES = 48  # points of each moved segment that are measured against the source


@dataclass(frozen=True)
class Joint:
    """A corner of the source: the segments before and after it, and the distance they are moved by, mm."""

    before: Segment
    after: Segment
    by: float

    @property
    def corner(self) -> Point:
        return self.before.end

    @property
    def before_deg(self) -> float:
        """Heading in which the corner is reached."""
        return self.before.heading_deg(1.0)

    @property
    def after_deg(self) -> float:
        """Heading in which it is left."""
        return self.after.heading_deg(0.0)

    @property
    def turn_deg(self) -> float:
        """Return the turn at the corner, -180 to 180: to the left (the wood is convex) when positive."""
        return (self.after_deg - self.before_deg + 180) % 360 - 180


@dataclass(frozen=True)
class Link:
    """What joins two moved segments: where the first stops, what runs between, where the second starts."""

    stop: Point
    between: tuple[Segment, ...]
    start: Point


Corner = Callable[[Joint], Link]


@dataclass(frozen=True)
class Parallel:
    """A parallel curve: each segment of the source as moved and trimmed, and the link after each."""

    moved: tuple[Segment, ...]
    links: tuple[Link, ...]

    @cached_property
    def path(self) -> Path:
        segments: list[Segment] = []
        for i, segment in enumerate(self.moved):
            segments += [segment, *(self.links[i].between if i < len(self.links) else ())]
        return Path(tuple(segments))


def aside(p: Point, heading_deg: float, by: float) -> Point:
    """Return the point `by` mm to the right of p for one who travels on a heading."""
    return along(p, heading_deg - 90, by)


def along(p: Point, heading_deg: float, by: float) -> Point:
    """Return the point `by` mm from p on a heading, degrees counter-clockwise from the first axis."""
    a = radians(heading_deg)
    return (p[0] + by * cos(a), p[1] + by * sin(a))


def rounded(joint: Joint) -> Link:
    """Link two moved segments by the arc about their corner: the true parallel curve."""
    stop = aside(joint.corner, joint.before_deg, joint.by)
    start = aside(joint.corner, joint.after_deg, joint.by)
    return Link(stop, (Arc(stop, start, joint.corner, ccw=True),), start)


def parallel(path: Path, by: float, at_convex: Corner = rounded) -> Parallel:
    """Return the curve `by` mm (not negative) to the right of a path, all round it when it is closed.

    `at_convex` makes the link where the path turns to the left. Raises OffsetError where the curve would
    fold over itself: an arc with its centre within `by` on the right, a segment that its neighbours'
    parallels take up wholly, or two stretches of the path nearer each other than twice `by`.
    """
    if by < 0:
        raise ValueError(f"a parallel lies to the right: {by:g} is negative")
    if by == 0:
        return Parallel(path.segments, ())
    moved = [_moved(segment, by) for segment in path]
    joints = [Joint(one, two, by) for one, two in pairwise(path)]
    if path.is_closed:
        joints.append(Joint(path.segments[-1], path.segments[0], by))
    links = [_link(joint, moved[i], moved[(i + 1) % len(moved)], at_convex) for i, joint in enumerate(joints)]
    starts = [links[-1].start if path.is_closed else moved[0].start, *(link.start for link in links)]
    stops = [*(link.stop for link in links), moved[-1].end]
    trimmed = tuple(_trimmed(*each, by) for each in zip(moved, starts, stops, strict=False))
    made = Parallel(trimmed, tuple(links))
    _check_apart(path, made.path, by)
    return made


def distance_to(path: Path, p: Point) -> float:
    """Return the least distance of a point from a path, mm."""
    return min(distance_from(segment, p) for segment in path)


def _moved(segment: Segment, by: float) -> Segment:
    try:
        return segment.offset(by)
    except ValueError as error:
        raise OffsetError(by, str(error), segment.point(0.5)) from error


def _link(joint: Joint, before: Segment, after: Segment, at_convex: Corner) -> Link:
    if abs(joint.turn_deg) <= SMOOTH_DEG:
        return Link(before.end, (), after.start)
    if joint.turn_deg > 0:
        return at_convex(joint)
    meets = crossings(before, after)
    if not meets:
        raise OffsetError(joint.by, f"the faces beside {_spell(joint.corner)} do not meet", joint.corner)
    meet = min(meets, key=lambda p: distance(p, joint.corner))
    return Link(meet, (), meet)


def _trimmed(segment: Segment, start: Point, stop: Point, by: float) -> Segment:
    """Return the stretch of a moved segment between two of its points; never longer, never backwards."""
    if (start, stop) == (segment.start, segment.end):
        return segment
    left: Segment
    if isinstance(segment, Line):
        left = Line(start, stop)
        (a0, b0), (a1, b1) = segment.start, segment.end
        forward = (a1 - a0) * (stop[0] - start[0]) + (b1 - b0) * (stop[1] - start[1]) > 0
    else:
        left = Arc(start, stop, segment.centre, segment.ccw)
        forward = distance(start, stop) > NEAR_MM
    if not forward or left.length > segment.length + NEAR_MM:
        middle = segment.point(0.5)
        raise OffsetError(by, f"nothing is left of the face beside {_spell(middle)}", middle)
    return left


def _check_apart(source: Path, moved: Path, by: float) -> None:
    boxes = [(segment, Path((segment,)).bounds()) for segment in source]
    for segment in moved:
        low_a, low_b, high_a, high_b = Path((segment,)).bounds()
        # Only what lies within reach can be too near: a drawn profile may have hundreds of segments.
        near = [
            other
            for other, (a0, b0, a1, b1) in boxes
            if a0 < high_a + by and a1 > low_a - by and b0 < high_b + by and b1 > low_b - by
        ]
        for p in (segment.point(i / SAMPLES) for i in range(SAMPLES + 1)):
            if any(distance_from(other, p) < by - NEAR_MM for other in near):
                raise OffsetError(by, f"it comes too near another part of the sole at {_spell(p)}", p)


def distance_from(segment: Segment, p: Point) -> float:
    """Return the least distance of a point from a segment, mm."""
    if isinstance(segment, Line):
        (a0, b0), (a1, b1) = segment.start, segment.end
        run = ((p[0] - a0) * (a1 - a0) + (p[1] - b0) * (b1 - b0)) / max(segment.length**2, 1e-30)
        return distance(p, segment.point(min(max(run, 0.0), 1.0)))
    away = (p[0] - segment.centre[0], p[1] - segment.centre[1])
    from_start = (segment.start[0] - segment.centre[0], segment.start[1] - segment.centre[1])
    forward = (atan2(away[1], away[0]) - atan2(from_start[1], from_start[0])) * (1 if segment.ccw else -1)
    if forward % (2 * pi) <= abs(segment.turn):
        return abs(hypot(*away) - segment.radius)
    return min(distance(p, segment.start), distance(p, segment.end))


def _spell(p: Point) -> str:
    return f"({p[0]:.2f}, {p[1]:.2f})"
