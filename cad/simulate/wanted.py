"""What must remain, read off triangles: its height over each cell, and points on its walls and slopes.

Level faces are judged cell by cell. A wall is judged at points along its triangles, by how far the cutter
reached towards it; a slope at points spread over its triangles, by the height left over them. Both are exact
at their points, whatever the size of the cells. What cannot be seen from above is not asked for.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree, box, points

from cad.simulate.grid import Grid
from cad.simulate.job import Part

WALL = 1e-4  # greatest upward part of the normal of a face that stands plumb
LEVEL = 1 - 1e-7
STEP_MM = 0.5  # between points on walls and slopes
ASIDE_MM = 0.02  # how far outside a wall it is asked what hangs over it
SLACK_MM = 0.01
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Walls:
    """Points along plumb faces: place, height of the wall's foot and top there, outward way, and part."""

    xy: Floats
    foot: Floats
    top: Floats
    out: Floats
    part: Ints


@dataclass(frozen=True, eq=False)
class Slopes:
    """Points on faces that are neither level nor plumb: place, upward part of the normal, and part."""

    xyz: Floats
    up: Floats
    part: Ints


@dataclass(frozen=True, eq=False)
class Facets:
    """The triangles of all parts: corners of shape (n, 3, 3) in mm, unit normals, and part."""

    corners: Floats
    normal: Floats
    part: Ints


def facets(parts: tuple[Part, ...]) -> Facets:
    """Return the triangles of all parts, those without an area left out."""
    corners = [part.points[part.triangles] for part in parts]
    owner = np.repeat(np.arange(len(parts)), [len(one) for one in corners])
    every = np.concatenate(corners) if corners else np.empty((0, 3, 3))
    normal = np.cross(every[:, 1] - every[:, 0], every[:, 2] - every[:, 0])
    size = np.linalg.norm(normal, axis=1)
    sound = size > 1e-9
    return Facets(every[sound], normal[sound] / size[sound, None], owner[sound])


def heights(found: Facets, grid: Grid) -> tuple[NDArray[np.float32], NDArray[np.int32]]:
    """Return the parts' height over each cell's middle, nan where there is none, and the facet, or -1."""
    upper = np.flatnonzero(found.normal[:, 2] > WALL)
    height = np.full((grid.rows, grid.columns), -np.inf)
    facet = np.full(height.shape, -1, np.int32)
    rows, columns, which = _covered(found.corners[upper], grid)
    normal, corner = found.normal[upper][which], found.corners[upper][which, 0]
    rise = normal[:, 0] * (grid.x[columns] - corner[:, 0]) + normal[:, 1] * (grid.y[rows] - corner[:, 1])
    z = corner[:, 2] - rise / normal[:, 2]
    np.maximum.at(height, (rows, columns), z)
    seen = z >= height[rows, columns] - 1e-9
    facet[rows[seen], columns[seen]] = upper[which[seen]]
    height[np.isinf(height)] = np.nan
    return height.astype(np.float32), facet


def _covered(corners: Floats, grid: Grid) -> tuple[Ints, Ints, Ints]:
    """Return row, column and triangle of every cell whose middle lies under a triangle."""
    flat = corners[:, :, :2]
    low = np.maximum(np.ceil((flat[:, :, 1].min(axis=1) - grid.first[1]) / grid.cell_mm - 1e-9), 0)
    high = np.minimum(
        np.floor((flat[:, :, 1].max(axis=1) - grid.first[1]) / grid.cell_mm + 1e-9), grid.rows - 1
    )
    which, rows = _spread(low.astype(np.int64), high.astype(np.int64))
    y = grid.first[1] + grid.cell_mm * rows
    left, right = np.full(len(which), np.inf), np.full(len(which), -np.inf)
    for one, two in ((0, 1), (1, 2), (2, 0)):
        (ax, ay), (bx, by) = flat[which, one].T, flat[which, two].T
        run = np.where(np.abs(by - ay) < 1e-12, 1.0, by - ay)
        share = np.clip((y - ay) / run, 0.0, 1.0)
        x = ax + (bx - ax) * share
        # An edge that the row passes by says nothing of it; the slack closes the seam between two triangles.
        met = np.abs(ay + (by - ay) * share - y) < 1e-6 * grid.cell_mm
        left, right = np.where(met, np.minimum(left, x), left), np.where(met, np.maximum(right, x), right)
    first = np.ceil((left - grid.first[0]) / grid.cell_mm - 1e-6)
    last = np.floor((right - grid.first[0]) / grid.cell_mm + 1e-6)
    some = np.isfinite(left)
    first, last = (
        np.where(some, np.maximum(first, 0), 1),
        np.where(some, np.minimum(last, grid.columns - 1), 0),
    )
    span, columns = _spread(first.astype(np.int64), last.astype(np.int64))
    return rows[span], columns, which[span]


def _spread(first: Ints, last: Ints) -> tuple[Ints, Ints]:
    """Return, for ranges from first to last, the number of the range and each whole number in it."""
    count = np.maximum(last - first + 1, 0)
    which = np.repeat(np.arange(len(count)), count)
    before = np.repeat(np.cumsum(count) - count, count)
    return which, first[which] + np.arange(len(which)) - before


def walls(found: Facets) -> Walls:
    """Return points along the plumb triangles, at most STEP_MM apart, each with the wall's reach there."""
    plumb = np.flatnonzero(np.abs(found.normal[:, 2]) <= WALL)
    corners, out = found.corners[plumb], found.normal[plumb][:, :2]
    out = out / np.linalg.norm(out, axis=1, keepdims=True)
    along = _turned(out)
    at = np.einsum("nij,nj->ni", corners[:, :, :2], along)
    low, high = at.min(axis=1), at.max(axis=1)
    count = np.maximum(np.ceil((high - low) / STEP_MM).astype(np.int64), 1)
    which, step = _spread(np.zeros_like(count), count - 1)
    place = low[which] + (high - low)[which] * (step + 0.5) / count[which]
    foot, top = _upright_span(at[which], corners[which, :, 2], place)
    start = corners[which, 0, :2]
    xy = start + along[which] * (place - at[which, 0])[:, None]
    joined = _joined(Walls(xy, foot, top, out[which], found.part[plumb][which]))
    return _some(joined, joined.top > tops_over(found, joined.xy + ASIDE_MM * joined.out) + SLACK_MM)


def _joined(wall: Walls) -> Walls:
    """Return points of walls with those over each other made one, from the lowest foot to the highest top."""
    keys = np.round(np.column_stack([wall.xy, wall.out, wall.part]), 5) + 0.0
    _, first, which = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    foot, top = np.full(len(first), np.inf), np.full(len(first), -np.inf)
    np.minimum.at(foot, which, wall.foot)
    np.maximum.at(top, which, wall.top)
    return Walls(wall.xy[first], foot, top, wall.out[first], wall.part[first])


def _some(wall: Walls, which: NDArray[np.bool_]) -> Walls:
    return Walls(wall.xy[which], wall.foot[which], wall.top[which], wall.out[which], wall.part[which])


def tops_over(found: Facets, xy: Floats) -> Floats:
    """Return the height of the highest face over points, exactly; -inf where there is none.

    Where nothing hangs over anything there is no need to know: -inf everywhere.
    """
    tops = np.full(len(xy), -np.inf)
    if _hangs_over(found):
        point, height = _met(found, np.flatnonzero(found.normal[:, 2] > WALL), xy)
        np.maximum.at(tops, point, height)
    return tops


def feet_under(found: Facets, xyz: Floats) -> Floats:
    """Return how far down the part goes under points on it: the height of the next face that looks down."""
    feet = np.full(len(xyz), -np.inf)
    point, height = _met(found, np.flatnonzero(found.normal[:, 2] < -WALL), xyz[:, :2])
    below = height <= xyz[point, 2]
    np.maximum.at(feet, point[below], height[below])
    return feet


def _met(found: Facets, some: Ints, xy: Floats) -> tuple[Ints, Floats]:
    """Return each point that lies over or under one of some facets, and the facet's height there."""
    flat = found.corners[some][:, :, :2]
    boxes = box(*flat.min(axis=1).T, *flat.max(axis=1).T)
    point, which = STRtree(boxes).query(points(xy))
    corner, p = flat[which], xy[point]
    turns = np.array([_turn(corner[:, i], corner[:, (i + 1) % 3], p) for i in range(3)])
    inside = (turns.min(axis=0) >= -1e-9) | (turns.max(axis=0) <= 1e-9)
    point, which = point[inside], some[which[inside]]
    normal, start = found.normal[which], found.corners[which, 0]
    rise = ((xy[point] - start[:, :2]) * normal[:, :2]).sum(axis=1)
    return point, start[:, 2] - rise / normal[:, 2]


def _turn(a: Floats, b: Floats, p: Floats) -> Floats:
    """Return twice the signed area of triangles a, b, p: positive where p lies to the left of a to b."""
    (dx, dy), (px, py) = (b - a).T, (p - a).T
    area: Floats = dx * py - dy * px
    return area


def _hangs_over(found: Facets) -> bool:
    """Return whether a face looks down anywhere but on the bed of its part."""
    down = found.normal[:, 2] < -WALL
    lowest = np.full(found.part.max(initial=0) + 1, np.inf)
    np.minimum.at(lowest, found.part, found.corners[:, :, 2].min(axis=1))
    return bool((found.corners[down][:, :, 2].max(axis=1) > lowest[found.part[down]] + SLACK_MM).any())


def _upright_span(at: Floats, z: Floats, place: Floats) -> tuple[Floats, Floats]:
    """Return the least and greatest height of upright triangles at a place along each."""
    foot, top = np.full(len(place), np.inf), np.full(len(place), -np.inf)
    for one, two in ((0, 1), (1, 2), (2, 0)):
        run = at[:, two] - at[:, one]
        share = (place - at[:, one]) / np.where(np.abs(run) < 1e-12, np.inf, run)
        height = z[:, one] + (z[:, two] - z[:, one]) * share
        met = (np.abs(run) >= 1e-12) & (share >= -1e-9) & (share <= 1 + 1e-9)
        foot, top = np.where(met, np.minimum(foot, height), foot), np.where(met, np.maximum(top, height), top)
    return foot, top


def wall_lines(found: Facets) -> Floats:
    """Return the plumb triangles seen from above: lines from end to end, shape (n, 2, 2)."""
    plumb = np.abs(found.normal[:, 2]) <= WALL
    flat = found.corners[plumb][:, :, :2]
    along = np.einsum("nij,nj->ni", flat, _turned(found.normal[plumb][:, :2]))
    rows = np.arange(len(flat))
    return np.stack([flat[rows, along.argmin(axis=1)], flat[rows, along.argmax(axis=1)]], axis=1)


def _turned(way: Floats) -> Floats:
    """Return ways in the plane turned a quarter to the left."""
    return np.stack([-way[:, 1], way[:, 0]], axis=1)


def slopes(found: Facets) -> Slopes:
    """Return points on the sloped triangles that look up, at most about STEP_MM apart each way."""
    up = found.normal[:, 2]
    sloped = np.flatnonzero((up > WALL) & (up < LEVEL))
    corners = _longest_first(found.corners[sloped])
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    base = np.linalg.norm(b - a, axis=1)
    tall = np.linalg.norm(np.cross(b - a, c - a), axis=1) / np.maximum(base, 1e-12)
    columns, rows = (np.maximum(np.ceil(size / STEP_MM).astype(np.int64), 1) for size in (base, tall))
    which, step = _spread(np.zeros_like(columns), columns * rows - 1)
    # A rectangle of points, folded into the triangle: a share t of the way to the tip, s along what is left.
    t = 1 - np.sqrt(1 - (step // columns[which] + 0.5) / rows[which])
    s = (step % columns[which] + 0.5) / columns[which]
    foot = a[which] + (b - a)[which] * s[:, None]
    xyz = foot + (c[which] - foot) * t[:, None]
    seen = tops_over(found, xyz[:, :2]) < xyz[:, 2] + SLACK_MM
    return Slopes(xyz[seen], up[sloped][which][seen], found.part[sloped][which][seen])


def _longest_first(corners: Floats) -> Floats:
    """Return triangles turned so that their longest edge is the first."""
    edges = np.linalg.norm(np.roll(corners, -1, axis=1) - corners, axis=2)
    order = (edges.argmax(axis=1)[:, None] + np.arange(3)) % 3
    return np.take_along_axis(corners, order[:, :, None], axis=1)
