"""The y–z section of body and plate at each stage of the making."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from cad.formulas.throat import relief_rise_mm
from cad.geometry.sole import Sole
from cad.outline import Line, Path, Point, Segment, polygon


@dataclass(frozen=True)
class Section:
    """The body's outline across, and the plate's. All heights above the lowest point of the sole, mm."""

    sole: Sole
    height: float  # H
    thickness: float  # T
    plate: float  # tp, also the depth of the rabbet
    shoulder: float  # hs

    @property
    def blind_face(self) -> float:
        """y of the blind face."""
        return self.thickness - self.plate

    @property
    def blind_wall(self) -> float:
        """Wood left between the throat and the blind face."""
        return self.blind_face - self.sole.width

    @property
    def blind_relief_top(self) -> float:
        """Height at which the relief meets the blind face."""
        return self.sole.blind_edge + relief_rise_mm(self.blind_wall, self.sole.relief_deg)

    @property
    def plate_relief_top(self) -> float:
        """Height at which the relief under the plate meets the plate's outer face."""
        return self.sole.plate_edge + relief_rise_mm(self.plate, self.sole.relief_deg)

    def blank(self) -> Path:
        """Return the squared stock."""
        return polygon([(-self.plate, 0), (self.blind_face, 0), *self._top(), (-self.plate, self.height)])

    def rabbeted(self) -> Path:
        """Return the stock with the rabbet for the plate cut (or left, when laminated)."""
        return polygon([(0, 0), (self.blind_face, 0), *self._top(), *self._rail()])

    def shaped(self) -> Path:
        """Return the body with its sole rounded or hollowed and its blind side relieved."""
        up = [self.sole.path.end, (self.blind_face, self.blind_relief_top), *self._top(), *self._rail()]
        corners = [*up, self.sole.path.start]
        lines: list[Segment] = [Line(p, q) for p, q in itertools.pairwise(corners) if p != q]
        return Path((*self.sole.path.segments, *lines))

    def cheek(self) -> Path:
        """Return the plate: glued at y = 0, its lower edge relieved like the blind side."""
        return polygon(
            [
                (0, self.sole.plate_edge),
                (0, self.shoulder),
                (-self.plate, self.shoulder),
                (-self.plate, self.plate_relief_top),
            ]
        )

    def _top(self) -> list[Point]:
        return [(self.blind_face, self.height)]

    def _rail(self) -> list[Point]:
        return [(-self.plate, self.height), (-self.plate, self.shoulder), (0, self.shoulder)]
