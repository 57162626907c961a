"""Round a piece and round an opening, in steps of depth, with tabs that hold what would come loose."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from shapely import LineString

from cad.outline import Line, Path
from cad.routing.model import Cutter, Move, Spared
from cad.routing.offsets import CHORD_MM
from cad.routing.track import Track, above, along, levels, lifted, rounds, sinking
from cad.spec.router import Router

Span = tuple[float, float]

TAB = "tab"
LEAST_TABS = 2
BETWEEN_SHARE = 1.0  # least cut between two tabs, as a share of what a tab takes
RING_MM = 0.2  # how far a tab's ring is drawn beyond what the cutter leaves


@dataclass(frozen=True)
class Contour:
    """The moves of one contour, from the safe height and back to it, and its tabs."""

    moves: tuple[Move, ...]
    tabs: tuple[Spared, ...]


def contour(way: Path, thickness: float, cutter: Cutter, router: Router) -> Contour:
    """Return the cut through a plate along the closed way of the cutter's axis."""
    track, bottom = Track(way), -(thickness + router.through)
    tab_height = min(router.tab_height, thickness / 2)
    tab_top = tab_height - thickness
    spans = tab_spans(track, router.tab_width + cutter.diameter, router.tab_spacing)
    has_tabs = tab_height > 0 and spans
    first = levels(0.0, tab_top if has_tabs else bottom, router.depth_step)
    round_, place = rounds(track, first, router.ramp)
    moves = [*above(way.start, router.safe_height), *round_]
    if not has_tabs:
        return Contour((*moves, lifted(moves, router.safe_height)), ())
    moves += _between_tabs(track, spans, place, tab_top, bottom, router)
    tabs = tuple(Spared(TAB, _ring(track, span, cutter), tab_top) for span in spans)
    return Contour((*moves, lifted(moves, router.safe_height)), tabs)


def tab_spans(track: Track, wide: float, spacing: float) -> tuple[Span, ...]:
    """Return where the axis rises over tabs: stretches `wide` mm long, evenly spread.

    They lie on straight parts where there are any so long. Fewer, or none, where the contour has no room.
    """
    room = int(track.length // ((1 + BETWEEN_SHARE) * wide))
    count = min(max(LEAST_TABS, ceil(track.length / spacing)), room)
    share = track.length / max(count, 1)
    # Each within its own share of the way, so that there is cut between any two.
    slack = (share - (1 + BETWEEN_SHARE) * wide) / 2
    middles = [_on_straight(track, (i + 0.5) * share, slack, wide) for i in range(count)]
    return tuple((middle - wide / 2, middle + wide / 2) for middle in middles)


def _on_straight(track: Track, ideal: float, slack: float, wide: float) -> float:
    """Return the place nearest to an ideal one, at most `slack` off, with its tab on a straight part."""
    places: list[float] = []
    at = 0.0
    for segment in track.path:
        low, high = max(at + wide / 2, ideal - slack), min(at + segment.length - wide / 2, ideal + slack)
        if isinstance(segment, Line) and low <= high:
            places.append(min(max(ideal, low), high))
        at += segment.length
    return min(places, key=lambda place: abs(place - ideal), default=ideal)


def _between_tabs(
    track: Track, spans: tuple[Span, ...], place: float, tab_top: float, bottom: float, router: Router
) -> Iterator[Move]:
    """Yield the moves below the tabs' tops, one stretch after the other, in the groove that is cut already.

    They begin at `place`, at the height of the tabs' tops.
    """
    for i, (_, first) in enumerate(spans):
        following = spans[(i + 1) % len(spans)][0]
        last = first + (following - first) % track.length
        yield from along(track.stretch(place, place + (first - place) % track.length), tab_top)
        here, there, z = first, last, tab_top
        for level in levels(tab_top, bottom, router.depth_step):
            yield from sinking(track, here, there, z, level, router.ramp)
            here, there, z = there, here, level
        if here != last:
            yield from along(track.stretch(here, last), z)
        end = track.stretch(first, last)[-1].end
        yield Move((*end, tab_top))
        place = last


def _ring(track: Track, span: Span, cutter: Cutter) -> tuple[tuple[float, float], ...]:
    points = Path(track.stretch(*span)).points(CHORD_MM)
    ring = LineString(points).buffer(cutter.radius + RING_MM, cap_style="flat", quad_segs=8)
    return tuple((float(x), float(y)) for x, y in list(ring.exterior.coords)[:-1])
