"""The cutting edge along the sole: where it still clears the work, and where the shaving thins out."""

from __future__ import annotations

from collections.abc import Iterator
from math import acos, atan, cos, degrees, radians, tan

from cad.checks.check import GEOMETRY, Check, at_least, at_most
from cad.checks.cure import change, less_plain, narrower
from cad.checks.places import across, told
from cad.fields import PRACTICE
from cad.formulas.cutting import clearance_deg
from cad.geometry import Plan
from cad.geometry.steepness import steepest_sloped_deg, stretches
from cad.soles import form_of
from cad.soles.arc import ArcTable
from cad.units import format_length, plain

SCRAPES_DEG, CLEAR_DEG = 4.0, 8.0
HALF_SHAVING_DEG = 60.0  # cos 60° = 1/2
SHARPEST_BEVEL_DEG = 20.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of clearance and shaving where the sole is steepest."""
    steepest = steepest_sloped_deg(plan.sole)
    clearance = clearance_deg(plan.throat.bed_deg, plan.iron.bevel_deg, steepest)
    yield at_least(
        "edge.clearance",
        clearance,
        "deg",
        warn=SCRAPES_DEG,
        note=CLEAR_DEG,
        why=f"the sole turns to {plain(steepest, 1)}° from level, and there tan c' = tan(bed - bevel) x "
        "cos of that angle: an edge with no clearance scrapes",
        cure=change(*_clearer(plan, steepest), then=_flatter(plan, "60° of arc cuts all the way across")),
    )
    yield at_most(
        "edge.shaving",
        steepest,
        "deg",
        note=HALF_SHAVING_DEG,
        source=f"{GEOMETRY}: the shaving is as thick as at the apex x cos of the sole's turn; half as the "
        f"least: {PRACTICE}",
        why=_where(plan),
        cure=change(
            narrower(plan.spec, HALF_SHAVING_DEG),
            then=_flatter(plan, "Or cut the edges of the profile with the plane leaned over to each side"),
        ),
    )


def _flatter(plan: Plan, of_an_arc: str) -> str:
    """Return what else can be said of an arc, or of another form what makes it turn less steeply."""
    table = plan.spec.sole
    return of_an_arc if isinstance(table, ArcTable) else form_of(table).FLATTER


def _clearer(plan: Plan, steepest: float) -> Iterator[str]:
    centre = plan.iron.clearance_deg
    if centre > CLEAR_DEG:
        yield narrower(plan.spec, degrees(acos(tan(radians(CLEAR_DEG)) / tan(radians(centre)))))
    if steepest < 89:
        bevel = plan.throat.bed_deg - degrees(atan(tan(radians(CLEAR_DEG)) / cos(radians(steepest))))
        if bevel >= SHARPEST_BEVEL_DEG:
            yield less_plain("iron.bevel", bevel)


def scraping_deg(plan: Plan) -> float:
    """Return how far the sole may turn from level before its edge has too little clearance to cut."""
    centre = plan.iron.clearance_deg
    return degrees(acos(tan(radians(SCRAPES_DEG)) / tan(radians(centre)))) if centre > SCRAPES_DEG else 0.0


def _where(plan: Plan) -> str:
    """Return in words where across the sole the shaving is less than half as thick as where it is level."""
    thin = stretches(plan.sole, HALF_SHAVING_DEG)
    if not thin:
        return "the shaving keeps more than half its thickness over the whole width of the sole"
    width = plan.sole.width
    share = plain(100 * sum(one.segment.end[0] - one.segment.start[0] for one in thin) / width, 0)
    if not isinstance(plan.spec.sole, ArcTable):
        return (
            f"{told(plan, thin)} ({share} % of the width): so steep that the shaving is less than half as "
            "thick as where the sole is level"
        )
    unit = plan.spec.unit
    spans = " and ".join(f"{across(one, unit)} from the rabbet face" for one in thin)
    nearest = min(abs(y - width / 2) for one in thin for y in (one.segment.start[0], one.segment.end[0]))
    return (
        f"beyond {format_length(nearest, unit)} from the sole's centre ({spans}; {share} % of the width) the "
        "sole is so steep that the shaving is less than half as thick as at the apex"
    )
