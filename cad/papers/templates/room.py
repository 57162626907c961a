"""Whether there is room for words: clear of every line and of other words."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from cad.outline import Point
from cad.papers.templates.bezier import Box
from cad.papers.templates.ink import Art, Stroke, Words, apart

CLEAR_MM = 0.5


def labelled(art: Art, candidates: Iterable[Art]) -> Art:
    """Return art with the first of the candidates that there is room for, or as it is where there is none.

    A candidate is words, with a leader or without, that say one thing in one of the places it may be said.
    """
    for candidate in candidates:
        if _has_room(art, candidate):
            return art + candidate
    return art


def _has_room(art: Art, candidate: Art) -> bool:
    clear = all(is_clear(art, words) for words in candidate.words)
    return clear and not any(
        _runs_through(s, grown(w.box)) for s in candidate.strokes for w in (*art.words, *candidate.words)
    )


def is_clear(art: Art, words: Words) -> bool:
    """Return whether words keep CLEAR_MM from all lines and words of an art."""
    box = grown(words.box)
    if not all(apart(box, other.box) for other in art.words):
        return False
    return not any(_runs_through(stroke, box) for stroke in art.strokes)


def grown(box: Box, by: float = CLEAR_MM) -> Box:
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def meets(p: Point, q: Point, box: Box) -> bool:
    """Return whether a straight line between two points runs through a box (Liang and Barsky's clipping)."""
    low, high = 0.0, 1.0
    for axis in (0, 1):
        way = q[axis] - p[axis]
        for sign, bound in ((-1, box[axis]), (1, box[axis + 2])):
            room = sign * (bound - p[axis])
            if way * sign == 0:
                if room < 0:
                    return False
            elif way * sign > 0:
                high = min(high, room / (way * sign))
            else:
                low = max(low, room / (way * sign))
    return low <= high


def _runs_through(stroke: Stroke, box: Box) -> bool:
    if apart(stroke.chain.box(), box):
        return False
    points = stroke.chain.points()
    if stroke.chain.closed:
        points.append(stroke.chain.start)
    return any(meets(p, q, box) for p, q in pairwise(points))
