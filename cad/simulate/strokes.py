"""Moves as strokes: straight ones, level or sloped, and level arcs, each with an exact distance to a point.

A helix, or an arc that stands upright, becomes chords; a long stroke is cut up, so that the box around each
piece is not much larger than what the cutter sweeps.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, ceil, cos, hypot, inf, pi, sin

import numpy as np
from numpy.typing import NDArray

from cad.simulate.finding import Place
from cad.simulate.job import Stock, Tool
from cad.simulate.moves import Move

CHORD_MM = 0.005  # of what is neither straight nor a level arc
PIECES = 4.0  # radii of the cutter that a slanting stroke reaches both ways before it is cut up
SHORT_MM = 1e-9
MANY = 16  # pieces of one move, beyond which only those near the stock are looked at
NEAR_MM = 5.0  # beside what a cutter reaches
Box = tuple[float, float, float, float]  # least x, least y, greatest x, greatest y
EVERYWHERE: Box = (-inf, -inf, inf, inf)
Floats = NDArray[np.float64]
Number = float | Floats
Pair = tuple[Number, Number]


@dataclass(frozen=True)
class Stroke:
    """A piece of a move: from a to b in mm, about `centre` where it is a level arc of `turn` radians."""

    move: int  # its number among the program's moves
    a: tuple[float, float, float]
    b: tuple[float, float, float]
    centre: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0

    @property
    def lowest(self) -> float:
        return min(self.a[2], self.b[2])

    def box(self, about: float) -> Box:
        """Return least x, least y, greatest x, greatest y of what lies within a distance of the stroke."""
        xs, ys = [self.a[0], self.b[0]], [self.a[1], self.b[1]]
        if self.turn:
            radius = hypot(self.a[0] - self.centre[0], self.a[1] - self.centre[1])
            start = atan2(self.a[1] - self.centre[1], self.a[0] - self.centre[0])
            for quarter in range(-8, 9):
                if 0 < (quarter * pi / 2 - start) / self.turn < 1:
                    xs.append(self.centre[0] + radius * cos(quarter * pi / 2))
                    ys.append(self.centre[1] + radius * sin(quarter * pi / 2))
        return (min(xs) - about, min(ys) - about, max(xs) + about, max(ys) + about)


@dataclass(frozen=True)
class Pass:
    """The strokes of one program, with its tool, and the number of its first move among all programs'."""

    tool: Tool
    strokes: Sequence[Stroke]
    first_move: int


def pass_of(moves: Sequence[Move], tool: Tool, stock: Stock, first_move: int) -> Pass:
    """Return the strokes of a program's moves, in order; of moves in many pieces those near the stock."""
    low_x, low_y, high_x, high_y = stock.bounds
    about = tool.radius_mm + NEAR_MM
    near = (low_x - about, low_y - about, high_x + about, high_y + about)
    return Pass(tool, tuple(strokes(moves, PIECES * tool.radius_mm, near)), first_move)


def strokes(moves: Sequence[Move], piece_mm: float, near: Box = EVERYWHERE) -> Iterator[Stroke]:
    """Yield the strokes of moves in order.

    `piece_mm` is how far a slanting piece may reach both ways. Of a move in more than MANY pieces those that
    do not touch the box `near` are left out: a slip of the pen makes a move of many metres.
    """
    for number, move in enumerate(moves):
        level = abs(move.start[2] - move.end[2]) < 1e-9
        if move.bend is not None and move.bend.plane == "xy" and level:
            yield from _arc_pieces(number, move, piece_mm, near)
        else:
            points = move.points(CHORD_MM)
            for a, b in pairwise(points):
                yield from _line_pieces(number, a, b, piece_mm, near)


def _line_pieces(number: int, a: Place, b: Place, piece_mm: float, near: Box) -> Iterator[Stroke]:
    count = max(ceil(min(abs(b[0] - a[0]), abs(b[1] - a[1])) / piece_mm), 1)

    def end(i: int) -> Place:
        x, y, z = (s + (e - s) * i / count for s, e in zip(a, b, strict=True))
        return (x, y, z)

    return _pieces(count, lambda i, j: Stroke(number, end(i), end(j)), near)


def _arc_pieces(number: int, move: Move, piece_mm: float, near: Box) -> Iterator[Stroke]:
    assert move.bend is not None
    centre, turn = move.bend.centre, move.turn
    count = max(ceil(move.length / (2 * piece_mm)), ceil(abs(turn) / pi), 1)

    def piece(i: int, j: int) -> Stroke:
        return Stroke(number, move.at(i / count), move.at(j / count), centre, turn * (j - i) / count)

    return _pieces(count, piece, near)


def _pieces(count: int, piece: Callable[[int, int], Stroke], near: Box) -> Iterator[Stroke]:
    """Yield the pieces of a move, each from a step to the next; of more than MANY those that touch a box."""
    if count <= MANY:
        yield from (piece(i, i + 1) for i in range(count))
        return
    waiting = [(0, count)]
    while waiting:
        first, last = waiting.pop()
        part = piece(first, last)
        if not _meet(part.box(0.0), near):
            continue
        if last - first == 1:
            yield part
        else:
            middle = (first + last) // 2
            waiting += [(middle, last), (first, middle)]


def _meet(one: Box, two: Box) -> bool:
    return one[0] <= two[2] and two[0] <= one[2] and one[1] <= two[3] and two[1] <= one[3]


def distance(stroke: Stroke, x: Floats, y: Floats) -> Floats:
    """Return the distance in the plane from points to a stroke, mm."""
    (ax, ay, _), (bx, by, _) = stroke.a, stroke.b
    if stroke.turn:
        return from_arc((ax, ay), (bx, by), stroke.centre, stroke.turn, x, y)
    return from_line((ax, ay), (bx, by), x, y)


def from_line(a: Pair, b: Pair, x: Floats, y: Floats) -> Floats:
    """Return the distance from points to straight strokes from a to b, by broadcasting."""
    along, across, length = _along(a, b, x, y)
    beside = along - np.clip(along, 0.0, length)
    return np.sqrt(across**2 + beside**2)


def from_arc(a: Pair, b: Pair, centre: Pair, turn: Number, x: Floats, y: Floats) -> Floats:
    """Return the distance from points to arcs from a to b about a centre, by broadcasting."""
    start = np.arctan2(a[1] - centre[1], a[0] - centre[0])
    px, py = x - centre[0], y - centre[1]
    turned = np.mod(np.copysign(1.0, turn) * (np.arctan2(py, px) - start), 2 * pi)
    ends = np.minimum(np.hypot(x - a[0], y - a[1]), np.hypot(x - b[0], y - b[1]))
    radius = np.hypot(a[0] - centre[0], a[1] - centre[1])
    return np.where(turned <= np.abs(turn), np.abs(np.hypot(px, py) - radius), ends)


def surface(tool: Tool, stroke: Stroke, x: Floats, y: Floats) -> Floats:
    """Return the height of the lowest point that the cutter's surface reaches over points; inf beside it.

    Exact for straight strokes, level or sloped, and for level arcs: the least over the way of the tip's
    height and the height g(d) of the cutter's surface at a distance d from its axis. g is convex, so along a
    straight stroke that sum has one least place, found in closed form.
    """
    rise = stroke.b[2] - stroke.a[2]
    if stroke.turn or abs(rise) < 1e-12 or _upright(stroke):
        off = distance(stroke, x, y)
        return np.where(off <= tool.radius_mm, stroke.lowest + _end(tool, off), np.inf)
    return _sloped(tool, stroke, x, y)


def half_width(tool: Tool, above: Floats) -> Floats:
    """Return the cutter's radius at heights above its tip, mm; -inf below the tip."""
    if tool.shape == "ball":
        inside = np.clip(above, 0.0, tool.radius_mm)
        wide = np.sqrt(np.maximum(2 * tool.radius_mm * inside - inside**2, 0.0))
    elif tool.rise > 1e-9:
        wide = np.minimum(np.maximum(above, 0.0) / tool.rise, tool.radius_mm)
    else:
        wide = np.full_like(above, tool.radius_mm)
    return np.where(above >= 0, wide, -np.inf)


def _upright(stroke: Stroke) -> bool:
    return hypot(stroke.b[0] - stroke.a[0], stroke.b[1] - stroke.a[1]) < SHORT_MM


def _end(tool: Tool, off: Floats) -> Floats:
    """Return the height of the cutter's surface above its tip at distances from its axis."""
    if tool.shape == "ball":
        result: Floats = tool.radius_mm - np.sqrt(np.maximum(tool.radius_mm**2 - off**2, 0.0))
        return result
    return tool.rise * off


def _along(a: Pair, b: Pair, x: Floats, y: Floats) -> tuple[Floats, Floats, Floats]:
    """Return how far points lie along straight strokes and beside them, and the strokes' lengths."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = np.hypot(dx, dy)
    px, py = x - a[0], y - a[1]
    # A stroke of no length has a direction all the same, so that one formula holds for both.
    short = length < SHORT_MM
    run = np.where(short, 1.0, length)
    ux, uy = np.where(short, 1.0, dx / run), np.where(short, 0.0, dy / run)
    return px * ux + py * uy, px * uy - py * ux, length


def _sloped(tool: Tool, stroke: Stroke, x: Floats, y: Floats) -> Floats:
    along, across, length = _along(stroke.a[:2], stroke.b[:2], x, y)
    slope = (stroke.b[2] - stroke.a[2]) / float(length)
    room = np.sqrt(np.maximum(tool.radius_mm**2 - across**2, 0.0))
    low, high = np.maximum(along - room, 0.0), np.minimum(along + room, length)
    reached = (np.abs(across) <= tool.radius_mm) & (low <= high)
    # How far behind the point the axis is when the surface over the point is lowest.
    if tool.shape == "ball":
        behind = slope * room / np.sqrt(1 + slope**2)
    elif abs(slope) < tool.rise:
        behind = slope * np.abs(across) / np.sqrt(tool.rise**2 - slope**2)
    else:
        behind = np.full_like(along, np.copysign(np.inf, slope))
    at = np.minimum(np.maximum(along - behind, low), high)
    off = np.sqrt(np.minimum(across**2 + (along - at) ** 2, tool.radius_mm**2))
    return np.where(reached, stroke.a[2] + slope * at + _end(tool, off), np.inf)
