"""Where the axis of a cutter may go beside the outlines of a plate: offset lines and arcs, or regions.

Outlines of lines and arcs stay lines and arcs (`cad.parallel`). Where that closed form folds over
itself, and for the rings that clear a floor, shapely takes over with chords of CHORD_MM.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import MultiPolygon, Polygon
from shapely import Point as Spot
from shapely.geometry.base import BaseGeometry

from cad.errors import OffsetError
from cad.outline import Path, Point, polygon
from cad.parallel import parallel
from cad.routing.model import CannotCutError, Cutter, Spared

CHORD_MM = 0.003  # how far the chords of a curve may stand off it
ARC_STEPS = 32  # chords in the quarter circle that shapely turns about a corner
KEEP_OFF_MM = 0.005  # how far off its line a path of chords is kept, so that none of them cuts into the piece
SLIVER_MM2 = 0.02  # areas smaller than this are the dust of chords
ROUNDED = "a corner left round"
CORNER_SHARE = 0.6  # largest area of such a corner over the square of the radius; a square one takes 0.21
UNREACHED_MM = 0.05  # how far the cutter may stay away from a line that it should cut


def region(path: Path, holes: Sequence[Path] = ()) -> Polygon:
    """Return the area within an outline and outside its holes, its curves as chords."""
    return Polygon(path.points(CHORD_MM), [hole.points(CHORD_MM) for hole in holes])


def grown(area: BaseGeometry, by: float) -> BaseGeometry:
    """Return an area grown by so many mm, shrunk when negative."""
    return area.buffer(by, quad_segs=ARC_STEPS)


def polygons(area: BaseGeometry) -> Iterator[Polygon]:
    """Yield the pieces of an area that are worth cutting."""
    parts = area.geoms if isinstance(area, MultiPolygon) else [area]
    for part in parts:
        if isinstance(part, Polygon) and part.area > SLIVER_MM2:
            yield part


@dataclass(frozen=True)
class Way:
    """Where the axis of a cutter goes along an outline, and the small corners that it leaves rounded."""

    path: Path
    corners: tuple[Spared, ...]


def outside(path: Path, cutter: Cutter) -> Way:
    """Return the way counter-clockwise round a plate. Raises CannotCutError where there is none."""
    area = region(path)
    around = grown(area, cutter.radius)
    corners = unreached(grown(around, -cutter.radius).difference(area), cutter, "a notch of the outline")
    try:
        return Way(parallel(path, cutter.radius).path, corners)
    except OffsetError:
        return Way(ring_path(grown(area, cutter.radius + KEEP_OFF_MM).exterior.coords), corners)


def inside(path: Path, cutter: Cutter) -> Way:
    """Return the way clockwise within an opening. Raises CannotCutError where there is none."""
    area = region(path)
    within = grown(area, -cutter.radius)
    corners = unreached(area.difference(grown(within, cutter.radius)), cutter, "a part of the opening")
    exact = along_wall(path, cutter)
    if exact is not None:
        return Way(exact, corners)
    rooms = list(polygons(grown(area, -cutter.radius - KEEP_OFF_MM)))
    if len(rooms) != 1:
        raise CannotCutError(f"an opening is too narrow for a cutter of {cutter.diameter:g} mm")
    return Way(ring_path(rooms[0].exterior.coords).reversed(), corners)


def along_wall(path: Path, cutter: Cutter) -> Path | None:
    """Return the way clockwise within an outline in lines and arcs, or None where that would fold."""
    try:
        return parallel(path.reversed(), cutter.radius).path
    except OffsetError:
        return None


def unreached(left: BaseGeometry, cutter: Cutter, what: str) -> tuple[Spared, ...]:
    """Return the corners of what should be cut away and is not, those that are wider than UNREACHED_MM.

    Raises CannotCutError when one is no corner but a place that the cutter does not get into at all.
    """
    found = []
    for corner in polygons(left.buffer(-UNREACHED_MM / 2)):
        spot: Spot = corner.representative_point()
        if corner.area > CORNER_SHARE * cutter.radius**2:
            raise CannotCutError(
                f"{what} at {spot.x:.1f}, {spot.y:.1f} is too narrow for a cutter of {cutter.diameter:g} mm"
            )
        ring = corner.buffer(2 * UNREACHED_MM).exterior.coords[:-1]
        found.append(Spared(ROUNDED, tuple((float(x), float(y)) for x, y in ring)))
    return tuple(found)


def ring_path(coords: Sequence[Point]) -> Path:
    """Return a ring of shapely's as a counter-clockwise path."""
    path = polygon([(float(x), float(y)) for x, y, *_ in coords])
    return path if path.area > 0 else path.reversed()
