"""The section of a cradle's saddle: the sole's own curve between two cheeks, on a flat foot.

All in the (y, z) plane of the work, right hand, mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import sqrt

from cad.geometry.section import Section
from cad.outline import Arc, Line, Path, Point, Segment, polygon

# Sizes of the saddle itself: common practice, no source.
FOOT_MM = 24.0  # below the lowest point of the sole: a vise finds enough of the cheeks to grip
PROUD_MM = 1.0  # how far the cheeks stand out beyond the body, so that jaws close on them alone
DROP_MM = 2.0  # how far the rims lie below the edges of the sole
EDGE_SHARE = 1 / 16  # of the width of the sole, that does not bear beside each of its edges
EDGE_MOST_MM = 2.0
STOP_MM = 12.0  # how far the stop reaches up the end of the body


@dataclass(frozen=True)
class CradleSection:
    """A saddle for one body. `free` is the least the printer must leave where nothing should touch, mm.

    Beside each edge of the sole a strip does not bear, and beyond it the rim falls away: the crisp edge
    stands free, and so do rabbet face, reliefs and the cheek plate that is glued on later.
    """

    body: Section
    free: float

    @property
    def edge(self) -> float:
        """Width across, beside each edge of the sole, that does not bear."""
        return max(self.free, min(EDGE_SHARE * self.body.sole.width, EDGE_MOST_MM))

    @property
    def borne(self) -> float:
        """Width of sole that bears; nothing is left of it when negative."""
        return self.body.sole.width - 2 * self.edge

    @cached_property
    def bearing(self) -> Path:
        """The sole as far as it bears, from the plate's side to the blind side. Needs `borne` > 0."""
        return Path(tuple(_between(self.body, self.edge, self.body.sole.width - self.edge)))

    @property
    def foot(self) -> float:
        """Height of the foot."""
        return -FOOT_MM

    @property
    def stop_top(self) -> float:
        """Height to which the stop bears on the end of the body."""
        return self.body.sole.highest + STOP_MM

    @property
    def sides(self) -> tuple[float, float]:
        """Return y of the two cheeks, as far from the sole on one side as on the other."""
        out = max(self.body.plate, self.body.blind_wall, DROP_MM + PROUD_MM) + PROUD_MM
        return (-out, self.body.sole.width + out)

    @property
    def rims(self) -> tuple[float, float]:
        """Return the heights of the two rims, from which the cheeks go down."""
        return (self._plate_rim[-1][1], self._blind_rim[-1][1])

    @property
    def off_flanks(self) -> float:
        """The least that a saddle stands off rabbet face and relief: a slope of 45° begins `edge` inside."""
        return self.edge / sqrt(2)

    @property
    def slopes(self) -> tuple[Line, Line]:
        """The first faces beyond the bearing, at the plate's side and at the blind side, outwards."""
        return (Line(*self._plate_rim), Line(*self._blind_rim))

    @cached_property
    def void(self) -> Path:
        """Return the outline of what is open above rims and bearing, counter-clockwise, to over the stop."""
        (low, high), over = self.sides, self.stop_top + PROUD_MM
        beyond = PROUD_MM
        left = [*self._plate_rim, (low - beyond, self.rims[0]), (low - beyond, over)]
        right = [*self._blind_rim, (high + beyond, self.rims[1]), (high + beyond, over)]
        return Path((*self.bearing, *_lines(right), Line(right[-1], left[-1]), *_lines(left[::-1])))

    @cached_property
    def block(self) -> Path:
        """Return the outline of foot, cheeks and stop."""
        low, high = self.sides
        return polygon([(low, self.foot), (high, self.foot), (high, self.stop_top), (low, self.stop_top)])

    @cached_property
    def outline(self) -> Path:
        """Return the section under the sole, without its stop, closed and counter-clockwise."""
        (low, high), top = self.sides, self.bearing.reversed()
        left = [*self._plate_rim, (low, self.rims[0]), (low, self.foot)]
        right = [(high, self.foot), (high, self.rims[1]), *self._blind_rim[::-1]]
        return Path((*top, *_lines(left), Line(left[-1], right[0]), *_lines(right)))

    @property
    def is_symmetrical(self) -> bool:
        """Whether one saddle serves both ends: turned about, it is its own other end."""
        return self.body.sole.is_symmetrical

    @cached_property
    def _plate_rim(self) -> list[Point]:
        rises = self.bearing.segments[0].heading_deg(0.0) < 0
        return _rim(self.bearing.start, -1, rises, self.body.sole.plate_edge)

    @cached_property
    def _blind_rim(self) -> list[Point]:
        rises = self.bearing.segments[-1].heading_deg(1.0) > 0
        return _rim(self.bearing.end, 1, rises, self.body.sole.blind_edge)


def _rim(end: Point, way: int, rises: bool, edge: float) -> list[Point]:
    """Return the corners from the end of the bearing to the level of the rim, `way` outwards."""
    y, z = end
    if rises:
        # Outwards and down, so that a trough's rim is a ridge and never a feather.
        return [end, (y + way * DROP_MM, z - DROP_MM)]
    return [end, (y, min(edge, z) - DROP_MM)]


def _between(body: Section, low: float, high: float) -> list[Segment]:
    """Return the parts of the sole between two widths."""
    found: list[Segment] = []
    for segment in body.sole.path:
        (start, _), (end, _) = segment.start, segment.end
        if end <= low or start >= high:
            continue
        first = segment.start if start >= low else (low, body.sole.height(low))
        last = segment.end if end <= high else (high, body.sole.height(high))
        found.append(
            Line(first, last) if isinstance(segment, Line) else Arc(first, last, segment.centre, segment.ccw)
        )
    return found


def _lines(corners: list[Point]) -> list[Segment]:
    return [Line(p, q) for p, q in pairwise(corners)]
