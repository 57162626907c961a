"""Measuring flat and round faces alike: those that a line or an arc sweeps out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cadquery import Edge, Face, Solid, Vector, Vertex
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_SurfaceType

from cad.errors import KernelError
from cad.kernel.measure import NEAR_DEG, NEAR_MM, Plane, angle_between_deg, box_is_near, plane_of
from cad.kernel.shapes import Triple
from cad.outline import Line, Path, Segment, arc_through


@dataclass(frozen=True)
class Cylinder:
    """A cylinder measured off a face: a point on its axis, the axis, the radius, and which way it looks.

    `hollow` when the solid lies outside the radius.
    """

    point: Triple
    axis: Triple
    radius: float
    hollow: bool

    def height(self, p: Triple) -> float:
        """Return the signed distance of a point in front of the face, continued all round."""
        away = float(self._from_axis(p).Length) - self.radius
        return -away if self.hollow else away

    def normal_at(self, p: Triple) -> Triple:
        """Return the unit normal out of the solid at the foot of a point."""
        away = self._from_axis(p).normalized()
        x, y, z = (-away if self.hollow else away).toTuple()
        return (x, y, z)

    def _from_axis(self, p: Triple) -> Vector:
        axis = Vector(*self.axis)
        away = Vector(*p) - Vector(*self.point)
        return away - axis * away.dot(axis)


@dataclass(frozen=True)
class Flat:
    """A plane measured off a face, with the same questions as a cylinder."""

    plane: Plane

    def height(self, p: Triple) -> float:
        """Return the signed distance of a point in front of the face, continued all round."""
        return self.plane.height(p)

    def normal_at(self, p: Triple) -> Triple:
        """Return the unit normal out of the solid."""
        return self.plane.normal


Surface = Flat | Cylinder


def surface_of(face: Face, what: str) -> Surface:
    """Return the plane or cylinder a face lies in. Raises KernelError for any other surface."""
    adaptor = BRepAdaptor_Surface(face.wrapped)
    if adaptor.GetType() == GeomAbs_SurfaceType.GeomAbs_Plane:
        return Flat(plane_of(face))
    if adaptor.GetType() != GeomAbs_SurfaceType.GeomAbs_Cylinder:
        raise KernelError(what, "face", "is neither flat nor round")
    round_face = adaptor.Cylinder()
    spot, way = round_face.Axis().Location(), round_face.Axis().Direction()
    point, axis = (spot.X(), spot.Y(), spot.Z()), (way.X(), way.Y(), way.Z())
    on_face = _on(face)
    outward = face.normalAt(on_face)
    solid_inside = Cylinder(point, axis, round_face.Radius(), hollow=False)
    hollow = outward.dot(Vector(*solid_inside.normal_at(on_face.toTuple()))) < 0
    return Cylinder(point, axis, round_face.Radius(), hollow)


def face_at(solid: Solid, point: Triple, normal: Triple, what: str) -> Face:
    """Return the flat or round face nearest a point whose outward normal there agrees within a degree.

    Raises KernelError when none lies within half a millimetre: the point names a face that is not there.
    """
    return nearest_face(solid.Faces(), point, normal, what)


def nearest_face(faces: Sequence[Face], point: Triple, normal: Triple, what: str) -> Face:
    """Return what `face_at` does, among given faces: listing those of a solid costs more than the search."""
    spot = Vertex.makeVertex(*point)
    around = [face for face in faces if box_is_near(face, point)]
    near = sorted(((face.distance(spot), i) for i, face in enumerate(around)), key=lambda each: each[0])
    for apart, i in near:
        if apart > NEAR_MM:
            break
        if angle_between_deg(around[i].normalAt(Vector(*point)).toTuple(), normal) <= NEAR_DEG:
            return around[i]
    raise KernelError(what, "face", f"none at {point} looks towards {normal}")


def section_at_end(face: Face, what: str) -> Segment:
    """Return the line or arc that a face swept along x shows at its lower end, in (y, z), mm.

    Where that end is broken, as by the relief of a print, the upper one shows it. Raises KernelError when the
    face has no one edge at either.
    """
    xs = [vertex.X for vertex in face.Vertices()]
    low, high = ([edge for edge in face.Edges() if _lies_at(edge, x)] for x in (min(xs), max(xs)))
    ends = low if len(low) == 1 else high
    if len(ends) != 1:
        raise KernelError(what, "face", f"shows {len(ends)} edges at its end where one was expected")
    start, middle, end = ((p.y, p.z) for p in (ends[0].positionAt(share) for share in (0.0, 0.5, 1.0)))
    if ends[0].geomType() == "LINE":
        return Line(start, end)
    return arc_through(start, middle, end)


def beside(segment: Segment, by: float) -> Path:
    """Return the closed strip between a segment and its parallel `by` mm to the right (left if negative)."""
    other = segment.offset(by)
    return Path((segment, Line(segment.end, other.end), other.reversed(), Line(other.start, segment.start)))


def _lies_at(edge: Edge, x: float) -> bool:
    return all(abs(edge.positionAt(share).x - x) < 1e-5 for share in (0.0, 0.5, 1.0))


def _on(face: Face) -> Vector:
    """Return a point on the face itself, not only on its surface: the middle of one of its edges."""
    longest = max(face.Edges(), key=lambda edge: float(edge.Length()))
    return longest.positionAt(0.5)
