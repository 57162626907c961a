"""A flat plate read off its solid: what has to be cut, and how deep, to make it from sheet.

The plate lies as it is cut: on z = 0, seen from above (see `cad.kernel.placing.laid_down`). Everything comes
from its faces: a level face under the top is the floor of a pocket, a hole in the lower face goes through.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import acos, degrees, pi

from cadquery import Face, Location, Plane, Solid
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopoDS import TopoDS, TopoDS_Face

from cad.geometry.cuts import KINDS, Kind, NotFlat, Operation, Planform
from cad.kernel.engrave import DEPTH_MM
from cad.kernel.layout import children
from cad.kernel.outlining import path_of
from cad.outline import Arc, Path, distance

DRILL_MOST_MM = 40.0  # wider round holes are cut out, not drilled; common practice, no source
LEVEL_MM = 1e-6
SQUARE = 1e-7  # greatest sine of the angle between a wall and plumb


@dataclass(frozen=True)
class _Level:
    """A level face: its height, its outer path and the holes in it."""

    z: float
    outer: Path
    holes: tuple[Path, ...]


def planform(laid: Solid, name: str) -> Planform | NotFlat:
    """Return what to cut for a plate that lies on z = 0, or why it is no plate.

    A plate has one face on z = 0, walls that stand plumb, and everything else level and open to the top.
    Raises KernelError naming the edge when a curve cannot be brought to lines and arcs.
    """
    beds: list[_Level] = []
    upper: list[tuple[float, TopoDS_Face]] = []
    for face in _faces(laid):
        surface = BRepAdaptor_Surface(face, False)
        facing = _facing(surface, face)
        if isinstance(facing, str):
            return NotFlat(name, facing)
        if facing == 0:
            continue
        z = surface.Plane().Location().Z()
        if facing > 0:
            upper.append((z, face))
        elif abs(z) > LEVEL_MM:
            return NotFlat(name, f"it is hollowed {z:.2f} mm deep from the side it lies on")
        else:
            beds.append(_Level(z, *face_path(face, name)))
    if len(beds) != 1 or not upper:
        return NotFlat(name, f"it lies on {len(beds)} faces where a plate lies on one")
    top = max(z for z, _ in upper)
    # The top itself says nothing that its floors and the bed do not: its many rims are left unread.
    floors = [_Level(z, *face_path(face, name)) for z, face in upper if z < top - LEVEL_MM]
    return _plate(name, round(top, 6), beds[0], floors)


def face_path(face: TopoDS_Face, name: str) -> tuple[Path, tuple[Path, ...]]:
    """Return the outline of a level face seen from above, and the holes in it, all counter-clockwise.

    Raises KernelError naming the edge when a curve cannot be brought to lines and arcs.
    """
    paths = [path_of(TopoDS.Wire_s(wire), name) for wire in children(face)]
    around = [path if path.area > 0 else path.reversed() for path in paths]
    outer = max(around, key=lambda path: path.area)
    return outer, tuple(path for path in around if path is not outer)


def as_cut(finished: Planform, before: Planform, waste: Planform) -> Planform:
    """Return a plate as it leaves the sheet, with the waste that is sawn off it later marked.

    `finished` is read off the lettered piece, `before` off the same plate unlettered and not yet sawn.
    """
    lettering = (cut for cut in finished.operations if cut.kind == "engrave")
    marks = (replace(cut, kind="sawn") for cut in waste.operations if cut.kind == "outside")
    cuts = tuple(sorted((*before.operations, *lettering, *marks), key=_order))
    return replace(before, name=finished.name, operations=cuts)


def outline_of(face: Face, name: str) -> Path:
    """Return the outline of a flat face in a frame of its own, seen from behind: as a plate lies on it.

    Raises KernelError naming the edge when a curve cannot be brought to lines and arcs.
    """
    frame = Plane(face.Center(), normal=-face.normalAt())
    return face_path(face.moved(Location(frame).inverse).wrapped, name)[0]


def _faces(solid: Solid) -> Iterator[TopoDS_Face]:
    for shell in children(solid.wrapped):
        for face in children(shell):
            yield TopoDS.Face_s(face)


def _facing(surface: BRepAdaptor_Surface, face: TopoDS_Face) -> int | str:
    """Return 1 for a level face that looks up, -1 for one that looks down, 0 for a wall, or what is wrong."""
    kind = surface.GetType()
    if kind == GeomAbs_SurfaceType.GeomAbs_Plane:
        plane = surface.Plane()
        up = plane.Axis().Direction().Z()
        if abs(up) < SQUARE:
            return 0
        if abs(up) < 1 - SQUARE:
            return f"a face of it leans {90 - degrees(acos(abs(up))):.1f}° from plumb"
        outward = (up > 0) == plane.Position().Direct()
        return 1 if outward != (face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED) else -1
    if kind == GeomAbs_SurfaceType.GeomAbs_Cylinder:
        way = surface.Cylinder().Axis().Direction()
    elif kind == GeomAbs_SurfaceType.GeomAbs_SurfaceOfExtrusion:
        way = surface.Direction()
    else:
        return "a face of it is neither flat nor a plumb wall"
    return 0 if abs(way.Z()) > 1 - SQUARE else "a round face of it does not stand plumb"


def _plate(name: str, thick: float, bed: _Level, floors: Sequence[_Level]) -> Planform:
    sunk = {_mark(hole) for hole in bed.holes} | {_mark(floor.outer) for floor in floors}
    cuts = [
        Operation("outside", thick, bed.outer, through=True),
        *(Operation(_hole_kind(hole), thick, hole, through=True) for hole in bed.holes),
        *(_pocket(floor, round(thick - floor.z, 6), sunk) for floor in floors),
    ]
    return Planform(name, thick, tuple(sorted(cuts, key=_order)))


def _pocket(floor: _Level, depth: float, sunk: set[tuple[float, ...]]) -> Operation:
    """Return the cut that leaves a floor. What lies deeper in it is cut over; what stands in it is a hole."""
    standing = tuple(hole for hole in floor.holes if _mark(hole) not in sunk)
    if abs(depth - DEPTH_MM) < LEVEL_MM:
        return Operation("engrave", depth, floor.outer, standing)
    kind: Kind = "pocket" if floor.holes or _hole_kind(floor.outer) == "inside" else "drill"
    return Operation(kind, depth, floor.outer, standing)


def _hole_kind(hole: Path) -> Kind:
    first = hole.segments[0]
    if not isinstance(first, Arc) or 2 * first.radius > DRILL_MOST_MM:
        return "inside"
    turned = 0.0
    for segment in hole:
        if not isinstance(segment, Arc) or distance(segment.centre, first.centre) > LEVEL_MM:
            return "inside"
        turned += segment.turn
    return "drill" if abs(turned - 2 * pi) < 1e-6 else "inside"


def _mark(path: Path) -> tuple[float, ...]:
    """Return figures by which the same outline is known again, whichever face it was read from."""
    return tuple(round(value, 3) for value in (*path.bounds(), path.area))


def _order(cut: Operation) -> tuple[float, ...]:
    low_x, low_y, _, _ = cut.path.bounds()
    return (KINDS.index(cut.kind), cut.depth_mm, round(low_x, 4), round(low_y, 4))
