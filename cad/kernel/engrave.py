"""Words cut into the flat faces of a solid, without booleans.

A letter is swept into the solid as a prism whose walls and floor, turned inside out, are the pocket. The face
is made anew with the letters' rings as further holes, and a shell is closed from the untouched faces, the
new face, the pockets and the islands (the middle of an O). Neighbours share the very edges they meet in, so
nothing is intersected and nothing sewn: a word takes milliseconds where a boolean cut takes half a second.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from cadquery import Face, Shape, Solid
from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Builder
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.gp import gp_Ax3, gp_Dir, gp_Pln, gp_Pnt, gp_Trsf, gp_Vec
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape, TopoDS_Shell, TopoDS_Solid, TopoDS_Wire
from shapely import Polygon

from cad.kernel.layout import LEAST_MM, MARGIN_MM, Lettered, Page, Words, children, pages, refused
from cad.kernel.lettered import LetteredSolid, Lettering
from cad.kernel.lettering import bounds, letters
from cad.kernel.measure import is_plane
from cad.kernel.shapes import Frame
from cad.outline import Point

DEPTH_MM = 0.6
LEAST_HEIGHT_MM = 4.0  # of capitals whose strokes survive a 0.4 mm nozzle: see cad.kernel.lettering


@dataclass(frozen=True)
class _Pocket:
    """One patch sunk into its face: shapes that share their edges."""

    text: str
    patch: Polygon  # in the frame of the face
    prism: TopoDS_Shape
    rim: TopoDS_Wire  # as a hole of the lettered face
    sides: tuple[TopoDS_Shape, ...]  # walls and floor, facing into the pocket
    islands: tuple[TopoDS_Face, ...]


def engraved(solid: Solid, labels: Sequence[Lettered], depth_mm: float = DEPTH_MM) -> Solid:
    """Return the solid with labels cut `depth_mm` deep into the flat faces that they name.

    A face is named by a point on it and its outward normal (see `cad.kernel.measure.flat_face_at`); `up`
    is taken along the face. Raises KernelError naming the text when there is no such face, when the font
    lacks a character, or when less than MARGIN_MM would be left between the letters and an edge or a hole
    of the face, another label, or a face behind; ValueError when the depth is not positive.
    """
    if depth_mm <= 0:
        raise ValueError(f"letters cannot be cut {depth_mm} mm deep")
    cuts = [
        (page, [pocket for words in page.words for pocket in _sunk(words, page.frame, depth_mm)])
        for page in pages(solid, labels)
    ]
    for page, pockets in cuts:
        faces = [face for face in solid.Faces() if not face.isSame(page.face)]
        others = [Shape.cast(p.prism) for other, group in cuts if other is not page for p in group]
        _refuse_thin_walls(page, pockets, [*faces, *others], depth_mm)
    return LetteredSolid(_rebuilt(solid, cuts), Lettering(solid, tuple(page for page, _ in cuts), depth_mm))


def fitting_height(
    text: str,
    width_mm: float,
    height_mm: float,
    most: float = 6.0,
    least: float = LEAST_HEIGHT_MM,
    margin_mm: float = MARGIN_MM,
) -> float | None:
    """Return the tallest capitals, at most `most` mm, with which a label fits a bare rectangle of a face.

    The label is centred on the rectangle and keeps `margin_mm` from its edges. None when the capitals would
    be lower than `least`, or when the text has no ink. Raises KernelError as `letters` does.
    """
    patches = letters(text, most)
    if not patches:
        return None
    low_a, low_b, high_a, high_b = bounds(patches)
    wide, high = high_a - low_a, 2 * max(high_b, -low_b)
    share = min(1.0, (width_mm - 2 * margin_mm) / wide, (height_mm - 2 * margin_mm) / high)
    return most * share if most * share >= least else None


def _sunk(words: Words, frame: Frame, depth: float) -> Iterator[_Pocket]:
    """Yield the pockets of a label's patches."""
    plane = gp_Pln(_axes(frame))
    n = frame.normal
    sweep = gp_Vec(-depth * n[0], -depth * n[1], -depth * n[2])
    for patch in words.patches.geoms:
        rim = _loop(patch.exterior.coords, frame, patch.exterior.is_ccw)
        holes = [_loop(hole.coords, frame, not hole.is_ccw) for hole in patch.interiors]
        base = BRepBuilderAPI_MakeFace(plane, rim, False)
        for hole in holes:
            base.Add(hole)
        top = base.Face()
        prism = BRepPrimAPI_MakePrism(top, sweep).Shape()
        sides = [face.Reversed() for shell in children(prism) for face in children(shell)]
        yield _Pocket(
            words.text,
            patch,
            prism,
            TopoDS.Wire_s(rim.Reversed()),
            tuple(side for side in sides if not side.IsSame(top)),
            tuple(BRepBuilderAPI_MakeFace(plane, TopoDS.Wire_s(h.Reversed()), False).Face() for h in holes),
        )


def _loop(coords: Sequence[Point], frame: Frame, keep: bool) -> TopoDS_Wire:
    """Return the wire round a closed ring, the other way unless `keep`."""
    builder = BRepBuilderAPI_MakePolygon()
    points = list(coords)[:-1]
    for point in points if keep else reversed(points):
        builder.Add(gp_Pnt(*frame.point(point)))
    builder.Close()
    return builder.Wire()


def _axes(frame: Frame) -> gp_Ax3:
    return gp_Ax3(gp_Pnt(*frame.origin), gp_Dir(*frame.normal), gp_Dir(*frame.across))


def _refuse_thin_walls(page: Page, pockets: Sequence[_Pocket], around: Sequence[Shape], depth: float) -> None:
    """Raise KernelError when a pocket comes too near another face of the solid or another face's pocket.

    Boxes in the frame of the page, where pockets are flat, leave few pairs, and planes fewer, for the kernel
    to measure.
    """
    to_page = gp_Trsf()
    to_page.SetTransformation(_axes(page.frame))
    place = TopLoc_Location(to_page)
    boxes = [_box_round(pocket.patch, depth) for pocket in pockets]
    whole = Bnd_Box()
    for box in boxes:
        whole.Add(box)
    near = [(_box(shape.wrapped, place), shape) for shape in around]
    near = [(box, shape) for box, shape in near if not whole.IsOut(box)]
    for pocket, box in zip(pockets, boxes, strict=True):
        beside = [shape for other, shape in near if not box.IsOut(other)]
        close = [shape for shape in beside if not _keeps_off(shape, pocket.patch, page.frame, depth)]
        left = min((Shape.cast(pocket.prism).distance(shape) for shape in close), default=MARGIN_MM)
        if left < LEAST_MM:
            behind = f"cut {depth:g} mm deep it comes within {left:.2f} mm of another face"
            raise refused(pocket.text, f"{behind}; leave {MARGIN_MM} mm")


def _keeps_off(shape: Shape, patch: Polygon, frame: Frame, depth: float) -> bool:
    """Return whether a shape is a flat face with all of a pocket on one side of its plane, LEAST_MM from it.

    A pocket may keep off a face and not off its plane: False says only that this does not tell.
    """
    if not isinstance(shape, Face) or not is_plane(shape):
        return False
    plane = BRepAdaptor_Surface(shape.wrapped).Plane()
    normal, spot = plane.Axis().Direction().Coord(), plane.Location().Coord()
    over, across, along, out = np.array([frame.origin, frame.across, frame.along, frame.normal]) @ normal
    rim = over - np.dot(spot, normal) + np.asarray(patch.exterior.coords) @ (across, along)
    heights = np.concatenate([rim, rim - depth * out])
    return bool(heights.min() >= LEAST_MM or heights.max() <= -LEAST_MM)


def _box_round(patch: Polygon, depth: float) -> Bnd_Box:
    """Return the box MARGIN_MM around a pocket, in the frame of its face."""
    low_a, low_b, high_a, high_b = patch.bounds
    box = Bnd_Box()
    box.Update(low_a, low_b, -depth, high_a, high_b, 0.0)
    box.Enlarge(MARGIN_MM)
    return box


def _box(shape: TopoDS_Shape, place: TopLoc_Location) -> Bnd_Box:
    box = Bnd_Box()
    BRepBndLib.Add_s(shape.Moved(place), box, False)
    return box


def _rebuilt(solid: Solid, cuts: Sequence[tuple[Page, list[_Pocket]]]) -> TopoDS_Solid:
    """Return the solid of the same faces, but the pages made anew with their pockets."""
    builder = BRep_Builder()
    whole = TopoDS_Solid()
    builder.MakeSolid(whole)
    for old in children(solid.wrapped):
        shell = TopoDS_Shell()
        builder.MakeShell(shell)
        for face in children(old):
            written = [(p, pockets) for p, pockets in cuts if p.face.wrapped.IsSame(face)]
            for page, pockets in written:
                for part in _lettered(page, pockets):
                    builder.Add(shell, part)
            if not written:
                builder.Add(shell, face)
        shell.Closed(True)
        builder.Add(whole, shell)
    return whole


def _lettered(page: Page, pockets: Sequence[_Pocket]) -> Iterator[TopoDS_Shape]:
    """Yield a page with the pockets' rims as further holes, then pockets and islands."""
    builder = BRep_Builder()
    face = page.face.wrapped.EmptyCopied()
    for wire in (*children(page.face.wrapped), *(pocket.rim for pocket in pockets)):
        builder.Add(face, wire)
    yield face
    for pocket in pockets:
        yield from pocket.sides
        yield from pocket.islands
