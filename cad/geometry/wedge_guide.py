"""The guide in which a wedge's taper is cut: a trough whose floor leans by the wedge's angle.

Worked in the wedge's own side view (u up the iron, n off it; see `cad.geometry.wedge`), mm: the floor is the
line n = 0, on which the wedge's iron face lies, and the bearings are the line of its front face.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, cos, radians, sin, tan

from cad.geometry.wedge import Wedge
from cad.outline import Line, Path, Point, polygon

# Sizes of the guide itself: common practice, no source.
CHEEK_MM = 8.0  # width of each bearing
LAND_MM = 8.0  # length of the stops along the floor
SHORT_OF_HEAD_MM = 0.5  # how far the bearings end before the head's cove
STOP_BELOW_MM = 0.6  # how far the stop at the tip stays below the cut
HEEL_STOP_MM = 10.0  # most that the stop at the thick end is high
LEAST_FLOOR_MM = 5.0  # thickness of the guide below the floor
TALL_MM = 24.0  # least height of the guide: room for a vise's jaws beside it


@dataclass(frozen=True)
class WedgeGuide:
    """A guide for one wedge. `free` is the clearance beside it on each side."""

    wedge: Wedge
    free: float

    @property
    def angle_deg(self) -> float:
        """Angle between floor and bearings."""
        return self.wedge.angle_deg

    @property
    def started_long(self) -> float:
        """How much longer than the wedge its blank is cut: about what it sinks when 1 mm is planed off."""
        return float(ceil(self.wedge.sink_per_mm))

    @property
    def neck(self) -> Point:
        """Where the taper ends and the head's cove begins, in (u, n)."""
        return self.wedge.neck

    @property
    def back(self) -> float:
        """u of the stop at the thick end."""
        return self.wedge.strike_u + self.started_long

    @property
    def back_stop(self) -> float:
        """Height of the stop at the thick end over the floor."""
        return min(HEEL_STOP_MM, self.blank[2] / 2)

    @property
    def blank(self) -> tuple[float, float, float]:
        """Return length, width and thickness of the squared stock for the wedge."""
        thick = self.wedge.side_view().bounds()[3]
        return (self.back - self.wedge.tip_u, self.wedge.width, thick)

    @property
    def sides(self) -> tuple[float, float]:
        """Return y of the trough's two sides."""
        low = self.wedge.side_clearance / 2
        return (low - self.free, low + self.wedge.width + self.free)

    @property
    def tall(self) -> float:
        """Height of the guide square to its bearings: they lie parallel to its foot."""
        return max(self.depth(self.back + LAND_MM, 0.0) + LEAST_FLOOR_MM, TALL_MM)

    def depth(self, u: float, n: float) -> float:
        """Return how far a point lies below the bearings, square to them."""
        lean = radians(self.angle_deg)
        return (self.wedge.thickness(u) - n) * cos(lean)

    def along_bearing(self, u: float, below: float) -> Point:
        """Return the point that lies `below` the bearings, straight below their point at u, in (u, n)."""
        lean = radians(self.angle_deg)
        return (u + below * sin(lean), self.wedge.thickness(u) - below * cos(lean))

    @property
    def tip_end(self) -> float:
        """u, along the bearings, of the guide's thin end."""
        return self.wedge.tip_u - LAND_MM

    @property
    def bearing_end(self) -> float:
        """u of the end of the bearings, just short of the head."""
        return self.neck[0] - SHORT_OF_HEAD_MM

    @property
    def foot_length(self) -> float:
        """Length of the guide along its foot."""
        lean = radians(self.angle_deg)
        runs = [p[0] * cos(lean) + p[1] * sin(lean) for p in self.outline().points()]
        return max(runs) - min(runs)

    def outline(self) -> Path:
        """Return the whole guide's side view, counter-clockwise: foot, thick end, head's floor, bearings."""
        end, top = self.back + LAND_MM, self.back_stop
        drop = self._down_to_floor(self.bearing_end)
        return polygon(
            [
                self.along_bearing(self.tip_end, self.tall),
                self._down_to_foot((end, top)),
                (end, top),
                (self.back, top),
                (self.back, 0.0),
                drop,
                self.along_bearing(self.bearing_end, 0.0),
                self.along_bearing(self.tip_end, 0.0),
            ]
        )

    def trough(self) -> Path:
        """Return what is open between the bearings, from over the tip's stop to past their end."""
        over, tip = 2 * self.blank[2], self.wedge.tip_u
        stop = self.stop_top
        far = self.tip_end - LAND_MM
        return polygon(
            [
                (far, stop - (tip - far) * tan(radians(self.angle_deg))),
                (tip, stop),
                (tip, 0.0),
                (self._down_to_floor(self.bearing_end)[0] + 1, 0.0),
                (self._down_to_floor(self.bearing_end)[0] + 1, over),
                (far, over),
            ]
        )

    @property
    def stop_top(self) -> float:
        """n of the upper edge of the stop at the tip; its top slopes as the bearings do."""
        return self.wedge.tip_thickness - STOP_BELOW_MM / cos(radians(self.angle_deg))

    def head(self) -> Path:
        """Return the outline of the wedge's head alone, closed across the neck, in (u, n)."""
        iron, *rest = self.wedge.side_view().segments
        start = (self.neck[0], 0.0)
        return Path((Line(start, iron.end), *rest[:3], Line(self.neck, start)))

    def _down_to_floor(self, u: float) -> Point:
        """Return where the line straight down from the bearings at u meets the floor."""
        below = self.wedge.thickness(u) / cos(radians(self.angle_deg))
        return self.along_bearing(u, below)

    def _down_to_foot(self, p: Point) -> Point:
        """Return the point of the foot straight below a point, square to it."""
        lean, more = radians(self.angle_deg), self.tall - self.depth(*p)
        return (p[0] + more * sin(lean), p[1] - more * cos(lean))
