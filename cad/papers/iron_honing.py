"""Honing an iron whose edge is curved: round, hollow, or both with corners between."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians, sin

from cad.geometry import Plan
from cad.outline import Arc
from cad.papers.cautions import SHARP
from cad.papers.sheet.amounts import Amounts
from cad.papers.sheet.document import Block, Caution, Points


def honing(plan: Plan, amounts: Amounts) -> Iterator[Block]:
    """Yield the section on honing, its strokes by the kinds of curve that the edge has."""
    yield Caution(SHARP)
    way = _stroke(plan, amounts)
    yield Points(
        (
            "Upper face first, flat on the stone, through the stones to a polish.",
            *way,
            "Raise a burr that can be felt all along the edge, then take it off on the upper face, flat on "
            "the finest stone. Repeat with finer stones until there is none to feel. A strop last.",
            "Keep to the profile: after each honing lay the iron in the plane and sight along the sole; it "
            "must show one even line. Take the proud places down with the next strokes.",
            "When hone marks reach the heel of the bevel, grind it again.",
        ),
        numbered=True,
    )


def _stroke(plan: Plan, amounts: Amounts) -> tuple[str, ...]:
    """Return how the bevel is honed, by the kinds of curve its edge has."""
    arcs = [segment for segment in plan.sole.path if isinstance(segment, Arc)]
    hollows = [arc.radius for arc in arcs if not arc.ccw]
    found = []
    if hollows:
        # The tightest curvature of an ellipse of semi-axes r and r / sin(bed) has the radius r sin(bed).
        tightest = amounts.length(min(hollows) * sin(radians(plan.throat.bed_deg)))
        found.append(
            f"{_which(plan, hollow=True)} hollow: hone the bevel with a round slip stone, or fine paper "
            f"on a dowel, of no more than {tightest} radius, the tightest of the edge. Push along the bevel, "
            "turning the slip as it travels from side to side."
        )
    if any(arc.ccw for arc in arcs):
        found.append(
            f"{_which(plan, hollow=False)} round: draw the bevel over a flat stone, rolling it from one "
            "corner to the other in each stroke, edge trailing at the corners; a groove worn in a stone "
            "rounds the corners off."
        )
    if len(arcs) < len(plan.sole.path.segments):
        found.append(
            "Flats and corners: a slip with a keen arris, each flat for itself; never roll over a corner "
            "between two members, or it loses its crispness in the work."
        )
    return tuple(found)


def _which(plan: Plan, hollow: bool) -> str:
    """Return what of the edge is hollow, or round: all of it, or the members by name."""
    members = zip(plan.sole.names, plan.sole.path, strict=True)
    names = [name for name, one in members if isinstance(one, Arc) and one.ccw != hollow]
    if plan.sole.radius is not None:
        return "The edge is"
    return f"Where it cuts the {' and the '.join(names)}, the edge is"
