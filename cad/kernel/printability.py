"""What a printer makes of a mesh as it lies on the bed: its thinnest wall, narrowest gap and overhangs.

Walls and gaps are measured along rays square to the surface, cast through the mesh by manifold3d, a mesh
library that shares no code with the kernel that made the solid. Two faces bound a wall where they look away
from each other within EDGE_DEG, and a gap where they look at each other within NOTCH_DEG: faces at a wider
angle meet in an edge or a corner, and taper to nothing there as every edge does.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, inf, radians, sin

import manifold3d
import numpy as np
from numpy.typing import NDArray

from cad.kernel.mesh import Mesh
from cad.kernel.shapes import Triple

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

OVERHANG_DEG = 45.0  # from plumb, that prints without support; common practice, no source
LEAN_DEG = 0.05  # a face at the limit itself is no overhang
ON_BED_MM = 0.45  # what reaches no higher lies on the bed, or hangs a layer over it: first-layer reliefs do
EDGE_DEG, NOTCH_DEG = 29.0, 15.0
NEAR_MM = 6.0  # walls are sought within this: most pieces have one
GAP_MM = 3.0  # wider gaps are open space
SELF_MM = 1e-4  # a hit nearer than this to where a ray was aimed is the surface itself
INSET_MM = 0.05  # how far within its triangle a corner is probed
SPECK_MM2 = 2e-3  # smaller triangles are not probed
FINE_MM2, BROAD_MM2, PITCH_MM = 1.0, 40.0, 6.0


@dataclass(frozen=True)
class Spot:
    """A length measured at a point of the surface, both in mm."""

    mm: float
    at: Triple


@dataclass(frozen=True, eq=False)
class Probes:
    """Points of the surface (n, 3), the outward normals there, and the wall behind and gap before each.

    `walls` and `gaps` (n,) are in mm, infinite where nothing faces the point; `squareness` (n,) is the
    cosine of the angle by which the two sides of a wall differ, 0 where there is none.
    """

    points: Array
    normals: Array
    walls: Array
    gaps: Array
    squareness: Array

    @property
    def behind(self) -> Array:
        """Return the points (n, 3) on the other side of each wall, infinitely far where there is none."""
        return self.points - self.normals * np.where(np.isfinite(self.walls), self.walls, 1e9)[:, None]

    def thinnest(self, where: Mask) -> Spot | None:
        """Return the thinnest wall among some of the points, or None."""
        return _least(self.walls, self.points, where)

    def narrowest(self, where: Mask) -> Spot | None:
        """Return the narrowest gap among some of the points, or None when all are wider than GAP_MM."""
        return _least(self.gaps, self.points, where)


@dataclass(frozen=True, eq=False)
class Overhangs:
    """The triangles that hang over more than 45° from plumb, off the bed: middles (n, 3) and areas (n,)."""

    middles: Array
    areas: Array

    def area(self, where: Mask | None = None) -> float:
        """Return the area of all of them, or of some, in mm²."""
        return float(self.areas.sum() if where is None else self.areas[where].sum())


def probes(mesh: Mesh, reach: float = NEAR_MM) -> Probes:
    """Return walls, sought `reach` mm deep, and gaps measured all over a closed mesh.

    Raises ValueError when the mesh is not closed.
    """
    points, normals = _samples(mesh)
    return Probes(points, normals, *_cast(_manifold(mesh), points, normals, reach))


def overhangs(mesh: Mesh) -> Overhangs:
    """Return what hangs over in a mesh that lies on z = 0."""
    corners = mesh.points[mesh.triangles]
    turned = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    double = np.linalg.norm(turned, axis=1)
    steep = turned[:, 2] < -sin(radians(OVERHANG_DEG + LEAN_DEG)) * double
    lifted = corners[:, :, 2].max(axis=1) > ON_BED_MM
    hanging = steep & lifted
    return Overhangs(corners[hanging].mean(axis=1), double[hanging] / 2)


def _manifold(mesh: Mesh) -> manifold3d.Manifold:
    made = manifold3d.Manifold(
        manifold3d.Mesh64(
            np.ascontiguousarray(mesh.points), np.ascontiguousarray(mesh.triangles.astype(np.uint64))
        )
    )
    if made.status() != manifold3d.Error.NoError:
        raise ValueError(f"the mesh is not closed: {made.status()}")
    return made


def _samples(mesh: Mesh) -> tuple[Array, Array]:
    """Return points all over the mesh and the normals there.

    Every triangle is probed in its middle; one of some size near its corners too, where a wall that tapers
    is thinnest; a broad one also between, since what lies behind it may be small.
    """
    corners = mesh.points[mesh.triangles]
    turned = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    double = np.linalg.norm(turned, axis=1)
    kept = double > 2 * SPECK_MM2
    corners, double = corners[kept], double[kept]
    normals, area = turned[kept] / double[:, None], double / 2
    fine, middles = area > FINE_MM2, corners.mean(axis=1)
    inward = middles[fine, None, :] - corners[fine]
    reach = np.linalg.norm(inward, axis=2, keepdims=True)
    insets = corners[fine] + inward * np.minimum(INSET_MM / reach, 0.5)
    points = [middles, insets.reshape(-1, 3)]
    facing = [normals, np.repeat(normals[fine], 3, axis=0)]
    for triangle, normal, size in zip(*(a[area > BROAD_MM2] for a in (corners, normals, area)), strict=True):
        lattice = _lattice(min(int(np.ceil(np.sqrt(size) / PITCH_MM)), 8)) @ triangle
        points.append(lattice)
        facing.append(np.broadcast_to(normal, lattice.shape))
    return np.concatenate(points), np.concatenate(facing)


def _lattice(count: int) -> Array:
    """Return barycentric weights (n, 3) of points spread over a triangle, `count` + 1 along a side."""
    steps = [(i, j, count - i - j) for i in range(count + 1) for j in range(count + 1 - i)]
    inside = (np.array(steps, dtype=np.float64) + 1 / 3) / (count + 1)
    return np.asarray(inside)


def _cast(
    whole: manifold3d.Manifold, points: Array, normals: Array, reach: float
) -> tuple[Array, Array, Array]:
    """Return for each point the wall behind it, sought `reach` deep, the gap before it, the squareness."""
    starts, ends = points + normals * GAP_MM, points - normals * reach
    edge, notch = -cos(radians(EDGE_DEG)), -cos(radians(NOTCH_DEG))
    found = np.tile((inf, inf, 0.0), (len(points), 1))
    rows = zip(starts.tolist(), ends.tolist(), normals.tolist(), strict=True)
    for i, (start, end, (x, y, z)) in enumerate(rows):
        before, behind, square = inf, inf, 0.0
        for hit in whole.ray_cast(start, end):  # nearest first
            far, (nx, ny, nz) = hit.distance * (GAP_MM + reach), hit.normal
            facing = x * nx + y * ny + z * nz
            if SELF_MM < far < GAP_MM - SELF_MM:
                before = GAP_MM - far if facing <= notch else inf
            elif far > GAP_MM + SELF_MM:
                if facing <= edge:
                    behind, square = far - GAP_MM, -facing
                break
        found[i] = behind, before, square
    return found[:, 0], found[:, 1], found[:, 2]


def _least(lengths: Array, points: Array, where: Mask) -> Spot | None:
    some = np.flatnonzero(where & np.isfinite(lengths))
    if not len(some):
        return None
    least = some[int(np.argmin(lengths[some]))]
    x, y, z = points[least].tolist()
    return Spot(float(lengths[least]), (x, y, z))
