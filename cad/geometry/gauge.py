"""Gauges of one arc laid against a sole of one arc: where they bear, and the light they leave.

All in the (y, z) plane of the work, right hand, mm. Against a round the gauge is hollow, against a hollow it
is round; the sole stands above it either way. Source of the formulas: plane geometry of two circles.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, radians, sqrt

from cad.geometry.sole import Sole
from cad.outline import Arc, Line, Path, Point, polygon

# Sizes of the gauges themselves: common practice, no source.
OVER_MM = 1.0  # how far the arc runs on past the edges of the sole, where the relief leaves room
RIM_MM = 7.0  # beside the arc
LEAST_HALF_MM = 20.0  # half the width of a gauge, to hold it by and to letter it
GRIP_MM = 24.0  # height below the arc
DROP_MM = 3.0  # from the ends of a round gauge's arc down to its ledges


def single_arc(sole: Sole) -> Arc | None:
    """Return the arc that is the whole sole, None for a sole of another make."""
    first, *others = sole.path
    return first if isinstance(first, Arc) and not others else None


@dataclass(frozen=True)
class ArcGauge:
    """A gauge of a given radius where it comes to rest on a sole: on its crown or on its two edges.

    It rests on the crown of a round when it is flatter, on the edges when it is rounder; a hollow
    reverses that.
    """

    sole: Sole
    arc: Arc  # the sole's
    radius: float

    @property
    def is_hollow(self) -> bool:
        return self.arc.ccw

    @property
    def middle(self) -> float:
        return self.sole.width / 2

    @property
    def bears_on_edges(self) -> bool:
        apart = self.radius - self.arc.radius
        return apart < 0 if self.is_hollow else apart > 0

    @property
    def reach(self) -> float:
        """How far from the middle sole and gauge lie over each other: half the sole, or a small arc."""
        return min(self.middle, self.radius)

    @property
    def half(self) -> float:
        """Half the chord of the gauge's own arc.

        A hollow one ends before it turns steeper than the relief, into which it would run.
        """
        over = self.middle + OVER_MM
        if self.is_hollow:
            over = max(self.middle, min(over, self.radius * cos(radians(self.sole.relief_deg))))
        return min(over, self.radius)

    @property
    def centre(self) -> Point:
        """Centre of the gauge's arc where it rests."""
        at = self.reach if self.bears_on_edges else 0.0
        (y, z), way = self.arc.centre, self._way
        meets = z + way * _drop(self.arc.radius, at)
        return (y, meets - way * _drop(self.radius, at))

    @property
    def own_arc(self) -> Arc:
        """The gauge's arc, from the rabbet face's side to the blind side."""
        (y, _), half = self.centre, self.half
        return Arc((y - half, self._z(half)), (y + half, self._z(half)), self.centre, self.arc.ccw)

    def gap(self, off: float) -> float:
        """Return the light `off` mm beside the middle: from the hollow one of the two to the round one.

        The foot of that distance always lies on the round one, whichever of them ends first.
        """
        outer, inner = (
            (self._circle, self._sole_circle) if self.is_hollow else (self._sole_circle, self._circle)
        )
        (y, z), radius = outer
        (foot_y, foot_z), inside = inner
        return hypot(y + off - foot_y, z + self._way * _drop(radius, off) - foot_z) - inside

    @property
    def crown_gap(self) -> float:
        return self.gap(0.0)

    @property
    def edge_gap(self) -> float:
        return self.gap(self.reach)

    @property
    def side(self) -> float:
        """Half the width of the whole gauge."""
        return max(self.half + RIM_MM, LEAST_HALF_MM)

    @property
    def ledge(self) -> float:
        """z of the flats beside the arc."""
        return self._z(self.half) - (0.0 if self.is_hollow else DROP_MM)

    @property
    def bottom(self) -> float:
        return min(self._z(0.0), self.ledge) - GRIP_MM

    def edge(self) -> tuple[Line | Arc, ...]:
        """Return ledge, arc and ledge from left to right."""
        y, own = self.centre[0], self.own_arc
        before = [(y - self.side, self.ledge), (y - self.half, self.ledge), own.start]
        after = [own.end, (y + self.half, self.ledge), (y + self.side, self.ledge)]
        return (*_lines(before), own, *_lines(after))

    def outline(self) -> Path:
        """Return the closed outline of a flat gauge with its grip, counter-clockwise."""
        edge = self.edge()
        left, right = edge[0].start, edge[-1].end
        down = [left, (left[0], self.bottom), (right[0], self.bottom), right]
        return Path((*_lines(down), *(segment.reversed() for segment in reversed(edge))))

    def half_rod(self) -> Path:
        """Return half a rod of the gauge's radius, flat side down, counter-clockwise."""
        y, z = self.centre
        flat = Line((y - self.radius, z), (y + self.radius, z))
        return Path((flat, Arc(flat.end, flat.start, self.centre, ccw=True)))

    @property
    def _circle(self) -> tuple[Point, float]:
        return self.centre, self.radius

    @property
    def _sole_circle(self) -> tuple[Point, float]:
        return self.arc.centre, self.arc.radius

    @property
    def _way(self) -> float:
        """Where the arc lies from its centre: -1 below, +1 above."""
        return -1.0 if self.is_hollow else 1.0

    def _z(self, off: float) -> float:
        return self.centre[1] + self._way * _drop(self.radius, off)


def block_about(gauge: ArcGauge) -> Path:
    """Return the block of a bored gauge before it is sawn off at its ledges, counter-clockwise.

    The hole is whole and keeps a rim all round.
    """
    (y, z), out = gauge.centre, max(gauge.side, gauge.radius + RIM_MM)
    top = z + gauge.radius + RIM_MM
    corners = [(y - out, gauge.bottom), (y + out, gauge.bottom), (y + out, top), (y - out, top)]
    return polygon(corners)


def _drop(radius: float, off: float) -> float:
    """Return how far a circle lies from its centre's level at `off` mm beside it."""
    return sqrt(max((radius - off) * (radius + off), 0.0))


def _lines(points: list[Point]) -> Iterator[Line]:
    return (Line(p, q) for p, q in pairwise(points) if p != q)
