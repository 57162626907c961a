"""The sole as worked out: an arc by its handbook figures, another profile member by member."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.circle import segment_area_mm2
from cad.geometry import Plan
from cad.outline import Arc
from cad.report.dimension import Worked, deg, mm, number
from cad.soles.arc import ArcTable


def dimensions(plan: Plan) -> Iterator[Worked]:
    """Yield what the sole's own figures come to."""
    table = plan.spec.sole
    if isinstance(table, ArcTable) and table.spring == 0:
        yield from _arc(plan, table)
    else:
        yield from _profile(plan)


def _arc(plan: Plan, table: ArcTable) -> Iterator[Worked]:
    sole = plan.sole
    yield mm("sole.sagitta", sole.highest, "r - sqrt(r² - w²/4), the depth of the profile")
    yield deg("sole.half_arc", table.arc / 2, "asin(w / 2r), the sole's turn at its edges")
    yield mm("sole.arc_length", sole.path.length, "along the profile: r x arc")
    area = segment_area_mm2(table.radius, table.arc)
    yield number("sole.segment_area", area, "mm² between arc and chord: r²(arc - sin arc) / 2")
    yield mm("sole.edge_height", sole.plate_edge, "the sole's edges above its lowest point")


def _profile(plan: Plan) -> Iterator[Worked]:
    sole = plan.sole
    yield mm("sole.rise", sole.highest, "the sole's highest point above its lowest")
    yield mm("sole.profile_length", sole.path.length, "along the profile, over all its members")
    yield deg("sole.steepest", sole.steepest_deg, "the most that the sole turns from level")
    yield mm("sole.plate_edge", sole.plate_edge, "the sole's edge beside the cheek plate, above its lowest")
    yield mm("sole.blind_edge", sole.blind_edge, "the sole's edge on the blind side, above its lowest")
    for name, segment in zip(sole.names, sole.path, strict=True):
        key = f"sole.{name.replace(' ', '_')}"
        if isinstance(segment, Arc):
            bends = "convex, it cuts a hollow" if segment.ccw else "hollow, it leaves the work convex"
            yield mm(f"{key}.radius", segment.radius, f"the sole is {bends}")
        yield mm(f"{key}.length", segment.length, "along this member")
        yield mm(f"{key}.from_across", segment.start[0], "where it begins, from the rabbet face")
        yield mm(f"{key}.from_up", segment.start[1], "and above the lowest point of the sole")
        yield mm(f"{key}.to_across", segment.end[0], "where it ends")
        yield mm(f"{key}.to_up", segment.end[1], "and above the lowest point")
