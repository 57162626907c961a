"""The iron's two faces in their own plane: true edge, bevel line, centre of the ellipse, striking end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import radians, tan
from typing import TYPE_CHECKING

from cad.geometry import Plan
from cad.geometry.iron import EdgeArc
from cad.outline import Line
from cad.papers.templates.bezier import chain
from cad.papers.templates.block import Template
from cad.papers.templates.callouts import Callout, column
from cad.papers.templates.fonts import width_mm
from cad.papers.templates.ink import CENTRE, CUT, EDGE, LEAST_TEXT_MM, Art, Pen, Words, cross, drawn, line
from cad.units import format_length, plain

if TYPE_CHECKING:
    from fixtures.bench.model import Fixture

BEYOND_MM = 4.0
APART_MM = 12.0
FACES = ("toe side", "bed side")


def templates(plan: Plan, fixtures: Sequence[Fixture]) -> Iterator[Template]:
    """Yield both faces side by side: the one towards the toe, and the one on the bed, which has the bevel."""
    iron, unit = plan.iron, plan.spec.unit
    ellipses = "; ".join(
        f"{format_length(arc.across, unit)} across, {format_length(arc.along, unit)} along"
        for arc in iron.edge()
        if isinstance(arc, EdgeArc)
    )
    notes = (
        f"Paste one on each face, edges level. {format_length(iron.thickness, unit)} thick, bevel "
        f"{plain(iron.bevel_deg)}° on the bed side, from the edge back to the bevel line.",
        *((f"The edge is part of an ellipse, half axes {ellipses}.",) if ellipses else ()),
        "Grind to the line with eyes covered and the guard up, by the rules of your wheel's maker; cool "
        "often, before the steel takes colour, and try the edge in the plane.",
    )
    yield Template("iron", "Iron, both faces", notes, _art(plan))


def bevel_run_mm(plan: Plan) -> float:
    """Return how far up the iron the bevel line lies behind the edge: t / tan γ, right triangle."""
    return plan.iron.thickness / tan(radians(plan.iron.bevel_deg))


def toe_side_sign(plan: Plan) -> float:
    """Return which way v runs on the face towards the toe, with u up: -1 to the left for a right hand.

    Who looks down on that face, the edge towards him, has the rabbet face on his right.
    """
    return 1.0 if plan.is_left else -1.0


def _art(plan: Plan) -> Art:
    way = toe_side_sign(plan)
    wide = plan.iron.width
    # The faces' names stand over them and may be wider than a narrow iron.
    pitch = max(wide, *(width_mm(name, LEAST_TEXT_MM) for name in FACES)) + APART_MM
    toe = _face(plan, FACES[0], EDGE, way)
    bed = _face(plan, FACES[1], CUT, -way).moved(pitch, 0.0)
    return toe + bed + column(_callouts(plan, pitch), bed.box[2] + 4.0, 1)


def _face(plan: Plan, name: str, bevel: Pen, way: float) -> Art:
    """Return one face about its middle line x = 0; the bevel line is dashed where it lies on the other."""
    iron = plan.iron
    edge, end = iron.edge(), iron.striking_end()
    outline = chain([*edge, Line(edge[-1].end, end.start), end, Line(end.end, edge[0].start)])
    run = bevel_run_mm(plan)
    heel = chain(edge).mapped(lambda p: (p[0], p[1] + run))
    art = drawn(CUT, outline) + drawn(bevel, heel)
    art += line(CENTRE, (iron.width / 2, -BEYOND_MM), (iron.width / 2, iron.length + BEYOND_MM))
    for arc in edge:
        if isinstance(arc, EdgeArc) and 0 < arc.centre[1] < iron.length:
            art += cross(arc.centre, 2.5)
    art = art.moved(-iron.width / 2, 0.0)
    words = Words(name, (0.0, iron.length + BEYOND_MM + LEAST_TEXT_MM), align="middle")
    return (art if way > 0 else art.mirrored()) + Art((), (words,))


def _callouts(plan: Plan, pitch: float) -> list[Callout]:
    """Return the words beside the face on the bed, which stands right of the other."""
    iron, unit = plan.iron, plan.spec.unit
    right = pitch + iron.width / 2
    found = [
        Callout((pitch + iron.width / 4, iron.striking_end().point(0.25)[1]), "striking end"),
        Callout((right, iron.length * 0.6), f"{format_length(iron.width, unit)} wide"),
        Callout((right, _side(plan) + bevel_run_mm(plan)), f"bevel line, {plain(iron.bevel_deg)}°"),
        Callout((right, _side(plan)), "edge"),
    ]
    centres = [arc.centre for arc in iron.edge() if isinstance(arc, EdgeArc)]
    return found + [Callout((pitch, u), "centre of the ellipse") for _, u in centres if 0 < u < iron.length]


def _side(plan: Plan) -> float:
    """Return how far up the iron its edge begins on the side that the words stand beside."""
    start, end = plan.iron.edge()[0].start, plan.iron.edge()[-1].end
    return (end if -toe_side_sign(plan) > 0 else start)[1]
