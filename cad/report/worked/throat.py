"""The throat as worked out."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.board import JOINTING_MM
from cad.formulas.throat import along_sole_mm
from cad.geometry import Plan
from cad.report.dimension import Worked, mm, number


def dimensions(plan: Plan) -> Iterator[Worked]:
    """Yield the throat, seen from the side."""
    throat, height = plan.throat, plan.section.height
    depth = "the sole's width" if plan.planned.measured.throat_depth is None else "as sawn"
    yield mm("throat.depth", throat.depth, f"from the rabbet face: {depth}")
    yield mm("throat.mouth_back", throat.mouth_at + throat.mouth, "from the toe to the foot of the bed")
    along = along_sole_mm(throat.iron, throat.bed_deg)
    yield mm("throat.iron_along_sole", along, "the iron along the sole: iron thickness / sin(bed)")
    yield mm("throat.gap", throat.gap, "in front of the edge: mouth - iron thickness / sin(bed)")
    yield mm("throat.top_opening", throat.opening(height), "mouth + height x (cot bed - cot front)")
    yield mm("throat.front_at_top", throat.front_x(height), "from the toe: mouth_at + height x cot(front)")
    yield mm("throat.bed_at_top", throat.bed_x(height), "from the toe: mouth_at + mouth + height x cot(bed)")
    yield number("throat.spread", throat.spread, "mm the throat opens for each mm up: cot bed - cot front")
    trued = "the mouth gap when 1/32 in is trued off the sole: gap + 1/32 in x (cot bed - cot front)"
    yield mm("throat.gap_after_jointing", throat.gap + JOINTING_MM * throat.spread, trued)
    escapement = plan.escapement
    yield mm("escapement.top", escapement.top, "the eye above the sole, beside the slope of the wedge's tip")
