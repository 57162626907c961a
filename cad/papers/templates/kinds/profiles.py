"""The profiles that fixtures carry: sanding blocks, gauges and whatever else is worth having as a curve."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from cad.geometry import Plan
from cad.outline import Point
from cad.papers.templates.bezier import Box, chain
from cad.papers.templates.block import Template
from cad.papers.templates.ink import CUT, Art, Words, drawn, inside
from cad.papers.templates.room import grown, meets

if TYPE_CHECKING:
    from fixtures.bench.model import Fixture, Profile

CLEAR_MM = 1.0  # between the name and the outline
STEP_MM = 2.0


def templates(plan: Plan, fixtures: Sequence[Fixture]) -> Iterator[Template]:
    """Yield every profile of every piece, already in the plane's own hand."""
    for fixture in fixtures:
        for piece in fixture.pieces:
            for profile in piece.profiles:
                yield _template(profile, piece.name)


def _template(profile: Profile, piece: str) -> Template:
    art = drawn(CUT, chain(profile.path), *(chain(hole) for hole in profile.holes))
    title = _spoken(profile.name)
    notes = () if profile.name == piece else (f"For {_spoken(piece)}.",)
    return Template(profile.name, title, notes, art + Art((), _name(profile)))


def _spoken(name: str) -> str:
    return name.replace("_", " ")


def _name(profile: Profile) -> tuple[Words, ...]:
    """Return the name within the outline, or the last of its words, or nothing where none fits."""
    rings = [path.points(0.2) for path in (profile.path, *profile.holes)]
    low_x, low_y, high_x, high_y = profile.path.bounds()
    window = (low_x, low_y, high_x, high_y)
    words = _spoken(profile.name).split()
    for text in (" ".join(words), words[-1]):
        steps = int((high_y - low_y) / STEP_MM)
        for i in range(1, steps):
            name = Words(text, ((low_x + high_x) / 2, low_y + i * STEP_MM), align="middle")
            if inside(name.box, window) and _clear(name.box, rings):
                return (name,)
    return ()


def _clear(box: Box, rings: list[list[Point]]) -> bool:
    """Return whether a box lies within the first ring and clear of all lines."""
    wide = grown(box, CLEAR_MM)
    centre = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    if not _holds(rings[0], centre) or any(_holds(hole, centre) for hole in rings[1:]):
        return False
    return not any(meets(p, q, wide) for ring in rings for p, q in pairwise([*ring, ring[0]]))


def _holds(ring: list[Point], point: Point) -> bool:
    """Return whether a ring holds a point: a ray from it crosses the ring an odd number of times."""
    x, y = point
    held = False
    for (ax, ay), (bx, by) in pairwise([*ring, ring[0]]):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            held = not held
    return held
