"""A solid parted by a plane: the lumps on either side, and the section between them."""

from __future__ import annotations

from math import dist

import cadquery.func as cq
import numpy as np
from cadquery import Face, Solid, Vector
from shapely import MultiPolygon, unary_union

from cad.kernel.layout import outline_in
from cad.kernel.measure import Plane, extent, is_plane
from cad.kernel.shapes import Frame, Triple, flat_face, outline_wire
from cad.outline import polygon

ON_PLANE_MM = 1e-4


def parted(solid: Solid, plane: Plane) -> tuple[list[Solid], list[Solid]]:
    """Return the lumps behind the plane and those in front of it; one is empty where the plane passes by."""
    lumps = solid.split(_sheet(solid, plane)).Solids()
    behind = [lump for lump in lumps if plane.height(lump.Center().toTuple()) < 0]
    front = [lump for lump in lumps if plane.height(lump.Center().toTuple()) >= 0]
    return _in_order(behind), _in_order(front)


def section(solid: Solid, plane: Plane, frame: Frame) -> MultiPolygon:
    """Return where the plane cuts the solid, in the coordinates of a frame that lies in a parallel plane."""
    shape = cq.intersect(_sheet(solid, plane), solid)
    found = unary_union([outline_in(face, frame) for face in shape.Faces()])
    return found if isinstance(found, MultiPolygon) else MultiPolygon([found] if not found.is_empty else [])


def faces_on(solid: Solid, plane: Plane) -> list[Face]:
    """Return the flat faces of a solid that lie in a plane and look the way of its normal, largest first."""
    found = [face for face in solid.Faces() if is_plane(face) and _lies_on(face, plane)]
    return sorted(found, key=lambda face: -float(face.Area()))


def point_on(face: Face) -> Triple:
    """Return a point of a flat face: its middle, or a corner where the middle is a hole or outside it."""
    middle = face.Center()
    on_face = face.distance(cq.vertex(middle)) < ON_PLANE_MM
    point: Triple = middle.toTuple() if on_face else face.Vertices()[0].toTuple()
    return point


def frame_in(plane: Plane, up: Triple) -> Frame:
    """Return a frame in a plane, its normal the plane's, `along` as near to `up` as may be."""
    normal = np.array(plane.normal)
    rising = np.array(up) - normal * (np.array(up) @ normal)
    if np.linalg.norm(rising) < 1e-6:
        rising = np.cross(normal, np.eye(3)[int(np.argmin(np.abs(normal)))])
    along = rising / np.linalg.norm(rising)
    return Frame(plane.point, _triple(np.cross(along, normal)), _triple(along))


def _sheet(solid: Solid, plane: Plane) -> Face:
    """Return a flat face in the plane that reaches beyond the solid on all sides."""
    low, high = extent(solid)
    x, y, z = ((a + b) / 2 for a, b in zip(low, high, strict=True))
    reach, frame = dist(low, high), frame_in(plane, (0, 0, 1))
    square = polygon([(-reach, -reach), (reach, -reach), (reach, reach), (-reach, reach)])
    foot = plane.foot((x, y, z))
    return flat_face(outline_wire(square, Frame(foot, frame.across, frame.along)))


def _lies_on(face: Face, plane: Plane) -> bool:
    level = abs(plane.height(face.Center().toTuple())) < ON_PLANE_MM
    return level and float(face.normalAt().dot(Vector(*plane.normal))) > 1 - 1e-6


def _in_order(lumps: list[Solid]) -> list[Solid]:
    """Return lumps by where they stand, since the kernel gives them in no promised order."""
    return sorted(lumps, key=lambda lump: tuple(round(c, 3) for c in lump.Center().toTuple()))


def _triple(v: np.ndarray) -> Triple:
    x, y, z = (float(c) for c in v)
    return (x, y, z)
