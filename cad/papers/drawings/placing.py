"""The room that the marks of a view take on paper, and the lines that they come to there.

Everything is in mm of paper from the view's own origin: a point of the part times the scale.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, degrees, hypot, radians, sin

from cad.outline import Point
from cad.papers.drawings.dimension import Dimension
from cad.papers.drawings.lettering import PLAIN_MM, width_mm
from cad.papers.drawings.view import (
    Angle,
    Balloon,
    CuttingLine,
    Linear,
    Mark,
    Radius,
    View,
    lane_mm,
)

ARROW_MM = 2.5
GAP_MM = 1.0  # between text and the line it stands on
BALLOON_MM = 4.0  # radius
TITLE_ROOM_MM = 9.0  # above a view with a title
BREAK_PAST_MM = 2.0  # how far the line of a break runs past the part
CUT_MM = 9.0  # how far a cutting line runs out of the view

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class DimLine:
    """A linear dimension on paper: the points measured, the ends of its line, and where its text stands.

    `text` is the middle of the text, `turn_deg` the way it reads; `shelf` is where the line is drawn on under
    text that stands outside.
    """

    measured: tuple[Point, Point]
    ends: tuple[Point, Point]
    turn_deg: float
    text: Point
    beneath: Point
    shelf: tuple[Point, Point] | None


def text_width(dimension: Dimension) -> float:
    """Return the width of a dimension's text, the wider of its two lines."""
    return max(width_mm(line, PLAIN_MM) for line in (dimension.text, dimension.beneath or "0"))


def dim_line(mark: Linear, view: View, scale: float) -> DimLine:
    """Return where a linear dimension stands on paper."""
    p, q = _scaled(mark.start, scale), _scaled(mark.end, scale)
    a0, b0, a1, b1 = (scale * c for c in view.box)
    off = lane_mm(mark.lane, bool(mark.dimension.beneath))
    at = {"left": a0 - off, "right": a1 + off, "bottom": b0 - off, "top": b1 + off}[mark.side]
    upright = mark.side in ("left", "right")
    ends = ((at, p[1]), (at, q[1])) if upright else ((p[0], at), (q[0], at))
    return _lettered(mark, (p, q), ends)


def _lettered(mark: Linear, measured: tuple[Point, Point], ends: tuple[Point, Point]) -> DimLine:
    (ax, ay), (bx, by) = ends
    run = hypot(bx - ax, by - ay)
    way = ((bx - ax) / run, (by - ay) / run)
    # Text reads from the bottom and from the right of the sheet (ISO 129-1).
    reads = way if way[0] > 1e-6 or (abs(way[0]) <= 1e-6 and way[1] > 0) else (-way[0], -way[1])
    over = (-reads[1], reads[0])
    width = text_width(mark.dimension)
    middle, shelf = ((ax + bx) / 2, (ay + by) / 2), None
    if width + 1.0 > run:
        tail = 2 * ARROW_MM if run < 2 * ARROW_MM + GAP_MM else 0.0
        corner, out = (ends[0], (-way[0], -way[1])) if mark.before else (ends[1], way)
        first, last = tail, tail + 1.5 + width
        middle = _moved(corner, out, (first + 1.5 + last) / 2)
        shelf = (_moved(corner, out, first), _moved(corner, out, last))
    lift = GAP_MM + PLAIN_MM / 2
    turn = 90.0 if abs(reads[0]) < 1e-6 else _deg(reads)
    return DimLine(measured, ends, turn, _moved(middle, over, lift), _moved(middle, over, -lift), shelf)


def with_tails(line: DimLine) -> tuple[Point, Point]:
    """Return the ends of a dimension line, past its arrows where they stand outside."""
    (ax, ay), (bx, by) = line.ends
    run = hypot(bx - ax, by - ay)
    if run >= 2 * ARROW_MM + GAP_MM:
        return line.ends
    way = ((bx - ax) / run, (by - ay) / run)
    return _moved(line.ends[0], way, -2 * ARROW_MM), _moved(line.ends[1], way, 2 * ARROW_MM)


def angle_text(mark: Angle, scale: float) -> Point:
    """Return the middle of an angle's text: level, outside its arc."""
    half = radians((mark.from_deg + mark.to_deg) / 2)
    width = text_width(mark.dimension)
    # Far enough out that a level box clears the arc, whichever way it leans.
    out = mark.radii[0] + 2.0 + abs(cos(half)) * width / 2 + abs(sin(half)) * PLAIN_MM / 2
    x, y = _scaled(mark.vertex, scale)
    return (x + out * cos(half), y + out * sin(half))


def leader(mark: Radius, scale: float) -> tuple[Point, Point, Point]:
    """Return the arrow's tip on the arc, the knee of the leader, and the end of the shelf under the text."""
    way = (cos(radians(mark.turns[0])), sin(radians(mark.turns[0])))
    tip = _moved(_scaled(mark.centre, scale), way, mark.radius * scale)
    knee = _moved(tip, way, mark.reaches[0])
    outwards = mark.sides[0] if way[0] * mark.reaches[0] >= 0 else -mark.sides[0]
    return tip, knee, (knee[0] + outwards * (text_width(mark.dimension) + 1.0), knee[1])


def shelf_box(mark: Radius, scale: float) -> Box:
    """Return the box of a leader's shelf with its text."""
    _, knee, end = leader(mark, scale)
    below = GAP_MM + PLAIN_MM if mark.dimension.beneath else 0.0
    x0, x1 = sorted((knee[0], end[0]))
    return (x0, knee[1] - below, x1, knee[1] + GAP_MM + PLAIN_MM)


def text_box(line: DimLine, middle: Point, mark: Linear) -> Box:
    """Return the level box around a line of a dimension's text."""
    half = text_width(mark.dimension) / 2
    run, rise = abs(cos(radians(line.turn_deg))) * half, abs(sin(radians(line.turn_deg))) * half
    (x, y), high = middle, PLAIN_MM / 2
    return (x - run - high, y - rise - high, x + run + high, y + rise + high)


def angle_box(mark: Angle, scale: float) -> Box:
    """Return the box of an angle's text."""
    x, y = angle_text(mark, scale)
    half = text_width(mark.dimension) / 2
    return (x - half, y - PLAIN_MM / 2, x + half, y + PLAIN_MM / 2)


def boxes(mark: Mark, view: View, scale: float) -> Iterator[Box]:
    """Yield rectangles, in mm of paper from the view's origin, that hold what a mark draws."""
    if isinstance(mark, Linear):
        line = dim_line(mark, view, scale)
        points = [*with_tails(line), *(line.shelf or ())]
        yield _around(points, 2.0)
        for middle in (line.text, line.beneath) if mark.dimension.beneath else (line.text,):
            yield text_box(line, middle, mark)
    elif isinstance(mark, Angle):
        yield angle_box(mark, scale)
        at = _scaled(mark.vertex, scale)
        turns = (mark.from_deg, (mark.from_deg + mark.to_deg) / 2, mark.to_deg)
        yield _around([at, *(polar(at, mark.radii[0] + 1.5, t) for t in turns)], 0)
    elif isinstance(mark, Radius):
        yield _around(list(leader(mark, scale)), 0.5)
        yield shelf_box(mark, scale)
    elif isinstance(mark, Balloon):
        x, y = balloon_centre(mark, view, scale)
        yield (x - BALLOON_MM, y - BALLOON_MM, x + BALLOON_MM, y + BALLOON_MM)
    elif isinstance(mark, CuttingLine):
        yield _around([_scaled(mark.start, scale), _scaled(mark.end, scale)], CUT_MM + 3.0)


def balloon_centre(mark: Balloon, view: View, scale: float) -> Point:
    """Return where a balloon's circle stands."""
    x, y = _scaled(mark.at, scale)
    a0, b0, a1, b1 = (scale * c for c in view.box)
    off = BALLOON_MM + 4.0
    return {
        "left": (a0 - off, y + mark.shift),
        "right": (a1 + off, y + mark.shift),
        "bottom": (x + mark.shift, b0 - off),
        "top": (x + mark.shift, b1 + off),
    }[mark.side]


def room(view: View, scale: float) -> Box:
    """Return the rectangle that a view takes with all its marks and its title."""
    a0, _, a1, _ = (scale * c for c in view.box)
    n0, m0, n1, m1 = (scale * c for c in view.drawn_box)
    found = [
        (n0 - 1, m0 - 1, n1 + 1, m1 + 1),
        *(box for mark in view.marks for box in boxes(mark, view, scale)),
    ]
    left, bottom = min(box[0] for box in found), min(box[1] for box in found)
    right, top = max(box[2] for box in found), max(box[3] for box in found)
    if view.title:
        wide = width_mm(view.title + " (1:10)", 3.5) / 2
        middle = (a0 + a1) / 2
        return (min(left, middle - wide), bottom, max(right, middle + wide), top + TITLE_ROOM_MM)
    return (left, bottom, right, top)


def polar(p: Point, run: float, turn_deg: float) -> Point:
    """Return the point at a distance and a direction from another."""
    return _moved(p, (cos(radians(turn_deg)), sin(radians(turn_deg))), run)


def _scaled(p: Point, scale: float) -> Point:
    return (p[0] * scale, p[1] * scale)


def _moved(p: Point, way: Point, by: float) -> Point:
    return (p[0] + way[0] * by, p[1] + way[1] * by)


def _around(points: list[Point], by: float) -> Box:
    across, up = [p[0] for p in points], [p[1] for p in points]
    return (min(across) - by, min(up) - by, max(across) + by, max(up) + by)


def _deg(way: Point) -> float:
    return degrees(atan2(way[1], way[0]))
