"""Triangles of a solid, made once and shared by every format that wants them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from cadquery import Face, Shape, Solid
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopLoc import TopLoc_Location

from cad.kernel.lettered import lettering_of, unlettered
from cad.kernel.page_mesh import joined, written

CHORD_MM = 0.01  # how far a triangle may stand off the true surface
ANGLE_RAD = 0.2
MERGE_MM = 1e-6


@dataclass(frozen=True, eq=False)
class Mesh:
    """Closed triangle mesh: `points` (n, 3) in mm, `triangles` (m, 3) indices, outward by the right hand."""

    points: NDArray[np.float64]
    triangles: NDArray[np.int64]

    @property
    def volume(self) -> float:
        """Return the enclosed volume in mm³ by the divergence theorem."""
        a, b, c = (self.points[self.triangles[:, i]] for i in range(3))
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)

    def moved(self, matrix: NDArray[np.float64]) -> Mesh:
        """Return the mesh moved by a 4 × 4 matrix."""
        return Mesh(self.points @ matrix[:3, :3].T + matrix[:3, 3], self.triangles)


def tessellate(solid: Solid, chord_mm: float = CHORD_MM) -> Mesh:
    """Return the solid's triangles, corners shared between faces, within `chord_mm` of the true surface."""
    before, lettering = unlettered(solid), lettering_of(solid)
    # Solids share faces with those they were cut from, and triangles left on these by another would be taken
    # over: a copy has none, and leaves none.
    bare = Shape.cast(BRepBuilderAPI_Copy(before.wrapped, False, False).Shape())
    BRepMesh_IncrementalMesh(bare.wrapped, chord_mm, False, ANGLE_RAD, True)
    parts = []
    for face, meshed in zip(before.Faces(), bare.Faces(), strict=True):
        part = _patch(meshed)
        if lettering:
            for page in lettering.pages:
                if page.face.isSame(face):
                    part = written(*part, page, lettering.depth_mm)
        parts.append(part)
    return _merged(*joined(parts))


def _patch(face: Face) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Return the triangles that the kernel made of a face: corners and indices, outward by the right hand."""
    place = TopLoc_Location()
    patch = BRep_Tool.Triangulation_s(face.wrapped, place)
    # The kernel counts from 1.
    points = np.array([patch.Node(i).Coord() for i in range(1, patch.NbNodes() + 1)])
    if not place.IsIdentity():
        move = place.Transformation()
        x, y, z = points.T
        rows = [[move.Value(i, j) for j in range(1, 5)] for i in range(1, 4)]
        points = np.column_stack([a * x + b * y + c * z + d for a, b, c, d in rows])
    triangles = np.array([patch.Triangle(i).Get() for i in range(1, patch.NbTriangles() + 1)]) - 1
    reverse = face.wrapped.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
    return points, triangles[:, ::-1] if reverse else triangles


def _merged(points: NDArray[np.float64], triangles: NDArray[np.int64]) -> Mesh:
    """Return the mesh with coincident corners made one and triangles that vanish by it dropped."""
    keys = np.round(points / MERGE_MM).astype(np.int64)
    _, first, inverse = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    renamed = inverse.reshape(-1)[triangles]
    a, b, c = renamed.T
    return Mesh(points[first], renamed[(a != b) & (b != c) & (c != a)])
