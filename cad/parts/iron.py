"""The iron: elliptical edge, ground bevel on the bed side, rounded striking end."""

from __future__ import annotations

from cadquery import Edge, Face, Solid
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.gp import gp_Vec
from OCP.TopoDS import TopoDS

from cad.formulas.throat import along_sole_mm
from cad.geometry import Plan
from cad.kernel.shapes import Frame, Triple, edge, flat_face, sewn, wire
from cad.outline import Line, Point

COLOUR = (0.45, 0.48, 0.52)


def build(plan: Plan) -> Solid:
    """Return the iron on its bed, built face by face.

    The bevel runs from the edge along one direction, β − γ to the sole, so it is the edge's own curve
    swept straight back: the clearance then follows the sole by tan c′ = tan c · cos θ, as worked out in
    cad.formulas.cutting.
    """
    iron = plan.iron
    upper = Frame(iron.origin, iron.up_bed, iron.off_bed)
    plane = Frame(iron.origin, (0, 1, 0), iron.up_bed)
    down = _scaled(iron.off_bed, -iron.thickness)
    back = _scaled(iron.bevel_way, along_sole_mm(iron.thickness, iron.bevel_deg))
    # Seen in the iron's plane, the bevel moves the edge up by this much on the lower face.
    heel = _dot(back, iron.up_bed)

    front = [edge(segment, plane) for segment in iron.edge()]
    crown = edge(iron.striking_end(), plane)
    low_l, low_r = iron.edge()[0].start, iron.edge()[-1].end
    top_l, top_r = iron.striking_end().end, iron.striking_end().start
    right, left = edge(Line(low_r, top_r), plane), edge(Line(top_l, low_l), plane)

    lower = Frame(upper.point((0.0, -iron.thickness)), (0, 1, 0), iron.up_bed)
    rear = [one.moved(*back) for one in front]
    right_b = edge(Line(_up(low_r, heel), top_r), lower)
    left_b = edge(Line(top_l, _up(low_l, heel)), lower)

    faces = [
        flat_face(wire([*front, right, crown, left])),
        flat_face(wire([*rear, right_b, crown.moved(*down), left_b])),
        *(_swept(one, back) for one in front),
        _swept(crown, down),
        _side(plane, lower, low_r, top_r, heel),
        _side(plane, lower, low_l, top_l, heel),
    ]
    return sewn(faces, "iron", "faces")


def _side(plane: Frame, lower: Frame, low: Point, top: Point, heel: float) -> Face:
    """Return the flat side of the iron between its two faces, slanted by the bevel below."""
    a, b = plane.point(low), plane.point(top)
    c, d = lower.point(top), lower.point(_up(low, heel))
    return flat_face(wire([_between(p, q) for p, q in ((a, b), (b, c), (c, d), (d, a))]))


def _between(p: Triple, q: Triple) -> Edge:
    return Edge.makeLine(p, q)


def _swept(one: Edge, way: Triple) -> Face:
    return Face(TopoDS.Face_s(BRepPrimAPI_MakePrism(one.wrapped, gp_Vec(*way)).Shape()))


def _up(p: Point, by: float) -> Point:
    return (p[0], p[1] + by)


def _scaled(v: Triple, by: float) -> Triple:
    return (v[0] * by, v[1] * by, v[2] * by)


def _dot(v: Triple, w: Triple) -> float:
    return v[0] * w[0] + v[1] * w[1] + v[2] * w[2]
