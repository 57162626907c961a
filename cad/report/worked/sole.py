"""The sole as worked out."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.circle import segment_area_mm2
from cad.geometry import Plan
from cad.report.dimension import Worked, deg, mm, number


def dimensions(plan: Plan) -> Iterator[Worked]:
    """Yield what the sole's own figures come to."""
    table, sole = plan.spec.sole, plan.sole
    yield mm("sole.sagitta", sole.highest, "r - sqrt(r² - w²/4), the depth of the profile")
    yield deg("sole.half_arc", table.arc / 2, "asin(w / 2r), the sole's turn at its edges")
    yield mm("sole.arc_length", sole.path.length, "along the profile: r x arc")
    area = segment_area_mm2(table.radius, table.arc)
    yield number("sole.segment_area", area, "mm² between arc and chord: r²(arc - sin arc) / 2")
    yield mm("sole.edge_height", sole.plate_edge, "the sole's edges above its lowest point")
