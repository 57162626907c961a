"""One card for the iron: the edge to grind to, a notch of the bevel angle and a tongue of the bed angle.

In the plane of the iron, (v, u) as in cad.geometry.iron, mm: the card lies beyond the edge, below it in u.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import cos, radians, sin, tan

from cad.geometry.iron import EdgeArc, Iron
from cad.outline import Arc, Line, Point

# Sizes of the card itself: common practice, no source.
RIM_MM = 12.0  # beside the edge
ABOVE_NOTCH_MM = 12.0
BELOW_NOTCH_MM = 14.0
DROP_MM = 3.0  # from the ends of a hollow iron's edge down to the ledges beside it
PAST_BEVEL_MM = 5.0  # how much longer the notch is than the bevel
LETTERS_MM = 52.0  # width kept for the words beside the notch
TONGUE_MM = 22.0  # length along the bed
MOST_TONGUE_MM = 6.0  # its thickness
FREE_MM = 1.0  # between tongue and front face along the sole, and between card and the sole before the mouth
KEYHOLE_MM = 0.8  # radius of the relief at the bottom of a notch, so that no arris rides in it

Side = tuple[Line | Arc | EdgeArc, ...]


@dataclass(frozen=True)
class IronCard:
    """The outline of the card and where its notches are."""

    iron: Iron

    @property
    def edge(self) -> tuple[Line | EdgeArc, ...]:
        return self.iron.edge()

    @property
    def ledge(self) -> float:
        """u of the flats beside the edge: clear of the iron's corners, unless these lie the furthest back."""
        ends = (self.edge[0].start[1], self.edge[-1].end[1])
        furthest = self.iron.profile_depth()
        return min(ends) if min(ends) > furthest - 1e-9 else min(ends) - DROP_MM

    @property
    def crown(self) -> float:
        """u of the lowest of ledges and edge."""
        return min(self.ledge, 0.0)

    @property
    def notch_run(self) -> float:
        """Length of the bevel notch along its upper flank."""
        return self.iron.thickness / tan(radians(self.iron.bevel_deg)) + PAST_BEVEL_MM

    @property
    def notch_rise(self) -> float:
        return self.notch_run * tan(radians(self.iron.bevel_deg))

    @property
    def sides(self) -> tuple[float, float]:
        """v of the card's left and right side."""
        half = max(self.iron.width + 2 * RIM_MM, self.notch_run + LETTERS_MM) / 2
        return self.iron.width / 2 - half, self.iron.width / 2 + half

    @property
    def bottom(self) -> float:
        return self.crown - ABOVE_NOTCH_MM - self.notch_rise - BELOW_NOTCH_MM

    @property
    def bevel_apex(self) -> Point:
        """Where the flanks of the bevel notch meet; the upper runs level to the left side."""
        return self.sides[0] + self.notch_run, self.crown - ABOVE_NOTCH_MM

    @property
    def bed_apex(self) -> Point:
        """Where the bed's flank, on the tongue, meets the sole's flank, which runs level to the right."""
        left, right = self.sides
        return left + 0.45 * (right - left), self.bottom

    @property
    def tongue(self) -> float:
        """Thickness of the tongue: it enters the mouth beside the front face."""
        throat = self.iron.throat
        return min((throat.mouth - FREE_MM) * sin(radians(throat.bed_deg)), MOST_TONGUE_MM)

    @property
    def tongue_way(self) -> Point:
        """Unit vector along the tongue, out of the card."""
        bed = radians(self.iron.throat.bed_deg)
        return cos(bed), -sin(bed)

    def outline(self) -> Side:
        """Return the closed outline, counter-clockwise from the lower right corner, ellipses as they are."""
        (left, right), low, top = self.sides, self.bottom, self.ledge
        edge = self.edge
        over = tuple(_reversed(segment) for segment in reversed(edge))
        return (
            *_lines((right, low), (right, top), (self.iron.width, top), edge[-1].end),
            *over,
            *_lines(edge[0].start, (0.0, top), (left, top)),
            *self._bevel_side(),
            *self._bed_side(),
        )

    def _bevel_side(self) -> Side:
        left, apex = self.sides[0], self.bevel_apex
        bevel = radians(self.iron.bevel_deg)
        one = (apex[0] - KEYHOLE_MM, apex[1])
        two = (apex[0] - KEYHOLE_MM * cos(bevel), apex[1] - KEYHOLE_MM * sin(bevel))
        return (
            *_lines((left, self.ledge), (left, apex[1]), one),
            Arc(one, two, apex, ccw=False),
            *_lines(two, (left, apex[1] - self.notch_rise), (left, self.bottom + FREE_MM)),
        )

    def _bed_side(self) -> Side:
        (left, right), apex, way = self.sides, self.bed_apex, self.tongue_way
        relief = min(KEYHOLE_MM, self.tongue / 4)
        end = (apex[0] + TONGUE_MM * way[0], apex[1] + TONGUE_MM * way[1])
        # Square across the tongue, to the toe's side.
        back = (end[0] + self.tongue * way[1], end[1] - self.tongue * way[0])
        rise = (self.bottom + FREE_MM - back[1]) / way[1]
        root = (back[0] + rise * way[0], self.bottom + FREE_MM)
        one = (apex[0] + relief * way[0], apex[1] + relief * way[1])
        two = (apex[0] + relief, apex[1])
        return (
            *_lines((left, self.bottom + FREE_MM), root, back, end, one),
            Arc(one, two, apex, ccw=False),
            *_lines(two, (right, self.bottom)),
        )


def _reversed(segment: Line | EdgeArc) -> Line | EdgeArc:
    if isinstance(segment, Line):
        return segment.reversed()
    return replace(segment, start=segment.end, end=segment.start, ccw=not segment.ccw)


def _lines(*points: Point) -> tuple[Line, ...]:
    return tuple(Line(p, q) for p, q in pairwise(points) if p != q)
