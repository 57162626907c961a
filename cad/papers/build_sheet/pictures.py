"""Small pictures of the fixtures on their work, as line drawings with hidden lines removed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from math import hypot, sqrt

import shapely
from cadquery import Solid

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.projection import Look, each_seen
from cad.kernel.shapes import Triple
from cad.outline import Point
from cad.papers.build_sheet.step import spoken
from cad.papers.sheet.document import Picture, Stroke
from cad.parts import build_part
from cad.parts.body import work_at_stage
from cad.parts.cheek_plate import plate_at_stage
from fixtures.bench.model import Fixture, Piece, SetUp, Work

CHORD_MM = 0.6  # of curves in a picture drawn at a fifth of their size
AROUND = 0.3  # of the fixture's own size, that is shown of the work around it

# Where the eye stands for a right-hand plane, y towards the body.
OPEN_SIDE: Triple = (-0.75, -1.2, 0.65)
FROM_BELOW: Triple = (-0.8, -1.0, -0.75)
ON_ITS_SIDE: Triple = (-0.8, 1.1, -1.0)


def fixture_pictures(plan: Plan, fixtures: Iterable[Fixture]) -> dict[str, Picture]:
    """Return a picture of each fixture in one set-up by its name: itself black, its work grey."""

    @cache
    def work(part: Work, stage: Stage) -> tuple[Solid, ...]:
        return tuple(_work(plan, part, stage))

    return {one.name: _picture(plan, one, work(*_on(one))) for one in fixtures}


def _on(fixture: Fixture) -> tuple[Work, Stage]:
    return _set_up(fixture).on or (fixture.work, fixture.stage)


def _set_up(fixture: Fixture) -> SetUp:
    """Return the set-up that shows most: the first with as many pieces in use as any."""
    return min(fixture.set_ups, key=lambda one: len(one.absent))


def _work(plan: Plan, part: Work, stage: Stage) -> Iterator[Solid]:
    """Yield what a fixture is laid on: a glued body as its two pieces of wood, so that the joint shows."""
    if part == "body":
        yield work_at_stage(plan, stage)
        if stage.has_plate:
            yield plate_at_stage(plan, stage)
    elif part == "cheek_plate":
        yield plate_at_stage(plan, stage)
    else:
        yield build_part(part, plan).solid


def _picture(plan: Plan, fixture: Fixture, work: tuple[Solid, ...]) -> Picture:
    pieces = list(_standing(fixture))
    found = each_seen([*(solid for _, solid in pieces), *work], _look(plan, fixture, pieces))
    own, wood = found[: len(pieces)], found[len(pieces) :]
    black = [tuple(path.points(CHORD_MM)) for paths in own for path in paths]
    grey = [tuple(path.points(CHORD_MM)) for paths in wood for path in paths]
    window = _around(black)
    strokes = (
        *(Stroke(points, "narrow", "grey") for points in _clipped(grey, window)),
        *(Stroke(points, "narrow") for points in black),
    )
    return Picture(spoken(fixture.name), strokes, spoken(fixture.name))


def _standing(fixture: Fixture) -> Iterator[tuple[Piece, Solid]]:
    set_up = _set_up(fixture)
    for piece in fixture.bare or fixture.pieces:
        if piece.name not in set_up.absent:
            move = set_up.moves.get(piece.name)
            yield piece, piece.solid if move is None else piece.solid.moved(move)


def _look(plan: Plan, fixture: Fixture, pieces: list[tuple[Piece, Solid]]) -> Look:
    up, eye = fixture.up, OPEN_SIDE
    if up[1]:
        eye = ON_ITS_SIDE
    elif all(solid.BoundingBox().zmax < 1 for _, solid in pieces):
        eye = FROM_BELOW
    if plan.is_left:
        eye, up = (eye[0], -eye[1], eye[2]), (up[0], -up[1], up[2])
    return Look(_unit(eye), _unit(_cross(up, eye)))


def _around(lines: list[tuple[Point, ...]]) -> tuple[float, float, float, float]:
    xs, ys = ([p[i] for line in lines for p in line] for i in (0, 1))
    room = AROUND * hypot(max(xs) - min(xs), max(ys) - min(ys))
    return (min(xs) - room, min(ys) - room, max(xs) + room, max(ys) + room)


def _clipped(
    lines: list[tuple[Point, ...]], window: tuple[float, float, float, float]
) -> Iterator[tuple[Point, ...]]:
    """Yield what lies in a window of the lines of the work."""
    for line in lines:
        left = shapely.clip_by_rect(shapely.LineString(line), *window)
        for part in getattr(left, "geoms", (left,)):
            if not part.is_empty and part.geom_type == "LineString":
                yield tuple((x, y) for x, y in part.coords)


def _unit(v: Triple) -> Triple:
    size = sqrt(v[0] ** 2 + v[1] ** 2 + v[2] ** 2)
    return (v[0] / size, v[1] / size, v[2] / size)


def _cross(a: Triple, b: Triple) -> Triple:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
