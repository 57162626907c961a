"""The throat as a solid: the waste that saw and chisel take out of the shaped body."""

from __future__ import annotations

from cadquery import Solid

from cad.geometry import Plan
from cad.geometry.stages import Stage
from cad.kernel.shapes import common
from cad.parts.body import at_stage, throat_prism

COLOUR = (0.55, 0.55, 0.58)


def build(plan: Plan) -> Solid:
    """Return what the throat removes from the body whose sole is shaped."""
    return common(at_stage(plan, Stage.SOLE_SHAPED), throat_prism(plan), "throat", "waste")
