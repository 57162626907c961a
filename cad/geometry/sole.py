"""The sole as a curve across the plane: y from the rabbet face, z up from its lowest point."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, sqrt

from cad.outline import Arc, Line, Path, Segment, distance

ALIKE_MM = 1e-6  # two curves nearer than this everywhere are one
PLUMB_MM = 1e-9  # a member that runs no further across than this is a plumb wall


@dataclass(frozen=True)
class Sole:
    """The working profile, a path from (0, z) on the rabbet face to (w, z) on the blind side, in mm."""

    form: str
    path: Path
    relief_deg: float
    names: tuple[str, ...]  # of the path's members, in their order
    spring_deg: float = 0.0  # by which the path is leaned; see cad.soles.spring

    @property
    def width(self) -> float:
        return self.path.end[0]

    def centre(self, z: float) -> float:
        """Return y at a height of the line over the middle of the profile that stands plumb at work.

        It leans by the spring: makers scribe it on both ends, and hold the plane by it.
        """
        c, s = cos(radians(self.spring_deg)), sin(radians(self.spring_deg))
        across = [y * c - up * s for y, up in (self.path.start, *(segment.end for segment in self.path))]
        return ((min(across) + max(across)) / 2 + z * s) / c

    @property
    def plate_edge(self) -> float:
        """Height of the sole where it meets the rabbet face."""
        return self.path.start[1]

    @property
    def blind_edge(self) -> float:
        """Height of the sole where it meets the relief of the blind side."""
        return self.path.end[1]

    @property
    def highest(self) -> float:
        return self.path.bounds()[3]

    def height(self, y: float) -> float:
        """Return z of the sole at y, at a plumb wall that of its lower y. Raises ValueError outside 0 … w."""
        segment = self.over(y)
        if isinstance(segment, Line):
            share = (y - segment.start[0]) / (segment.end[0] - segment.start[0])
            return segment.point(share)[1]
        rise = sqrt(max(segment.radius**2 - (y - segment.centre[0]) ** 2, 0.0))
        # Travelling towards +y, a counter-clockwise arc hangs below its centre, a clockwise one stands above.
        return segment.centre[1] + (-rise if segment.ccw else rise)

    def turned_deg(self, y: float) -> float:
        """Return how far the sole has turned from level at y: θ, 0 to 90 degrees."""
        segment = self.over(y)
        if isinstance(segment, Line):
            heading = segment.heading_deg()
        else:
            middle = (y, self.height(y))
            heading = Arc(middle, segment.end, segment.centre, segment.ccw).heading_deg()
        turned = abs(heading) % 180
        return min(turned, 180 - turned)

    @property
    def steepest_deg(self) -> float:
        """The most that the sole turns from level anywhere."""
        headings = (segment.heading_deg(share) for segment in self.path for share in (0.0, 1.0))
        turned = [abs(heading) % 180 for heading in headings]
        return max(min(turn, 180 - turn) for turn in turned)

    @property
    def radius(self) -> float | None:
        """The radius of a sole that is one arc, else None."""
        first, *others = self.path
        return first.radius if isinstance(first, Arc) and not others else None

    @property
    def is_upright_arc(self) -> bool:
        """Whether the sole is one arc that stands upright, so that width and radius say all about it."""
        return self.radius is not None and self.is_symmetrical

    @property
    def is_symmetrical(self) -> bool:
        """Whether the sole is its own mirror image, so that what fits it fits either way round."""
        flipped = self.path.mirrored().moved(self.path.end[0] + self.path.start[0], 0)
        shares = [i / 8 for i in range(9)]
        return all(
            distance(one.point(share), two.point(share)) < ALIKE_MM
            for one, two in zip(self.path, flipped, strict=True)
            for share in shares
        )

    def over(self, y: float) -> Segment:
        """Return the member over y, at a plumb wall the one before it. Raises ValueError outside 0 … w."""
        for segment in self.path:
            first, last = segment.start[0], segment.end[0]
            if last - first > PLUMB_MM and first - 1e-9 <= y <= last + 1e-9:  # a plumb wall has no one height
                return segment
        raise ValueError(f"y = {y:g} is not on the sole, which runs from 0 to {self.width:g}")
