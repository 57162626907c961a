"""The section of the body as worked out."""

from __future__ import annotations

from collections.abc import Iterator

from cad.geometry import Plan
from cad.report.dimension import Worked, mm


def dimensions(plan: Plan) -> Iterator[Worked]:
    """Yield the body's section, seen along the plane."""
    section = plan.section
    yield mm("section.blind_face", section.blind_face, "from the rabbet face: thickness - cheek plate")
    yield mm(
        "section.blind_wall", section.blind_wall, "between throat and blind face: thickness - cheek plate - w"
    )
    top = "where the relief meets the blind face, above the sole: edge + blind wall / tan(relief)"
    yield mm("section.blind_relief_top", section.blind_relief_top, top)
    top = "where the relief meets the plate's outer face, above the sole: edge + plate / tan(relief)"
    yield mm("section.plate_relief_top", section.plate_relief_top, top)
    yield mm("section.rail_height", section.height - section.shoulder, "height - shoulder")
    yield mm("section.plate_height", section.shoulder - plan.sole.plate_edge, "sole's edge to shoulder")
