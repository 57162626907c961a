"""The iron as worked out."""

from __future__ import annotations

from collections.abc import Iterator

from cad.formulas.cutting import clearance_deg, shaving_share
from cad.geometry import Plan
from cad.geometry.iron import EdgeArc
from cad.geometry.steepness import steepest_sloped_deg, turned_deg
from cad.report.dimension import Worked, deg, mm, percent


def dimensions(plan: Plan) -> Iterator[Worked]:
    """Yield the iron's true edge and how it stands in the plane."""
    iron, sole = plan.iron, plan.sole
    bed = plan.throat.bed_deg
    width = "the sole's width" if iron.width == sole.width else "measured at the bench"
    yield mm("iron.width", iron.width, width)
    # An iron found narrower than the throat may not reach the last of the sole's members.
    for name, segment in zip(sole.names, iron.edge(), strict=False):
        if isinstance(segment, EdgeArc):
            key = "iron.edge" if sole.radius is not None else f"iron.{name.replace(' ', '_')}.edge"
            yield mm(f"{key}_across", segment.across, "semi-axis of the edge's ellipse across the iron: r")
            along = "semi-axis of the edge's ellipse along it: r / sin(bed)"
            yield mm(f"{key}_along", segment.along, along)
    yield mm(
        "iron.profile_depth",
        iron.profile_depth(),
        "of the edge, along the iron: depth of the sole / sin(bed)",
    )
    turned = steepest_sloped_deg(sole)
    yield deg("iron.clearance", iron.clearance_deg, "in the centre plane: bed - bevel")
    at_edge = "where the sole is steepest: tan c' = tan(bed - bevel) x cos(its turn)"
    yield deg("iron.clearance_at_edge", clearance_deg(bed, iron.bevel_deg, turned), at_edge)
    share = "of the shaving's thickness is left where the sole is steepest: cos(its turn)"
    yield percent("iron.shaving_at_edge", 100 * shaving_share(turned), share)
    if sole.radius is None:
        yield from _members(plan)
    shaving = "of iron advanced for a shaving of 0.1 mm at the apex: 0.1 mm / sin(bed)"
    yield mm("iron.advance", 0.1 * iron.stretch, shaving)
    yield mm("iron.bedded", plan.wedge.body_top_u, "length on the bed, sole to top: height / sin(bed)")
    yield mm("iron.proud", iron.length - plan.wedge.strike_u, "what stands out beyond the wedge's head")


def _members(plan: Plan) -> Iterator[Worked]:
    """Yield clearance and share of the shaving where each member begins and ends."""
    iron, bed = plan.iron, plan.throat.bed_deg
    for name, segment in zip(plan.sole.names, plan.sole.path, strict=True):
        for place, share in (("start", 0.0), ("end", 1.0)):
            turned = turned_deg(segment, share)
            key = f"iron.{name.replace(' ', '_')}.{place}"
            clear = clearance_deg(bed, iron.bevel_deg, turned)
            yield deg(f"{key}_clearance", clear, f"where the {name} {place}s, the sole at {turned:.1f}°")
            yield percent(f"{key}_shaving", 100 * shaving_share(turned), "of the shaving's thickness is left")
