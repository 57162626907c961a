"""The cutting edge along the sole: where it still clears the work, and where the shaving thins out."""

from __future__ import annotations

from collections.abc import Iterator
from math import acos, atan, cos, degrees, radians, tan

from cad.checks.check import GEOMETRY, Check, at_least, at_most
from cad.checks.cure import change, less_plain, narrower
from cad.fields import PRACTICE
from cad.formulas.cutting import clearance_deg
from cad.geometry import Plan
from cad.soles import form_of
from cad.soles.arc import ArcTable
from cad.units import format_length, plain

SCRAPES_DEG, CLEAR_DEG = 4.0, 8.0
HALF_SHAVING_DEG = 60.0  # cos 60° = 1/2
SHARPEST_BEVEL_DEG = 20.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of clearance and shaving where the sole is steepest."""
    steepest = plan.sole.steepest_deg
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


def _where(plan: Plan) -> str:
    """Return in words where across the sole the shaving is less than half as thick as at its apex."""
    thin = thin_spans(plan)
    if not thin:
        return "the shaving keeps more than half its thickness over the whole width of the sole"
    width, unit = plan.sole.width, plan.spec.unit
    spans = " and ".join(
        f"from {format_length(low, unit)} to {format_length(high, unit)} from the rabbet face"
        for low, high in thin
    )
    nearest = min(abs(y - width / 2) for span in thin for y in span)
    share = 100 * sum(high - low for low, high in thin) / width
    return (
        f"beyond {format_length(nearest, unit)} from the sole's centre ({spans}; {plain(share, 0)} % of the "
        "width) the sole is so steep that the shaving is less than half as thick as at the apex"
    )


def thin_spans(plan: Plan, steps: int = 400) -> list[tuple[float, float]]:
    """Return the spans of y where the sole is steeper than 60°, each end found to 1e-6 mm."""
    sole = plan.sole
    ys = [sole.width * i / steps for i in range(steps + 1)]
    steep = [sole.turned_deg(y) > HALF_SHAVING_DEG for y in ys]
    ends = [0.0] if steep[0] else []
    for low, high, one, two in zip(ys, ys[1:], steep, steep[1:], strict=False):
        if one != two:
            ends.append(_turning_point(plan, low, high, one))
    if steep[-1]:
        ends.append(sole.width)
    return list(zip(ends[::2], ends[1::2], strict=True))


def _turning_point(plan: Plan, low: float, high: float, steep_at_low: bool) -> float:
    while high - low > 1e-6:
        middle = (low + high) / 2
        if (plan.sole.turned_deg(middle) > HALF_SHAVING_DEG) == steep_at_low:
            low = middle
        else:
            high = middle
    return (low + high) / 2
