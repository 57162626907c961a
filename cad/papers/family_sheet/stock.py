"""The wood and the steel of a whole family: cut list, boards with every piece in its place, irons."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cad.formulas.board import board_feet
from cad.geometry import Plan
from cad.geometry.boards import Layout, laid_out
from cad.geometry.stock import Size, StockPiece, cut_list
from cad.papers.sheet.amounts import Amounts
from cad.papers.sheet.document import Block, Lettering, Picture, Pictures, Section, Stroke, Table, Words
from cad.units import plain

BOARD_ROOM_MM = (170.0, 40.0)  # a board is drawn across the page
NUMBER_MM = 1.8
SIZES = Words("Sizes are length (of wood along the grain) × width × thickness.", small=True)


@dataclass(frozen=True)
class Wood:
    """Boards of one kind and the saw that parts them: what the pieces of some planes come out of."""

    species: str
    board: Size
    kerf: float


def sections(name: str, plans: Sequence[Plan]) -> Iterator[Section]:
    """Yield the cut list over all planes, their boards and their irons."""
    amounts = Amounts(plans[0].spec.unit)
    woods: dict[Wood, list[Plan]] = {}
    for plan in plans:
        spec = plan.spec
        wood = Wood(spec.wood.species, spec.wood.board, spec.shop.table_saw.kerf)
        woods.setdefault(wood, []).append(plan)
    numbered = numbered_pieces(name, plans)
    for wood, sawn in woods.items():
        planes = {plan.spec.name.removeprefix(f"{name}-") for plan in sawn}
        own = {number: named for number, named in numbered.items() if named[0] in planes}
        kind = wood.species if len(woods) == 1 else f"{wood.species}, boards of {amounts.size(*wood.board)}"
        yield Section(f"Cut list, {kind}", (SIZES, _cut_list(own, amounts)))
        yield Section(f"Boards, {wood.species}", tuple(_boards(wood, own, sawn, amounts)))
    yield Section("Irons", (SIZES, _irons(name, plans, amounts)))


def numbered_pieces(name: str, plans: Sequence[Plan]) -> dict[int, tuple[str, StockPiece]]:
    """Return every piece of wood by the number that it has on the boards, with the plane's part of its name.

    The piece's own name is its number, so that it can be told on a layout.
    """
    found = [(plan.spec.name.removeprefix(f"{name}-"), piece) for plan in plans for piece in cut_list(plan)]
    return dict(enumerate(found, start=1))


def laid_on_boards(wood: Wood, numbered: dict[int, tuple[str, StockPiece]]) -> Layout:
    """Return the layout of numbered pieces, which go by their numbers on it."""
    return laid_out(
        [StockPiece(str(number), piece.finished, piece.sawn) for number, (_, piece) in numbered.items()],
        wood.board,
        wood.kerf,
    )


def _cut_list(numbered: dict[int, tuple[str, StockPiece]], amounts: Amounts) -> Table:
    alike: dict[tuple[str, Size, Size], list[tuple[int, str]]] = {}
    for number, (plane, piece) in numbered.items():
        alike.setdefault((piece.name, piece.sawn, piece.rough), []).append((number, plane))
    rows = tuple(
        (
            ", ".join(str(number) for number, _ in found),
            piece.capitalize(),
            ", ".join(plane for _, plane in found),
            amounts.size(*sawn),
            amounts.size(*rough),
        )
        for (piece, sawn, rough), found in alike.items()
    )
    heads = ("No.", "Piece", "For", "Sawn, to be jointed", "Rough")
    return Table(heads, rows, (0.7, 1.1, 1.7, 2, 2))


def _boards(
    wood: Wood, numbered: dict[int, tuple[str, StockPiece]], plans: Sequence[Plan], amounts: Amounts
) -> Iterator[Block]:
    layout = laid_on_boards(wood, numbered)
    size = amounts.size(*wood.board)
    best = (
        "no cutting does with fewer" if layout.is_best else f"{layout.bound} is the least that could ever do"
    )
    yield Words(f"Boards of {size}: {layout.boards}; {best}.")
    if layout.too_large:
        yield Words(
            f"Too large for such a board: no. {', '.join(layout.too_large)}. Buy larger ones for these."
        )
    price = plans[0].spec.wood.price
    if price:
        feet = board_feet(wood.board[0] * wood.board[1] * wood.board[2])
        yield Words(f"Cost of whole boards: {price * feet * layout.boards:.2f}, in your own money.")
    yield from (Pictures((_board(wood, layout, number),)) for number in range(layout.boards))
    yield Words(
        f"Numbers are those of the cut list; several in one place are resawn from one another, the first the "
        f"thickest. One kerf of {amounts.length(wood.kerf)} lies between; every cut goes right across what "
        "is cut, so that the pieces can be sawn as drawn. Knots and checks are not reckoned: buy a third "
        "more unless you chose the boards yourself (common practice, no source).",
        small=True,
    )


def _board(wood: Wood, layout: Layout, number: int) -> Picture:
    strokes = [_outline((0.0, 0.0), wood.board[0], wood.board[1], wide=True)]
    letterings = []
    for one in layout.laid:
        if one.board == number:
            (x, y), place = one.at, one.place
            strokes.append(_outline(one.at, place.length, place.width))
            middle = (x + place.length / 2, y + place.width / 2)
            letterings.append(Lettering(" + ".join(place.names), middle, NUMBER_MM))
    caption = f"Board {number + 1} of {layout.boards}, grain from left to right"
    return Picture(f"board {number + 1}", tuple(strokes), caption, tuple(letterings), BOARD_ROOM_MM)


def _outline(at: tuple[float, float], length: float, width: float, wide: bool = False) -> Stroke:
    (x, y), (u, v) = at, (at[0] + length, at[1] + width)
    return Stroke(((x, y), (u, y), (u, v), (x, v), (x, y)), "wide" if wide else "narrow")


def _irons(name: str, plans: Sequence[Plan], amounts: Amounts) -> Table:
    alike: dict[tuple[str, Size], list[str]] = {}
    for plan in plans:
        size = (plan.iron.length, plan.iron.width, plan.iron.thickness)
        alike.setdefault((plan.spec.iron.steel, size), []).append(plan.spec.name.removeprefix(f"{name}-"))
    rows = tuple(
        (plain(len(planes)), steel, amounts.size(*size), ", ".join(planes))
        for (steel, size), planes in alike.items()
    )
    return Table(("Count", "Steel", "Size", "For"), rows, (0.6, 0.7, 2.4, 3))
