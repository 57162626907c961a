"""The cheek plate: glued into the rabbet, relieved below, opened by the escapement."""

from __future__ import annotations

from cadquery import Solid

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.shapes import cut, fuse, mirrored, prism, section_at, side_at
from cad.parts import body

COLOUR = (0.70, 0.52, 0.34)
BEYOND_MM = 1.0


def build(plan: Plan) -> Solid:
    """Return the plate trimmed to the plane's length, right hand."""
    return at_stage(plan, Stage.TRIMMED)


def at_stage(plan: Plan, stage: Stage) -> Solid:
    """Return the plate as long as the body is at that stage, right hand."""
    toe, heel = plan.stages.span(stage)
    board = prism(plan.section.cheek(), section_at(toe), (heel - toe, 0, 0))
    start = -plan.section.plate - BEYOND_MM
    notch = prism(plan.escapement.side_view(), side_at(start), (0, BEYOND_MM - start, 0))
    return cut(board, notch, part="cheek_plate", feature="escapement")


def plate_at_stage(plan: Plan, stage: Stage) -> Solid:
    """Return the plate at a stage in the spec's own hand."""
    solid = at_stage(plan, stage)
    return mirrored(solid) if plan.is_left else solid


def glued_at_stage(plan: Plan, stage: Stage) -> Solid:
    """Return body and plate as the one piece of wood they are once glued, in the spec's own hand."""
    solid = fuse(body.at_stage(plan, stage), at_stage(plan, stage), part="body", feature="glued plate")
    return mirrored(solid) if plan.is_left else solid
