"""Many rough pieces out of as few boards as can be found, by saw cuts that go right across what is cut.

Pieces lie with their grain along the board. Every cut runs from edge to edge of the board or of what is left
of it, as a saw in a shop cuts, and takes a kerf. Thin pieces are resawn from beside thicker ones, or from one
another.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, prod

from cad.geometry.stock import Size, StockPiece
from cad.outline import Point

HAIR_MM = 1e-9


@dataclass(frozen=True)
class Place:
    """A length of a board that is cut out whole: one piece, or several resawn out of its thickness."""

    names: tuple[str, ...]
    length: float
    width: float

    @property
    def area(self) -> float:
        return self.length * self.width


@dataclass(frozen=True)
class Laid:
    """A place where it lies on its board (counted from 0): its corner nearest the board's own corner."""

    place: Place
    board: int
    at: Point


@dataclass(frozen=True)
class Layout:
    """All places on their boards, those that no board holds, and the fewest boards that could ever do."""

    laid: tuple[Laid, ...]
    too_large: tuple[str, ...]
    bound: int

    @property
    def boards(self) -> int:
        return 1 + max((one.board for one in self.laid), default=-1)

    @property
    def is_best(self) -> bool:
        """Whether no fewer boards will do, whatever the cutting."""
        return self.boards == self.bound


def laid_out(pieces: Sequence[StockPiece], board: Size, kerf: float) -> Layout:
    """Return the best layout found for the rough pieces on boards of one size (length, width, thickness).

    Several orders of the pieces and ways of parting what is left are tried, each by first fit into the
    smallest offcut that takes the piece; the layout with the fewest boards wins. The bound tells how far it
    can be from the best: it follows from volumes and from pieces of which no two share a board.
    """
    ordered = sorted(pieces, key=lambda one: (*(-side for side in reversed(one.rough)), one.name))
    fitting = [p for p in ordered if all(a <= b + HAIR_MM for a, b in zip(p.rough, board, strict=True))]
    too_large = tuple(piece.name for piece in ordered if piece not in fitting)
    places = resawn(fitting, board[2], kerf)
    bound = least_boards([piece.rough for piece in fitting], board, kerf)
    best: tuple[Laid, ...] | None = None
    for order in _ORDERS:
        for parting in _PARTINGS:
            found = _filled(sorted(places, key=order), (board[0], board[1]), kerf, parting)
            if best is None or _boards(found) < _boards(best):
                best = found
        if best is not None and _boards(best) == bound:
            break
    return Layout(best or (), too_large, bound)


def resawn(pieces: Sequence[StockPiece], thickness: float, kerf: float) -> list[Place]:
    """Return the places wanted on boards of a thickness: each piece joins the first that it can be sawn from.

    Pieces come thickest first. A place is as long and as wide as its first piece.
    """
    found: list[tuple[list[str], float, float, float]] = []
    for piece in pieces:
        length, width, thick = piece.rough
        for at, (names, long, wide, left) in enumerate(found):
            if length <= long + HAIR_MM and width <= wide + HAIR_MM and thick + kerf <= left + HAIR_MM:
                found[at] = ([*names, piece.name], long, wide, left - thick - kerf)
                break
        else:
            found.append(([piece.name], length, width, thickness - thick))
    return [Place(tuple(names), long, wide) for names, long, wide, _ in found]


def least_boards(sizes: Sequence[Size], board: Size, kerf: float) -> int:
    """Return a number of boards that no cutting can do with less of; sizes and board in mm.

    With its kerfs a piece takes up (l + k)(w + k)(t + k) of the (L + k)(W + k)(T + k) of a board, so that
    volumes alone ask for so many boards; and of pieces over half a board every way no two share one.
    """
    whole = [side + kerf for side in board]
    taken = [[side + kerf for side in size] for size in sizes]
    alone = sum(all(a > b / 2 + HAIR_MM for a, b in zip(one, whole, strict=True)) for one in taken)
    return max(ceil(sum(map(prod, taken)) / prod(whole) - HAIR_MM), alone)


@dataclass(frozen=True)
class _Offcut:
    board: int
    at: Point
    length: float
    width: float

    def takes(self, place: Place) -> bool:
        return place.length <= self.length + HAIR_MM and place.width <= self.width + HAIR_MM


_Parting = Callable[[_Offcut, Place, float], bool]  # whether what is left is ripped first


def _ripped(offcut: _Offcut, place: Place, kerf: float) -> bool:
    return True


def _crosscut(offcut: _Offcut, place: Place, kerf: float) -> bool:
    return False


def _larger_whole(offcut: _Offcut, place: Place, kerf: float) -> bool:
    """Rip where that leaves the larger of the two offcuts larger."""
    long, wide = offcut.length - place.length - kerf, offcut.width - place.width - kerf
    return max(offcut.length * wide, long * place.width) >= max(place.length * wide, long * offcut.width)


_PARTINGS: tuple[_Parting, ...] = (_ripped, _crosscut, _larger_whole)
_ORDERS: tuple[Callable[[Place], tuple[object, ...]], ...] = (
    lambda place: (-place.width, -place.length, place.names),
    lambda place: (-place.area, -place.length, place.names),
    lambda place: (-place.length, -place.width, place.names),
    lambda place: (-max(place.length, place.width), -place.area, place.names),
)


def _filled(places: Sequence[Place], board: Point, kerf: float, rips: _Parting) -> tuple[Laid, ...]:
    """Return places laid one by one, each into the smallest offcut that takes it, else on a new board."""
    offcuts: list[_Offcut] = []
    laid: list[Laid] = []
    boards = 0
    for place in places:
        able = [offcut for offcut in offcuts if offcut.takes(place)]
        if able:
            chosen = min(able, key=lambda offcut: (offcut.length * offcut.width, offcut.board, offcut.at))
            offcuts.remove(chosen)
        else:
            chosen = _Offcut(boards, (0.0, 0.0), *board)
            boards += 1
        laid.append(Laid(place, chosen.board, chosen.at))
        offcuts += _left(chosen, place, kerf, rips(chosen, place, kerf))
    return tuple(laid)


def _left(offcut: _Offcut, place: Place, kerf: float, rip: bool) -> Iterator[_Offcut]:
    """Yield what is left of an offcut when a place is cut out of its corner."""
    x, y = offcut.at
    beside = (place.length + kerf, place.width + kerf)
    long, wide = offcut.length - beside[0], offcut.width - beside[1]
    ends = _Offcut(offcut.board, (x + beside[0], y), long, place.width if rip else offcut.width)
    sides = _Offcut(offcut.board, (x, y + beside[1]), offcut.length if rip else place.length, wide)
    yield from (one for one in (ends, sides) if one.length > 0 and one.width > 0)


def _boards(laid: Sequence[Laid]) -> int:
    return 1 + max((one.board for one in laid), default=-1)
