"""What a program says of itself: its comments, before the first move."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cad.routing.gcode import RAPID_MM, minutes, program_text
from cad.routing.model import Cutter, Driving, Move, Program, Stock
from cad.spec.router import Router
from cad.units import INCH_MM, plain

CAUTIONS = (
    "Your machine's manual and the rules that hold where you work come first. This file knows neither your "
    "machine nor your clamps.",
    "Run it in air first: zero 50 mm (2 in) too high, hand on the stop.",
    "Hold the wood down over all of its area, on a waste board, clear of every move.",
    "Eyes and ears protected, dust drawn off at the cutter, a mask on. Never reach in while the cutter "
    "turns; unplug the machine to change it.",
    "Speeds and feeds are a place to start from: common practice, no source. Try them on scrap.",
)


@dataclass(frozen=True)
class Header:
    """What a program is for. `pieces` are those it cuts, `left` what it leaves to be done by hand."""

    holding: str
    stock: Stock
    pieces: Sequence[str]
    cutter: Cutter
    driving: Driving
    left: Sequence[str]
    notes: Sequence[str] = ()

    @property
    def name(self) -> str:
        return f"{self.holding}_{self.cutter.name}"


def program(header: Header, moves: Sequence[Move], router: Router) -> Program:
    """Return some moves as a program with its header. They begin and end at the safe height."""
    took = minutes(moves, header.driving)
    deepest = min(move.to[2] for move in moves)
    comments = tuple(_comments(header, took, deepest, router))
    text = program_text(comments, moves, header.driving, router)
    return Program(header.name, text, header.cutter, took)


def _comments(header: Header, took: float, deepest: float, router: Router) -> Iterator[str]:
    stock, driving = header.stock, header.driving
    size = " x ".join(length_words(side, router) for side in (stock.length, stock.width, stock.thickness))
    yield f"{header.name}, by planewright"
    yield f"Units: {'inches, G20' if router.units == 'in' else 'mm, G21'}. Words of RS274/NGC version 3."
    yield "Zero: front left corner of the wood, on its top. X along its length, Y away from you, Z up."
    yield f"Wood: {size}."
    yield f"Cuts: {', '.join(header.pieces)}."
    yield f"Cutter: {cutter_words(header.cutter, router)}."
    yield (
        f"Spindle {driving.speed_rpm:.0f} a minute, feed {length_words(driving.feed, router)} and down "
        f"{length_words(driving.down, router)} a minute."
    )
    below = -deepest - stock.thickness
    if below > 0:
        yield f"Goes {length_words(below, router)} into the waste board: have one thicker than that below."
    yield (
        f"Travels {length_words(router.safe_height, router)} above the wood. Takes some "
        f"{max(round(took), 1)} min, with moves in air at {length_words(RAPID_MM, router)} a minute."
    )
    yield from header.notes
    yield from (f"Left: {what}." for what in header.left)
    yield from CAUTIONS


def cutter_words(cutter: Cutter, router: Router) -> str:
    """Return what a cutter is, in the unit of the programs; in inches with the mm by which files name it."""
    if router.units == "mm":
        return cutter.words
    return cutter.described(lambda mm: f"{length_words(mm, router)} ({plain(mm, 3)} mm)")


def length_words(mm: float, router: Router) -> str:
    """Return a length in the unit of the programs."""
    return f"{plain(mm / INCH_MM, 3)} in" if router.units == "in" else f"{plain(mm, 2)} mm"
