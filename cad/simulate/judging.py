"""The stock after all programs held against the parts: how deep into them, and what was left on them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, STRtree, contains_xy, linestrings, points

from cad.simulate.finding import Place
from cad.simulate.job import Allowances, Job, Spared
from cad.simulate.reach import downwards, sideways
from cad.simulate.removing import Wood
from cad.simulate.strokes import Floats, Pass
from cad.simulate.wanted import ASIDE_MM, LEVEL, Facets, facets, heights, slopes, wall_lines, walls

MOST_CELLS = 100_000  # suspect cells looked at one by one; of more, evenly spread ones
SEEN_MM = 1.0  # of more wood left at a wall it is only said that it is at least so much
LEVELS = 24  # heights at which wood on a wall is measured
SPARED_SLACK_MM = 0.01  # on the outline of what is spared


@dataclass(frozen=True)
class Fault:
    """How much too much or too little was cut, mm along the normal, where, on which part, by which move."""

    mm: float
    place: Place
    part: int
    move: int = -1


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
    return Judged(gouges, _worst(left, np.column_stack([wall.xy, foot])[asked], wall.part[asked]))


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
    gouges = _worst(below * slope.up, slope.xyz, slope.part, reached.move)
    height = slope.xyz[:, 2] - below
    asked = height > _spared_tops(allowed.spared, *slope.xyz[:, :2].T) + allowed.ridge_mm
    return Judged(gouges, _worst((-below * slope.up)[asked], slope.xyz[asked], slope.part[asked]))


def _on_levels(allowed: Allowances, found: Facets, wood: Wood) -> Judged:
    want, facet = heights(found, wood.grid)
    level = np.append(found.normal[:, 2] >= LEVEL, False)[facet]
    lines = wall_lines(found)
    tree = STRtree(linestrings(lines)) if len(lines) else None
    over = np.where(level, wood.height - want, 0.0)

    def worst(suspect: NDArray[np.bool_], by: NDArray[np.int32] | None) -> tuple[Fault, ...]:
        rows, columns = np.nonzero(suspect)
        every = -(-len(rows) // MOST_CELLS) or 1
        rows, columns = rows[::every], columns[::every]
        x, y = wood.grid.x[columns], wood.grid.y[rows]
        height = wood.height[rows, columns].astype(np.float64)
        amount = np.abs(over[rows, columns])
        if by is None:
            amount = np.where(height > _spared_tops(allowed.spared, x, y) + allowed.left_mm, amount, 0.0)
        if tree is not None and len(x):
            (_, _), off = tree.query_nearest(points(x, y), return_distance=True, all_matches=False)
            amount = np.minimum(amount, off)
        part = found.part[facet[rows, columns]]
        return _worst(
            amount, np.column_stack([x, y, height]), part, None if by is None else by[rows, columns]
        )

    return Judged(worst(over < -allowed.gouge_mm, wood.taken_by), worst(over > allowed.left_mm, None))


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


def _worst(mm: Floats, places: Floats, part: NDArray[np.int64], move: object = None) -> tuple[Fault, ...]:
    """Return the greatest of each part that is greater than 0."""
    moves = np.full(len(mm), -1) if move is None else np.asarray(move)
    faults = []
    for one in np.unique(part):
        at = np.flatnonzero(part == one)
        worst = at[mm[at].argmax()]
        if mm[worst] > 0:
            x, y, z = (float(value) for value in places[worst])
            faults.append(Fault(float(mm[worst]), (x, y, z), int(one), int(moves[worst])))
    return tuple(faults)
