"""A gauge that is the sole's own profile from below: for soles that are more than one arc.

In the (y, z) plane of the work, right hand, mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from cad.geometry.gauge import GRIP_MM, LEAST_HALF_MM, RIM_MM
from cad.geometry.sole import Sole
from cad.outline import Line, Path, Segment


@dataclass(frozen=True)
class ProfileGauge:
    """The gauge where it lies under the sole, touching all of it; beside the sole it runs on level."""

    sole: Sole

    @property
    def middle(self) -> float:
        return self.sole.width / 2

    @property
    def side(self) -> float:
        """Half the width of the whole gauge."""
        return max(self.middle + RIM_MM, LEAST_HALF_MM)

    @property
    def bottom(self) -> float:
        return -GRIP_MM

    def edge(self) -> tuple[Segment, ...]:
        """Return ledge, profile and ledge from the plate's side to the blind side."""
        start, end = self.sole.path.start, self.sole.path.end
        return (
            Line((self.middle - self.side, start[1]), start),
            *self.sole.path,
            Line(end, (self.middle + self.side, end[1])),
        )

    def outline(self) -> Path:
        """Return the closed outline of the gauge with its grip, counter-clockwise."""
        edge = self.edge()
        left, right = edge[0].start, edge[-1].end
        down = [left, (left[0], self.bottom), (right[0], self.bottom), right]
        lines = tuple(Line(p, q) for p, q in pairwise(down))
        return Path((*lines, *(segment.reversed() for segment in reversed(edge))))
