"""The sole between its flanks: the profile as a sanding block sees it, its reliefs on either side."""

from __future__ import annotations

from math import radians, tan

from cad.errors import OffsetError
from cad.outline import Line, Path
from cad.parallel import parallel
from cad.soles.sound import LEAST_MM

FLANK_MM = 10.0


def flanked(path: Path, relief_deg: float, plate_rise: float, blind_rise: float) -> Path:
    """Return a sole's path with a flank at the relief angle on both sides, each rising so many mm."""
    lean = tan(radians(relief_deg))
    (y0, z0), (y1, z1) = path.start, path.end
    plate = Line((y0 - plate_rise * lean, z0 + plate_rise), (y0, z0))
    blind = Line((y1, z1), (y1 + blind_rise * lean, z1 + blind_rise))
    return Path((plate, *path.segments, blind))


def has_parallel(path: Path, relief_deg: float, by: float) -> bool:
    """Return whether a sole between its flanks has a parallel so many mm below it that does not fold over."""
    if any(segment.length < LEAST_MM for segment in path):
        return False
    try:
        parallel(flanked(path, relief_deg, FLANK_MM, FLANK_MM), by)
    except OffsetError:
        return False
    return True
