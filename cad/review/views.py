"""What there is to look at: the finished plane, each stage of its making, each fixture on its work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.shapes import Triple
from cad.parts import Part
from cad.pictures.scene import CUT, FROM_BELOW, OPEN_SIDE, PRINTED, Tone, for_hand
from cad.review.things import APART_MM, STILL, MeshOf, Number, Thing, Woods
from fixtures.bench.model import Fixture, SetUp, Work, work_words

WASTE = "throat"  # a void shown as a solid, hidden at first
WASTE_TONE: Tone = (0.77, 0.42, 0.30)
ON_ITS_SIDE: Triple = (-0.8, 1.1, -1.0)  # from above and the sawyer's side, where the rabbet face lies down
ON_THE_IRON: Triple = (-0.9, -0.55, 0.75)  # looking down on its upper face
STAGES = {
    Stage.BLANK: "The squared stock, with spare length at both ends.",
    Stage.RABBETED: "The rabbet that will take the cheek plate is cut; the rail stands above it.",
    Stage.SOLE_SHAPED: "The sole has its curve and the blind side its relief.",
    Stage.THROAT_SAWN: "Bed and front are sawn from the open side, down to the blind wall.",
    Stage.PLATE_GLUED: "The cheek plate closes the throat but for its escapement.",
    Stage.TRIMMED: "Both ends are trimmed to length.",
}
LAMINATED_BLANK = "The stock is glued up with its rabbet left open, with spare length at both ends."


def plane_view(plan: Plan, parts: Sequence[Part], number: Number) -> dict[str, Any]:
    """Return the finished plane, its parts drawn out the way they go in when it is taken apart."""
    x, _, z = plan.iron.up_bed
    out = APART_MM if plan.is_left else -APART_MM
    ways: dict[str, Triple] = {
        "cheek_plate": (0.0, out, 0.0),
        "wedge": (x * APART_MM * 2.2, 0.0, z * APART_MM * 2.2),
        "iron": (x * APART_MM * 3.2, 0.0, z * APART_MM * 3.2),
        WASTE: (0.0, 2 * out, 0.0),
    }
    things = [
        Thing(
            part.name,
            part.solid,
            WASTE_TONE if part.name == WASTE else part.colour,
            ways.get(part.name, STILL),
            hidden=part.name == WASTE,
        )
        for part in parts
    ]
    words = "Body, cheek plate, iron and wedge, as they are in use."
    return _view(plan, "plane", "plane", "The finished plane", words, [t.item(number) for t in things])


def stage_views(plan: Plan, woods: Woods, number: Number) -> Iterator[dict[str, Any]]:
    """Yield the stages of the making in order."""
    for stage in Stage:
        laminated = stage is Stage.BLANK and plan.stages.laminated
        words = LAMINATED_BLANK if laminated else STAGES[stage]
        items = [thing.item(number) for thing in woods.at("body", stage)]
        name = f"stage-{stage.value.replace(' ', '-')}"
        yield _view(plan, name, "stage", _capital(stage.value), words, items)


def fixture_view(
    plan: Plan, fixture: Fixture, woods: Woods, number: Number, mesh_of: MeshOf
) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """Return a fixture's words, and one view for each of its set-ups."""
    title = _capital(fixture.name.replace("_", " "))
    views = []
    for i, set_up in enumerate(fixture.set_ups, start=1):
        work, stage = set_up.on or (fixture.work, fixture.stage)
        wood = woods.at(work, stage)
        pieces = _standing(fixture, set_up, wood, mesh_of)
        middle = np.array([piece.box(mesh_of) for piece in pieces])
        below = bool(middle[:, 0, 2].min() + middle[:, 1, 2].max() < 0)
        view = _view(
            plan,
            f"fixture-{fixture.name}-{i}",
            "fixture",
            f"{title}: {set_up.name}" if len(fixture.set_ups) > 1 else title,
            f"On the {work_words(work, stage)}.",
            [thing.item(number) for thing in (*wood, *pieces)],
            _eye(fixture, work, below),
            fixture.up,
        )
        views.append({**view, "set_up": _capital(set_up.name)})
    words = {
        "name": fixture.name,
        "title": title,
        "work": work_words(fixture.work, fixture.stage),
        "pieces": [{"name": piece.name.replace("_", " "), "made": piece.made} for piece in fixture.pieces],
        "notes": list(fixture.notes),
        "cautions": list(fixture.cautions),
        "views": [view["id"] for view in views],
    }
    return words, views


def _standing(fixture: Fixture, set_up: SetUp, wood: Sequence[Thing], mesh_of: MeshOf) -> list[Thing]:
    """Return the pieces in use where they stand, each drawn off the work when taken apart."""
    things = [
        Thing(
            piece.name,
            piece.solid,
            CUT if piece.made == "cut" else PRINTED,
            move=set_up.moves.get(piece.name),
        )
        for piece in fixture.pieces
        if piece.name not in set_up.absent
    ]
    boxes = np.array([thing.box(mesh_of) for thing in wood])
    work = np.array([boxes[:, 0].min(axis=0), boxes[:, 1].max(axis=0)])
    return [replace(thing, apart=_off(work, thing.box(mesh_of))) for thing in things]


def _eye(fixture: Fixture, work: Work, below: bool) -> Triple:
    if fixture.up[1]:
        return ON_ITS_SIDE
    if work == "iron":
        return ON_THE_IRON
    return FROM_BELOW if below else OPEN_SIDE


def _off(work: NDArray[np.float64], box: NDArray[np.float64]) -> Triple:
    """Return the way off the work: along the axis on which the piece stands out furthest for its size."""
    away = box.mean(axis=0) - work.mean(axis=0)
    share = np.abs(away) / np.maximum(np.ptp(work, axis=0), 1.0)
    axis = int(share.argmax())
    way = np.zeros(3)
    # What stands further off is drawn off further, so that pieces on one side come apart as well.
    way[axis] = np.copysign(APART_MM, away[axis]) + 0.6 * away[axis]
    return (float(way[0]), float(way[1]), float(way[2]))


def _view(
    plan: Plan,
    name: str,
    kind: str,
    title: str,
    words: str,
    items: list[dict[str, Any]],
    eye: Triple = OPEN_SIDE,
    up: Triple = (0.0, 0.0, 1.0),
) -> dict[str, Any]:
    return {
        "id": name,
        "kind": kind,
        "title": title,
        "words": words,
        "items": items,
        "eye": list(for_hand(eye, plan.is_left)),
        "up": list(for_hand(up, plan.is_left)),
    }


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
