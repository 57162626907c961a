"""How far cutters got, at points: sideways towards a wall, and down over a slope. Exact at each point.

Pairs of a point and a stroke whose box it lies in are found by shapely's tree, and worked out many at once.
No cell of the stock has a part in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree, box, points

from cad.simulate.job import Tool
from cad.simulate.strokes import Floats, Pass, Stroke, from_arc, from_line, half_width, surface

STEP_DOWN_MM = 0.02  # to which the slope of a stroke is cut up for a cutter that is not equally wide


STROKES_AT_ONCE = 2000
Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Reached:
    """For each point how far the cutters got, and the number of the move that got furthest; -1 for none."""

    mm: Floats
    move: Ints


def sideways(passes: Sequence[Pass], xy: Floats, level: Floats, around_mm: float = 0.0) -> Reached:
    """Return how far beyond each point, at a level of its own, a cutter has reached; negative short of it.

    For a cutter whose axis passes at a distance d, and which is r wide at the level, that is r - d. -inf
    where no cutter that is as deep as the level came as near as `around_mm`.
    """
    best = Reached(np.full(len(xy), -np.inf), np.full(len(xy), -1))
    for one in passes:
        table = _table(one)
        for number, point in _pairs(table, xy, one.tool.radius_mm + around_mm):
            deep = level[point] >= table.lowest[number]
            number, point = number[deep], point[deep]
            mm = _reach(one.tool, table, number, xy[point], level[point])
            _keep(best, point, mm, one.first_move + table.move[number])
    return best


def downwards(passes: Sequence[Pass], xyz: Floats) -> Reached:
    """Return how far below each point a cutter's surface has reached over it; negative above it."""
    best = Reached(np.full(len(xyz), -np.inf), np.full(len(xyz), -1))
    for one in passes:
        cutting = [stroke for stroke in one.strokes if stroke.lowest < 0]
        for number, point in _pairs(_Table(cutting), xyz[:, :2], one.tool.radius_mm):
            order = np.argsort(number, kind="stable")
            number, point = number[order], point[order]
            starts = np.flatnonzero(np.diff(number, prepend=-1))
            for which in np.split(np.arange(len(number)), starts[1:]):
                if len(which):
                    stroke, near = cutting[number[which[0]]], point[which]
                    x, y, z = xyz[near].T
                    move = np.full(len(near), one.first_move + stroke.move)
                    _keep(best, near, z - surface(one.tool, stroke, x, y), move)
    return best


class _Table:
    """Strokes in columns, so that many pairs of a stroke and a point are worked out at once."""

    def __init__(self, strokes: Sequence[Stroke]) -> None:
        self.a = np.array([stroke.a for stroke in strokes]).reshape(-1, 3)
        self.b = np.array([stroke.b for stroke in strokes]).reshape(-1, 3)
        self.centre = np.array([stroke.centre for stroke in strokes]).reshape(-1, 2)
        self.turn = np.array([stroke.turn for stroke in strokes])
        self.move = np.array([stroke.move for stroke in strokes], dtype=np.int64)
        self.boxes = np.array([stroke.box(0.0) for stroke in strokes]).reshape(-1, 4)
        self.lowest = np.minimum(self.a[:, 2], self.b[:, 2])


def _table(one: Pass) -> _Table:
    """Return the strokes below the stock's top, sloped ones cut up where the cutter is not equally wide."""
    cutting = (stroke for stroke in one.strokes if stroke.lowest < 0)
    if one.tool.shape == "ball" or one.tool.rise > 1e-9:
        return _Table([step for stroke in cutting for step in _down_steps(stroke)])
    return _Table(list(cutting))


def _pairs(table: _Table, xy: Floats, within: float) -> Iterator[tuple[Ints, Ints]]:
    """Yield the numbers of strokes and of points that lie in their boxes, some strokes at a time."""
    tree = STRtree(points(xy))
    grown = table.boxes + np.array([-within, -within, within, within])
    for first in range(0, len(grown), STROKES_AT_ONCE):
        number, point = tree.query(box(*grown[first : first + STROKES_AT_ONCE].T))
        yield number + first, point


def _reach(tool: Tool, table: _Table, number: Ints, xy: Floats, level: Floats) -> Floats:
    """Return the reach of strokes towards points, pair by pair."""
    x, y = xy.T
    a, b = table.a[number], table.b[number]
    bent = table.turn[number] != 0
    off = np.empty(len(number))
    off[bent] = from_arc(
        (a[bent, 0], a[bent, 1]),
        (b[bent, 0], b[bent, 1]),
        (table.centre[number[bent], 0], table.centre[number[bent], 1]),
        table.turn[number[bent]],
        x[bent],
        y[bent],
    )
    low, high = _deep_part(a[~bent], b[~bent], level[~bent])
    off[~bent] = from_line((low[:, 0], low[:, 1]), (high[:, 0], high[:, 1]), x[~bent], y[~bent])
    return half_width(tool, level - table.lowest[number]) - off


def _deep_part(a: Floats, b: Floats, level: Floats) -> tuple[Floats, Floats]:
    """Return the ends of that part of each straight stroke which is as deep as a level that it reaches."""
    falls = (a[:, 2] > b[:, 2])[:, None]
    low, high = np.where(falls, b, a), np.where(falls, a, b)
    rise = high[:, 2] - low[:, 2]
    share = np.where(rise > 0, (level - low[:, 2]) / np.where(rise > 0, rise, 1.0), 1.0)
    return low, low + (high - low) * np.clip(share, 0.0, 1.0)[:, None]


def _down_steps(stroke: Stroke) -> Iterator[Stroke]:
    count = max(int(np.ceil(abs(stroke.b[2] - stroke.a[2]) / STEP_DOWN_MM)), 1)
    if count == 1:
        yield stroke
        return
    ends = np.linspace(stroke.a, stroke.b, count + 1)
    for a, b in pairwise(ends):
        yield Stroke(stroke.move, (a[0], a[1], a[2]), (b[0], b[1], b[2]))


def _keep(best: Reached, point: Ints, mm: Floats, move: Ints) -> None:
    """Keep for each point the furthest of what is already known and its pairs; of equal ones the first."""
    order = np.lexsort((-np.arange(len(mm)), mm, point))
    last = order[np.append(np.diff(point[order]) != 0, True)] if len(order) else order
    further = last[mm[last] > best.mm[point[last]]]
    best.mm[point[further]] = mm[further]
    best.move[point[further]] = move[further]
