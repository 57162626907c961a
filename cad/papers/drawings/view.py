"""A view: lines in mm, as they are on the part, and the marks that stand on and around them.

Places are in the plane of the view, in mm of the part; distances off a view (lanes, reaches) are mm of paper.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from cad.geometry.linework import Window, bounds
from cad.kernel.projection import Seen, Sliced
from cad.outline import Line, Path, Point
from cad.papers.drawings.dimension import Dimension

Side = Literal["left", "right", "top", "bottom"]

FIRST_LANE_MM, LANE_MM = 10.0, 8.0  # ISO 129-1 asks for 7 mm and more between dimension lines (from memory)


@dataclass(frozen=True)
class Linear:
    """The distance between two points along an axis of the page, on a line beside the view.

    `lane` counts outwards from 0. Text that finds no room between the arrows stands beyond the later point,
    or beyond the earlier one with `before`.
    """

    dimension: Dimension
    start: Point
    end: Point
    side: Side
    lane: int = 0
    before: bool = False


@dataclass(frozen=True)
class Angle:
    """The angle at a vertex from one direction counter-clockwise to another.

    `radii` are the radii of its arc, in mm of paper, to be tried in turn until the text stands clear;
    one that is `optional` is left out where it never does.
    """

    dimension: Dimension
    vertex: Point
    from_deg: float
    to_deg: float
    radii: tuple[float, ...] = (16.0, 20.0, 13.0, 25.0)
    optional: bool = False


@dataclass(frozen=True)
class Radius:
    """The radius or diameter of an arc: an arrow on the arc, a leader square to it, text on a level shelf.

    `turns` are the places on the arc, in degrees from its centre, `reaches` the lengths of leader (mm of
    paper, negative towards the centre) and `sides` the ways the shelf runs, outwards 1: to be tried in turn
    until the text stands clear. One that is `optional` is left out where it never does.
    """

    dimension: Dimension
    centre: Point
    radius: float
    turns: tuple[float, ...]
    reaches: tuple[float, ...] = (10.0, 14.0, 18.0, 24.0, 30.0)
    sides: tuple[float, ...] = (1.0, -1.0)
    optional: bool = False


@dataclass(frozen=True)
class Balloon:
    """The number of an item: a circle beside the view, its leader ending in the part that it names.

    The circle stands level with that point, moved along the side by `shift` mm of paper.
    """

    text: str
    at: Point
    side: Side
    shift: float = 0.0


@dataclass(frozen=True)
class CuttingLine:
    """Where a section is taken: a line across the view, its letter at both ends, arrows the way one looks."""

    letter: str
    start: Point
    end: Point
    looks: Side


Mark = Linear | Angle | Radius | Balloon | CuttingLine
Dimensioned = Linear | Angle | Radius


@dataclass(frozen=True)
class View:
    """One view of a sheet. `scale` is its own, None the sheet's; `title` stands above it.

    `axes` are drawn as chains, `narrow` lines are no part of the thing itself; `broken` are the edges of the
    window at which the part goes on.
    """

    visible: tuple[Path, ...]
    hidden: tuple[Path, ...] = ()
    rims: tuple[tuple[Path, ...], ...] = ()
    axes: tuple[Line, ...] = ()
    narrow: tuple[Path, ...] = ()
    marks: tuple[Mark, ...] = ()
    title: str = ""
    scale: float | None = None
    broken: tuple[Line, ...] = ()

    @cached_property
    def box(self) -> Window:
        """The rectangle around the view's lines, axes left out: dimensions stand off it."""
        broken = [Path((line,)) for line in self.broken]
        return bounds([*self.visible, *self.narrow, *broken, *(rim for rims in self.rims for rim in rims)])

    @cached_property
    def drawn_box(self) -> Window:
        """The rectangle around all lines of the view, axes and all."""
        axes = [Path((axis,)) for axis in self.axes]
        inked = bounds([*self.visible, *axes]) if axes else self.box
        return (
            min(self.box[0], inked[0]),
            min(self.box[1], inked[1]),
            max(self.box[2], inked[2]),
            max(self.box[3], inked[3]),
        )

    @property
    def dimensions(self) -> tuple[Dimension, ...]:
        return tuple(mark.dimension for mark in self.marks if isinstance(mark, Dimensioned))

    def with_marks(self, *marks: Mark) -> View:
        return replace(self, marks=(*self.marks, *marks))


def view_of(seen: Seen, title: str = "") -> View:
    """Return the view of what is seen of solids."""
    return View(seen.visible, seen.hidden, title=title)


def section_of(sliced: Sliced, title: str) -> View:
    """Return the view of a section, cut faces to be hatched."""
    return View(sliced.seen.visible, rims=sliced.rims, title=title)


def lane_mm(lane: int, two_lines: bool = False) -> float:
    """Return how far a lane lies off the view, in mm of paper; wider apart where text stands beneath too."""
    return FIRST_LANE_MM + lane * (LANE_MM + (4.0 if two_lines else 0.0))
