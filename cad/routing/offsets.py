"""Where the axis of a cutter may go beside the outlines of a plate: offset lines and arcs, or regions.

Outlines of lines and arcs stay lines and arcs (`cad.geometry.offset`). Where that closed form folds over
itself, and for the rings that clear a floor, shapely takes over with chords of CHORD_MM.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely import MultiPolygon, Polygon
from shapely import Point as Spot
from shapely.geometry.base import BaseGeometry

from cad.errors import OffsetError
from cad.geometry.offset import parallel
from cad.outline import Path, Point, polygon
from cad.routing.model import CannotCutError, Cutter

CHORD_MM = 0.003  # how far the chords of a curve may stand off it
ARC_STEPS = 32  # chords in the quarter circle that shapely turns about a corner
KEEP_OFF_MM = 0.005  # how far off its line a path of chords is kept, so that none of them cuts into the piece
SLIVER_MM2 = 0.02  # areas smaller than this are the dust of chords
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


def outside(path: Path, cutter: Cutter) -> Path:
    """Return where the axis goes counter-clockwise round a plate. Raises CannotCutError where it cannot."""
    area = region(path)
    around = grown(area, cutter.radius)
    _check_reach(grown(around, -cutter.radius).difference(area), cutter, "a notch of the outline")
    try:
        return parallel(path, cutter.radius).path
    except OffsetError:
        return _path(grown(area, cutter.radius + KEEP_OFF_MM).exterior.coords)


def inside(path: Path, cutter: Cutter) -> Path:
    """Return where the axis goes clockwise within an opening. Raises CannotCutError where it cannot."""
    area = region(path)
    within = grown(area, -cutter.radius)
    _check_reach(area.difference(grown(within, cutter.radius)), cutter, "a corner of the opening")
    try:
        return parallel(path.reversed(), cutter.radius).path
    except OffsetError:
        rooms = list(polygons(grown(area, -cutter.radius - KEEP_OFF_MM)))
        if len(rooms) != 1:
            raise CannotCutError(f"an opening is too narrow for a cutter of {cutter.diameter:g} mm") from None
        return _path(rooms[0].exterior.coords).reversed()


def _check_reach(unreached: BaseGeometry, cutter: Cutter, what: str) -> None:
    """Raise CannotCutError where an area that should be cut away is wider than UNREACHED_MM."""
    left = unreached.buffer(-UNREACHED_MM / 2)
    if left.is_empty:
        return
    spot: Spot = left.representative_point()
    raise CannotCutError(
        f"{what} at {spot.x:.1f}, {spot.y:.1f} is too narrow for a cutter of {cutter.diameter:g} mm"
    )


def _path(coords: Sequence[Point]) -> Path:
    """Return a ring of coordinates, counter-clockwise, as a path."""
    path = polygon([(float(x), float(y)) for x, y, *_ in coords])
    return path if path.area > 0 else path.reversed()


def ring_path(coords: Sequence[Point]) -> Path:
    """Return a ring of shapely's as a counter-clockwise path."""
    return _path(coords)
