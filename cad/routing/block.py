"""A block cut to its section by passes along it: roughed by the straight cutter, finished by a ball.

The wood is planed to the section's own width and height and sawn to its length; passes run out over both
ends, so that the cutter goes down beside the wood and never into it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from cad.outline import Path
from cad.routing.model import CannotCutError, Cutter, Driving, Holding, Move, Program, Spared, Stock
from cad.routing.offsets import SLIVER_MM2, UNREACHED_MM, polygons
from cad.routing.passes import Group, finishing, floors, rough
from cad.routing.section import Array, Section
from cad.routing.wording import Header, program
from cad.spec.router import Router
from cad.units import plain

RUN_OUT_MM = 1.0  # between the cutter and the end of the wood, where it turns
MOST_LEFT = 0.6  # share of what is cut away across that may stay for other tools; more is no block
ZONE_MM = 0.3  # how far beyond what is left its ring is drawn: beside it ridges are higher than elsewhere
FINE_MM = 0.01  # over the scallop: thinner than both is no strip


@dataclass(frozen=True)
class _Zone:
    """A strip along the block that the cutters do not get to the bottom of."""

    low: float
    high: float
    deep: float


def block_holding(name: str, section: Path, length: float, router: Router, notes: Sequence[str]) -> Holding:
    """Return the programs for a block; `section` counts from its upper left corner, as across and height.

    Raises CannotCutError where the cutters do not get to most of what must be cut away, or are too short.
    """
    cut = Section(section)
    stock = Stock(length, *cut.size)
    flat = Cutter("flat", router.cutter, router.flute_length)
    ball = Cutter("ball", router.ball, router.ball_length)
    first = (*rough(cut, flat, router), *floors(cut, flat, router))
    last = finishing(cut, ball, router.scallop)
    for cutter, groups in ((flat, first), (ball, last)):
        _check_length(cutter, groups)
    surface = _surface(cut, flat, first, ball, last)
    zones = tuple(_zones(cut, surface, router))
    _check_zones(cut, zones, ball)
    left = tuple(_left(cut, zones))
    programs = tuple(
        _programs(name, stock, ((flat, first), (ball, last)), router, (*notes, *_held(flat)), left)
    )
    spared = tuple(_spared(zone, length) for zone in zones)
    beyond = max(flat.radius, ball.radius) + RUN_OUT_MM
    return Holding(name, stock, programs, (name,), spared, left, 0.0, beyond, router.scallop)


def _programs(
    name: str,
    stock: Stock,
    work: Sequence[tuple[Cutter, Sequence[Group]]],
    router: Router,
    notes: Sequence[str],
    left: Sequence[str],
) -> Iterator[Program]:
    driving = Driving(router.speed, router.block_feed, router.plunge)
    for cutter, groups in work:
        if groups:
            header = Header(name, stock, (name,), cutter, driving, left, notes)
            yield program(header, _moves(groups, stock.length, cutter, router), router)


def _moves(groups: Sequence[Group], length: float, cutter: Cutter, router: Router) -> tuple[Move, ...]:
    """Return passes to and fro, each from beside one end of the wood to beside the other."""
    near, far = -cutter.radius - RUN_OUT_MM, length + cutter.radius + RUN_OUT_MM
    moves: list[Move] = []
    for group in groups:
        start, end = near, far
        moves.append(Move((start, group[0].y, router.safe_height), rapid=True))
        for one in group:
            moves += [Move((start, one.y, one.z), down=True), Move((end, one.y, one.z))]
            start, end = end, start
        moves.append(Move((start, group[-1].y, router.safe_height), rapid=True))
    return tuple(moves)


def _check_length(cutter: Cutter, groups: Sequence[Group]) -> None:
    deepest = max((-one.z for group in groups for one in group), default=0.0)
    if deepest > cutter.flute_length:
        key = "ball_length" if cutter.shape == "ball" else "flute_length"
        raise CannotCutError(
            f"the profile is {plain(deepest)} mm deep and the {cutter.words} (shop.router.{key})"
        )


def _surface(
    section: Section, flat: Cutter, first: Sequence[Group], ball: Cutter, last: Sequence[Group]
) -> Array:
    """Return the height of the wood at each place of the grid when all passes are done."""
    heights = np.zeros(len(section.grid))
    for cutter, groups in ((flat, first), (ball, last)):
        for one in (each for group in groups for each in group):
            low, high = np.searchsorted(section.grid, (one.y - cutter.radius, one.y + cutter.radius))
            off = section.grid[low:high] - one.y
            rise = np.zeros_like(off)
            if cutter.shape == "ball":
                rise = cutter.radius - np.sqrt(np.maximum(cutter.radius**2 - off**2, 0.0))
            heights[low:high] = np.minimum(heights[low:high], one.z + rise)
    return heights


def _zones(section: Section, surface: Array, router: Router) -> Iterator[_Zone]:
    """Yield where the wood stands up from the section by more than ridges do, in strips from the left."""
    thin = (router.scallop + FINE_MM) / 2
    # Over the section with what hangs over filled in: no cutter that comes from above can do more.
    over = section.under(surface).difference(section.under(section.top))
    strips = [part.bounds for part in polygons(over.buffer(-thin).buffer(thin))]
    for low, bottom, high, top in sorted(strips):
        yield _Zone(low, high, top - bottom)


def _check_zones(section: Section, zones: Sequence[_Zone], ball: Cutter) -> None:
    open_ = section.top < -UNREACHED_MM
    wide = float(np.count_nonzero(open_)) / len(open_) * section.size[0]
    left = sum(zone.high - zone.low for zone in zones)
    if left > MOST_LEFT * wide:
        raise CannotCutError(
            f"a round cutter of {ball.diameter:g} mm does not get to the bottom of {plain(left, 1)} of the "
            f"{plain(wide, 1)} mm across that are cut away: use a smaller one (shop.router.ball)"
        )


def _left(section: Section, zones: Sequence[_Zone]) -> Iterator[str]:
    """Yield what is left to other tools, in words."""
    if zones:
        strips = ", ".join(
            f"{plain(zone.low, 1)} to {plain(zone.high, 1)} [{plain(zone.deep, 1)} high]" for zone in zones
        )
        yield f"for saw, chisel or plane, where these cutters find no room: mm across {strips}"
    hidden = section.under(section.top).difference(section.area).buffer(-UNREACHED_MM)
    if hidden.area > SLIVER_MM2:
        yield "what hangs over at the sides: cut grooves and eased edges by hand"


def _held(cutter: Cutter) -> Iterator[str]:
    out = plain(cutter.radius + RUN_OUT_MM, 1)
    yield (
        "Plane the wood to this width and height and saw it to this length. Hold it from below, with "
        f"screws or tape: the cutter runs out {out} mm over both ends."
    )


def _spared(zone: _Zone, length: float) -> Spared:
    low, high = zone.low - ZONE_MM, zone.high + ZONE_MM
    return Spared("too narrow for the cutter", ((0.0, low), (length, low), (length, high), (0.0, high)))
