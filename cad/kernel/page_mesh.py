"""Triangles of a lettered face: of the face around its letters, and of the pockets that are the letters.

Walls and floors of pockets are flat and their outlines polygons, so that nothing of them need be found out by
the kernel, which takes a tenth of a millisecond for each and meets thousands.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import manifold3d
import numpy as np
from numpy.typing import NDArray

from cad.kernel.shapes import Frame

if TYPE_CHECKING:
    from shapely import LinearRing, Polygon

    from cad.kernel.layout import Page

Points = NDArray[np.float64]
Triangles = NDArray[np.int64]


def written(points: Points, triangles: Triangles, page: Page, depth_mm: float) -> tuple[Points, Triangles]:
    """Return the triangles of a page with its letters cut in: corners (n, 3) in mm, indices (m, 3).

    `points` and `triangles` are those of the page before, outward by the right hand; along its outline the
    corners stay as they are, so that the page still meets its neighbours.
    """
    frame = page.frame
    outline = [points[loop] for loop in _loops(triangles)]
    rings = [ring for words in page.words for patch in words.patches.geoms for ring in _rings(patch)]
    rims = [_placed(ring, frame) for ring in rings]
    floors = [rim - depth_mm * np.array(frame.normal) for rim in rims]
    # The page runs round a rim the other way than the pocket does.
    around = [*(_flat(loop, frame) for loop in outline), *(ring[::-1] for ring in rings)]
    top = np.concatenate([*outline, *(rim[::-1] for rim in rims)]), _filled(around)
    bottom = np.concatenate(floors), _filled(rings)
    walls = [(np.concatenate(pair), _walls(len(pair[0]))) for pair in zip(rims, floors, strict=True)]
    return joined([top, bottom, *walls])


def joined(parts: list[tuple[Points, Triangles]]) -> tuple[Points, Triangles]:
    """Return meshes as one, corner after corner."""
    starts = np.cumsum([0, *(len(points) for points, _ in parts)])
    moved = [triangles + start for (_, triangles), start in zip(parts, starts, strict=False)]
    return np.concatenate([points for points, _ in parts]), np.concatenate(moved)


def _loops(triangles: Triangles) -> Iterator[list[int]]:
    """Yield the corners round the outline of a face and round each hole in it, the face on their left."""
    sides = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    edges = {(a, b) for a, b in sides.tolist()}
    after = {a: b for a, b in edges if (b, a) not in edges}
    while after:
        start, here = after.popitem()
        loop = [start]
        while here != start:
            loop.append(here)
            here = after.pop(here)
        yield loop


def _rings(patch: Polygon) -> Iterator[Points]:
    """Yield the outer ring of a patch counter-clockwise and its holes clockwise, each point once."""
    yield _ring(patch.exterior, patch.exterior.is_ccw)
    for hole in patch.interiors:
        yield _ring(hole, not hole.is_ccw)


def _ring(ring: LinearRing, keep: bool) -> Points:
    points = np.asarray(ring.coords, dtype=np.float64)[:-1]
    return points if keep else points[::-1]


def _placed(ring: Points, frame: Frame) -> Points:
    """Return points (n, 2) of a frame's plane in space, to the last digit where the kernel has them."""
    return np.array([frame.point((a, b)) for a, b in ring.tolist()])


def _flat(points: Points, frame: Frame) -> Points:
    return np.asarray((points - np.array(frame.origin)) @ np.array([frame.across, frame.along]).T)


def _filled(rings: list[Points]) -> Triangles:
    """Return triangles within rings, counter-clockwise or, round a hole, clockwise."""
    return np.asarray(manifold3d.triangulate(rings), dtype=np.int64)


def _walls(count: int) -> Triangles:
    """Return the triangles between a rim and the floor below it, facing what lies left of the rim."""
    here = np.arange(count)
    after = np.roll(here, -1)
    upper = np.column_stack([here, after, after + count])
    return np.concatenate([upper, np.column_stack([here, after + count, here + count])])
