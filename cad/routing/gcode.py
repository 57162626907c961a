"""Moves as the text of a program: the words of RS274/NGC, version 3 (NIST), and no others.

G0 to G3, G17, G20 or G21, G90, G94, M2, M3, M5, F, S, I, J, X, Y, Z, and comments in brackets. An arc's
centre is given from its start by I and J; both its ends are as far from the centre, to within 0.002 mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import atan2, hypot, pi
from textwrap import wrap

from cad.errors import OutputError
from cad.outline import Point
from cad.routing.model import Driving, Move, Triple
from cad.spec.router import Router
from cad.units import INCH_MM

PLACES = {"mm": 4, "in": 5}  # decimals of a coordinate
ARC_TOLERANCE_MM = 0.002  # RS274/NGC, version 3
SHORT_ARC_MM = 0.01  # a shorter one is written as a line: its centre would be lost in rounding
RAPID_MM = 3000.0  # a minute, to tell the time by; common practice, no source
WIDTH = 72


def program_text(comments: Sequence[str], moves: Sequence[Move], driving: Driving, router: Router) -> str:
    """Return the text of a program. The first move must be a rapid one to a safe height.

    Raises OutputError where an arc would not keep the standard's tolerance.
    """
    lines = [f"({line})" for comment in comments for line in _wrapped(comment)]
    lines += ["G17 " + ("G20" if router.units == "in" else "G21") + " G90 G94"]
    lines += [f"S{driving.speed_rpm:.0f} M3"]
    lines += _Writer(router.units).lines(moves, driving)
    return "\n".join([*lines, "M5", "M2", ""])


def minutes(moves: Sequence[Move], driving: Driving) -> float:
    """Return how long some moves take at their feeds, rapid moves at RAPID_MM, in minutes."""
    total = 0.0
    for one, two in pairwise(moves):
        rate = RAPID_MM if two.rapid else driving.down if two.down else driving.feed
        total += _length(one.to, two) / rate
    return total


def _length(start: Triple, move: Move) -> float:
    (x0, y0, z0), (x1, y1, z1) = start, move.to
    if move.centre is None:
        return hypot(x1 - x0, y1 - y0, z1 - z0)
    cx, cy = move.centre
    turn = atan2(y1 - cy, x1 - cx) - atan2(y0 - cy, x0 - cx)
    turn = (turn if move.ccw else -turn) % (2 * pi)
    return hypot(turn * hypot(x0 - cx, y0 - cy), z1 - z0)


def _wrapped(comment: str) -> list[str]:
    """Return a comment as lines, without the brackets that would end it."""
    plain = comment.translate(str.maketrans("()", "[]"))
    if not plain.isascii():
        raise OutputError(f"a program's comment is not ASCII: {plain}")
    return wrap(plain, WIDTH) or [""]


class _Writer:
    """Writes moves, leaving out coordinates and feeds that stay as they are."""

    def __init__(self, units: str) -> None:
        self._scale = INCH_MM if units == "in" else 1.0
        self._places = PLACES[units]
        self._at: tuple[float | None, float | None, float | None] = (None, None, None)
        self._feed = ""

    def lines(self, moves: Sequence[Move], driving: Driving) -> Iterator[str]:
        """Yield a line for each move that goes anywhere."""
        if moves:  # straight up first: where the cutter stands before is not known
            yield f"G0 Z{self._text(self._round(moves[0].to[2]))}"
            self._at = (None, None, self._round(moves[0].to[2]))
        for move in moves:
            end = (self._round(move.to[0]), self._round(move.to[1]), self._round(move.to[2]))
            words = [
                f"{axis}{self._text(value)}"
                for axis, value, was in zip("XYZ", end, self._at, strict=True)
                if value != was
            ]
            if words:
                yield " ".join(
                    [self._way(move, end), *words, *self._centre(move, end), *self._rate(move, driving)]
                )
            self._at = end

    def _way(self, move: Move, end: Triple) -> str:
        if move.rapid:
            return "G0"
        if not self._is_arc(move, end):
            return "G1"
        return "G3" if move.ccw else "G2"

    def _is_arc(self, move: Move, end: Triple) -> bool:
        """Return whether a move is written as an arc: one that is long enough to tell its ends apart."""
        x, y, _ = self._at
        return (
            move.centre is not None
            and x is not None
            and y is not None
            and hypot(end[0] - x, end[1] - y) * self._scale > SHORT_ARC_MM
        )

    def _centre(self, move: Move, end: Triple) -> list[str]:
        if not self._is_arc(move, end):
            return []
        (x, y, _), centre = self._at, move.centre
        assert x is not None and y is not None and centre is not None
        i, j = self._round(centre[0]) - x, self._round(centre[1]) - y
        _check_arc((x + i, y + j), (x, y), (end[0], end[1]), self._scale)
        return [f"I{self._text(i)}", f"J{self._text(j)}"]

    def _rate(self, move: Move, driving: Driving) -> list[str]:
        feed = f"F{(driving.down if move.down else driving.feed) / self._scale:.2f}".rstrip("0").rstrip(".")
        if move.rapid or feed == self._feed:
            return []
        self._feed = feed
        return [feed]

    def _round(self, mm: float) -> float:
        return round(mm / self._scale, self._places) + 0.0

    def _text(self, value: float) -> str:
        text = f"{value:.{self._places}f}".rstrip("0").rstrip(".")
        return "0" if text in ("-0", "") else text


def _check_arc(centre: Point, start: Point, end: Point, scale: float) -> None:
    radii = [hypot(p[0] - centre[0], p[1] - centre[1]) * scale for p in (start, end)]
    if abs(radii[0] - radii[1]) > ARC_TOLERANCE_MM:
        raise OutputError(
            f"an arc from {start} to {end} about {centre} has ends {abs(radii[0] - radii[1]):.4f} mm apart "
            f"in radius, more than the {ARC_TOLERANCE_MM:g} mm of RS274/NGC"
        )
