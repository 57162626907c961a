"""Saw and guide as worked out."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.sawing import guide_height_mm, set_of_teeth_mm
from cad.formulas.throat import along_sole_mm
from cad.geometry import Plan
from cad.report.dimension import Worked, mm


def dimensions(plan: Plan) -> Iterator[Worked]:
    """Yield where the saw runs, by hand and on the table saw."""
    throat, hand, table = plan.throat, plan.spec.shop.hand_saw, plan.spec.shop.table_saw
    set_off = set_of_teeth_mm(hand.kerf, hand.plate)
    yield mm("sawing.bearing_offset", set_off, "of the guide's bearing into the waste: (kerf - plate) / 2")
    yield mm(
        "sawing.bed_kerf",
        along_sole_mm(hand.kerf, throat.bed_deg),
        "hand saw along the sole: kerf / sin(bed)",
    )
    front = along_sole_mm(hand.kerf, throat.front_deg)
    yield mm("sawing.front_kerf", front, "hand saw along the sole: kerf / sin(front)")
    height = guide_height_mm(hand.depth_under_back, throat.depth)
    yield mm("sawing.guide_height", height, "from the rabbet face to the saw's back: depth under back - w")
    bed = along_sole_mm(table.kerf, throat.bed_deg)
    yield mm("sawing.table_bed_kerf", bed, "table saw along the sole: kerf / sin(bed)")
    front = along_sole_mm(table.kerf, throat.front_deg)
    yield mm("sawing.table_front_kerf", front, "table saw along the sole: kerf / sin(front)")
    packing = "boards of the sled under the rabbet face, enough for the rail to hang free"
    yield mm("sawing.packing", plan.sled.packing, packing)
    blade = "of the blade above the table: sheet + packing + w"
    yield mm("sawing.blade_height", plan.sled.blade_height, blade)
