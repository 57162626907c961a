"""The blank at each stage, as worked out."""

from __future__ import annotations

from collections.abc import Iterator

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.report.dimension import Worked, mm


def dimensions(plan: Plan) -> Iterator[Worked]:
    """Yield the length of the wood at each stage of the making, and the mark of the mouth on the blank."""
    for stage in Stage:
        toe, heel = plan.stages.span(stage)
        reason = "length" if stage is Stage.TRIMMED else "length + 2 x spare"
        yield mm(f"stages.{stage.value.replace(' ', '_')}", heel - toe, reason)
    mark = plan.stages.spare + plan.throat.mouth_at
    yield mm("stages.mouth_mark", mark, "front edge of the mouth from the blank's toe end: spare + mouth_at")
