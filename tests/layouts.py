"""Whether a page of art can be read: no words over words, over lines or beyond the margins."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

from shapely import LineString, box
from shapely.strtree import STRtree

from cad.outline import Point
from cad.papers.templates.ink import Art, Stroke, apart, inside
from cad.papers.templates.page import Frame

CLEAR_MM = 0.2  # between words and any line


def faults(page: Art, frame: Frame) -> list[str]:
    """Return what is wrong with a page, in words; nothing when all is in order."""
    return [*_beyond(page, frame), *_words_over_words(page), *_words_over_lines(page), *_small(page)]


def _beyond(page: Art, frame: Frame) -> Iterator[str]:
    live = tuple(edge + way * 0.3 for edge, way in zip(frame.live, (-1, -1, 1, 1), strict=True))
    for words in page.words:
        if not inside(words.box, live):
            yield f"{words.text!r} is beyond the margin: {words.box}"
    for stroke in page.strokes:
        if not inside(stroke.chain.box(), live):
            yield f"a line is beyond the margin: {stroke.chain.box()}"


def _words_over_words(page: Art) -> Iterator[str]:
    for one, two in combinations(page.words, 2):
        if not apart(one.box, two.box):
            yield f"{one.text!r} lies over {two.text!r}"


def _words_over_lines(page: Art) -> Iterator[str]:
    tree = STRtree([LineString(pair) for stroke in page.strokes for pair in _pairs(stroke)])
    for words in page.words:
        if len(tree.query(box(*words.box).buffer(CLEAR_MM), predicate="intersects")):
            yield f"a line runs through {words.text!r} at {words.box}"


def _pairs(stroke: Stroke) -> list[tuple[Point, Point]]:
    points = stroke.chain.points()
    if stroke.chain.closed:
        points.append(stroke.chain.start)
    return [(p, q) for p, q in pairwise(points) if p != q]


def _small(page: Art) -> Iterator[str]:
    for words in page.words:
        if words.height < 2.5 - 1e-9:
            yield f"{words.text!r} is {words.height} mm high"
