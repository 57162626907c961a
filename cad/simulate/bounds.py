"""Moves that leave the stock, or go deeper below it than they may, and parts that it does not hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from operator import itemgetter

import numpy as np

from cad.simulate.finding import Finding, Place, where
from cad.simulate.job import Allowances, Job, Stock
from cad.simulate.moves import Move

CHORD_MM = 0.05
LEAST_MM = 0.01  # less is the noise of rounded numbers
PART_MM = 0.05  # how far a part may stand out of stock that is cut no closer


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


def parts_beyond(program: str, job: Job) -> Iterator[Finding]:
    """Yield each part that does not lie within the stock: it cannot come out of it whole."""
    low = np.array([*job.stock.bounds[:2], -job.stock.thickness_mm])
    high = np.array([*job.stock.bounds[2:], 0.0])
    for part in job.parts:
        out = np.maximum(low - part.points, part.points - high).max(axis=1)
        worst = int(out.argmax())
        if out[worst] > PART_MM:
            x, y, z = (float(value) for value in part.points[worst])
            words = f"{part.name} stands {out[worst]:.2f} mm out of the stock, at {where((x, y, z))}"
            cure = "Take larger stock, or check its zero"
            yield Finding("outside", program, 0, words, cure, (x, y, z), round(float(out[worst]), 4))
