"""The wedge as worked out."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.wedging import least_friction
from cad.geometry import Plan
from cad.report.dimension import Worked, deg, mm, number


def dimensions(plan: Plan) -> Iterator[Worked]:
    """Yield the wedge as driven home."""
    wedge = plan.wedge
    yield deg("wedge.angle", wedge.angle_deg, "front - bed")
    yield mm("wedge.width", wedge.width, "throat's depth - side clearance")
    yield mm("wedge.tip_thickness", wedge.tip_thickness, "square to the iron, at the tip")
    top = wedge.thickness(wedge.body_top_u)
    yield mm("wedge.top_thickness", top, "square to the iron, where the iron leaves the body")
    yield mm("wedge.strike_face", wedge.strike_length, "length of the face that is struck")
    yield mm("wedge.length", wedge.strike_u - wedge.tip_u, "tip to strike face, along the iron")
    yield mm(
        "wedge.grip", wedge.body_top_u - wedge.tip_u, "length inside the body: (height - tip) / sin(bed)"
    )
    front = "length bearing on the front face, above the slope of the tip and inside the body"
    yield mm("wedge.front_grip", wedge.front_grip, front)
    yield number(
        "wedge.sink_per_mm", wedge.sink_per_mm, "mm it sinks for each mm off one face: 1 / sin(angle)"
    )
    least = "coefficient on both faces that just holds it: tan(angle / 2)"
    yield number("wedge.least_friction", least_friction(wedge.angle_deg), least)
