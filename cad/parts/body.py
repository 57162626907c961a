"""The body: section with rabbet, rail, relief and sole, swept along x; the throat sawn from the side."""

from __future__ import annotations

from cadquery import Solid

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.shapes import cut, mirrored, prism, section_at, side_at

COLOUR = (0.80, 0.64, 0.45)
BEYOND_MM = 5.0  # how far a cutting prism reaches past the wood


def build(plan: Plan) -> Solid:
    """Return the finished body, trimmed to length, right hand."""
    return at_stage(plan, Stage.TRIMMED)


def at_stage(plan: Plan, stage: Stage) -> Solid:
    """Return the body as it stands at a stage of the making, without its plate, right hand."""
    toe, heel = plan.stages.span(stage)
    wood = prism(plan.stages.outline(stage), section_at(toe), (heel - toe, 0, 0))
    return cut(wood, throat_prism(plan), part="body", feature="throat") if stage.has_throat else wood


def work_at_stage(plan: Plan, stage: Stage) -> Solid:
    """Return the body at a stage in the spec's own hand: what a fixture sits on."""
    solid = at_stage(plan, stage)
    return mirrored(solid) if plan.is_left else solid


def throat_prism(plan: Plan) -> Solid:
    """Return the void between bed and front face, from beyond the open side to the depth w."""
    start = -plan.section.plate - BEYOND_MM
    outline = plan.throat.side_view(plan.section.height + BEYOND_MM)
    return prism(outline, side_at(start), (0, plan.throat.depth - start, 0))
