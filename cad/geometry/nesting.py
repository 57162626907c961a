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
    """A free rectangle of a sheet. Rooms of one sheet overlap: each is as large as it can be."""

    sheet: int
    low: Point
    high: Point

    @property
    def size(self) -> Point:
        return (self.high[0] - self.low[0], self.high[1] - self.low[1])

    def holds(self, other: _Room) -> bool:
        return (
            self.sheet == other.sheet
            and all(a <= b + 1e-9 for a, b in zip(self.low, other.low, strict=True))
            and all(a >= b - 1e-9 for a, b in zip(self.high, other.high, strict=True))
        )


def room_on(sheet: Point, spacing: float) -> Point:
    """Return the largest length and width of a piece that a sheet takes: half the spacing stays around it."""
    return (sheet[0] - spacing, sheet[1] - spacing)


def nest(sizes: Mapping[str, Point], sheet: Point, spacing: float) -> Nest:
    """Return where pieces of the given length and width (mm) lie on sheets of one size.

    Any two keep `spacing` between them, and half of it from the sheet's edges. The largest by girth come
    first; each goes on the first sheet that takes it, where it leaves the narrowest strip beside it. The
    same pieces give the same nest, in whatever order they come.
    """
    order = sorted(sizes, key=lambda name: (-sum(sizes[name]), -max(sizes[name]), name))
    rooms: list[_Room] = []
    nested: list[Nested] = []
    too_large: list[str] = []
    sheets = 0
    for name in order:
        # Each piece takes a cell of its own, half the spacing wider on every side.
        cell = (sizes[name][0] + spacing, sizes[name][1] + spacing)
        fresh = _Room(sheets, (0.0, 0.0), sheet)
        places = list(_places(rooms, cell)) or list(_places([fresh], cell))
        if not places:
            too_large.append(name)
            continue
        room, turned = min(places, key=lambda place: _rank(place[0], place[1], cell))
        if room is fresh:
            rooms.append(fresh)
            sheets += 1
        wide, high = cell[::-1] if turned else cell
        taken = _Room(room.sheet, room.low, (room.low[0] + wide, room.low[1] + high))
        rooms = _less(rooms, taken)
        nested.append(
            Nested(name, room.sheet, (room.low[0] + spacing / 2, room.low[1] + spacing / 2), turned)
        )
    return Nest(tuple(nested), tuple(sorted(too_large)))


def _places(rooms: Iterable[_Room], cell: Point) -> Iterator[tuple[_Room, bool]]:
    """Yield the rooms that take a cell, and whether it must be turned there."""
    for room in rooms:
        wide, high = room.size
        if cell[0] <= wide + 1e-9 and cell[1] <= high + 1e-9:
            yield room, False
        if cell[1] <= wide + 1e-9 and cell[0] <= high + 1e-9:
            yield room, True


def _rank(room: _Room, turned: bool, cell: Point) -> tuple[float, ...]:
    """Return how badly a cell lies in a room: on a late sheet, then with a wide strip left beside it."""
    wide, high = cell[::-1] if turned else cell
    strips = sorted((room.size[0] - wide, room.size[1] - high))
    return (room.sheet, *(round(strip, 6) for strip in strips), *room.low, turned)


def _less(rooms: Iterable[_Room], taken: _Room) -> list[_Room]:
    """Return the rooms that are left when one rectangle is taken, none within another."""
    left = list(dict.fromkeys(part for room in rooms for part in _parts(room, taken)))
    return [room for room in left if not any(other is not room and other.holds(room) for other in left)]


def _parts(room: _Room, taken: _Room) -> Iterator[_Room]:
    """Yield what is left of a room to the left, right, below and above of what is taken."""
    (x0, y0), (x1, y1), (a0, b0), (a1, b1) = room.low, room.high, taken.low, taken.high
    gap = 1e-9
    if room.sheet != taken.sheet or a0 >= x1 - gap or a1 <= x0 + gap or b0 >= y1 - gap or b1 <= y0 + gap:
        yield room
        return
    if a0 > x0 + gap:
        yield _Room(room.sheet, (x0, y0), (a0, y1))
    if a1 < x1 - gap:
        yield _Room(room.sheet, (a1, y0), (x1, y1))
    if b0 > y0 + gap:
        yield _Room(room.sheet, (x0, y0), (x1, b0))
    if b1 < y1 - gap:
        yield _Room(room.sheet, (x0, b1), (x1, y1))
