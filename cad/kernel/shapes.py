"""Solids from plane curves: wires, prisms, one cut at a time, and mirroring."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import cadquery.func as cq
from cadquery import Edge, Face, Location, Shape, Solid, Vector, Wire
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Elips, gp_Pnt, gp_Vec
from OCP.ShapeFix import ShapeFix_Solid
from OCP.TopoDS import TopoDS

from cad.errors import KernelError
from cad.geometry.iron import EdgeArc
from cad.outline import Arc, Line, Path, Point, distance

Triple = tuple[float, float, float]


@dataclass(frozen=True)
class Frame:
    """A plane in space: the point (a, b) lies at origin + a·across + b·along (unit vectors, square)."""

    origin: Triple
    across: Triple
    along: Triple

    def point(self, p: Point) -> Triple:
        """Return where the plane's point (a, b) is in space."""
        o, a, b = self.origin, self.across, self.along
        return (
            o[0] + p[0] * a[0] + p[1] * b[0],
            o[1] + p[0] * a[1] + p[1] * b[1],
            o[2] + p[0] * a[2] + p[1] * b[2],
        )

    @property
    def normal(self) -> Triple:
        (a0, a1, a2), (b0, b1, b2) = self.across, self.along
        return (a1 * b2 - a2 * b1, a2 * b0 - a0 * b2, a0 * b1 - a1 * b0)


def section_at(x: float) -> Frame:
    """Return the y–z plane at x, its normal to the heel."""
    return Frame((x, 0, 0), (0, 1, 0), (0, 0, 1))


def side_at(y: float) -> Frame:
    """Return the x–z plane at y, its normal to the plate (−y)."""
    return Frame((0, y, 0), (1, 0, 0), (0, 0, 1))


def level_at(z: float) -> Frame:
    """Return the x–y plane at height z, its normal up."""
    return Frame((0, 0, z), (1, 0, 0), (0, 1, 0))


def edge(segment: Line | Arc | EdgeArc, frame: Frame) -> Edge:
    """Return the exact edge of a segment that lies in a frame's plane."""
    start, end = (gp_Pnt(*frame.point(p)) for p in (segment.start, segment.end))
    if isinstance(segment, Line):
        return Edge(BRepBuilderAPI_MakeEdge(start, end).Edge())
    normal = frame.normal if segment.ccw else tuple(-n for n in frame.normal)
    axis = gp_Dir(*(frame.along if isinstance(segment, EdgeArc) else frame.across))
    axes = gp_Ax2(gp_Pnt(*frame.point(segment.centre)), gp_Dir(*normal), axis)
    curve = (
        gp_Elips(axes, segment.along, segment.across)
        if isinstance(segment, EdgeArc)
        else gp_Circ(axes, segment.radius)
    )
    if distance(segment.start, segment.end) < 1e-9:
        return Edge(BRepBuilderAPI_MakeEdge(curve).Edge())
    return Edge(BRepBuilderAPI_MakeEdge(curve, start, end).Edge())


def wire(edges: Sequence[Edge]) -> Wire:
    """Return the wire of edges given in order, end to start."""
    builder = BRepBuilderAPI_MakeWire()
    for one in edges:
        builder.Add(one.wrapped)
    return Wire(builder.Wire())


def outline_wire(path: Path, frame: Frame) -> Wire:
    """Return the wire of a path laid in a plane."""
    return wire([edge(segment, frame) for segment in path])


def flat_face(outer: Wire, *holes: Wire) -> Face:
    """Return the plane face within a closed wire, less any holes."""
    if not holes:
        return Face(BRepBuilderAPI_MakeFace(outer.wrapped, True).Face())
    return cast(Face, cq.face(outer, *holes))


def prism(path: Path, frame: Frame, sweep: Triple, holes: Sequence[Path] = ()) -> Solid:
    """Return the solid swept by a closed path, less its holes, along a vector."""
    face = flat_face(outline_wire(path, frame), *(outline_wire(hole, frame) for hole in holes))
    return cast(Solid, cq.extrude(face, Vector(*sweep)))


def frustum(low: Sequence[Triple], high: Sequence[Triple], part: str, feature: str) -> Solid:
    """Return the solid between two rings of as many corners, whose sides must come out flat.

    Raises KernelError when the faces do not close.
    """
    rings = [low, high]
    after = [list(ring[1:]) + list(ring[:1]) for ring in rings]
    sides = [[a, b, d, c] for a, b, c, d in zip(low, after[0], high, after[1], strict=True)]
    return sewn([_facet(corners) for corners in (*rings, *sides)], part, feature)


def box(low: Triple, high: Triple) -> Solid:
    """Return the axis-aligned block between two corners."""
    sides = [b - a for a, b in zip(low, high, strict=True)]
    return Solid.makeBox(*sides, pnt=Vector(*low))


def cylinder(base: Triple, axis: Triple, radius: float, height: float) -> Solid:
    """Return the round pin that stands on `base` along `axis`."""
    return Solid.makeCylinder(radius, height, Vector(*base), Vector(*axis))


def between(*points: Triple) -> list[Edge]:
    """Return the straight edges from point to point."""
    return [Edge.makeLine(Vector(*p), Vector(*q)) for p, q in itertools.pairwise(points)]


def swept(one: Edge, way: Triple) -> Face:
    """Return the face that an edge sweeps out along a vector."""
    return Face(TopoDS.Face_s(BRepPrimAPI_MakePrism(one.wrapped, gp_Vec(*way)).Shape()))


def sewn(faces: Sequence[Face], part: str, feature: str) -> Solid:
    """Return the solid enclosed by faces that meet along their edges. Raises KernelError if they leak."""
    shell = cq.shell(*faces, tol=1e-6)
    if shell.ShapeType() != "Shell" or not shell.wrapped.Closed():
        raise KernelError(part, feature, "its faces do not close")
    fix = ShapeFix_Solid()
    return Solid(TopoDS.Solid_s(fix.SolidFromShell(shell.wrapped)))


def _facet(corners: Sequence[Triple]) -> Face:
    after = [*corners[1:], corners[0]]
    return flat_face(wire([Edge.makeLine(p, q) for p, q in zip(corners, after, strict=True)]))


def _one_solid(shape: Shape, part: str, feature: str) -> Solid:
    solids = shape.Solids()
    if len(solids) != 1:
        raise KernelError(part, feature, f"gave {len(solids)} solids where one was expected")
    return solids[0]


def cut(body: Solid, *tools: Shape, part: str, feature: str) -> Solid:
    """Return `body` less the tools. Raises KernelError unless one solid is left."""
    return _one_solid(body.cut(*tools), part, feature)


def fuse(first: Solid, *others: Shape, part: str, feature: str) -> Solid:
    """Return the union, with faces in one plane made one. Raises KernelError unless it is one solid."""
    return _one_solid(cq.clean(first.fuse(*others)), part, feature)


def common(first: Shape, second: Shape, part: str, feature: str) -> Solid:
    """Return what two shapes share. Raises KernelError unless it is one solid."""
    return _one_solid(cq.intersect(first, second), part, feature)


def mirrored(solid: Solid) -> Solid:
    """Return the solid mirrored in y: the other hand."""
    return _one_solid(solid.mirror("XZ"), "mirror", "hand")


def placed(solid: Solid, location: Location) -> Solid:
    """Return the solid moved by a location."""
    return solid.moved(location)


def checked(solid: Solid, part: str) -> Solid:
    """Return the solid when the kernel finds it valid, closed and right side out; else raise KernelError."""
    if not solid.isValid():
        raise KernelError(part, "solid", "the kernel finds it invalid")
    if solid.Volume() <= 0:
        raise KernelError(part, "solid", "it is inside out or empty")
    return solid
