"""Round holes: drilled in pecks by drills of their own size, or bored on a helix by the straight cutter."""

from __future__ import annotations

from math import atan, ceil, degrees, pi

from cad.formulas.routing import drill_point_mm
from cad.outline import Arc, Path, Point
from cad.routing.model import POINT_DEG, Cutter, Move
from cad.routing.track import Track, above, levels, lifted, rounds
from cad.spec.router import Router

BORE_SHARE = 1.3  # least diameter of a bored hole over the cutter's: a helix clears what lies under its axis
CORE_SHARE = 0.9  # greatest radius of the first helix over the cutter's: from 1 on it would leave a core
PECK_SHARE = 1.5  # most depth of a peck over the drill's diameter; common practice, no source
NEAR_MM = 0.5  # above the bottom of the last peck, to where a drill goes back at once


def is_bored(diameter: float, cutter: Cutter) -> bool:
    """Return whether the straight cutter makes a hole of this diameter, rather than a drill."""
    return diameter >= BORE_SHARE * cutter.diameter


def bored(centre: Point, diameter: float, depth: float, cutter: Cutter, router: Router) -> tuple[Move, ...]:
    """Return the moves that bore a hole on helices, each wider, from the safe height and back to it.

    The first leaves no core under the axis; each goes right down before the next takes a ring off the wall.
    """
    last = (diameter - cutter.diameter) / 2
    first = min(last, CORE_SHARE * cutter.radius)
    more = ceil((last - first) / (router.stepover * cutter.diameter) - 1e-9)
    moves: list[Move] = []
    for i in range(more + 1):
        reach = last - (last - first) * (more - i) / max(more, 1)
        start = (centre[0] + reach, centre[1])
        circle = Track(Path((Arc(start, start, centre, ccw=router.direction == "climb"),)))
        steepest = degrees(atan(router.depth_step / (2 * pi * reach)))
        helix, _ = rounds(circle, (-depth,), min(router.ramp, steepest))
        moves += [*above(start, router.safe_height), *helix, Move((*centre, -depth))]
        moves.append(lifted(moves, router.safe_height))
    return tuple(moves)


def drill_for(diameter: float, thickness: float, through: float) -> Cutter:
    """Return the drill for a hole through a plate."""
    return Cutter("drill", diameter, thickness + drilled_into_bed_mm(diameter, through) + 5)


def drilled_into_bed_mm(diameter: float, through: float) -> float:
    """Return how far a drill goes into the waste board, so that the whole of its width goes through."""
    return through + drill_point_mm(diameter, POINT_DEG)


def drilled(centre: Point, diameter: float, depth: float, router: Router) -> tuple[Move, ...]:
    """Return the moves that drill a hole in pecks down to where the drill's point ends."""
    moves: list[Move] = [*above(centre, router.safe_height)]
    for bottom in levels(0.0, -depth, PECK_SHARE * diameter):
        moves += [Move((*centre, bottom), down=True), Move((*centre, NEAR_MM), rapid=True)]
        if bottom > -depth + 1e-9:
            moves.append(Move((*centre, min(bottom + NEAR_MM, NEAR_MM)), rapid=True))
    return (*moves, lifted(moves, router.safe_height))
