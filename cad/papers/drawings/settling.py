"""Finding places for leaders and angles: of those a mark allows, the first whose text stands clear.

Text stands clear when no line of the view, no straight dimension and no text settled before it comes near.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import degrees, radians

from cad.geometry.linework import inside
from cad.outline import Line, Path
from cad.papers.drawings.placing import (
    BREAK_PAST_MM,
    Box,
    angle_box,
    dim_line,
    leader,
    polar,
    shelf_box,
    text_box,
    with_tails,
)
from cad.papers.drawings.view import Angle, Linear, Mark, Radius, View

CHORD_MM = 0.1
UPRIGHT_MM2 = 1e-6  # a leader that stands plumb turns back to neither side
AIR_MM = 0.6  # around a text
TAIL_DEG, ARC_STEPS = 30.0, 12


def settled(view: View, scale: float) -> View:
    """Return a view whose leaders and angles each have one place, for a scale; optional ones may be gone."""
    if not any(isinstance(mark, Radius | Angle) for mark in view.marks):
        return view
    in_the_way = list(_lines(view, scale))
    taken = list(_texts(view, scale))
    marks: list[Mark] = []
    for mark in view.marks:
        if not isinstance(mark, Radius | Angle):
            marks.append(mark)
            continue
        tries = list(_places(mark))
        clear = next((one for one in tries if _is_clear(one, scale, in_the_way, taken)), None)
        if clear is None and mark.optional:
            continue
        chosen = clear or tries[0]
        marks.append(chosen)
        in_the_way += _drawn(chosen, scale)
        taken.append(_box(chosen, scale))
    return replace(view, marks=tuple(marks))


def _is_clear(mark: Radius | Angle, scale: float, in_the_way: Sequence[Line], taken: Sequence[Box]) -> bool:
    """Return whether a mark's text clears all lines, and its lines all texts."""
    if _hits(_box(mark, scale), in_the_way):
        return False
    if isinstance(mark, Radius) and _crosses_own_text(mark, scale):
        return False
    return not any(_hits(box, list(_drawn(mark, scale))) for box in taken)


def _crosses_own_text(mark: Radius, scale: float) -> bool:
    """Return whether the shelf turns back along its leader, so that the leader runs through the text."""
    tip, knee, end = leader(mark, scale)
    meets_text = tip[1] > knee[1] or bool(mark.dimension.beneath)
    return meets_text and (tip[0] - knee[0]) * (end[0] - knee[0]) > UPRIGHT_MM2


def _texts(view: View, scale: float) -> Iterator[Box]:
    """Yield the boxes of the texts of a view's straight dimensions."""
    for mark in view.marks:
        if isinstance(mark, Linear):
            line = dim_line(mark, view, scale)
            yield text_box(line, line.text, mark)


def _places(mark: Radius | Angle) -> Iterator[Radius | Angle]:
    if isinstance(mark, Angle):
        yield from (replace(mark, radii=(radius,)) for radius in mark.radii)
        return
    for reach, turn, side in itertools.product(mark.reaches, mark.turns, mark.sides):
        yield replace(mark, turns=(turn,), reaches=(reach,), sides=(side,))


def _box(mark: Radius | Angle, scale: float) -> Box:
    return angle_box(mark, scale) if isinstance(mark, Angle) else shelf_box(mark, scale)


def _drawn(mark: Radius | Angle, scale: float) -> Iterator[Line]:
    """Yield what a settled mark puts in the way of the next."""
    yield from _rim(_box(mark, scale))
    if isinstance(mark, Radius):
        tip, knee, _ = leader(mark, scale)
        yield Line(tip, knee)
        return
    vertex = (mark.vertex[0] * scale, mark.vertex[1] * scale)
    rays = [Line(vertex, polar(vertex, mark.radii[0] + 1.5, turn)) for turn in (mark.from_deg, mark.to_deg)]
    # Where an arc has no room for its arrows they stand outside, on tails.
    first, last = (radians(turn) for turn in (mark.from_deg - TAIL_DEG, mark.to_deg + TAIL_DEG))
    shares = [first + (last - first) * i / ARC_STEPS for i in range(ARC_STEPS + 1)]
    arc = [polar(vertex, mark.radii[0], degrees(turn)) for turn in shares]
    yield from (*rays, *(Line(p, q) for p, q in itertools.pairwise(arc)))


def _lines(view: View, scale: float) -> Iterator[Line]:
    """Yield the lines of a view and of its straight dimensions, on paper."""
    for path in (
        *view.visible,
        *view.hidden,
        *view.narrow,
        *(Path((axis,)) for axis in view.axes),
    ):
        points = [(scale * a, scale * b) for a, b in path.points(CHORD_MM / scale)]
        yield from (Line(p, q) for p, q in itertools.pairwise(points))
    for edge in view.broken:
        past = BREAK_PAST_MM / (scale * edge.length)
        p, q = edge.point(-past), edge.point(1 + past)
        yield Line((scale * p[0], scale * p[1]), (scale * q[0], scale * q[1]))
    for mark in view.marks:
        if isinstance(mark, Linear):
            line = dim_line(mark, view, scale)
            yield Line(*with_tails(line))
            yield from (Line(p, q) for p, q in zip(line.measured, line.ends, strict=True))
            yield from _rim(text_box(line, line.text, mark))
            yield from (Line(*line.shelf),) if line.shelf else ()
            yield from _rim(text_box(line, line.beneath, mark)) if mark.dimension.beneath else ()


def _rim(box: Box) -> Iterator[Line]:
    """Yield the sides of a box and a diagonal."""
    a0, b0, a1, b1 = box
    corners = [(a0, b0), (a1, b0), (a1, b1), (a0, b1), (a0, b0), (a1, b1)]
    yield from (Line(p, q) for p, q in itertools.pairwise(corners))


def _hits(box: Box, lines: Sequence[Line]) -> bool:
    wide = (box[0] - AIR_MM, box[1] - AIR_MM, box[2] + AIR_MM, box[3] + AIR_MM)
    return any(inside(line, wide) is not None for line in lines)
