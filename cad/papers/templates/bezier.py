"""Curves as chains of lines and cubic Béziers, and what pages do with them: move, turn, mirror, clip.

A chain is a start and steps from it: a step of one point is a line, of three a Bézier with its two control
points and its end. An arc is cut into parts of at most 45 degrees; a part of turn a and radius r stands off
its Bézier by no more than about r (2/27) sin^6(a/4) / cos^2(a/4), 4.3e-6 r at 45 degrees (handles of
4/3 tan(a/4), the textbook's), under 0.0011 mm for the largest radius that a spec may name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, cos, pi, sin, tan

from cad.geometry.iron import EdgeArc
from cad.outline import Arc, Line, Point

Step = tuple[Point, ...]
Box = tuple[float, float, float, float]  # least x, least y, greatest x, greatest y
MOST_TURN = pi / 4
HALVINGS = 40  # of a Bézier's parameter when its crossing of a border is sought: far below a nanometre


@dataclass(frozen=True)
class Chain:
    """An unbroken curve; `closed` when it returns to its start."""

    start: Point
    steps: tuple[Step, ...]
    closed: bool = False

    def mapped(self, move: Callable[[Point], Point]) -> Chain:
        """Return the chain with all points, handles too, moved by an affine map."""
        steps = tuple(tuple(move(p) for p in step) for step in self.steps)
        return Chain(move(self.start), steps, self.closed)

    def box(self) -> Box:
        """Return the box around the chain's points and handles, which holds the curve."""
        points = [self.start, *(p for step in self.steps for p in step)]
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return (min(xs), min(ys), max(xs), max(ys))

    def clipped(self, window: Box) -> tuple[Chain, ...]:
        """Return what of the chain lies within a window, itself when all of it does."""
        low_x, low_y, high_x, high_y = self.box()
        if low_x >= window[0] and low_y >= window[1] and high_x <= window[2] and high_y <= window[3]:
            return (self,)
        found: list[Chain] = []
        here, run = self.start, None
        for step in self.steps:
            for start, part in _pieces(here, step, window):
                if not _within(_middle(start, part), window):
                    run = None
                elif run is None:
                    found.append(Chain(start, (part,)))
                    run = len(found) - 1
                else:
                    found[run] = Chain(found[run].start, (*found[run].steps, part))
            here = step[-1]
        return tuple(found)

    def points(self, parts: int = 8) -> list[Point]:
        """Return points along the chain, each Bézier cut into so many parts."""
        found, here = [self.start], self.start
        for step in self.steps:
            count = 1 if len(step) == 1 else parts
            found += [_at(here, step, i / count) for i in range(1, count + 1)]
            here = step[-1]
        return found


def chain(segments: Iterable[Line | Arc | EdgeArc]) -> Chain:
    """Return segments that join end to start as a chain."""
    listed = list(segments)
    steps = tuple(step for segment in listed for step in _steps(segment))
    first, last = listed[0].start, listed[-1].end
    closed = abs(first[0] - last[0]) < 1e-6 and abs(first[1] - last[1]) < 1e-6
    return Chain(first, steps, closed)


def polyline(*points: Point) -> Chain:
    """Return straight lines through the points."""
    return Chain(points[0], tuple((p,) for p in points[1:]))


def through(points: list[Point], slopes: list[Point]) -> Chain:
    """Return a smooth chain through points; `slopes` is the derivative at each by the points' own number.

    Hermite's form: handles stand a third of the derivative from their points.
    """
    steps = []
    for i in range(1, len(points)):
        (ax, ay), (bx, by), (ux, uy), (vx, vy) = points[i - 1], points[i], slopes[i - 1], slopes[i]
        steps.append(((ax + ux / 3, ay + uy / 3), (bx - vx / 3, by - vy / 3), (bx, by)))
    return Chain(points[0], tuple(steps))


def _steps(segment: Line | Arc | EdgeArc) -> list[Step]:
    if isinstance(segment, Line):
        return [(segment.end,)]
    if isinstance(segment, EdgeArc):
        return _ellipse_steps(segment)
    (x, y), turn, radius = segment.centre, segment.turn, segment.radius
    parts = max(1, ceil(abs(turn) / MOST_TURN - 1e-9))
    handle = 4 / 3 * tan(turn / parts / 4) * radius
    steps: list[Step] = []
    for i in range(parts):
        p, q = segment.point(i / parts), segment.point((i + 1) / parts)
        if i == parts - 1:
            q = segment.end
        steps.append(
            (
                (p[0] - handle * (p[1] - y) / radius, p[1] + handle * (p[0] - x) / radius),
                (q[0] + handle * (q[1] - y) / radius, q[1] - handle * (q[0] - x) / radius),
                q,
            )
        )
    return steps


def _ellipse_steps(edge: EdgeArc) -> list[Step]:
    """Return the steps of the circle that the ellipse was stretched from, stretched: exact, being affine."""
    middle, k = edge.centre[1], edge.along / edge.across

    def squash(p: Point) -> Point:
        return (p[0], middle + (p[1] - middle) / k)

    circle = Arc(squash(edge.start), squash(edge.end), edge.centre, edge.ccw)
    steps = [tuple((x, middle + (y - middle) * k) for x, y in step) for step in _steps(circle)]
    return [*steps[:-1], (*steps[-1][:-1], edge.end)]


def _at(start: Point, step: Step, t: float) -> Point:
    if len(step) == 1:
        return (start[0] + (step[0][0] - start[0]) * t, start[1] + (step[0][1] - start[1]) * t)
    s = 1 - t
    weights = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
    points = (start, *step)
    return (
        sum(w * p[0] for w, p in zip(weights, points, strict=True)),
        sum(w * p[1] for w, p in zip(weights, points, strict=True)),
    )


def _middle(start: Point, step: Step) -> Point:
    return _at(start, step, 0.5)


def _within(p: Point, window: Box) -> bool:
    return window[0] <= p[0] <= window[2] and window[1] <= p[1] <= window[3]


def _pieces(start: Point, step: Step, window: Box) -> list[tuple[Point, Step]]:
    """Return a step cut wherever it crosses one of the lines that bound a window."""
    cuts = {0.0, 1.0}
    for axis, bound in ((0, window[0]), (1, window[1]), (0, window[2]), (1, window[3])):
        cuts |= set(_crossings(start, step, axis, bound))
    ordered = sorted(cuts)
    return [_part(start, step, a, b) for a, b in pairwise(ordered)]


def _crossings(start: Point, step: Step, axis: int, bound: float) -> list[float]:
    """Return the parameters at which a step crosses a border, found by halving; a part turns 45° at most."""

    def side(t: float) -> float:
        return _at(start, step, t)[axis] - bound

    spots = [0.0, 1.0] if len(step) == 1 else [i / 8 for i in range(9)]
    found = []
    for low, high in pairwise(spots):
        if side(low) * side(high) >= 0:
            continue
        rising = side(low) < 0
        for _ in range(HALVINGS):
            t = (low + high) / 2
            low, high = (t, high) if (side(t) < 0) == rising else (low, t)
        found.append((low + high) / 2)
    return found


def _part(start: Point, step: Step, a: float, b: float) -> tuple[Point, Step]:
    """Return the stretch of a step between two of its parameters (de Casteljau's construction)."""
    if (a, b) == (0.0, 1.0):
        return start, step
    if len(step) == 1:
        return _at(start, step, a), (_at(start, step, b),)
    points = (start, *step)
    left = [_blend(points, (b, b, b)), _blend(points, (a, b, b)), _blend(points, (a, a, b))]
    return _blend(points, (a, a, a)), (left[2], left[1], left[0])


def _blend(points: tuple[Point, ...], ts: tuple[float, ...]) -> Point:
    """Return the polar form of a Bézier: each round of blending has a parameter of its own."""
    for t in ts:
        points = tuple((p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t) for p, q in pairwise(points))
    return points[0]


def turned_left(p: Point) -> Point:
    """Return a point after a quarter turn to the left about the origin."""
    return (-p[1], p[0])


def on_circle(centre: Point, radius: float, angle: float) -> Point:
    """Return the point of a circle at an angle in radians."""
    return (centre[0] + radius * cos(angle), centre[1] + radius * sin(angle))
