"""The iron: its place on the bed, its true edge and its outline in its own plane.

In the plane of the iron v runs across (v = y) and u up the bed from the level of the sole's lowest point.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import cos, radians, sin, sqrt

from cad.formulas import cutting
from cad.geometry.sole import Sole
from cad.geometry.throat import Throat
from cad.outline import JOIN_MM, Arc, Line, Point, Segment, arc_through

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class EdgeArc:
    """An arc of the sole seen in the plane of the iron: part of an ellipse, across and along the iron.

    Semi-axes are `across` (along v) and `along` (along u) about `centre`; `start`, `end` are points on it.
    """

    start: Point
    end: Point
    centre: Point
    across: float
    along: float
    ccw: bool

    def point(self, share: float) -> Point:
        """Return the point over the same share of the circle that the ellipse was stretched from."""
        k = self.along / self.across

        def squash(p: Point) -> Point:
            return (p[0], self.centre[1] + (p[1] - self.centre[1]) / k)

        v, u = Arc(squash(self.start), squash(self.end), self.centre, self.ccw).point(share)
        return (v, self.centre[1] + (u - self.centre[1]) * k)


@dataclass(frozen=True)
class Iron:
    """The iron as it lies in the plane, edge flush with the sole.

    One narrower than the throat stands by the cheek plate, its play at the throat's blind wall.
    """

    sole: Sole
    throat: Throat
    bevel_deg: float
    length: float
    width: float

    @property
    def thickness(self) -> float:
        return self.throat.iron

    @property
    def origin(self) -> Vector:
        """Where u = v = 0: the iron's upper face at the level of the sole, on the rabbet face."""
        return (self.throat.iron_x(0), 0.0, 0.0)

    @property
    def up_bed(self) -> Vector:
        """Unit vector of u."""
        bed = radians(self.throat.bed_deg)
        return (cos(bed), 0.0, sin(bed))

    @property
    def off_bed(self) -> Vector:
        """Unit normal of the iron's upper face, away from the bed, towards the toe."""
        bed = radians(self.throat.bed_deg)
        return (-sin(bed), 0.0, cos(bed))

    @property
    def bevel_way(self) -> Vector:
        """Unit vector along the ground bevel from the edge back to the lower face: at β − γ to the sole."""
        clearance = radians(self.throat.bed_deg - self.bevel_deg)
        return (cos(clearance), 0.0, sin(clearance))

    @property
    def clearance_deg(self) -> float:
        """Clearance in the centre plane, β − γ."""
        return self.throat.bed_deg - self.bevel_deg

    @property
    def stretch(self) -> float:
        return cutting.stretch(self.throat.bed_deg)

    def edge(self) -> tuple[Line | EdgeArc, ...]:
        """Return the cutting edge in (v, u): the sole stretched by 1/sin β, v from 0 to the iron's width."""
        return tuple(self._stretched(segment) for segment in self._over_iron())

    def edge_u(self, v: float) -> float:
        """Return u of the edge at v: z_sole(v) / sin β."""
        return self.sole.height(v) * self.stretch

    def profile_depth(self) -> float:
        """Return how far the ends of the edge lie behind its foremost point, along the iron."""
        return self.sole.highest * self.stretch

    def striking_end(self) -> Arc:
        """Return the rounded end in (v, u) from (w, ·) to (0, ·): a flat crown that a hammer meets square."""
        crown = min(self.width / 4, 3.0)
        low = self.length - crown
        return arc_through((self.width, low), (self.width / 2, self.length), (0.0, low))

    def _over_iron(self) -> Iterator[Segment]:
        """Yield the parts of the sole that lie over the iron, the last cut short where it ends."""
        for segment in self.sole.path:
            if segment.end[0] <= self.width + JOIN_MM:
                yield segment
            elif segment.start[0] < self.width:
                yield replace(segment, end=(self.width, self.sole.height(self.width)))

    def _stretched(self, segment: Segment) -> Line | EdgeArc:
        k = self.stretch

        def along(p: Point) -> Point:
            return (p[0], p[1] * k)

        if isinstance(segment, Line):
            return Line(along(segment.start), along(segment.end))
        radius = segment.radius
        return EdgeArc(
            along(segment.start), along(segment.end), along(segment.centre), radius, radius * k, segment.ccw
        )


def ellipse_height(across: float, along: float, v: float) -> float:
    """Return how far an ellipse has risen from its vertex at v off its axis."""
    return along * (1 - sqrt(max(1 - (v / across) ** 2, 0.0)))
