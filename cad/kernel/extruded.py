"""A piece of one section along x, read off its solid: what a block of wood is cut to by passes along it."""

from __future__ import annotations

from dataclasses import dataclass

from cadquery import Face, Location, Plane, Solid

from cad.errors import KernelError
from cad.kernel.measure import extent, is_plane
from cad.kernel.planform import face_path
from cad.outline import Path

SQUARE = 1e-9  # how far the x of a unit normal may be off 1
LEVEL_MM = 1e-6
_ACROSS = Location(Plane((0, 0, 0), (0, 1, 0), (1, 0, 0))).inverse  # carries (y, z) of the work to (x, y)


@dataclass(frozen=True)
class Extruded:
    """The section of a piece in (y, z), counter-clockwise, and where it begins and ends along x, mm.

    `plate_mm` is the thickness of what the piece has besides at one end, in another outline; 0 for none.
    """

    name: str
    section: Path
    low: float
    high: float
    plate_mm: float = 0.0

    @property
    def length(self) -> float:
        return self.high - self.low


def extruded(solid: Solid, bed_normal_x: float, name: str) -> Extruded:
    """Return the section of a piece that stands on one end, whose outward normal has this x (1 or -1).

    The section is that of the opposite end. It runs to the next face that looks the same way, or else to the
    end on which the piece stands. Raises KernelError when there is no such end.
    """
    ahead = [face for face in solid.Faces() if is_plane(face) and _looks(face, -bed_normal_x)]
    behind = [face for face in solid.Faces() if is_plane(face) and _looks(face, bed_normal_x)]
    if not ahead or not behind:
        raise KernelError(name, "end", "the piece has no two ends square to its length")
    top = max(-bed_normal_x * _x(face) for face in ahead)
    stand = min(-bed_normal_x * _x(face) for face in behind)
    # The largest: a letter cut into the end may stand round an island of it.
    end = max((face for face in ahead if -bed_normal_x * _x(face) > top - LEVEL_MM), key=Face.Area)
    section, _ = face_path(end.moved(_ACROSS).wrapped, name)
    # What stands up behind the section ends it; floors of letters and of holes within it do not.
    above = section.bounds()[3] + LEVEL_MM
    start = max((-bed_normal_x * _x(face) for face in ahead if extent(face)[1][2] > above), default=stand)
    low, high = sorted((-bed_normal_x * start, -bed_normal_x * top))
    return Extruded(name, section, low, high, start - stand)


def _looks(face: Face, way: float) -> bool:
    return abs(float(face.normalAt().x) - way) < SQUARE


def _x(face: Face) -> float:
    return float(face.Center().x)
