"""The cheek plate's escapement: the opening beside the throat by which shavings leave."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin

from cad.formulas.throat import cot
from cad.geometry.section import Section
from cad.geometry.wedge import Wedge
from cad.outline import Arc, Line, Path, Point

BRIDGE_MM = 6.0  # least wood left in the plate between the escapement and the shoulder


@dataclass(frozen=True)
class Escapement:
    """A round-headed notch between the iron's upper face and a toe edge that leans less than the front.

    The iron stays covered; the notch widens upwards to the toe and ends in a round eye by the wedge's tip.
    """

    wedge: Wedge
    section: Section

    @property
    def toe_edge_deg(self) -> float:
        """Lean of the toe edge: halfway between the front face and plumb."""
        return (self.wedge.throat.front_deg + 90) / 2

    @property
    def top(self) -> float:
        """Height of the eye: beside the slope of the wedge's tip, under the shoulder."""
        bed = radians(self.wedge.throat.bed_deg)
        u, n = self.wedge.tip_shoulder
        slope_top = u * sin(bed) + n * cos(bed)
        return min((self.wedge.tip_height + slope_top) / 2, self.section.shoulder - BRIDGE_MM)

    def side_view(self) -> Path:
        """Return the notch's outline in (x, z), counter-clockwise, open below the plate's lower edge."""
        throat = self.wedge.throat
        bed, toe = throat.bed_deg, self.toe_edge_deg
        gap = max(throat.gap, 0.5)
        # The two straight edges meet in a point below the sole; the eye is the circle between them.
        meet_z = -gap / (cot(bed) - cot(toe))
        meet = (throat.mouth_at + meet_z * cot(toe), meet_z)
        middle, half = radians((bed + toe) / 2), radians((toe - bed) / 2)
        reach = (self.top - meet_z) / (sin(middle) + sin(half))
        centre = (meet[0] + reach * cos(middle), meet[1] + reach * sin(middle))

        def on(edge_deg: float, run: float) -> Point:
            return (meet[0] + run * cos(radians(edge_deg)), meet[1] + run * sin(radians(edge_deg)))

        low = meet_z / 2
        run = reach * cos(half)
        heel_low, toe_low = (
            on(bed, (low - meet_z) / sin(radians(bed))),
            on(toe, (low - meet_z) / sin(radians(toe))),
        )
        heel_high, toe_high = on(bed, run), on(toe, run)
        return Path(
            (
                Line(toe_low, heel_low),
                Line(heel_low, heel_high),
                Arc(heel_high, toe_high, centre, ccw=True),
                Line(toe_high, toe_low),
            )
        )
