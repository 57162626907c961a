"""Stock and cut list: what to saw, how large, and which way of the grain."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.board import JOINTING_MM, ROUGH_LENGTH_MM, ROUGH_THICKNESS_MM, ROUGH_WIDTH_MM
from cad.geometry.stock import WEDGE_LONG_MM, cut_list
from cad.papers.build_sheet.step import Bench, spoken
from cad.papers.sheet.document import Block, Points, Section, Table, Words

RINGS = {
    "quartered": "growth rings upright on the end grain, along the sides: the sole is quartered wood",
    "flat": "growth rings level on the end grain, along the sole",
}


def section(bench: Bench) -> Section:
    """Return the cut list with its allowances, the grain, the iron's blank and the fixtures to make."""
    return Section("Stock and cut list", tuple(_blocks(bench)))


def _blocks(bench: Bench) -> Iterator[Block]:
    plan, amounts = bench.plan, bench.amounts
    wood = plan.spec.wood
    rows = tuple(
        (
            piece.name.capitalize(),
            amounts.size(*piece.finished),
            amounts.size(*piece.sawn),
            amounts.size(*piece.rough),
        )
        for piece in cut_list(plan)
    )
    yield Table(
        ("Piece", "Finished", "Sawn, to be jointed", "Rough"),
        rows,
        (1.1, 2, 2, 2),
        f"{wood.species}; length along the grain × width × thickness",
    )
    yield Points(
        (
            "Grain: along the plane in every piece, straight, without knots near the throat; "
            f"{RINGS[wood.grain]}. Width lies along the plane's height, thickness across it. Saw all from "
            "one board, rings the same way, so that they move alike.",
            f"Body and plate keep {amounts.length(plan.stages.spare)} spare at each end until glued.",
            f"Sawn sizes have {amounts.length(JOINTING_MM)} left on the width for jointing, and the wedge "
            f"{amounts.length(WEDGE_LONG_MM)} of length for its fitting.",
            f"Rough sizes add {amounts.length(ROUGH_LENGTH_MM)} of length, {amounts.length(ROUGH_WIDTH_MM)} "
            f"of width and {amounts.length(ROUGH_THICKNESS_MM)} of thickness for checks, flattening and "
            "planing.",
            f"The iron: flat {plan.spec.iron.steel}, "
            f"{amounts.size(plan.iron.length, plan.iron.width, plan.iron.thickness)}; see "
            "papers/iron_sheet.pdf.",
        )
    )
    yield Words("Allowances: common practice, no source.", small=True)
    for made, words in (("printed", "To print"), ("cut", "To cut from sheet")):
        counts = {one.name: sum(p.made == made for p in one.pieces) for one in bench.fixtures.values()}
        found = [f"{spoken(name)} ({count})" for name, count in counts.items() if count]
        if found:
            yield Words(f"{words}, with the number of pieces: {', '.join(found)}.")
