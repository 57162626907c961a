"""The sanding blocks: whether anything is left of a block after pad, paper and grain."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import Check, at_least
from cad.checks.cure import change, less
from cad.formulas.grit import grain_mm
from cad.geometry import Plan
from cad.outline import Arc

SLIGHT_MM = 1.2


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the check of the smallest radius of a sanding block."""
    paper = plan.spec.shop.abrasive
    grain = max(grain_mm(grit) for grit in paper.grits)
    stack = paper.pad + paper.backing + grain
    radii = [_block_radius(segment, stack) for segment in plan.sole.path if isinstance(segment, Arc)]
    if not radii:
        return
    pad = paper.pad - (SLIGHT_MM - min(radii))
    yield at_least(
        "sanding.radius",
        min(radii),
        warn=SLIGHT_MM,
        why="the block's radius is the sole's, more for a round and less for a hollow by pad, backing and "
        "grain; a slight rod of a block bends and cannot be printed well",
        cure=change(
            less(plan.spec, "shop.abrasive.pad", pad) if pad >= 0 else "", then="Or wrap paper round a dowel"
        ),
    )


def _block_radius(arc: Arc, stack: float) -> float:
    # The sole runs towards +y with its wood above: a counter-clockwise arc is convex.
    return arc.radius + stack if arc.ccw else arc.radius - stack
