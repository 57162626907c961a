"""Marks drawn on a document: dimensions by ezdxf, leaders, balloons and cutting lines of our own.

The text of a dimension is always given its place: the library's own estimate of a text's width goes by a font
of equal letters and moves text that has room.
"""

from __future__ import annotations

from functools import singledispatch
from math import atan2, degrees

from cad.outline import Point
from cad.papers.drawings import document as layers
from cad.papers.drawings.document import STYLE, WIDE, Draught
from cad.papers.drawings.layout import Placed
from cad.papers.drawings.lettering import PLAIN_MM, TITLE_MM
from cad.papers.drawings.placing import (
    BALLOON_MM,
    CUT_MM,
    GAP_MM,
    angle_text,
    balloon_centre,
    dim_line,
    leader,
)
from cad.papers.drawings.view import Angle, Balloon, CuttingLine, Linear, Mark, Radius

LOOKS = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "top": (0.0, 1.0), "bottom": (0.0, -1.0)}
DOT_MM = 0.6


@singledispatch
def draw(mark: Mark, placed: Placed, on: Draught) -> None:
    """Draw a mark of a placed view."""
    raise TypeError(f"{type(mark).__name__} is no mark")


@draw.register
def _linear(mark: Linear, placed: Placed, on: Draught) -> None:
    line = dim_line(mark, placed.view, placed.scale)
    (p, q), (a, b) = ([_on(placed, c) for c in pair] for pair in (line.measured, line.ends))
    dimension = on.space.add_linear_dim(
        base=a,
        p1=p,
        p2=q,
        angle=_turn(a, b),
        location=_on(placed, line.text),
        text=mark.dimension.text,
        dimstyle=STYLE,
        override={"dimlfac": 1 / placed.scale},
        text_rotation=line.turn_deg,
        dxfattribs={"layer": layers.DIMENSIONS},
    )
    dimension.render()
    if line.shelf:
        on.line(_on(placed, line.shelf[0]), _on(placed, line.shelf[1]), layers.DIMENSIONS)
    if mark.dimension.beneath:
        at = _on(placed, line.beneath)
        on.words(mark.dimension.beneath, at, PLAIN_MM, "MIDDLE_CENTER", line.turn_deg)


@draw.register
def _angle(mark: Angle, placed: Placed, on: Draught) -> None:
    dimension = on.space.add_angular_dim_cra(
        center=placed.point(mark.vertex),
        radius=0.1,  # the library measures directions off points apart from the vertex
        start_angle=mark.from_deg,
        end_angle=mark.to_deg,
        distance=mark.radii[0] - 0.1,
        location=_on(placed, angle_text(mark, placed.scale)),
        text=mark.dimension.text,
        text_rotation=0.0,
        dimstyle=STYLE,
        dxfattribs={"layer": layers.DIMENSIONS},
    )
    dimension.render()


@draw.register
def _radius(mark: Radius, placed: Placed, on: Draught) -> None:
    tip, knee, end = (_on(placed, p) for p in leader(mark, placed.scale))
    on.line(tip, knee, layers.DIMENSIONS)
    on.line(knee, end, layers.DIMENSIONS)
    on.arrow(tip, _turn(knee, tip))
    middle = ((knee[0] + end[0]) / 2, knee[1] + GAP_MM + PLAIN_MM / 2)
    on.words(mark.dimension.text, middle, PLAIN_MM, "MIDDLE_CENTER")
    if mark.dimension.beneath:
        beneath = (middle[0], knee[1] - GAP_MM - PLAIN_MM / 2)
        on.words(mark.dimension.beneath, beneath, PLAIN_MM, "MIDDLE_CENTER")


@draw.register
def _balloon(mark: Balloon, placed: Placed, on: Draught) -> None:
    at, centre = placed.point(mark.at), _on(placed, balloon_centre(mark, placed.view, placed.scale))
    run = ((centre[0] - at[0]) ** 2 + (centre[1] - at[1]) ** 2) ** 0.5
    share = 1 - BALLOON_MM / run
    rim = (at[0] + (centre[0] - at[0]) * share, at[1] + (centre[1] - at[1]) * share)
    on.line(at, rim, layers.DIMENSIONS)
    on.dot(at, DOT_MM)
    on.circle(centre, BALLOON_MM, layers.DIMENSIONS)
    on.words(mark.text, centre, 3.5, "MIDDLE_CENTER")


@draw.register
def _cutting_line(mark: CuttingLine, placed: Placed, on: Draught) -> None:
    """Draw a chain line with wide ends, arrows on them the way one looks, and its letter (ISO 128-3)."""
    p, q = placed.point(mark.start), placed.point(mark.end)
    run = ((q[0] - p[0]) ** 2 + (q[1] - p[1]) ** 2) ** 0.5
    way = ((q[0] - p[0]) / run, (q[1] - p[1]) / run)
    looks = LOOKS[mark.looks]
    on.line(p, q, layers.AXES)
    for end, out in ((p, -1.0), (q, 1.0)):
        near = (end[0] + way[0] * out * 2, end[1] + way[1] * out * 2)
        far = (end[0] + way[0] * out * CUT_MM, end[1] + way[1] * out * CUT_MM)
        on.line(near, far, layers.AXES, WIDE)
        tail = (far[0] - looks[0] * 7, far[1] - looks[1] * 7)
        on.line(tail, far, layers.DIMENSIONS)
        on.arrow(far, _turn((0.0, 0.0), looks))
        beside = (tail[0] + way[0] * out * 3.5, tail[1] + way[1] * out * 3.5)
        on.words(mark.letter, beside, TITLE_MM * 0.7, "MIDDLE_CENTER")


def _on(placed: Placed, p: Point) -> Point:
    """Return a point of paper about the view's origin as one of the sheet."""
    return (placed.origin[0] + p[0], placed.origin[1] + p[1])


def _turn(p: Point, q: Point) -> float:
    return degrees(atan2(q[1] - p[1], q[0] - p[0]))
