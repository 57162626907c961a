"""What a view of a fixture's piece shows beside its overall sizes: levels, slopes, arcs and holes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import degrees, pi

from cad.outline import Arc, Line, Point
from cad.papers.drawings.dimension import Wording
from cad.papers.drawings.view import Angle, Linear, Mark, Radius, Side, View

MOST_LEVELS, MOST_SLOPES, MOST_ARCS = 2, 2, 3
LEAST_SHARE = 0.15  # of the view's longer side: shorter lines are details
APART_SHARE = 0.06  # of the side that levels lie along: nearer ones are left to the model
SQUARE = 1e-6
REACHES = (8.0, -8.0, 13.0, -13.0, 18.0)


def overall(view: View, words: Wording, key: str, axis: int, side: Side) -> Iterator[Linear]:
    """Yield the size of a view along an axis (0 across, 1 up), and before it the levels that stand out."""
    low, high = view.box[axis], view.box[axis + 2]
    lines = [line for line in _straight(view) if abs(line.end[axis] - line.start[axis]) < SQUARE]
    levels = _levels(lines, axis, low, high, LEAST_SHARE * _longer(view))
    base = _end_at(view, axis, low, side)
    for lane, level in enumerate([*levels, high]):
        name = key if level == high else f"{key}.level_{lane + 1}"
        end = _end_at(view, axis, level, side)
        # Text that finds no room stands below the base, where no extension line of another level runs.
        yield Linear(words.length(name, level - low), base, end, side, lane, before=level != high)


def arcs(view: View, words: Wording, key: str) -> Iterator[Mark]:
    """Yield the radius of each size of arc in a view and the diameter of each size of hole, largest first."""
    around: dict[tuple[float, ...], list[Arc]] = {}
    for path in view.visible:
        first = path.segments[0]
        if len(path.segments) == 1 and isinstance(first, Arc):
            around.setdefault(tuple(round(c, 3) for c in (*first.centre, first.radius)), []).append(first)
    sizes: dict[tuple[bool, str], list[Arc]] = {}
    for pieces in sorted(around.values(), key=lambda pieces: -sum(arc.length for arc in pieces)):
        is_hole = sum(abs(arc.turn) for arc in pieces) > 1.99 * pi
        longest = max(pieces, key=lambda arc: arc.length)
        sizes.setdefault((is_hole, words.length("", longest.radius).text), []).append(longest)
    for number, ((is_hole, _), found) in enumerate(list(sizes.items())[:MOST_ARCS], start=1):
        yield _arc(found, is_hole, words, f"{key}.{'hole' if is_hole else 'arc'}_{number}")


def slopes(view: View, words: Wording, key: str) -> Iterator[Angle]:
    """Yield the angle, from level, of the longest leaning lines."""
    least = LEAST_SHARE * _longer(view)
    leaning = [line for line in _straight(view) if line.length > least and _lean(line) > 1.0]
    seen: set[str] = set()
    for line in sorted(leaning, key=lambda line: -line.length):
        foot, top = sorted((line.start, line.end), key=lambda p: p[1])
        heading = Line(foot, top).heading_deg()
        from_deg, to_deg = (0.0, heading) if heading < 90 else (heading, 180.0)
        dimension = words.angle(f"{key}.slope_{len(seen) + 1}", to_deg - from_deg)
        if dimension.text not in seen and len(seen) < MOST_SLOPES:
            seen.add(dimension.text)
            yield Angle(dimension, foot, from_deg, to_deg, (12.0, 18.0, 24.0, 32.0), optional=True)


def _arc(found: Sequence[Arc], is_hole: bool, words: Wording, key: str) -> Radius:
    arc = found[0]
    sign = f"{len(found)} × " if len(found) > 1 else ""
    size, mark = (2 * arc.radius, "⌀") if is_hole else (arc.radius, "R")
    dimension = words.length(key, size, sign + mark)
    if is_hole:
        turns = tuple(float(turn) for turn in (45, 135, 225, 315, 20, 160))
        return Radius(
            dimension, arc.centre, arc.radius, turns, tuple(r for r in REACHES if r > 0), optional=True
        )
    middle, half = arc.heading_deg(0.5) + (-90 if arc.ccw else 90), degrees(abs(arc.turn)) / 2
    turns = tuple(middle + share * half for share in (0.0, 0.4, -0.4, 0.8, -0.8))
    return Radius(dimension, arc.centre, arc.radius, turns, REACHES, optional=True)


def _levels(lines: Sequence[Line], axis: int, low: float, high: float, least: float) -> list[float]:
    """Return the places of the longest lines across an axis, apart from each other and from both ends."""
    lengths: dict[float, float] = {}
    for line in lines:
        at = round(line.start[axis], 6)
        lengths[at] = lengths.get(at, 0.0) + line.length
    apart, kept = APART_SHARE * (high - low), [low, high]
    for at, length in sorted(lengths.items(), key=lambda item: (-item[1], item[0])):
        if length > least and len(kept) < MOST_LEVELS + 2 and all(abs(at - other) > apart for other in kept):
            kept.append(at)
    return sorted(kept[2:])


def _end_at(view: View, axis: int, level: float, side: Side) -> Point:
    """Return the point of the view at a level that lies nearest to a side."""
    ends = [p for path in view.visible for s in path for p in (s.start, s.point(0.5), s.end)]
    there = [p for p in ends if abs(p[axis] - level) < 1e-3]
    corner = (view.box[0], view.box[1])
    nearest = min((p[1 - axis] for p in there), default=corner[1 - axis])
    if side in ("right", "top"):
        nearest = max((p[1 - axis] for p in there), default=corner[1 - axis])
    return (level, nearest) if axis == 0 else (nearest, level)


def _straight(view: View) -> list[Line]:
    firsts = [path.segments[0] for path in view.visible if len(path.segments) == 1]
    return [first for first in firsts if isinstance(first, Line)]


def _lean(line: Line) -> float:
    """Return how far a line leans from the nearer axis, in degrees."""
    turn = abs(line.heading_deg()) % 90
    return min(turn, 90 - turn)


def _longer(view: View) -> float:
    return max(view.box[2] - view.box[0], view.box[3] - view.box[1])
