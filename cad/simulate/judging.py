"""The stock after all programs held against the parts: how deep into them, and what was left on them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, STRtree, contains_xy, linestrings, points

from cad.simulate.finding import Place
from cad.simulate.job import Allowances, Job, Spared
from cad.simulate.nearness import distance_to
from cad.simulate.reach import downwards, sideways
from cad.simulate.removing import Wood
from cad.simulate.strokes import Floats, Pass
from cad.simulate.wanted import (
    ASIDE_MM,
    LEVEL,
    Facets,
    facets,
    feet_under,
    heights,
    slopes,
    wall_lines,
    walls,
)

MOST_CELLS = 100_000  # suspect cells looked at one by one; of more, evenly spread ones
MOST_POINTS = 5000  # suspect ones of each part that are held against its triangles
SEEN_MM = 1.0  # of more wood left at a wall it is only said that it is at least so much
LEVELS = 24  # heights at which wood on a wall is measured
SPARED_SLACK_MM = 0.01  # on the outline of what is spared


@dataclass(frozen=True)
class Fault:
    """How much too much or too little was cut, mm along the normal, where, on which part, by which move.

    Of wood that is left it is the move that came nearest; -1 where none did.
    """

    mm: float
    place: Place
    part: int
    move: int


@dataclass(frozen=True)
class Judged:
    """The worst of each part on one kind of face, whether allowed or not."""

    gouges: tuple[Fault, ...]
    left: tuple[Fault, ...]


@dataclass(frozen=True)
class Verdict:
    """What was found on plumb faces, sloped ones and level ones."""

    walls: Judged
    slopes: Judged
    levels: Judged


def judge(job: Job, wood: Wood, passes: Sequence[Pass], tell: Callable[[float], None]) -> Verdict:
    """Return the deepest gouge into each part and the most wood left on it, for each kind of face.

    Walls and slopes are judged at points of their own, from the strokes; level faces from the cells.
    """
    found = facets(job.parts)
    on_walls = _on_walls(job, found, passes)
    tell(0.4)
    on_slopes = _on_slopes(job.allowances, found, passes)
    tell(0.7)
    return Verdict(on_walls, on_slopes, _on_levels(job.allowances, found, wood))


def _on_walls(job: Job, found: Facets, passes: Sequence[Pass]) -> Judged:
    wall, allowed = walls(found), job.allowances
    foot = np.maximum(wall.foot, _spared_tops(allowed.spared, *wall.xy.T))
    high, low = wall.top - allowed.gouge_mm, foot + allowed.left_mm
    beyond, short = sideways(passes, wall.xy, (high, low), SEEN_MM)
    deep = high > wall.foot
    gouges = _worst(
        beyond.mm[deep], np.column_stack([wall.xy, high])[deep], wall.part[deep], beyond.move[deep]
    )

    asked = (low < wall.top) & _in_stock(job, wall.xy + ASIDE_MM * wall.out)
    left = np.minimum(-short.mm[asked], SEEN_MM)
    doubtful = np.flatnonzero(left > allowed.left_mm)
    at = np.flatnonzero(asked)[doubtful]
    left[doubtful] = _thick(passes, wall.xy[at], foot[at], wall.top[at], allowed.left_mm)
    places = np.column_stack([wall.xy, foot])[asked]
    return Judged(gouges, _worst(left, places, wall.part[asked], short.move[asked]))


def _thick(passes: Sequence[Pass], xy: Floats, foot: Floats, top: Floats, least_mm: float) -> Floats:
    """Return how thick the wood is that stands on walls: as thick as it is, or as high where it is less.

    A skin on the floor beside a wall is no thicker than the cutter stayed above the floor.
    """
    found = np.full(len(xy), least_mm)
    if not len(xy):
        return found
    heights = np.geomspace(least_mm, max(SEEN_MM, 2 * least_mm), LEVELS)[1:]
    levels = [np.where(foot + high < top, foot + high, -np.inf) for high in heights]
    for high, level, short in zip(heights, levels, sideways(passes, xy, levels, SEEN_MM), strict=True):
        there = np.where(np.isfinite(level), np.minimum(-short.mm, high), least_mm)
        found = np.maximum(found, there)
    return found


def _on_slopes(allowed: Allowances, found: Facets, passes: Sequence[Pass]) -> Judged:
    slope = slopes(found)
    reached = downwards(passes, slope.xyz)
    below = np.maximum(reached.mm, slope.xyz[:, 2])  # untouched wood stands up to z = 0
    wood = slope.xyz - np.outer(below, (0.0, 0.0, 1.0))
    deep = _true(below * slope.up, allowed.gouge_mm, wood, slope.xyz[:, 2], slope.part, found)
    asked = wood[:, 2] > _spared_tops(allowed.spared, *wood[:, :2].T) + allowed.ridge_mm
    part = slope.part[asked]
    face = slope.xyz[asked, 2]
    high = _true((-below * slope.up)[asked], allowed.ridge_mm, wood[asked], face, part, found)
    gouges = _worst(deep, slope.xyz, slope.part, reached.move)
    return Judged(gouges, _worst(high, slope.xyz[asked], part, reached.move[asked]))


def _on_levels(allowed: Allowances, found: Facets, wood: Wood) -> Judged:
    want, facet = heights(found, wood.grid)
    level = np.append(found.normal[:, 2] >= LEVEL, False)[facet]
    over = np.where(level, wood.height - want, 0.0)

    def worst(suspect: NDArray[np.bool_], allowed_mm: float, spared: Sequence[Spared]) -> tuple[Fault, ...]:
        rows, columns = np.nonzero(suspect)
        every = -(-len(rows) // MOST_CELLS) or 1
        rows, columns = rows[::every], columns[::every]
        x, y = wood.grid.x[columns], wood.grid.y[rows]
        height = wood.height[rows, columns].astype(np.float64)
        asked = height > _spared_tops(spared, x, y) + allowed_mm
        rows, columns = rows[asked], columns[asked]
        at = np.column_stack([x, y, height])[asked]
        part, off = found.part[facet[rows, columns]], over[rows, columns]
        mm = _true(np.abs(off), allowed_mm, at, at[:, 2] - off, part, found)
        return _worst(mm, at, part, wood.taken_by[rows, columns].astype(np.int64))

    return Judged(
        worst(over < -allowed.gouge_mm, allowed.gouge_mm, ()),
        worst(over > allowed.left_mm, allowed.left_mm, allowed.spared),
    )


def _true(
    mm: Floats, allowed_mm: float, wood: Floats, face: Floats, part: NDArray[np.int64], found: Facets
) -> Floats:
    """Return depths or heights over faces made true where they are more than is allowed.

    Beside an edge the surface of the wood lies nearer to another face of its part than to the one below it.
    First the lines of the walls are asked, which is quick, then for the worst of each part its triangles.
    `wood` are the places where the wood ends, `face` the heights of the faces there. What is cut through a
    part is deepest half way down.
    """
    true, lines = mm.copy(), wall_lines(found)
    suspect = np.flatnonzero(mm > allowed_mm)
    if len(suspect) and len(lines):
        spots = points(wood[suspect, 0], wood[suspect, 1])
        tree = STRtree(linestrings(lines))
        _, off = tree.query_nearest(spots, return_distance=True, all_matches=False)
        true[suspect] = np.minimum(true[suspect], off)
    for one in np.unique(part[suspect]):
        of_part = suspect[(part[suspect] == one) & (true[suspect] > allowed_mm)]
        worst = of_part[np.argsort(-true[of_part], kind="stable")[:MOST_POINTS]]
        of_one = found.part == one
        alone = Facets(found.corners[of_one], found.normal[of_one], found.part[of_one])
        ends = wood[worst].copy()
        feet = feet_under(alone, np.column_stack([ends[:, :2], face[worst]]))
        ends[:, 2] = np.maximum(ends[:, 2], (feet + face[worst]) / 2)
        true[worst] = np.minimum(true[worst], distance_to(alone.corners, ends))
    return true


def _in_stock(job: Job, xy: Floats) -> NDArray[np.bool_]:
    low_x, low_y, high_x, high_y = job.stock.bounds
    x, y = xy.T
    inside: NDArray[np.bool_] = (low_x < x) & (x < high_x) & (low_y < y) & (y < high_y)
    return inside


def _spared_tops(spared: Sequence[Spared], x: Floats, y: Floats) -> Floats:
    """Return how high wood may be left at places; -inf where it may not."""
    tops = np.full(len(x), -np.inf)
    for one in spared:
        inside = contains_xy(Polygon(one.ring).buffer(SPARED_SLACK_MM), x, y)
        tops[inside] = np.maximum(tops[inside], one.top_mm)
    return tops


def _worst(
    mm: Floats, places: Floats, part: NDArray[np.int64], moves: NDArray[np.int64]
) -> tuple[Fault, ...]:
    """Return the greatest of each part that is greater than 0."""
    faults = []
    for one in np.unique(part):
        at = np.flatnonzero(part == one)
        worst = at[mm[at].argmax()]
        if mm[worst] > 0:
            x, y, z = (float(value) for value in places[worst])
            faults.append(Fault(float(mm[worst]), (x, y, z), int(one), int(moves[worst])))
    return tuple(faults)
