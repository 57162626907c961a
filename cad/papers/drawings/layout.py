"""Where the views of a sheet go: the paper, the scale, and the origin of every view on it."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cad.outline import Point
from cad.papers.drawings.dimension import Dimension
from cad.papers.drawings.lettering import PLAIN_MM
from cad.papers.drawings.paper import SCALES, Page, SizeName, large_pages, small_pages
from cad.papers.drawings.placing import Box, room
from cad.papers.drawings.settling import settled
from cad.papers.drawings.sheet import Sheet
from cad.papers.drawings.view import View

TITLE_HIGH_MM = 32.0
ROW_HIGH_MM = 6.0  # of the list of parts
LINE_MM = 4.5  # of the notes
GAP_MM, MOST_GAP_MM = 3.0, 15.0  # least between what two views take, and the most that is added to it


@dataclass(frozen=True)
class Placed:
    """A view on paper: a point p of the part lies at origin + scale · p, in mm from its lower left."""

    view: View
    scale: float
    origin: Point

    def point(self, p: Point) -> Point:
        """Return where a point of the view lies on paper."""
        return (self.origin[0] + self.scale * p[0], self.origin[1] + self.scale * p[1])


@dataclass(frozen=True)
class Taken:
    """A view at a scale, its marks settled, and the room it takes on paper about its own origin."""

    view: View
    scale: float
    room: Box

    def middle(self, axis: int) -> float:
        """Return the middle of the view's lines across (axis 0) or up (1), in mm of paper."""
        return self.scale * (self.view.box[axis] + self.view.box[axis + 2]) / 2


@dataclass(frozen=True)
class LaidOut:
    """A sheet with its paper, its scale and its placed views."""

    sheet: Sheet
    page: Page
    scale: float
    placed: tuple[Placed, ...]

    @property
    def dimensions(self) -> tuple[Dimension, ...]:
        """Return every dimension that is printed on the sheet."""
        return tuple(dimension for placed in self.placed for dimension in placed.view.dimensions)


def laid_out(options: Sequence[Sheet], size: SizeName) -> LaidOut:
    """Return a sheet in that of its arrangements, and on that paper, where it comes out largest.

    The small paper is taken, upright or lying, unless the scale falls below the sheet's least there and the
    large one helps. Raises ValueError when nothing fits.
    """
    small = _best(options, small_pages(size))
    if small is not None and small.scale >= options[0].least_scale:
        return small
    large = _best(options, large_pages(size))
    found = [laid for laid in (small, large) if laid is not None]
    if not found:
        raise ValueError(f"sheet {options[0].name} fits on no paper at any scale")
    return max(found, key=lambda laid: laid.scale)


def fits(options: Sequence[Sheet], size: SizeName, scale: float) -> bool:
    """Return whether a sheet in one of its arrangements fits the small paper at a scale."""
    return _at(options, small_pages(size), scale) is not None


def clear_area(sheet: Sheet, page: Page) -> Box:
    """Return what the title block, the list of parts and the notes leave of a page."""
    left, bottom, right, top = page.frame
    low = bottom + TITLE_HIGH_MM + (ROW_HIGH_MM * (len(sheet.items) + 1) if sheet.items else 0.0)
    low += notes_high(sheet)
    return (left + 2, low + 2, right - 2, top - 2)


def notes_high(sheet: Sheet) -> float:
    """Return the height that the notes of a sheet take."""
    return LINE_MM * len(sheet.notes) + PLAIN_MM if sheet.notes else 0.0


def _best(options: Sequence[Sheet], pages: Sequence[Page]) -> LaidOut | None:
    return next((laid for scale in SCALES if (laid := _at(options, pages, scale)) is not None), None)


def _at(options: Sequence[Sheet], pages: Sequence[Page], scale: float) -> LaidOut | None:
    """Return the first arrangement that fits one of the pages at a scale."""
    at_scale: dict[int, Taken] = {}  # each view, worked out once for all arrangements
    for sheet, page in itertools.product(options, pages):
        area = clear_area(sheet, page)
        if not _may_fit(sheet, area, scale):
            continue
        for view in sheet.views():
            if id(view) not in at_scale:
                at_scale[id(view)] = _taken(view, scale)
        placed = _placed(sheet, area, at_scale)
        if placed is not None:
            # Where every view has a scale of its own, the first is the sheet's.
            common = scale if any(view.scale is None for view in sheet.views()) else placed[0].scale
            return LaidOut(sheet, page, common, placed)
    return None


def _taken(view: View, scale: float) -> Taken:
    own = view.scale or scale
    ready = settled(view, own)
    return Taken(ready, own, room(ready, own))


def _may_fit(sheet: Sheet, area: Box, scale: float) -> bool:
    """Return whether the bare views fit side by side: quick, and enough to pass over most scales."""
    boxes = [[_sides(view, scale) for view in row if view is not None] for row in sheet.rows]
    high = sum(max((side[1] for side in row), default=0.0) for row in boxes)
    return high <= area[3] - area[1] and all(sum(s[0] for s in row) <= area[2] - area[0] for row in boxes)


def _sides(view: View, scale: float) -> tuple[float, float]:
    own = view.scale or scale
    return (own * (view.box[2] - view.box[0]), own * (view.box[3] - view.box[1]))


def _placed(sheet: Sheet, area: Box, at_scale: Mapping[int, Taken]) -> tuple[Placed, ...] | None:
    """Return the views in their rows and columns, spread over an area, or None when they do not fit."""
    grid = [[at_scale[id(view)] if view is not None else None for view in row] for row in sheet.rows]
    columns = max(len(row) for row in grid)
    across = [_span([row[i] for row in grid if i < len(row)], 0) for i in range(columns)]
    upward = [_span(row, 1) for row in grid]
    spare_x = area[2] - area[0] - sum(low + high for low, high in across) - GAP_MM * (columns - 1)
    spare_y = area[3] - area[1] - sum(low + high for low, high in upward) - GAP_MM * (len(grid) - 1)
    if spare_x < 0 or spare_y < 0:
        return None
    lines_x = _lines(across, area[0], spare_x)
    lines_y = [area[1] + area[3] - y for y in _lines([(high, low) for low, high in upward], area[1], spare_y)]
    found = []
    for row, y in zip(grid, lines_y, strict=True):
        for taken, x in zip(row, lines_x, strict=False):
            if taken is not None:
                found.append(Placed(taken.view, taken.scale, (x - taken.middle(0), y - taken.middle(1))))
    return tuple(found)


def _span(row: Sequence[Taken | None], axis: int) -> tuple[float, float]:
    """Return what the views of a column (axis 0) or row (1) take on each side of their common middle line."""
    low = high = 0.0
    for taken in row:
        if taken is not None:
            middle = taken.middle(axis)
            low, high = max(low, middle - taken.room[axis]), max(high, taken.room[axis + 2] - middle)
    return low, high


def _lines(spans: Sequence[tuple[float, float]], start: float, spare: float) -> list[float]:
    """Return the middle lines of spans set side by side, in the middle, some spare room in the gaps."""
    share = min(spare / (len(spans) + 1), MOST_GAP_MM)
    found, at = [], start + (spare - share * (len(spans) - 1)) / 2 - share
    for low, high in spans:
        at += share
        found.append(at + low)
        at += low + high + GAP_MM
    return found
