"""What a view shows that overall sizes do not say: the radii of its arcs."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from cad.outline import Arc
from cad.papers.drawings.dimension import Wording
from cad.papers.drawings.view import Mark, Radius, View

MOST_RADII = 3


def feature_marks(view: View, words: Wording, key: str) -> Iterator[Mark]:
    """Yield the radius of each size of arc in a view, the largest arcs first."""
    arcs = [path.segments[0] for path in view.visible if len(path.segments) == 1]
    sizes: dict[str, Arc] = {}
    for arc in sorted((one for one in arcs if isinstance(one, Arc)), key=lambda one: -one.length):
        sizes.setdefault(words.length("", arc.radius).text, arc)
    for number, arc in enumerate(list(sizes.values())[:MOST_RADII], start=1):
        dimension = words.length(f"{key}.radius_{number}", arc.radius, "R")
        start = degrees(arc.turn) / 2
        first = _turn_of(arc, 0.5)
        spread = tuple(first + share * abs(start) for share in (0.0, 0.5, -0.5, 0.8, -0.8))
        yield Radius(dimension, arc.centre, arc.radius, spread, (8.0, -8.0, 14.0, -14.0, 20.0))


def _turn_of(arc: Arc, share: float) -> float:
    """Return the direction from an arc's centre to its point at a share of the way, in degrees."""
    return arc.heading_deg(share) + (-90 if arc.ccw else 90)
