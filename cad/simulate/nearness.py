"""How far points lie from triangles in space: the last word on a suspect depth, where edges make it less."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

PAIRS_AT_ONCE = 200_000


def distance_to(corners: Floats, points: Floats) -> Floats:
    """Return the least distance from each point, shape (n, 3), to any of the triangles, shape (m, 3, 3)."""
    found = np.full(len(points), np.inf)
    step = max(PAIRS_AT_ONCE // max(len(points), 1), 1)
    for first in range(0, len(corners), step):
        found = np.minimum(found, _least(corners[first : first + step], points))
    return found


def _least(corners: Floats, points: Floats) -> Floats:
    a = corners[None, :, 0]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal = normal / np.maximum(np.linalg.norm(normal, axis=1), 1e-12)[:, None]
    off = np.abs(((points[:, None] - a) * normal).sum(axis=2))
    over = np.ones(off.shape, dtype=bool)  # whether the foot of the perpendicular lies in the triangle
    edges = np.full(off.shape, np.inf)
    for i in range(3):
        start = corners[:, i]
        way = corners[:, (i + 1) % 3] - start
        from_start = points[:, None] - start[None]
        over &= (np.cross(normal, way)[None] * from_start).sum(axis=2) >= 0
        along = (from_start * way).sum(axis=2) / np.maximum((way**2).sum(axis=1), 1e-24)
        beside = from_start - np.clip(along, 0.0, 1.0)[:, :, None] * way
        edges = np.minimum(edges, np.linalg.norm(beside, axis=2))
    least: Floats = np.where(over, off, edges).min(axis=1)
    return least
