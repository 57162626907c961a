"""How a wedge and an iron made to one plan sit in a throat that is cut otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import cos, inf, radians, sin, tan

from cad.geometry.sole import Sole
from cad.geometry.wedge import Wedge


@dataclass(frozen=True)
class Seat:
    """Where a wedge comes to rest.

    `sink` is how much further down the bed it goes than in its own throat, negative when it stays higher.
    `stand_off` is the light between it and the front face, square to that face, at the end that does not
    touch: positive when that is the head end, at the body's top, negative when it is the tip.
    """

    sink: float
    stand_off: float


@dataclass(frozen=True)
class Flank:
    """The face of a wedge that lies on the throat's front, as it was made; (u, n) as in cad.geometry.wedge.

    Its lower end is where the slope of the tip begins, its upper lies above the body.
    """

    wedge: Wedge

    @cached_property
    def tip(self) -> tuple[float, float]:
        return self.wedge.tip_shoulder

    @cached_property
    def taper(self) -> float:
        return tan(radians(self.wedge.angle_deg))

    @cached_property
    def foot(self) -> float:
        """n of the flank's line at u = 0."""
        return self.wedge.thickness(0.0)

    def seat(self, throat: Wedge) -> Seat:
        """Return where this wedge rests in the throat of another, lying flat on that one's iron.

        It goes down until the flank's lower end meets the front face, or the upper corner of the front face
        meets the flank, whichever comes first.
        """
        tip_u, tip_n = self.tip
        exit_u = throat.front_exit_u
        exit_n = throat.thickness(exit_u)
        angle = radians(throat.angle_deg)
        at_tip = tip_u - (tip_n - throat.thickness(0.0)) / tan(angle) if angle > 0 else inf
        at_exit = (exit_n - self.foot) / self.taper - exit_u
        if at_tip <= at_exit:
            over = exit_n - (self.foot + (exit_u + at_tip) * self.taper)
            return Seat(at_tip, over * cos(radians(self.wedge.angle_deg)))
        under = throat.thickness(tip_u - at_exit) - tip_n
        return Seat(at_exit, -under * cos(angle))


@dataclass(frozen=True)
class GroundEdge:
    """An edge ground to a sole for one bed, to be seen over that sole, or the one found, from another bed."""

    sole: Sole
    bed_deg: float
    found: Sole | None = None

    def off_sole(self, bed_deg: float, shift: float = 0.0) -> tuple[float, float]:
        """Return how far the edge stands off the sole at its ends, square to it: rabbet side, blind side.

        The iron lies at `bed_deg`, flush in the middle of the sole, and `shift` mm further from the rabbet
        face than it was ground for. Positive is shy, negative proud of the sole. Seen along x the edge is the
        sole stretched by sin(bed) / sin(bed ground for); a shift counts by the sole's slope.
        """
        stretch = sin(radians(bed_deg)) / sin(radians(self.bed_deg))
        left, right = (
            (rise * stretch - end.rise) * end.level - shift * end.slope
            for rise, end in zip(self._rises, self._ends, strict=True)
        )
        return left, right

    @cached_property
    def _rises(self) -> tuple[float, float]:
        left, right = _ends(self.sole)
        return left.rise, right.rise

    @cached_property
    def _ends(self) -> tuple[SoleEnd, SoleEnd]:
        return _ends(self.found or self.sole)


@dataclass(frozen=True)
class SoleEnd:
    """An end of a sole: its height over the middle, and cosine and signed sine of its turn."""

    rise: float
    level: float
    slope: float


def _ends(sole: Sole) -> tuple[SoleEnd, SoleEnd]:
    """Return the ends of a sole, that on the rabbet side first."""
    middle = sole.height(sole.width / 2)
    first, last = sole.path.segments[0], sole.path.segments[-1]
    left, right = radians(first.heading_deg(0.0)), radians(last.heading_deg(1.0))
    return (
        SoleEnd(sole.plate_edge - middle, cos(left), sin(left)),
        SoleEnd(sole.blind_edge - middle, cos(right), sin(right)),
    )
