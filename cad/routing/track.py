"""Paths of lines and arcs walked by their length, at one depth or sinking: where the cutter's axis goes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil, pi

from cad.formulas.routing import ramp_length_mm
from cad.outline import Arc, Line, Path, Point, Segment
from cad.routing.model import Move, Triple

LEAST_MM = 1e-6  # what is shorter is no stretch
APPROACH_MM = 0.5  # above the wood, where a ramp begins; common practice, no source


@dataclass(frozen=True)
class Track:
    """A path by its length. On a closed one places count on round and round."""

    path: Path

    @cached_property
    def length(self) -> float:
        return self.path.length

    @property
    def start(self) -> Point:
        return self.path.start

    def stretch(self, first: float, last: float) -> tuple[Segment, ...]:
        """Return the way from one place to another, forwards or backwards."""
        if last < first:
            return tuple(one.reversed() for one in reversed(self.stretch(last, first)))
        found: list[Segment] = []
        place = first // self.length * self.length
        while place < last - LEAST_MM:
            for segment in self.path:
                low, high = max(first, place), min(last, place + segment.length)
                if high - low > LEAST_MM:
                    found.append(_part(segment, (low - place), (high - place)))
                place += segment.length
        return tuple(found)


def _part(segment: Segment, low: float, high: float) -> Segment:
    """Return the part of a segment between two lengths along it."""
    length = segment.length
    if low <= LEAST_MM and high >= length - LEAST_MM:
        return segment
    start = segment.start if low <= LEAST_MM else segment.point(low / length)
    end = segment.end if high >= length - LEAST_MM else segment.point(high / length)
    if isinstance(segment, Line):
        return Line(start, end)
    return Arc(start, end, segment.centre, segment.ccw)


def along(segments: Sequence[Segment], z: float, to_z: float | None = None) -> tuple[Move, ...]:
    """Return the moves along segments at a height, or evenly from it to another."""
    end_z = z if to_z is None else to_z
    total = sum(segment.length for segment in segments)
    moves: list[Move] = []
    done = 0.0
    for segment in segments:
        for part in _halves(segment):
            done += part.length
            at = z + (end_z - z) * (done / total)
            centre, ccw = (part.centre, part.ccw) if isinstance(part, Arc) else (None, False)
            moves.append(Move((*part.end, at), centre=centre, ccw=ccw, down=end_z < z - LEAST_MM))
    return tuple(moves)


def _halves(segment: Segment) -> Iterator[Segment]:
    """Yield a segment in parts that turn no more than half round: no end can be taken for its start."""
    if isinstance(segment, Line) or abs(segment.turn) <= pi + 1e-9:
        yield segment
        return
    middle = segment.point(0.5)
    yield Arc(segment.start, middle, segment.centre, segment.ccw)
    yield Arc(middle, segment.end, segment.centre, segment.ccw)


def levels(top: float, bottom: float, step: float) -> tuple[float, ...]:
    """Return the heights of even steps from below the top down to the bottom, none deeper than `step`."""
    count = ceil((top - bottom) / step - 1e-9)
    return tuple(top + (bottom - top) * (i + 1) / count for i in range(count))


def above(at: Point, safe: float, z: float = APPROACH_MM) -> tuple[Move, Move]:
    """Return the rapid moves over a place and down to a height above the wood."""
    return (Move((*at, safe), rapid=True), Move((*at, z), rapid=True))


def lifted(moves: Sequence[Move], safe: float) -> Move:
    """Return the rapid move straight up from where the last of some moves ends."""
    x, y, _ = moves[-1].to
    return Move((x, y, safe), rapid=True)


def rounds(track: Track, depths: Sequence[float], ramp_deg: float) -> tuple[tuple[Move, ...], float]:
    """Return the moves round a closed track at each depth, ramping along it, and the place where they end.

    They begin at the track's start, APPROACH_MM above the wood.
    """
    moves: list[Move] = []
    place, z = 0.0, APPROACH_MM
    for depth in depths:
        run = ramp_length_mm(z - depth, ramp_deg)
        moves += along(track.stretch(place, place + run), z, depth)
        moves += along(track.stretch(place + run, place + run + track.length), depth)
        place, z = (place + run) % track.length, depth
    return tuple(moves), place


def sinking(track: Track, first: float, last: float, z: float, depth: float, ramp_deg: float) -> list[Move]:
    """Return the moves that ramp down to and fro between two places, and cut all between them at the depth.

    They begin at the first place at height z, and end at the last.
    """
    room = last - first
    run = ramp_length_mm(z - depth, ramp_deg)
    legs = max(ceil(run / abs(room) - 1e-9), 1)
    reach = room * min(run / abs(room) / legs, 1.0)
    at, moves = first, list[Move]()
    for leg in range(legs):
        beyond = first + reach if at == first else first
        here, there = (z + (depth - z) * k / legs for k in (leg, leg + 1))
        moves += along(track.stretch(at, beyond), here, there)
        at = beyond
    if at != first:
        moves += along(track.stretch(at, first), depth)
    return moves + list(along(track.stretch(first, last), depth))


def end_of(moves: Sequence[Move]) -> Triple:
    """Return where the last of some moves ends."""
    return moves[-1].to
