"""The wedge: driven between the iron's upper face and the front face of the throat.

Worked in the iron's side view: u runs up the bed from the level of the sole, n stands off the iron's
upper face towards the toe.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, radians, sin, tan

from cad.formulas import wedging
from cad.geometry.throat import Throat
from cad.outline import Line, Path, Point, Segment, arc_through

NOSE_MM = 1.0  # blunt end at the tip: a feather edge would crush at the first blow


@dataclass(frozen=True)
class Wedge:
    """The wedge as driven home, tip `tip_height` above the sole, head standing above the body."""

    throat: Throat
    body_height: float
    side_clearance: float
    tip_height: float
    head_height: float

    @property
    def angle_deg(self) -> float:
        return self.throat.front_deg - self.throat.bed_deg

    @property
    def width(self) -> float:
        return self.throat.depth - self.side_clearance

    @property
    def sink_per_mm(self) -> float:
        """How much further it sinks for each mm planed off one face."""
        return wedging.sink_per_shaving(self.throat.bed_deg, self.throat.front_deg)

    def thickness(self, u: float) -> float:
        """Return the wedge's thickness square to the iron at u: n of the front face there."""
        bed, gap = radians(self.throat.bed_deg), self.throat.gap
        return gap * sin(bed) + (u + gap * cos(bed)) * tan(radians(self.angle_deg))

    @property
    def tip_u(self) -> float:
        return self.tip_height / sin(radians(self.throat.bed_deg))

    @property
    def tip_thickness(self) -> float:
        return self.thickness(self.tip_u)

    @property
    def body_top_u(self) -> float:
        """u at which the iron's upper face leaves the body."""
        return self.body_height / sin(radians(self.throat.bed_deg))

    @property
    def front_exit_u(self) -> float:
        """u at which the front face leaves the body."""
        bed, gap, taper = radians(self.throat.bed_deg), self.throat.gap, tan(radians(self.angle_deg))
        level = gap * sin(bed) * cos(bed) + gap * cos(bed) ** 2 * taper
        return (self.body_height - level) / (sin(bed) + cos(bed) * taper)

    @property
    def strike_u(self) -> float:
        """u of the strike face on the iron's side."""
        return self.body_top_u + self.head_height

    @property
    def strike_length(self) -> float:
        """Length of the strike face, square to the way the wedge is driven."""
        corner = self._strike_corner()
        return hypot(self.strike_u - corner[0], corner[1])

    @property
    def nose(self) -> float:
        return min(NOSE_MM, self.tip_thickness / 3)

    @property
    def tip_shoulder(self) -> Point:
        """Where the tip's slope meets the front face, in (u, n)."""
        along, out = self.slope
        run = (self.tip_thickness - self.nose) / (out - along * tan(radians(self.angle_deg)))
        return (self.tip_u + run * along, self.nose + run * out)

    @property
    def slope(self) -> Point:
        """Which way the tip's slope runs, as a unit vector in (u, n)."""
        # Halfway between the front face and a square end: strong, and it turns the shaving to the toe.
        way = radians((90 + self.angle_deg) / 2)
        return (cos(way), sin(way))

    @property
    def front_grip(self) -> float:
        """Length along u over which the wedge bears on the front face, none where it is negative."""
        return self.front_exit_u - self.tip_shoulder[0]

    @property
    def neck(self) -> Point:
        """Where the front face ends and the head begins, in (u, n): a quarter of the way up the head."""
        return Line((self.front_exit_u, self.thickness(self.front_exit_u)), self._strike_corner()).point(0.25)

    def side_view(self) -> Path:
        """Return the outline in (u, n), counter-clockwise: iron's face, strike face, head, front face, tip.

        The head is a bead over a cove, both above the body; the cove begins a quarter of the way up the
        head so that the wedge can still be driven as it wears.
        """
        foot, corner = (self.front_exit_u, self.thickness(self.front_exit_u)), self._strike_corner()
        head = Line(foot, corner)

        def beside(share: float, out: float) -> Point:
            u, n = head.point(share)
            a = radians(head.heading_deg())
            return (u - out * sin(a), n + out * cos(a))

        neck, waist = self.neck, beside(0.5, 0)
        depth = min(0.09 * head.length, 0.2 * foot[1])
        bead, cove = beside(0.76, depth), beside(0.375, -depth)
        outline: list[Segment] = [
            Line((self.tip_u, 0.0), (self.strike_u, 0.0)),
            Line((self.strike_u, 0.0), corner),
            arc_through(corner, bead, waist),
            arc_through(waist, cove, neck),
            Line(neck, self.tip_shoulder),
            Line(self.tip_shoulder, (self.tip_u, self.nose)),
            Line((self.tip_u, self.nose), (self.tip_u, 0.0)),
        ]
        return Path(tuple(outline))

    def _strike_corner(self) -> Point:
        # The strike face stands square to the wedge's middle line, so that a blow drives it straight.
        lean, taper = tan(radians(self.angle_deg) / 2), tan(radians(self.angle_deg))
        n = self.thickness(self.strike_u) / (1 + lean * taper)
        return (self.strike_u - n * lean, n)
