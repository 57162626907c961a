"""Moves that leave the stock, or go deeper below it than they may."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from operator import itemgetter

from cad.simulate.finding import Finding, Place, where
from cad.simulate.job import Allowances, Stock
from cad.simulate.moves import Move

CHORD_MM = 0.05
LEAST_MM = 0.01  # less is the noise of rounded numbers


def beyond(program: str, moves: Sequence[Move], stock: Stock, allowances: Allowances) -> Iterator[Finding]:
    """Yield each move whose axis leaves the stock, or whose tip goes too deep, by more than is allowed."""
    low_x, low_y, high_x, high_y = stock.bounds
    lowest = -stock.thickness_mm - allowances.into_bed_mm

    def outside(place: Place) -> float:
        return max(low_x - place[0], place[0] - high_x, low_y - place[1], place[1] - high_y)

    for move in moves:
        points = move.points(CHORD_MM)
        place = max(points, key=outside)
        out = outside(place)
        if out - allowances.beyond_mm > LEAST_MM:
            words = f"goes {out:.2f} mm outside the stock, to {where(place)}"
            cure = "Check zero, units and the size of the stock"
            amount = round(out - allowances.beyond_mm, 4)
            yield Finding("outside", program, move.line, words, cure, place, amount)
        place = min(points, key=itemgetter(2))
        if lowest - place[2] > LEAST_MM:
            words = f"goes {-stock.thickness_mm - place[2]:.2f} mm below the stock, at {where(place)}"
            cure = f"Go no deeper than z {lowest:g}"
            yield Finding("bed", program, move.line, words, cure, place, round(lowest - place[2], 4))
