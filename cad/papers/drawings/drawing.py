"""A laid-out sheet drawn: as a DXF document, and read back from it as ink for page and picture."""

from __future__ import annotations

import itertools

from cad.outline import Arc, Line, Path, Point, Segment
from cad.papers.drawings import document as layers
from cad.papers.drawings.document import Draught, new_draught
from cad.papers.drawings.layout import LaidOut, Placed
from cad.papers.drawings.marking import draw
from cad.papers.drawings.paper import scale_text
from cad.papers.drawings.placing import BREAK_PAST_MM, TITLE_ROOM_MM, room
from cad.papers.drawings.title_block import Imprint, draw_frame
from cad.papers.dxf import fixed_dates

VIEW_TITLE_MM = 3.5
ZIGZAG_MM = 2.0


def draughted(laid: LaidOut, imprint: Imprint) -> Draught:
    """Return a sheet as a document in mm of paper, from the lower left corner of the page."""
    with fixed_dates():
        on = new_draught()
        draw_frame(laid, imprint, on)
        for placed in laid.placed:
            _view(placed, laid.scale, on)
        on.document.header["$EXTMIN"] = (0.0, 0.0, 0.0)
        on.document.header["$EXTMAX"] = (laid.page.width, laid.page.height, 0.0)
    return on


def _view(placed: Placed, sheet_scale: float, on: Draught) -> None:
    view = placed.view
    for number, rims in enumerate(view.rims):
        if rims:
            on.hatch(tuple(on_paper(rim, placed) for rim in rims), number)
    for path in view.hidden:
        on.curve(on_paper(path, placed), layers.HIDDEN)
    for path in view.visible:
        on.curve(on_paper(path, placed), layers.VISIBLE)
    for path in view.narrow:
        on.curve(on_paper(path, placed), layers.DIMENSIONS)
    for axis in view.axes:
        on.line(placed.point(axis.start), placed.point(axis.end), layers.AXES)
    for line in view.broken:
        _break(placed.point(line.start), placed.point(line.end), on)
    for mark in view.marks:
        draw(mark, placed, on)
    if view.title:
        words = view.title if placed.scale == sheet_scale else f"{view.title} ({scale_text(placed.scale)})"
        on.words(words, _title_place(placed), VIEW_TITLE_MM, "MIDDLE_CENTER")


def _title_place(placed: Placed) -> Point:
    a0, _, a1, _ = placed.view.box
    top = room(placed.view, placed.scale)[3] - TITLE_ROOM_MM / 2
    return (placed.origin[0] + placed.scale * (a0 + a1) / 2, placed.origin[1] + top)


def _break(start: Point, end: Point, on: Draught) -> None:
    """Draw the narrow line with a zigzag that says the part goes on (ISO 128-2)."""
    line = Line(start, end)
    way = ((end[0] - start[0]) / line.length, (end[1] - start[1]) / line.length)
    over = (-way[1], way[0])
    half = ZIGZAG_MM / 2 / line.length
    past = BREAK_PAST_MM / line.length
    points = [line.point(-past), line.point(0.5 - half)]
    for share, out in ((0.5 - half / 2, ZIGZAG_MM), (0.5 + half / 2, -ZIGZAG_MM)):
        p = line.point(share)
        points.append((p[0] + over[0] * out, p[1] + over[1] * out))
    points += [line.point(0.5 + half), line.point(1 + past)]
    segments = tuple(Line(p, q) for p, q in itertools.pairwise(points))
    on.curve(Path(segments), layers.DIMENSIONS)


def on_paper(path: Path, placed: Placed) -> Path:
    """Return a path of the part where it lies on paper."""

    def one(segment: Segment) -> Segment:
        start, end = placed.point(segment.start), placed.point(segment.end)
        if isinstance(segment, Arc):
            return Arc(start, end, placed.point(segment.centre), segment.ccw)
        return Line(start, end)

    return Path(tuple(one(segment) for segment in path))
