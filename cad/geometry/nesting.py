"""Flat pieces laid on sheets: rectangles side by side, turned a quarter where that helps. Needs no kernel."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
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


@dataclass(frozen=True)
class _Place:
    """A cell as it would lie in the corner of a room."""

    room: _Room
    cell: _Room
    turned: bool

    @property
    def tie(self) -> tuple[float, ...]:
        return (*self.room.low, *self.room.high, self.turned)


def nest(sizes: Mapping[str, Point], sheet: Point, spacing: float) -> Nest:
    """Return where pieces of the given length and width (mm) lie on sheets of one size.

    Any two keep `spacing` between them, and half of it from the sheet's edges. Pieces are laid in turn, the
    largest first by girth or by length, each on the first sheet that takes it, where it leaves the narrowest
    strip beside it or where it lies lowest: of these four nests the first with the fewest sheets is returned.
    The same pieces give the same nest, in whatever order they come.
    """
    by_girth = sorted(sizes, key=lambda name: (-sum(sizes[name]), -max(sizes[name]), name))
    by_length = sorted(sizes, key=lambda name: (-max(sizes[name]), -min(sizes[name]), name))
    nests = [
        _laid({name: sizes[name] for name in order}, sheet, spacing, rank)
        for order in (by_girth, by_length)
        for rank in (_strip, _lowest)
    ]
    return min(nests, key=lambda found: found.sheets)


def _laid(
    sizes: Mapping[str, Point], sheet: Point, spacing: float, rank: Callable[[_Place], tuple[float, ...]]
) -> Nest:
    """Return the nest of pieces laid in the order given, each in the place that ranks lowest."""
    rooms: list[_Room] = []
    nested: list[Nested] = []
    too_large: list[str] = []
    sheets = 0
    for name, (wide, high) in sizes.items():
        # Each piece takes a cell of its own, half the spacing wider on every side.
        cell = (wide + spacing, high + spacing)
        fresh = _Room(sheets, (0.0, 0.0), sheet)
        places = list(_places(rooms, cell)) or list(_places([fresh], cell))
        if not places:
            too_large.append(name)
            continue
        best = min(places, key=rank)
        if best.room is fresh:
            rooms.append(fresh)
            sheets += 1
        rooms = _less(rooms, best.cell)
        x, y = best.cell.low
        nested.append(Nested(name, best.cell.sheet, (x + spacing / 2, y + spacing / 2), best.turned))
    return Nest(tuple(nested), tuple(sorted(too_large)))


def _places(rooms: Iterable[_Room], cell: Point) -> Iterator[_Place]:
    """Yield a cell in the lower left corner of every room that takes it, as it is and turned."""
    for room in rooms:
        for turned in (False, True):
            wide, high = cell[::-1] if turned else cell
            if wide <= room.size[0] + 1e-9 and high <= room.size[1] + 1e-9:
                corner = (room.low[0] + wide, room.low[1] + high)
                yield _Place(room, _Room(room.sheet, room.low, corner), turned)


def _strip(place: _Place) -> tuple[float, ...]:
    """Rank a place by the narrower strip that it leaves beside the cell, on the first sheet."""
    (wide, high), (room_wide, room_high) = place.cell.size, place.room.size
    strips = sorted((round(room_wide - wide, 6), round(room_high - high, 6)))
    return (place.room.sheet, *strips, *place.tie)


def _lowest(place: _Place) -> tuple[float, ...]:
    """Rank a place by how far up, then how far right the cell reaches, on the first sheet."""
    right, top = place.cell.high
    return (place.room.sheet, round(top, 6), round(right, 6), *place.tie)


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
