"""Triangles of a solid, made once and shared by every format that wants them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from cadquery import Solid
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopLoc import TopLoc_Location

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
    BRepMesh_IncrementalMesh(solid.wrapped, chord_mm, False, ANGLE_RAD, True)
    points: list[tuple[float, float, float]] = []
    triangles: list[tuple[int, int, int]] = []
    # Plain lists while gathering: a lettered solid has hundreds of faces of two triangles each.
    for face in solid.Faces():
        place = TopLoc_Location()
        patch = BRep_Tool.Triangulation_s(face.wrapped, place)
        nodes = (patch.Node(i) for i in range(1, patch.NbNodes() + 1))
        if not place.IsIdentity():
            move = place.Transformation()
            nodes = (node.Transformed(move) for node in nodes)
        before = len(points) - 1  # the kernel counts from 1
        points += [node.Coord() for node in nodes]
        corners = (patch.Triangle(i).Get() for i in range(1, patch.NbTriangles() + 1))
        if face.wrapped.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
            triangles += [(c + before, b + before, a + before) for a, b, c in corners]
        else:
            triangles += [(a + before, b + before, c + before) for a, b, c in corners]
    return _joined(np.array(points), np.array(triangles))


def _joined(points: NDArray[np.float64], triangles: NDArray[np.int64]) -> Mesh:
    """Return the mesh with coincident corners made one and triangles that vanish by it dropped."""
    keys = np.round(points / MERGE_MM).astype(np.int64)
    _, first, inverse = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    joined = inverse.reshape(-1)[triangles]
    a, b, c = joined.T
    return Mesh(points[first], joined[(a != b) & (b != c) & (c != a)])
