"""The members of a profile in print: where each begins and ends, dimensioned or listed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import atan2, degrees
from textwrap import wrap

from cad.geometry.sole import Sole
from cad.outline import Arc, Point
from cad.papers.drawings.dimension import Wording
from cad.papers.drawings.subject import Stand
from cad.papers.drawings.view import Linear, Mark, Radius, Side

MOST_JOINTS = 9  # more are listed: their dimension lines would bury the profile
SHARES = (0.0, 0.2, -0.2, 0.4, -0.4, 0.6, -0.6, 0.85, -0.85)  # of half an arc, where its radius may be shown
ALIKE_MM = 5e-3  # joints nearer than this to one level, or to one line across, share a dimension
LINE_LETTERS = 96
BELOW_MM = (8.0, 6.0, 10.0, 24.0, 28.0, 33.0, 38.0, 44.0)  # reaches of leaders, of paper
ABOVE_MM = (8.0, 6.0, 10.0, 12.0, 16.0, 20.0)


def joints(sole: Sole) -> tuple[Point, ...]:
    """Return the points at which members begin and end, from the rabbet face to the blind side."""
    return (sole.path.start, *(segment.end for segment in sole.path))


def are_dimensioned(sole: Sole) -> bool:
    """Return whether the joints are few enough for a dimension each."""
    return len(joints(sole)) <= MOST_JOINTS


def joint_marks(sole: Sole, stand: Stand, words: Wording) -> Iterator[Mark]:
    """Yield each joint's distance from the rabbet face, and its height above the lowest of the sole."""
    origin = stand.at(0, 0, 0)
    outwards = stand.at(0, 1, 0)[0] - origin[0]  # texts without room stand beyond the rabbet face
    # The last of them is the width, which the section beside this view shows.
    for lane, y in enumerate(_apart(y for y, _ in joints(sole) if y > ALIKE_MM)[:-1]):
        first, last = sorted([origin, stand.at(0, y, 0)])
        dimension = words.length(f"joint_{lane + 1}_across", y)
        yield Linear(dimension, first, last, "bottom", lane + 1, before=outwards > 0)
    # The heights stand on the blind side, the widths being reckoned from the other.
    side: Side = "left" if outwards < 0 else "right"
    edge = stand.at(0, sole.width, 0)[0]
    for lane, z in enumerate(_apart(z for _, z in joints(sole) if z > ALIKE_MM)):
        yield Linear(words.length(f"joint_{lane + 1}_up", z), (edge, 0.0), (edge, z), side, lane, before=True)


def radius_marks(sole: Sole, stand: Stand, words: Wording, hatched: bool) -> Iterator[Mark]:
    """Yield the radius of each arc of the sole, its leader ending below, or in the wood where it is bare."""
    arcs = [segment for segment in sole.path if isinstance(segment, Arc)]
    for number, arc in enumerate(arcs):
        suffix = f"_{number}" if number else ""
        centre, crown = stand.at(0, *arc.centre), stand.at(0, *arc.point(0.5))
        middle = degrees(atan2(crown[1] - centre[1], crown[0] - centre[0]))
        turns = tuple(middle + share * degrees(abs(arc.turn)) / 2 for share in SHARES)
        below = 1.0 if arc.ccw else -1.0
        reaches = tuple(below * reach for reach in BELOW_MM)
        if not hatched:
            reaches += tuple(-below * reach for reach in ABOVE_MM)
        yield Radius(words.length(f"radius{suffix}", arc.radius, "R"), centre, arc.radius, turns, reaches)


def listing(sole: Sole, words: Wording, stretch: float = 1.0) -> tuple[str, ...]:
    """Return the members in words, a few to a line: where each begins, and its radius where it is an arc.

    `stretch` multiplies the heights, for the same profile on the slant of the iron: its arcs become ellipses
    there, told by their semi-axes across and along.
    """
    parts = []
    for name, segment in zip(sole.names, sole.path, strict=True):
        what = name
        if isinstance(segment, Arc):
            along = words.length("", segment.radius * stretch).text
            size = words.length("", segment.radius, "R" if stretch == 1.0 else "").text
            ellipse = "" if stretch == 1.0 else f" × {along}"
            what += f", {'convex' if segment.ccw else 'hollow'} {size}{ellipse}"
        parts.append(f"{_pair(segment.start, words, stretch)} {what}")
    parts.append(_pair(sole.path.end, words, stretch))
    return tuple(wrap(" – ".join(parts), LINE_LETTERS))


def _pair(p: Point, words: Wording, stretch: float) -> str:
    y, z = (words.length("", round(c, 6)).text for c in (p[0], p[1] * stretch))
    return f"({y}; {z})".replace(" ", "\N{NO-BREAK SPACE}")


def _apart(values: Iterable[float]) -> list[float]:
    """Return values in order, of those that are alike only the first."""
    found: list[float] = []
    for value in sorted(values):
        if not found or value - found[-1] > ALIKE_MM:
            found.append(value)
    return found
