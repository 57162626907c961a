"""First-layer relief: a small chamfer along edges that lie on the print bed.

A first layer is squeezed out beyond its outline. Where a face that locates the work comes down to the bed,
the flare would hold the work off; a chamfer gives it room.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import degrees

import cadquery.func as cq
from cadquery import Edge, Face, Shape, Solid, Vector
from OCP.BRepFilletAPI import BRepFilletAPI_MakeChamfer
from OCP.StdFail import StdFail_NotDone

OVER = 0.1  # of its depth, by which a cutting tool reaches beyond the faces


def relieved(solid: Solid, bed: Face, locating: Sequence[Face], depth: float) -> Solid | None:
    """Return the solid with the edges between its bed face and the locating faces broken by `depth` mm.

    The solid itself is returned when they share no edge, None when the kernel cannot break them all.
    """
    around = bed.Edges()
    edges = [(e, face) for face in locating if not face.isSame(bed) for e in _shared(around, face)]
    if not edges:
        return solid
    broken = [edge for edge, _ in edges]
    whole = _chamfered(solid, broken, depth)
    if _is_sound(whole, solid, depth, broken):
        return whole
    if any(edge.geomType() not in ("LINE", "CIRCLE") for edge in broken):
        return None  # an ellipse's tool would be a sweep, which fails where the chamfer did
    # The kernel's own chamfer fails on steps finer than itself and beside slight kinks: cut the edges off.
    solids = solid.cut(*(_tool(edge, bed, face, depth) for edge, face in edges)).Solids()
    last = solids[0] if len(solids) == 1 else None
    return last if _is_sound(last, solid, depth, broken) else None


def _shared(around: Sequence[Edge], face: Face) -> list[Edge]:
    own = face.Edges()
    return [edge for edge in around if any(edge.isSame(other) for other in own)]


def _chamfered(solid: Solid, edges: Sequence[Edge], depth: float) -> Solid | None:
    maker = BRepFilletAPI_MakeChamfer(solid.wrapped)
    for edge in edges:
        maker.Add(depth, edge.wrapped)
    try:
        solids = Shape.cast(maker.Shape()).Solids()
    except StdFail_NotDone:
        return None
    return solids[0] if len(solids) == 1 else None


def _is_sound(made: Solid | None, before: Solid, depth: float, edges: Sequence[Edge]) -> bool:
    """Return whether a solid is valid, right side out, less by about what a chamfer takes, and broken there.

    A chamfer leaves the middle of its edge depth / √2 off the solid, less where the faces meet bluntly.
    """
    if made is None or not made.isValid():
        return False
    left, usual = float(made.Volume()), depth**2 / 2 * sum(float(edge.Length()) for edge in edges)
    if not (left > 0 and 0.5 * usual < before.Volume() - left < 4 * usual):
        return False
    return all(made.distance(cq.vertex(edge.positionAt(0.5))) > depth / 4 for edge in edges)


def _tool(edge: Edge, bed: Face, face: Face, depth: float) -> Solid:
    """Return the three-sided ring or bar that takes off an edge, a little beyond its outside corners."""
    straight = edge.geomType() == "LINE"
    start, end = edge.startPoint(), edge.endPoint()
    down, out = bed.normalAt(), face.normalAt(edge.Center() if straight else start)
    along_bed = (down * down.dot(out) - out).normalized() * depth
    along_face = (out * out.dot(down) - down).normalized() * depth
    if straight:
        way = (end - start).normalized() * depth
        start = start if _goes_on(bed, start - way * OVER + along_bed * OVER) else start - way
        end = end if _goes_on(bed, end + way * OVER + along_bed * OVER) else end + way
    corners: list[Vector] = [
        start - (along_bed + along_face) * OVER,
        start + along_bed + (along_bed - along_face) * OVER,
        start + along_face + (along_face - along_bed) * OVER,
    ]
    if straight:
        return Solid(cq.extrude(cq.face(cq.polyline(*corners, corners[0])), end - start).wrapped)
    centre = edge.arcCenter()
    ahead = down.cross(start - centre).dot(edge.positionAt(0.5) - start) > 0
    axis = down if ahead else -down
    turn = degrees(edge.Length() / edge.radius())
    return Solid.revolve(cq.polyline(*corners, corners[0]), [], turn, centre, centre + axis)


def _goes_on(bed: Face, point: Vector) -> bool:
    """Return whether a face goes on at a point just beyond one of its corners: an inside corner."""
    return float(bed.distance(cq.vertex(point))) < 1e-6
