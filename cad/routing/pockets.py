"""Floors cleared ring by ring from the middle out, so that the last ring cuts the wall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely import LineString
from shapely.geometry.base import BaseGeometry

from cad.outline import Path, Point, distance
from cad.routing.model import CannotCutError, Cutter, Move, Spared
from cad.routing.offsets import KEEP_OFF_MM, grown, polygons, ring_path, unreached
from cad.routing.track import Track, above, along, end_of, levels, lifted, rounds
from cad.spec.router import Router

OVERRUN_MM = 0.5  # how far beyond an open edge of the plate a floor is cleared
OVERLAP = 0.95  # of the radius, that is counted on to clear
SMOOTH_MM = 0.001  # how far a ring's chords may be thinned out


def room_for(
    floor: BaseGeometry, keep: BaseGeometry, cutter: Cutter
) -> tuple[BaseGeometry, tuple[Spared, ...]]:
    """Return where the axis may go to clear a floor beside wood that must be kept, and corners it leaves.

    Where the floor runs out at the edge of the plate, nothing is kept and the cutter runs over it. Raises
    CannotCutError where part of the floor cannot be got at.
    """
    room = grown(floor, OVERRUN_MM).difference(grown(keep, cutter.radius + KEEP_OFF_MM))
    left = floor.difference(grown(room, cutter.radius + KEEP_OFF_MM))
    return room, unreached(left, cutter, "a pocket")


def rings(room: BaseGeometry, step: float, radius: float) -> Iterator[Path]:
    """Yield the rings that clear an area, each after those within it, all counter-clockwise.

    None lies within a ring from which a cutter of this radius gets to all that is inside.
    """
    for area in polygons(room):
        if not grown(area, -radius).is_empty:
            yield from rings(grown(area, -step), step, radius)
        for ring in (*area.interiors, area.exterior):
            yield ring_path(ring.simplify(SMOOTH_MM).coords)


def cleared(
    room: BaseGeometry, depth: float, cutter: Cutter, router: Router, wall: Path | None = None
) -> tuple[Move, ...]:
    """Return the moves that clear an area to a depth, from the safe height and back to it.

    `wall` is the way clockwise along its one wall, where that is known in lines and arcs. Raises
    CannotCutError where there is no room for the cutter at all.
    """
    ways = [
        _turned(ring, router)
        for ring in rings(room, router.stepover * cutter.diameter, OVERLAP * cutter.radius)
    ]
    if not ways:
        raise CannotCutError(f"a pocket is too narrow for a cutter of {cutter.diameter:g} mm")
    if wall is not None:
        ways[-1] = _turned(wall.reversed(), router)
    moves: list[Move] = []
    for level in levels(0.0, -depth, router.depth_step):
        moves += _level(ways, room, level, router)
    return tuple(moves)


def _level(ways: Sequence[Path], room: BaseGeometry, z: float, router: Router) -> list[Move]:
    moves: list[Move] = []
    reach = room.buffer(KEEP_OFF_MM / 2)
    for way in ways:
        ahead = _from_nearest(way, end_of(moves)[:2]) if moves else way
        link = LineString([end_of(moves)[:2], ahead.start]) if moves else None
        if link is not None and (link.length < 1e-9 or reach.covers(link)):
            moves += [Move((*ahead.start, z)), *along(ahead.segments, z)]
            continue
        if moves:
            moves.append(lifted(moves, router.safe_height))
        moves += [*above(ahead.start, router.safe_height), *rounds(Track(ahead), (z,), router.ramp)[0]]
    return [*moves, lifted(moves, router.safe_height)]


def _turned(ring: Path, router: Router) -> Path:
    """Return a counter-clockwise ring the way that the spec's direction wants it at its outer wall."""
    return ring if router.direction == "climb" else ring.reversed()


def _from_nearest(way: Path, at: Point) -> Path:
    """Return a closed path begun at its corner nearest to a point."""
    segments = way.segments
    first = min(range(len(segments)), key=lambda i: distance(segments[i].start, at))
    return Path((*segments[first:], *segments[:first]))
