"""The board: whether the body comes out of it."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from cad.checks.check import Check, at_least
from cad.checks.cure import change
from cad.geometry import Plan
from cad.geometry.stock import cut_list
from cad.units import plain

SIDES = ("length", "width", "thickness")


def checks(plan: Plan) -> Iterator[Check]:
    """Yield whether the board is as long, wide and thick as the rough body, its largest piece."""
    board, body = plan.spec.wood.board, cut_list(plan)[0]
    sides = [max(have, ceil(least)) for have, least in zip(board, body.rough, strict=True)]
    needed = ", ".join(f'"{plain(side)} mm"' for side in sides)
    for side, have, least in zip(SIDES, board, body.rough, strict=True):
        yield at_least(
            f"board.{side}",
            have,
            note=least,
            why=f"the {body.name} does not come out of a board of this {side}: its rough size has allowances "
            "for squaring, jointing and planing",
            cure=change(f"wood.board = [{needed}]"),
        )
