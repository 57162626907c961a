"""The wood to buy, as worked out."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.board import board_feet, litres
from cad.geometry import Plan
from cad.geometry.boards import laid_out
from cad.geometry.stock import cut_list
from cad.report.dimension import Dimension, Worked, number


def dimensions(plan: Plan) -> Iterator[Worked]:
    """Yield the rough size of each piece of the cut list, their volume, and the boards they come out of."""
    pieces = cut_list(plan)
    for piece in pieces:
        reason = "rough: length, width, thickness with all allowances (common practice, no source)"
        yield f"stock.{piece.name.replace(' ', '_')}", Dimension("mm", piece.rough, False, reason)
    volume = sum(piece.rough_volume for piece in pieces)
    yield number("stock.litres", litres(volume), "all rough pieces together")
    yield number("stock.board_feet", board_feet(volume), "the same; a board foot is 144 in³")
    sawing = laid_out(pieces, plan.spec.wood.board, plan.spec.shop.table_saw.kerf)
    missing = f"; too small for {', '.join(sawing.too_large)}" if sawing.too_large else ""
    yield number("stock.boards", sawing.boards, f"of wood.board{missing}")
