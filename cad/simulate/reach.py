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
from cad.simulate.strokes import SHORT_MM, Floats, Pass, Stroke, from_arc, from_line, half_width, surface

STEP_DOWN_MM = 0.02  # to which the slope of a stroke is cut up for a cutter that is not equally wide


STROKES_AT_ONCE = 2000
Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Reached:
    """For each point how far the cutters got, and the number of the move that got furthest; -1 for none."""

    mm: Floats
    move: Ints

    @classmethod
    def nowhere(cls, count: int) -> Reached:
        return cls(np.full(count, -np.inf), np.full(count, -1))

    def keep(self, point: Ints, mm: Floats, move: Ints) -> None:
        """Keep for each point the furthest of what is known and of what is new."""
        before = self.mm[point]
        np.maximum.at(self.mm, point, mm)
        best = (mm >= self.mm[point]) & (mm > before)
        self.move[point[best]] = move[best]


def sideways(passes: Sequence[Pass], xy: Floats, levels: Sequence[Floats], around_mm: float) -> list[Reached]:
    """Return how far beyond each point cutters have reached; negative short of it.

    Once for each of `levels`, which hold a height for each point. For a cutter whose axis passes at a
    distance d, and which is r wide at the level, the reach is r - d. -inf where no cutter that is as deep as
    the level came as near as `around_mm`.
    """
    found = [Reached.nowhere(len(xy)) for _ in levels]
    for one in passes:
        table = _table(one)
        for number, point in _pairs(table, xy, one.tool.radius_mm + around_mm):
            for level, reached in zip(levels, found, strict=True):
                deep = level[point] >= table.lowest[number]
                stroke, there = number[deep], point[deep]
                mm = _reach(one.tool, table, stroke, xy[there], level[there])
                reached.keep(there, mm, one.first_move + table.move[stroke])
    return found


def downwards(passes: Sequence[Pass], xyz: Floats) -> Reached:
    """Return how far below each point a cutter's surface has reached over it; negative above it."""
    best = Reached.nowhere(len(xyz))
    for one in passes:
        cutting = [stroke for stroke in one.strokes if stroke.lowest < 0]
        for number, point in _pairs(_Table(cutting), xyz[:, :2], one.tool.radius_mm):
            order = np.argsort(number, kind="stable")
            number, point = number[order], point[order]
            for near in np.split(np.arange(len(number)), np.flatnonzero(np.diff(number)) + 1):
                if len(near):
                    stroke = cutting[number[near[0]]]
                    x, y, z = xyz[point[near]].T
                    move = np.full(len(near), one.first_move + stroke.move)
                    best.keep(point[near], z - surface(one.tool, stroke, x, y), move)
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
    """Return the strokes that may reach furthest sideways: of several over each other the deepest."""
    cutting = (stroke for stroke in one.strokes if stroke.lowest < 0)
    if one.tool.shape == "ball" or one.tool.rise > 1e-9:
        return _Table(_deepest([step for stroke in cutting for step in _down_steps(stroke)]))
    return _Table(_deepest(list(cutting)))


def _deepest(strokes: Sequence[Stroke]) -> list[Stroke]:
    """Return strokes without those that lie straight above another: a cutter is nowhere wider lower down."""
    kept: dict[tuple[float, ...], list[Stroke]] = {}
    for stroke in strokes:
        a, b = stroke.a, stroke.b
        key = tuple(round(value, 5) for value in (*a[:2], *b[:2], stroke.turn))
        over = kept.setdefault(key, [])
        if not any(low.a[2] <= a[2] and low.b[2] <= b[2] for low in over):
            over[:] = [high for high in over if not (a[2] <= high.a[2] and b[2] <= high.b[2])]
            over.append(stroke)
    return [stroke for over in kept.values() for stroke in over]


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
    off = np.empty(len(number))
    bent = table.turn[number] != 0
    sloped = table.a[number, 2] != table.b[number, 2]
    for some, distances in ((bent, _from_bent), (sloped, _from_sloped), (~bent & ~sloped, _from_level)):
        off[some] = distances(table, number[some], x[some], y[some], level[some])
    return half_width(tool, level - table.lowest[number]) - off


def _from_bent(table: _Table, number: Ints, x: Floats, y: Floats, level: Floats) -> Floats:
    a, b, centre = table.a[number].T, table.b[number].T, table.centre[number].T
    return from_arc((a[0], a[1]), (b[0], b[1]), (centre[0], centre[1]), table.turn[number], x, y)


def _from_level(table: _Table, number: Ints, x: Floats, y: Floats, level: Floats) -> Floats:
    a, b = table.a[number].T, table.b[number].T
    return from_line((a[0], a[1]), (b[0], b[1]), x, y)


def _from_sloped(table: _Table, number: Ints, x: Floats, y: Floats, level: Floats) -> Floats:
    """Return distances from that part of each sloped stroke which is as deep as a level that it reaches."""
    a, b = table.a[number], table.b[number]
    falls = (a[:, 2] > b[:, 2])[:, None]
    low, high = np.where(falls, b, a), np.where(falls, a, b)
    share = np.clip((level - low[:, 2]) / (high[:, 2] - low[:, 2]), 0.0, 1.0)
    end = low + (high - low) * share[:, None]
    return from_line((low[:, 0], low[:, 1]), (end[:, 0], end[:, 1]), x, y)


def _down_steps(stroke: Stroke) -> Iterator[Stroke]:
    """Yield a stroke in steps down; where it goes straight down its lowest point is all that counts."""
    (ax, ay, az), (bx, by, bz) = stroke.a, stroke.b
    if abs(ax - bx) + abs(ay - by) < SHORT_MM:
        low = (ax, ay, min(az, bz))
        yield Stroke(stroke.move, low, low)
        return
    count = max(int(np.ceil(abs(bz - az) / STEP_DOWN_MM)), 1)
    if count == 1:
        yield stroke
        return
    for a, b in pairwise(np.linspace(stroke.a, stroke.b, count + 1)):
        yield Stroke(stroke.move, (a[0], a[1], a[2]), (b[0], b[1], b[2]))
