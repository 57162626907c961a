"""Measuring back from solids: planes of faces, contact, clearance and shared volume."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import acos, asin, degrees, sqrt

import cadquery.func as cq
from cadquery import Face, Shape, Solid, Vector, Vertex
from OCP.Bnd import Bnd_Box
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBndLib import BRepBndLib
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.gp import gp_Pnt

from cad.errors import KernelError
from cad.kernel.lettered import lettering_of, unlettered
from cad.kernel.shapes import Triple

NEAR_MM = 0.5  # how far a face may lie from the point that names it
NEAR_DEG = 1.0


@dataclass(frozen=True)
class Plane:
    """A plane measured off a face: a point on it and the unit normal out of the solid."""

    point: Triple
    normal: Triple

    def height(self, p: Triple) -> float:
        """Return the signed distance of a point in front of the plane."""
        return sum((a - b) * n for a, b, n in zip(p, self.point, self.normal, strict=True))

    def foot(self, p: Triple) -> Triple:
        """Return the point of the plane nearest to p."""
        x, y, z = (a - self.height(p) * n for a, n in zip(p, self.normal, strict=True))
        return (x, y, z)

    def turned(self) -> Plane:
        """Return the same plane, facing the other way."""
        x, y, z = self.normal
        return Plane(self.point, (-x, -y, -z))

    def moved(self, by: float) -> Plane:
        """Return the parallel plane `by` mm in front."""
        x, y, z = (a + by * n for a, n in zip(self.point, self.normal, strict=True))
        return Plane((x, y, z), self.normal)


def is_plane(face: Face) -> bool:
    """Return whether the face lies in a plane."""
    return bool(BRepAdaptor_Surface(face.wrapped).GetType() == GeomAbs_SurfaceType.GeomAbs_Plane)


def plane_of(face: Face) -> Plane:
    """Return the plane of a flat face, its normal out of the solid that the face bounds."""
    return Plane(face.Center().toTuple(), face.normalAt().toTuple())


def angle_between_deg(u: Triple, v: Triple) -> float:
    """Return the angle between two directions, 0 to 180 degrees, true to 1e-9 near its ends."""
    a, b = Vector(*u).normalized(), Vector(*v).normalized()
    dot, cross = a.dot(b), a.cross(b).Length
    if abs(dot) < 0.9:
        return degrees(acos(dot))
    turned = degrees(asin(min(cross, 1.0)))
    return turned if dot > 0 else 180 - turned


def flat_face_at(solid: Solid, point: Triple, normal: Triple, what: str) -> Face:
    """Return the flat face nearest a point, among those whose outward normal agrees within a degree.

    Raises KernelError when none lies within half a millimetre: the point names a face that is not there.
    """
    spot = Vertex.makeVertex(*point)
    # Most faces of a lettered piece are walls of letters: their boxes rule them out in no time.
    facing = [
        face
        for face in solid.Faces()
        if box_is_near(face, point)
        and is_plane(face)
        and angle_between_deg(face.normalAt().toTuple(), normal) <= NEAR_DEG
    ]
    ranked = sorted(((face.distance(spot), i) for i, face in enumerate(facing)))
    if not ranked or ranked[0][0] > NEAR_MM:
        raise KernelError(what, "face", f"no flat face towards {_spell(normal)} at {_spell(point)}")
    return facing[ranked[0][1]]


def shared_mm3(one: Solid, two: Solid) -> float:
    """Return the volume that two solids share, by the kernel's own intersection."""
    if not _boxes_meet(one, two):
        return 0.0
    shape = cq.intersect(one, two)
    return float(sum(solid.Volume() for solid in shape.Solids()))


def contact_mm2(one: Face, two: Face) -> float:
    """Return the area over which two flat faces that look at each other touch."""
    if one.distance(two) > 1e-4:
        return 0.0
    shape = cq.intersect(one, two)
    return float(sum(face.Area() for face in shape.Faces()))


def clearance_mm(one: Shape, two: Shape) -> float:
    """Return the least distance between two shapes."""
    return float(one.distance(two))


def corners(face: Face) -> list[Triple]:
    """Return the corner points of a face."""
    return [vertex.toTuple() for vertex in face.Vertices()]


def shared_edges(one: Face, two: Face) -> list[tuple[Triple, Triple]]:
    """Return the ends of each edge in which two faces of one solid meet."""
    others = two.Edges()
    met = [edge for edge in one.Edges() if any(edge.isSame(other) for other in others)]
    return [(edge.startPoint().toTuple(), edge.endPoint().toTuple()) for edge in met]


def extent(solid: Solid) -> tuple[Triple, Triple]:
    """Return the lowest and the highest corner of the solid's tight bounding box."""
    box = Bnd_Box()
    # Neither triangles nor tolerances: the box must be the same before and after the solid is meshed.
    BRepBndLib.AddOptimal_s(solid.wrapped, box, False, False)
    x0, y0, z0, x1, y1, z1 = box.Get()
    return (x0, y0, z0), (x1, y1, z1)


def volume_mm3(solid: Solid) -> float:
    """Return the volume by the kernel, of a lettered solid less the volume that its letters take."""
    lettering = lettering_of(solid)
    letters = lettering.volume_mm3 if lettering else 0.0
    return float(unlettered(solid).Volume()) - letters


def total_volume_mm3(solids: Iterable[Solid]) -> float:
    """Return the sum of volumes."""
    return float(sum(solid.Volume() for solid in solids))


def _boxes_meet(one: Solid, two: Solid) -> bool:
    (al, ah), (bl, bh) = extent(one), extent(two)
    return all(lo <= hi for lo, hi in zip(al, bh, strict=True)) and all(
        lo <= hi for lo, hi in zip(bl, ah, strict=True)
    )


def box_is_near(face: Face, point: Triple) -> bool:
    """Return whether a point may lie within NEAR_MM of a face: quick, and never wrong when it says no."""
    box = Bnd_Box()
    BRepBndLib.Add_s(face.wrapped, box)
    box.Enlarge(NEAR_MM)
    return not box.IsOut(gp_Pnt(*point))


def _spell(v: Triple) -> str:
    length = sqrt(sum(c * c for c in v))
    return "(" + ", ".join(f"{c:.3f}" for c in v) + ")" if length else "nowhere"
