"""What the wood is sawn from: the pieces of the cut list with their allowances, and boards to hold them.

Every size is (length along the grain, width, thickness) in mm. The width lies along the plane's height and
the thickness across the plane, so that pieces of one board have their growth rings the same way.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import prod

from cad.formulas.board import JOINTING_MM, ROUGH_LENGTH_MM, ROUGH_THICKNESS_MM, ROUGH_WIDTH_MM
from cad.geometry.plan import Plan

WEDGE_LONG_MM = 15.0  # the wedge is started longer by this much; common practice, no source

Size = tuple[float, float, float]


@dataclass(frozen=True)
class StockPiece:
    """One piece of wood: as it ends in the plane, as it is sawn and jointed to, and as it is bought."""

    name: str
    finished: Size
    sawn: Size  # with the spare length, and what is left for jointing

    @property
    def rough(self) -> Size:
        length, width, thickness = self.sawn
        return (length + ROUGH_LENGTH_MM, width + ROUGH_WIDTH_MM, thickness + ROUGH_THICKNESS_MM)

    @property
    def rough_volume(self) -> float:
        """Volume of the rough piece, mm³."""
        return prod(self.rough)


def cut_list(plan: Plan) -> tuple[StockPiece, ...]:
    """Return the pieces of wood that a plane is made of, the largest first."""
    section, stages, wedge = plan.section, plan.stages, plan.wedge
    low_u, low_n, high_u, high_n = wedge.side_view().bounds()
    rail = section.height - section.shoulder
    thickness = section.blind_face if stages.laminated else section.thickness

    def with_spare(name: str, width: float, thick: float) -> StockPiece:
        sawn = (stages.length + 2 * stages.spare, width + JOINTING_MM, thick)
        return StockPiece(name, (stages.length, width, thick), sawn)

    pieces = [with_spare("body board" if stages.laminated else "body block", section.height, thickness)]
    if stages.laminated:
        pieces.append(with_spare("rail strip", rail, section.plate))
    pieces.append(with_spare("cheek plate", section.shoulder - plan.sole.plate_edge, section.plate))
    long, high = high_u - low_u, high_n - low_n
    pieces.append(
        StockPiece(
            "wedge",
            (long, high, wedge.width),
            (long + WEDGE_LONG_MM, high + JOINTING_MM, wedge.width + JOINTING_MM),
        )
    )
    return tuple(pieces)


@dataclass(frozen=True)
class Sawing:
    """How many boards the rough pieces take, and the names of those that no such board holds."""

    boards: int
    too_large: tuple[str, ...]


@dataclass(frozen=True)
class _Place:
    """A length of board at its full thickness, `left` of which is still to be had by resawing."""

    length: float
    width: float
    left: float

    def takes(self, size: Size, kerf: float) -> bool:
        length, width, thickness = size
        return length <= self.length and width <= self.width and thickness + kerf <= self.left


def boards_needed(pieces: Iterable[StockPiece], board: Size, kerf: float) -> Sawing:
    """Return how many boards of one size the rough pieces come out of, grain along the board, `kerf` between.

    Pieces are laid end to end in strips, the widest first; one that is thin enough is resawn from beside
    a larger one. A plain first fit: a maker may do better, never worse.
    """
    ordered = sorted(pieces, key=lambda piece: (-piece.rough[1], -piece.rough[0], piece.name))
    fitting = [p for p in ordered if all(a <= b + 1e-9 for a, b in zip(p.rough, board, strict=True))]
    too_large = tuple(piece.name for piece in ordered if piece not in fitting)
    boards: list[list[list[float]]] = []  # of strips: width, length left
    for length, width in _footprints(fitting, board[2], kerf):
        _lay(boards, length, width, board, kerf)
    return Sawing(len(boards), too_large)


def _footprints(pieces: Sequence[StockPiece], thickness: float, kerf: float) -> Iterator[tuple[float, float]]:
    """Yield length and width of each place on a board that is wanted once thin pieces are resawn."""
    places: list[_Place] = []
    for piece in pieces:
        length, width, thick = piece.rough
        found = next((i for i, place in enumerate(places) if place.takes(piece.rough, kerf)), None)
        if found is None:
            places.append(_Place(length, width, thickness - thick))
        else:
            place = places[found]
            places[found] = _Place(place.length, place.width, place.left - thick - kerf)
    yield from ((place.length, place.width) for place in places)


def _lay(boards: list[list[list[float]]], length: float, width: float, board: Size, kerf: float) -> None:
    """Put a place into the first strip that has room, else into a new strip of a board, else a new board."""
    for strips in boards:
        for strip in strips:
            if width <= strip[0] + 1e-9 and length <= strip[1] + 1e-9:
                strip[1] -= length + kerf
                return
        if sum(strip[0] + kerf for strip in strips) + width <= board[1] + 1e-9:
            strips.append([width, board[0] - length - kerf])
            return
    boards.append([[width, board[0] - length - kerf]])
