"""Flat pieces laid on sheets: rectangles side by side, turned a quarter where that helps. Needs no kernel."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from cad.outline import Point


@dataclass(frozen=True)
class Nested:
    """Where the rectangle around one piece lies: its lower left corner on its sheet (counted from 0).

    `turned` when it is turned a quarter counter-clockwise, so that its length runs along the sheet's width.
    """

    name: str
    sheet: int
    at: Point
    turned: bool


@dataclass(frozen=True)
class Nest:
    """All pieces on as many sheets as they need, and the names of those that are larger than a sheet."""

    nested: tuple[Nested, ...]
    too_large: tuple[str, ...]

    @property
    def sheets(self) -> int:
        return 1 + max((one.sheet for one in self.nested), default=-1)


@dataclass(frozen=True)
class _Room:
    """A free rectangle of a sheet."""

    sheet: int
    low: Point
    size: Point


def room_on(sheet: Point, spacing: float) -> Point:
    """Return the largest length and width of a piece that a sheet takes: half the spacing stays around it."""
    return (sheet[0] - spacing, sheet[1] - spacing)


def nest(sizes: Mapping[str, Point], sheet: Point, spacing: float) -> Nest:
    """Return where pieces of the given length and width (mm) lie on sheets of one size.

    Any two keep `spacing` between them, and half of it from the sheet's edges. The largest come first; each
    goes where it leaves the narrowest strip, and what is left of that rectangle is parted by one straight
    cut. The same pieces give the same nest, in whatever order they come.
    """
    order = sorted(sizes, key=lambda name: (-max(sizes[name]), -min(sizes[name]), name))
    rooms: list[_Room] = []
    nested: list[Nested] = []
    too_large: list[str] = []
    sheets = 0
    for name in order:
        cell = (sizes[name][0] + spacing, sizes[name][1] + spacing)
        if not any(_takes(sheet, way) for way in (cell, cell[::-1])):
            too_large.append(name)
            continue
        if not any(_takes(room.size, way) for room in rooms for way in (cell, cell[::-1])):
            rooms.append(_Room(sheets, (0.0, 0.0), sheet))
            sheets += 1
        room, turned = min(_places(rooms, cell), key=lambda place: _waste(*place, cell))
        rooms.remove(room)
        rooms += _left(room, cell[::-1] if turned else cell)
        at = (room.low[0] + spacing / 2, room.low[1] + spacing / 2)
        nested.append(Nested(name, room.sheet, at, turned))
    return Nest(tuple(nested), tuple(sorted(too_large)))


def _takes(room: Point, cell: Point) -> bool:
    return cell[0] <= room[0] + 1e-9 and cell[1] <= room[1] + 1e-9


def _places(rooms: Iterable[_Room], cell: Point) -> Iterator[tuple[_Room, bool]]:
    for room in rooms:
        if _takes(room.size, cell):
            yield room, False
        if _takes(room.size, cell[::-1]):
            yield room, True


def _waste(room: _Room, turned: bool, cell: Point) -> tuple[float, ...]:
    """Return how badly a cell lies in a room: on a late sheet, then with a wide strip left beside it."""
    wide, high = cell[::-1] if turned else cell
    strips = sorted((room.size[0] - wide, room.size[1] - high))
    return (room.sheet, *(round(strip, 6) for strip in strips), *room.low, turned)


def _left(room: _Room, cell: Point) -> Iterator[_Room]:
    """Yield what is left of a room beside and above a cell, cut so that the larger piece stays the largest."""
    (x, y), (wide, high) = room.low, room.size
    beside, above = wide - cell[0], high - cell[1]
    through = beside > above  # the cut runs the room's full height, else its full width
    yield _Room(room.sheet, (x + cell[0], y), (beside, high if through else cell[1]))
    yield _Room(room.sheet, (x, y + cell[1]), (cell[0] if through else wide, above))
