"""Sheets to test: every sheet of a plane with all its fixtures, drawn once for all tests of a process."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from shapely import LineString, Polygon, STRtree

from cad.outputs.formats.drawings import subject_of
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.papers.drawings.book import Leaf, leaves
from cad.papers.drawings.ink import Ink, Stroke
from cad.papers.drawings.subject import Subject
from cad.parts import build_parts
from fixtures.bench.workshop import build_fixtures
from tests.planes import plan_of

BEZIER_STEPS = 12


@cache
def subject(text: str, with_fixtures: bool = True) -> Subject:
    """Return what the sheets of a spec are drawn from, given as text."""
    plan = plan_of(text)
    fixtures, declined = build_fixtures(plan, lettered=False) if with_fixtures else ([], [])
    product = Product(plan, tuple(build_parts(plan)), tuple(fixtures), tuple(declined))
    return subject_of(product, Meshes())


@cache
def drawn(text: str, with_fixtures: bool = True) -> tuple[Leaf, ...]:
    """Return the sheets of a spec, given as text."""
    return leaves(subject(text, with_fixtures))


def overlaps(ink: Ink) -> list[str]:
    """Return what is wrong with the words of a sheet: each that meets a line, a fill or another word."""
    boxes = [Polygon(words.corners(-0.05)) for words in ink.words]
    lines = [LineString(points) for stroke in ink.strokes if len(points := chords(stroke)) > 1]
    fills = [Polygon(fill.points) for fill in ink.fills]
    found = []
    for kind, shapes in (("a line", lines), ("a fill", fills), ("a word", boxes)):
        tree = STRtree(shapes)
        for i, box in enumerate(boxes):
            met = [k for k in tree.query(box, predicate="intersects") if not (kind == "a word" and k == i)]
            if met:
                words = ink.words[i]
                other = ink.words[met[0]].text if kind == "a word" else shapes[met[0]].wkt[:60]
                found.append(f"{words.text!r} at {words.at} meets {kind}: {other}")
    return found


def chords(stroke: Stroke) -> list[tuple[float, float]]:
    """Return a stroke as chords, its Bézier curves cut into steps."""
    return list(_points(stroke))


def _points(stroke: Stroke) -> Iterator[tuple[float, float]]:
    at = (0.0, 0.0)
    for command, points in stroke.commands:
        if command == "C":
            corners = (at, *points)
            for step in range(1, BEZIER_STEPS + 1):
                t, s = step / BEZIER_STEPS, 1 - step / BEZIER_STEPS
                weights = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
                yield _mixed(weights, [p[0] for p in corners]), _mixed(weights, [p[1] for p in corners])
        else:
            yield points[-1]
        at = points[-1]


def _mixed(weights: tuple[float, ...], figures: list[float]) -> float:
    return sum(weight * figure for weight, figure in zip(weights, figures, strict=True))
