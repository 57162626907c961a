"""Programs for the router read back for tests: words by a pattern of our own, paths as shapely's lines."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from math import atan2, ceil, cos, hypot, pi, sin

from shapely import LineString, unary_union
from shapely.geometry.base import BaseGeometry

from cad.geometry import derive
from cad.outputs.meshes import Meshes
from cad.outputs.product import Product
from cad.outputs.routed import Routing, routing
from cad.spec import read_spec
from fixtures.bench.workshop import build_fixtures
from tests.conftest import demo_path

INCH_MM = 25.4  # exact, the international inch
CHORD_DEG = 2.0


@dataclass(frozen=True)
class Step:
    """One move as it was read, mm: its word, its points from where the last move ended, its feed."""

    word: int
    points: tuple[tuple[float, float, float], ...]
    feed: float
    radii: tuple[float, float] | None = None  # of an arc, at its start and at its end

    @property
    def lowest(self) -> float:
        return min(z for _, _, z in self.points)

    @property
    def line(self) -> LineString:
        return LineString([(x, y) for x, y, _ in self.points])

    @property
    def length(self) -> float:
        return sum(
            hypot(*(b - a for a, b in zip(p, q, strict=True)))
            for p, q in zip(self.points, self.points[1:], strict=False)
        )


def words(line: str) -> list[tuple[str, float]]:
    """Return the words of a line, without its comments. Fails where anything else stands in it."""
    bare = re.sub(r"\([^()]*\)", "", line).replace(" ", "")
    found = re.findall(r"([A-Z])(-?[0-9]*\.?[0-9]+)", bare)
    assert "".join(a + b for a, b in found) == bare, f"not a line of words: {line!r}"
    return [(letter, float(number)) for letter, number in found]


def steps(text: str) -> Iterator[Step]:
    """Yield the moves of a program, in mm whatever its unit, from the first that says all three axes."""
    at: dict[str, float] = {}
    feed, unit = 0.0, 1.0
    for line in text.splitlines():
        found = words(line)
        numbers = dict(found)
        ways = [int(number) for letter, number in found if letter == "G"]
        unit = INCH_MM if 20 in ways else unit
        feed = numbers.get("F", feed / unit) * unit
        moved = {axis: numbers[axis] * unit for axis in "XYZ" if axis in numbers}
        if not moved:
            continue
        end = {**at, **moved}
        if len(at) == 3:
            (way,) = ways
            centre = (at["X"] + numbers.get("I", 0) * unit, at["Y"] + numbers.get("J", 0) * unit)
            yield _step(way, _triple(at), _triple(end), centre, feed)
        at = end


def _triple(at: dict[str, float]) -> tuple[float, float, float]:
    return (at["X"], at["Y"], at["Z"])


def _step(way, start, end, centre, feed) -> Step:  # type: ignore[no-untyped-def]
    if way < 2:
        return Step(way, (start, end), feed)
    (x0, y0, z0), (x1, y1, z1), (cx, cy) = start, end, centre
    radii = (hypot(x0 - cx, y0 - cy), hypot(x1 - cx, y1 - cy))
    first, last = atan2(y0 - cy, x0 - cx), atan2(y1 - cy, x1 - cx)
    turn = (last - first) % (2 * pi) or 2 * pi
    turn = turn if way == 3 else turn - 2 * pi if turn < 2 * pi else -2 * pi
    count = ceil(abs(turn) / (CHORD_DEG * pi / 180))
    points = [
        (
            cx + radii[0] * cos(first + turn * i / count),
            cy + radii[0] * sin(first + turn * i / count),
            z0 + (z1 - z0) * i / count,
        )
        for i in range(count)
    ]
    return Step(way, (*points, end), feed, radii)


def swept(text: str, radius: float, below: float) -> BaseGeometry:
    """Return the area that a flat end has passed over with its tip at or below a height all the way."""
    return _passed(text, radius, lambda one: max(p[2] for p in one.points) <= below + 1e-6)


def touched(text: str, radius: float, below: float) -> BaseGeometry:
    """Return the area that a flat end has passed over in moves that somewhere go below a height."""
    return _passed(text, radius, lambda one: one.lowest < below)


def _passed(text: str, radius: float, counts: Callable[[Step], bool]) -> BaseGeometry:
    # Lines that are run more than once, at many depths, count once.
    lines = dict.fromkeys(tuple(p[:2] for p in one.points) for one in steps(text) if counts(one))
    return unary_union([LineString(line).buffer(radius, quad_segs=24) for line in lines])


@cache
def cut_product(name: str) -> Product:
    """Return the fixtures of a demo plane without their letters, which the router does not cut."""
    plan = derive(read_spec(demo_path(name)))
    fixtures, declined = build_fixtures(plan, lettered=False)
    return Product(plan, (), tuple(fixtures), tuple(declined))


@cache
def routing_of(name: str) -> Routing:
    """Return the programs of a demo plane."""
    return routing(cut_product(name), Meshes())
