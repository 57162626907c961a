"""Board use and cost: what is bought, what ends in the plane, and what that comes to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from cad.formulas.board import board_feet, litres
from cad.geometry import Plan
from cad.geometry.boards import Layout, laid_out
from cad.geometry.stock import cut_list
from cad.papers.sheet.amounts import Amounts, percent
from cad.papers.sheet.document import Block, Notice, Section, Table, Words
from cad.units import plain

WOODEN = ("body", "cheek_plate", "wedge")  # the parts of the plane that are wood


@dataclass(frozen=True)
class BoardUse:
    """Volumes in mm³: the rough pieces, what of them ends in the plane; the boards, and their price.

    `cost` is that of the rough pieces' board feet, `boards_cost` that of whole boards: None without a price,
    and where some piece does not come out of such a board.
    """

    stock: float
    finished: float
    board: float
    sawing: Layout
    price: float | None

    @property
    def waste(self) -> float:
        """Volume that goes to shavings, sawdust and offcuts."""
        return self.stock - self.finished

    @property
    def cost(self) -> float | None:
        return None if self.price is None else self.price * board_feet(self.stock)

    @property
    def boards_cost(self) -> float | None:
        if self.price is None or self.sawing.too_large:
            return None
        return self.price * board_feet(self.board) * self.sawing.boards


def board_use(plan: Plan, volumes: Mapping[str, float]) -> BoardUse:
    """Return the board use of a plan; `volumes` are those of the finished solids in mm³, by the part's name.

    Raises KeyError when a wooden part has no volume.
    """
    wood = plan.spec.wood
    pieces = cut_list(plan)
    length, width, thickness = wood.board
    return BoardUse(
        sum(piece.rough_volume for piece in pieces),
        sum(volumes[name] for name in WOODEN),
        length * width * thickness,
        laid_out(pieces, wood.board, plan.spec.shop.table_saw.kerf),
        wood.price or None,
    )


def section(plan: Plan, volumes: Mapping[str, float]) -> Section:
    """Return board use and cost as a section of a sheet."""
    use, amounts = board_use(plan, volumes), Amounts(plan.spec.unit)
    rows = [
        ("Rough pieces", _volume(use.stock)),
        ("Wood in the finished plane, measured on its solids", _volume(use.finished)),
        (
            "Waste: shavings, sawdust, offcuts",
            f"{_volume(use.waste)}, {percent(100 * use.waste / use.stock, 0)}",
        ),
    ]
    boards = f"Boards of {amounts.size(*plan.spec.wood.board)}"
    if not use.sawing.too_large:
        rows.append((boards, f"{use.sawing.boards}, {_volume(use.board)} each"))
    costs = (("Cost of the rough pieces", use.cost), ("Cost of whole boards", use.boards_cost))
    rows += [(what, f"{cost:.2f}") for what, cost in costs if cost is not None]
    blocks: list[Block] = []
    if use.sawing.too_large:
        names = ", ".join(use.sawing.too_large)
        blocks.append(
            Notice((f"{boards} (wood.board) are too small for: {names}. Buy larger ones for these.",))
        )
    blocks.append(Table((), tuple(rows), (3, 2.4)))
    price = (
        f"Price: {plain(use.price)} a board foot, in your own money."
        if use.price is not None
        else "No price is given (wood.price, of a board foot): no cost is reckoned."
    )
    blocks.append(
        Words(
            f"{price} A board foot is 144 in³, 2.36 l. The pieces are laid grain along the board, one saw "
            f"kerf of {amounts.length(plan.spec.shop.table_saw.kerf)} between, thin ones resawn from beside "
            "a thicker one; knots and checks are not reckoned: buy a third more unless you chose the board "
            "yourself (common practice, no source).",
            small=True,
        )
    )
    return Section("Board use and cost", tuple(blocks))


def _volume(mm3: float) -> str:
    return f"{plain(litres(mm3), 2)} l ({plain(board_feet(mm3), 2)} board feet)"
