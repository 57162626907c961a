"""The caul that presses the cheek plate while the glue sets, and the corners that keep the plate in place.

All in the work's frame, right hand, mm: the plate's outer face is at y = -tp, the clamps push towards +y.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import ceil, radians, tan

from cad.formulas.throat import relief_rise_mm
from cad.geometry.cheek import Escapement
from cad.geometry.section import Section
from cad.outline import Arc, Line, Path, Point

# Sizes of the fixture itself: common practice, no source.
SQUEEZE_MM = 2.5  # strip below the shoulder that is not pressed: the glue line stays open there
RELIEF_MM = 1.5  # depth of the rebate over the rail, deep enough for a plate planed a little thin
APART_MM = 3.0  # between the edges of the escapement and the caul
LEG_MM = 12.0  # length along the plane of what stands before the ends
ON_END_MM = 6.0  # how far a leg reaches over the end of the body, and bears on it
LIP_LENGTH_MM = 30.0
LIP_MOST_MM = 4.0  # how far a lip reaches in under the plate
LIP_TALL_MM = 30.0  # most that it is high
LIP_FOOT_MM = 4.0  # of it below its bearing
GLUE_LINE_MM = 2.0  # that a lip stays off the glue line
LEAST_LIP_MM = 0.5  # least that a lip bears across
BETWEEN_CLAMPS_MM = 90.0
PAD_MM = 16.0
OFF_EDGE_MM = 3.0  # between the line of the clamps and the edge of what they press on


@dataclass(frozen=True)
class Caul:
    """Caul, counter-caul and corners for one glued blank whose ends stand at x = `toe` and `heel`.

    `thinnest` is the thinnest wall that prints, `inside` the least radius that the router's cutter leaves.
    """

    section: Section
    escapement: Escapement
    toe: float
    heel: float
    thinnest: float
    inside: float

    @property
    def pressed(self) -> tuple[float, float]:
        """Heights between which the caul presses the plate: from its relief to the strip at the shoulder."""
        return (self.section.plate_relief_top, self.section.shoulder - SQUEEZE_MM)

    @property
    def backed(self) -> tuple[float, float]:
        """Heights between which the counter-caul bears on the blind face."""
        return (self.section.blind_relief_top + 0.5, self.section.height)

    @property
    def clamp_height(self) -> float:
        """z of the line of the clamps: the middle of the plate, or as near to it as the blind face backs."""
        return max(sum(self.pressed) / 2, self.backed[0] + OFF_EDGE_MM)

    @property
    def presses_evenly(self) -> bool:
        """Whether the clamps press within the middle third of the plate.

        There the pressure reaches from edge to edge: the core of a rectangle (textbook).
        """
        low, high = self.pressed
        return low < high and self.clamp_height <= (low + high) / 2 + (high - low) / 6

    @property
    def lip(self) -> tuple[float, float]:
        """Return between which depths in from the plate's outer face a lip bears on its lower edge."""
        deep = min(
            self.section.plate - GLUE_LINE_MM,
            LIP_MOST_MM,
            LIP_TALL_MM * tan(radians(self.section.sole.relief_deg)),
        )
        return (self.thinnest, deep)

    @property
    def lip_bears(self) -> bool:
        first, last = self.lip
        return last - first >= LEAST_LIP_MM

    def relief_z(self, depth: float) -> float:
        """Return the height of the plate's relieved edge at a depth in from its outer face."""
        return self.section.plate_relief_top - relief_rise_mm(depth, self.section.sole.relief_deg)

    @property
    def bottom(self) -> float:
        """z of the lower edge of caul and corners."""
        return self.relief_z(self.lip[1]) - LIP_FOOT_MM

    @property
    def leg_top(self) -> float:
        return self.pressed[1] - 1

    @property
    def back_bottom(self) -> float:
        """z of the lower edge of the counter-caul: under the clamps' pads, and below what it bears on."""
        return min(self.clamp_height - PAD_MM / 2, self.backed[0]) - OFF_EDGE_MM

    @cached_property
    def notch(self) -> Path:
        """Return the opening round the escapement in (x, z), from below the caul, counter-clockwise."""
        _, heel_side, eye, toe_side = self.escapement.side_view().segments
        apart = self.apart
        right, over, left = heel_side.offset(apart), eye.offset(apart), toe_side.offset(apart)
        low = min(self.bottom, over.start[1], over.end[1]) - 1
        from_right, to_left = _at_height(right.start, right.end, low), _at_height(left.start, left.end, low)
        return Path(
            (
                Line(to_left, from_right),
                Line(from_right, over.start),
                over,
                Line(over.end, to_left),
            )
        )

    @property
    def apart(self) -> float:
        """Distance between escapement and caul, as much as lets the cutter round the eye."""
        eyes = [segment.radius for segment in self.escapement.side_view() if isinstance(segment, Arc)]
        return max(APART_MM, self.inside - min(eyes))

    @property
    def parts(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return (from, to) along x of the plate before and behind the notch."""
        left, _, right, _ = self.notch.bounds()
        return ((self.toe, left), (right, self.heel))

    @property
    def lip_length(self) -> float:
        """Length of the lips along the plate; what the notch leaves."""
        return min(LIP_LENGTH_MM, *(end - start - 2 for start, end in self.parts))

    @property
    def clamps(self) -> tuple[float, ...]:
        """Return x of the clamps, evenly along either part of the plate."""
        return tuple(x for part in self.parts for x in _spread(*part))


def _spread(start: float, end: float) -> list[float]:
    count = ceil((end - start) / BETWEEN_CLAMPS_MM)
    return [start + (end - start) * (i + 0.5) / count for i in range(count)]


def _at_height(p: Point, q: Point, z: float) -> Point:
    """Return the point at a height on the line through two points."""
    share = (z - p[1]) / (q[1] - p[1])
    return (p[0] + (q[0] - p[0]) * share, z)
