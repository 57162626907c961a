"""The sanding blocks as worked out."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.grit import grain_mm
from cad.geometry import Plan
from cad.outline import Arc
from cad.report.dimension import Worked, mm


def dimensions(plan: Plan) -> Iterator[Worked]:
    """Yield the stack of each grit, and the radius of its block where the sole is a single arc."""
    paper, segments = plan.spec.shop.abrasive, plan.sole.path.segments
    for grit in paper.grits:
        stack = paper.pad + paper.backing + grain_mm(grit)
        yield mm(f"sanding.{grit}.stack", stack, "pad + backing + median grain (FEPA 43 / ISO 6344)")
        if len(segments) == 1 and isinstance(segments[0], Arc):
            arc = segments[0]
            radius = arc.radius + stack if arc.ccw else arc.radius - stack
            way = "hollow block for a round: r + stack" if arc.ccw else "round block for a hollow: r - stack"
            yield mm(f"sanding.{grit}.radius", radius, way)
