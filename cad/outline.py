"""Plane curves of lines and arcs: the one way a shape in a plane is described before any kernel.

Points are (a, b) pairs in mm; which plane a and b lie in is for the user of the path to say. Values are
immutable; methods return new values.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from math import atan2, cos, degrees, hypot, pi, radians, sin

Point = tuple[float, float]

JOIN_MM = 1e-9  # two ends nearer than this are one point


def distance(p: Point, q: Point) -> float:
    """Return the distance between two points."""
    return hypot(q[0] - p[0], q[1] - p[1])


@dataclass(frozen=True)
class Line:
    """A straight segment."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        return distance(self.start, self.end)

    def point(self, share: float) -> Point:
        """Return the point at a share (0 to 1) of the way."""
        (a0, b0), (a1, b1) = self.start, self.end
        return (a0 + (a1 - a0) * share, b0 + (b1 - b0) * share)

    def heading_deg(self, share: float = 0.0) -> float:
        """Return the direction of travel, degrees counter-clockwise from the first axis."""
        return degrees(atan2(self.end[1] - self.start[1], self.end[0] - self.start[0]))

    def reversed(self) -> Line:
        return Line(self.end, self.start)

    def moved(self, da: float, db: float) -> Line:
        return Line((self.start[0] + da, self.start[1] + db), (self.end[0] + da, self.end[1] + db))

    def mirrored(self) -> Line:
        """Return the segment with its first coordinate negated."""
        return Line((-self.start[0], self.start[1]), (-self.end[0], self.end[1]))

    def offset(self, by: float) -> Line:
        """Return the parallel segment `by` mm to the right of the way of travel."""
        a = radians(self.heading_deg())
        return self.moved(by * sin(a), -by * cos(a))

    def swept_area(self) -> float:
        """Return ∮ a db along the segment, the term of Green's theorem."""
        return (self.start[0] + self.end[0]) / 2 * (self.end[1] - self.start[1])


@dataclass(frozen=True)
class Arc:
    """A circular arc from start to end about a centre; counter-clockwise when `ccw`."""

    start: Point
    end: Point
    centre: Point
    ccw: bool

    @property
    def radius(self) -> float:
        return distance(self.centre, self.start)

    @property
    def turn(self) -> float:
        """Return the signed angle from start to end in radians, never zero: a full turn at most."""
        a0 = atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        a1 = atan2(self.end[1] - self.centre[1], self.end[0] - self.centre[0])
        forward = a1 - a0 if self.ccw else a0 - a1
        turned = forward % (2 * pi) or 2 * pi
        return turned if self.ccw else -turned

    @property
    def length(self) -> float:
        return self.radius * abs(self.turn)

    def point(self, share: float) -> Point:
        a0 = atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        a, r = a0 + self.turn * share, self.radius
        return (self.centre[0] + r * cos(a), self.centre[1] + r * sin(a))

    def heading_deg(self, share: float = 0.0) -> float:
        p = self.point(share)
        a = atan2(p[1] - self.centre[1], p[0] - self.centre[0])
        heading = degrees(a + (pi / 2 if self.ccw else -pi / 2))
        return (heading + 180) % 360 - 180

    def reversed(self) -> Arc:
        return Arc(self.end, self.start, self.centre, not self.ccw)

    def moved(self, da: float, db: float) -> Arc:
        def shift(p: Point) -> Point:
            return (p[0] + da, p[1] + db)

        return Arc(shift(self.start), shift(self.end), shift(self.centre), self.ccw)

    def mirrored(self) -> Arc:
        def flip(p: Point) -> Point:
            return (-p[0], p[1])

        return Arc(flip(self.start), flip(self.end), flip(self.centre), not self.ccw)

    def offset(self, by: float) -> Arc:
        """Return the parallel arc `by` mm to the right of the way of travel.

        Raises ValueError where the offset would fold over the centre.
        """
        grown = self.radius + (by if self.ccw else -by)
        if grown <= 0:
            raise ValueError(f"an arc of radius {self.radius:g} has no parallel {abs(by):g} inside it")
        scale = grown / self.radius

        def push(p: Point) -> Point:
            c = self.centre
            return (c[0] + (p[0] - c[0]) * scale, c[1] + (p[1] - c[1]) * scale)

        return Arc(push(self.start), push(self.end), self.centre, self.ccw)

    def swept_area(self) -> float:
        chord = Line(self.start, self.end).swept_area()
        turn = self.turn
        return chord + self.radius**2 * (turn - sin(turn)) / 2


Segment = Line | Arc


@dataclass(frozen=True)
class Path:
    """Segments joined end to start; closed when the last ends where the first starts."""

    segments: tuple[Segment, ...]

    def __post_init__(self) -> None:
        if not self.segments:
            raise ValueError("a path needs at least one segment")
        for one, two in zip(self.segments, self.segments[1:], strict=False):
            if distance(one.end, two.start) > 1e-6:
                raise ValueError(f"the path is broken between {one.end} and {two.start}")

    def __iter__(self) -> Iterator[Segment]:
        return iter(self.segments)

    @property
    def start(self) -> Point:
        return self.segments[0].start

    @property
    def end(self) -> Point:
        return self.segments[-1].end

    @property
    def is_closed(self) -> bool:
        return distance(self.start, self.end) <= 1e-6

    @property
    def length(self) -> float:
        return sum(segment.length for segment in self.segments)

    @property
    def area(self) -> float:
        """Return the enclosed area, positive for a counter-clockwise path (closed by its chord)."""
        closing = Line(self.end, self.start)
        return sum(segment.swept_area() for segment in self.segments) + closing.swept_area()

    def reversed(self) -> Path:
        return Path(tuple(segment.reversed() for segment in reversed(self.segments)))

    def moved(self, da: float, db: float) -> Path:
        return Path(tuple(segment.moved(da, db) for segment in self.segments))

    def mirrored(self) -> Path:
        """Return the path with its first coordinate negated and its sense of travel kept."""
        return Path(tuple(segment.mirrored().reversed() for segment in reversed(self.segments)))

    def points(self, chord_mm: float = 0.01) -> list[Point]:
        """Return points along the path whose chords stay within `chord_mm` of it."""
        found = [self.start]
        for segment in self.segments:
            steps = 1
            if isinstance(segment, Arc):
                per_step = 2 * (2 * chord_mm / segment.radius) ** 0.5
                steps = max(2, int(abs(segment.turn) / per_step) + 1)
            found += [segment.point(i / steps) for i in range(1, steps + 1)]
        return found

    def bounds(self) -> tuple[float, float, float, float]:
        """Return (least a, least b, greatest a, greatest b), exact for lines and arcs."""
        reach = [p for segment in self.segments for p in _extremes(segment)]
        return (
            min(p[0] for p in reach),
            min(p[1] for p in reach),
            max(p[0] for p in reach),
            max(p[1] for p in reach),
        )


def _extremes(segment: Segment) -> list[Point]:
    reach = [segment.start, segment.end]
    if isinstance(segment, Arc):
        turn = segment.turn
        a0 = atan2(segment.start[1] - segment.centre[1], segment.start[0] - segment.centre[0])
        for quarter in range(-8, 9):
            share = (quarter * pi / 2 - a0) / turn
            if 0 < share < 1:
                reach.append(segment.point(share))
    return reach


def polygon(corners: Iterable[Point]) -> Path:
    """Return the closed path through the corners, leaving out corners that coincide."""
    kept: list[Point] = []
    for corner in corners:
        if not kept or distance(kept[-1], corner) > JOIN_MM:
            kept.append(corner)
    if len(kept) > 1 and distance(kept[0], kept[-1]) <= JOIN_MM:
        kept.pop()
    return Path(tuple(Line(p, q) for p, q in zip(kept, kept[1:] + kept[:1], strict=True)))


def arc_through(start: Point, middle: Point, end: Point) -> Arc:
    """Return the arc from start to end that passes through a third point. Raises ValueError on a line."""
    (ax, ay), (bx, by), (cx, cy) = start, middle, end
    d = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
    if abs(d) < 1e-12:
        raise ValueError(f"{start}, {middle} and {end} lie on a line")
    a2, b2, c2 = ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy
    centre = (
        (a2 * (by - cy) + b2 * (cy - ay) + c2 * (ay - by)) / d,
        (a2 * (cx - bx) + b2 * (ax - cx) + c2 * (bx - ax)) / d,
    )
    return Arc(start, end, centre, ccw=d > 0)


def mapped(path: Path, move: Callable[[Point], Point]) -> Path:
    """Return the path with every point moved by a rigid motion that keeps the sense of turning."""

    def one(segment: Segment) -> Segment:
        if isinstance(segment, Line):
            return Line(move(segment.start), move(segment.end))
        return Arc(move(segment.start), move(segment.end), move(segment.centre), segment.ccw)

    return Path(tuple(one(segment) for segment in path))
