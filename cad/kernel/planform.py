"""A flat plate read off its solid: what has to be cut, and how deep, to make it from sheet.

The plate lies as it is cut: on z = 0, seen from above (see `cad.kernel.placing.laid_down`). Everything comes
from its faces: a level face under the top is the floor of a pocket, a hole in the lower face goes through.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import acos, degrees, pi
from typing import Literal

from cadquery import Solid
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopoDS import TopoDS, TopoDS_Face

from cad.errors import KernelError
from cad.kernel.engrave import DEPTH_MM
from cad.kernel.layout import children
from cad.kernel.outlining import path_of
from cad.outline import Arc, Path, Point, distance, mapped

Kind = Literal["engrave", "drill", "pocket", "inside", "outside"]
KINDS: tuple[Kind, ...] = ("engrave", "drill", "pocket", "inside", "outside")  # in the order of cutting

DRILL_MOST_MM = 40.0  # wider round holes are cut out, not drilled; common practice, no source
LEVEL_MM = 1e-6
SQUARE = 1e-7  # greatest sine of the angle between a wall and plumb


@dataclass(frozen=True)
class Operation:
    """One cut, mm: a closed path seen from above, counter-clockwise, and how deep it goes from the top.

    - "outside": round the plate; "inside": a piece falls out of it; both go through.
    - "pocket": the path bounds a floor; `holes` are what stays standing in it.
    - "drill": the path is a whole circle (`diameter_mm`); bored or cut with a flat bottom unless `through`.
    - "engrave": the outline of letters, `holes` their counters.
    """

    kind: Kind
    depth_mm: float
    path: Path
    holes: tuple[Path, ...] = ()
    through: bool = False

    @property
    def diameter_mm(self) -> float:
        """Diameter of the circle on which the path begins; 0 for a path that begins with a line."""
        first = self.path.segments[0]
        return 2 * first.radius if isinstance(first, Arc) else 0.0

    def moved(self, move: Callable[[Point], Point]) -> Operation:
        """Return the operation moved in the plane by a rigid motion that keeps the sense of turning."""
        return replace(self, path=mapped(self.path, move), holes=tuple(mapped(h, move) for h in self.holes))


@dataclass(frozen=True)
class Planform:
    """A plate: its thickness and its cuts, in the order of cutting. x and y start at 0."""

    name: str
    thickness_mm: float
    operations: tuple[Operation, ...]

    @property
    def outline(self) -> Path:
        """The plate's own outline."""
        return next(cut.path for cut in self.operations if cut.kind == "outside")

    @property
    def size(self) -> Point:
        """Length along x and width along y of the rectangle around the plate."""
        low_x, low_y, high_x, high_y = self.outline.bounds()
        return (high_x - low_x, high_y - low_y)


@dataclass(frozen=True)
class NotFlat:
    """Why a piece is no plate that can be cut from one side of a sheet."""

    name: str
    reason: str


@dataclass(frozen=True)
class _Level:
    """A level face that looks up: its height, its outer path and the holes in it."""

    z: float
    outer: Path
    holes: tuple[Path, ...]


def planform(laid: Solid, name: str) -> Planform | NotFlat:
    """Return what to cut for a plate that lies on z = 0, or why it is no plate.

    A plate has one face on z = 0, walls that stand plumb, and everything else level and open to the top.
    Raises KernelError naming the edge when a curve cannot be brought to lines and arcs.
    """
    beds: list[_Level] = []
    levels: list[_Level] = []
    for face in _faces(laid):
        surface = BRepAdaptor_Surface(face, False)
        facing = _facing(surface, face)
        if isinstance(facing, str):
            return NotFlat(name, facing)
        if facing == 0:
            continue
        level = _level(surface, face, name)
        if facing > 0:
            levels.append(level)
        elif abs(level.z) > LEVEL_MM:
            return NotFlat(name, f"it is hollowed {level.z:.2f} mm deep from the side it lies on")
        else:
            beds.append(level)
    if len(beds) != 1 or not levels:
        return NotFlat(name, f"it lies on {len(beds)} faces where a plate lies on one")
    return _plate(name, beds[0], levels)


def face_path(face: TopoDS_Face, name: str) -> tuple[Path, tuple[Path, ...]]:
    """Return the outline of a level face seen from above, and the holes in it, all counter-clockwise.

    Raises KernelError naming the edge when a curve cannot be brought to lines and arcs.
    """
    paths = [path_of(TopoDS.Wire_s(wire), name) for wire in children(face)]
    around = [path if path.area > 0 else path.reversed() for path in paths]
    outer = max(around, key=lambda path: path.area)
    return outer, tuple(path for path in around if path is not outer)


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


def _level(surface: BRepAdaptor_Surface, face: TopoDS_Face, name: str) -> _Level:
    return _Level(surface.Plane().Location().Z(), *face_path(face, name))


def _plate(name: str, bed: _Level, levels: Sequence[_Level]) -> Planform:
    thick = round(max(level.z for level in levels), 6)
    floors = [level for level in levels if level.z < thick - LEVEL_MM]
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
