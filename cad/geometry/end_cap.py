"""The cap that slips on an end of the blank: a plate with the finished outline for its edge, and two skirts.

All in the (y, z) plane of the work, right hand, mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import cos, radians, sin, tan

from cad.geometry.gauge import single_arc
from cad.geometry.section import Section
from cad.outline import Arc, Line, Path, Point, Segment, polygon

# Sizes of the cap itself: common practice, no source.
PLATE_MM = 3.0  # thickness of the plate: stiff, and thin enough for a knife to follow its edge
SKIRT_MM = 4.0  # thickness of the skirts
REACH_MM = 30.0  # how far the skirts reach along the blank
CLEAR_OF_EDGE_MM = 4.0  # from the sole's edge up to the skirt, for the knife to run out
SLOT_MM = 1.6  # wide enough for a knife or a sharp pencil
LEAST_SLOT_MM = 8.0
PRICK_MM = 1.8  # diameter of the hole for an awl
MARGIN_MM = 4.0  # left round holes and slots


@dataclass(frozen=True)
class EndCap:
    """The cap of one section; `free` is the clearance of a print beside wood."""

    section: Section
    free: float

    @property
    def seat(self) -> tuple[float, float]:
        """z of the skirt on the rabbet face: clear of the sole's edge below and of the shoulder above."""
        return self.section.sole.plate_edge + CLEAR_OF_EDGE_MM, self.section.shoulder - self.free

    @property
    def top(self) -> float:
        return self.section.height + SKIRT_MM

    def outline(self) -> Path:
        """Return the plate, counter-clockwise: below, the finished body's own sole and relief."""
        section, sole = self.section, self.section.sole
        low = self.seat[0]
        corners = [
            sole.path.end,
            (section.blind_face, section.blind_relief_top),
            (section.blind_face, self.top),
            (-SKIRT_MM, self.top),
            (-SKIRT_MM, low),
            (0.0, low),
            sole.path.start,
        ]
        lines: list[Segment] = [Line(p, q) for p, q in pairwise(corners) if p != q]
        return Path((*sole.path.segments, *lines))

    def holes(self) -> tuple[Path, ...]:
        """Return the holes of the plate: the slot of the centre line and, where it falls in, the prick."""
        return tuple(hole for hole in (self.slot(), self.prick_hole()) if hole is not None)

    def slot(self) -> Path | None:
        """Return the slot whose edge towards the rabbet face is the sole's centre line; None without room.

        It leans by the spring of the sole, and is then the spring line.
        """
        (low, high), wide = self.slot_span, self.slot_width
        if high - low < LEAST_SLOT_MM:
            return None
        foot, head = self.section.sole.centre(low), self.section.sole.centre(high)
        return polygon([(foot, low), (foot + wide, low), (head + wide, high), (head, high)])

    @property
    def slot_width(self) -> float:
        """Width of the slot along y."""
        return SLOT_MM / cos(radians(self.section.sole.spring_deg))

    @property
    def slot_span(self) -> tuple[float, float]:
        """z of the slot's ends: the longer of the stretches that the prick leaves."""
        sole, high = self.section.sole, self.section.height - MARGIN_MM
        low = (sole.highest if sole.spring_deg else sole.height(sole.width / 2)) + MARGIN_MM
        if sole.spring_deg:
            # Where the leaning slot would come too near the side that it leans to.
            side = self.section.blind_face - self.slot_width if sole.spring_deg > 0 else 0.0
            lean = tan(radians(sole.spring_deg))
            high = min(
                high, (side - sole.centre(0.0)) / lean - MARGIN_MM / abs(sin(radians(sole.spring_deg)))
            )
        centre = self.prick
        if centre is None:
            return low, high
        stretches = (centre[1] + MARGIN_MM, high), (low, centre[1] - MARGIN_MM)
        return max(stretches, key=lambda stretch: stretch[1] - stretch[0])

    @property
    def prick(self) -> Point | None:
        """The centre of the sole's arc, where it lies well within the plate."""
        arc = single_arc(self.section.sole)
        if arc is None:
            return None
        crown = self.section.sole.height(self.section.sole.width / 2)
        inside = crown + MARGIN_MM <= arc.centre[1] <= self.section.height - MARGIN_MM
        return arc.centre if inside else None

    def prick_hole(self) -> Path | None:
        """Return the round hole for an awl at the arc's centre, or None."""
        if self.prick is None:
            return None
        start = (self.prick[0] + PRICK_MM / 2, self.prick[1])
        return Path((Arc(start, start, self.prick, ccw=True),))
