"""The wedge: whether it holds, goes in, grips far enough, and can be struck."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin, tan

from cad.checks.check import Check, at_least, at_most
from cad.checks.cure import change, less, less_plain, more, more_plain
from cad.formulas.throat import along_sole_mm
from cad.formulas.wedging import least_friction, widest_holding_deg
from cad.geometry import Plan
from cad.soles.arc import ArcTable

SLIPPERY, SMOOTH = 0.10, 0.15
FRICTION_SOURCE = (
    "holding: wedge friction, Baker and Haynes, Engineering Statics, ch. 9.3; friction: 0.10 to 0.25 "
    "measured for softwood on smooth steel, McMillin et al., Wood and Fiber Science (dry wood on hard "
    "smooth surfaces 0.3 to 0.5, Wood Handbook, from memory)"
)
SELF_JAMMING_DEG, STUCK_DEG = 6.0, 3.0
TIP_MM, CRUSHED_TIP_MM = 1.2, 0.6
GRIP_MM, NO_GRIP_MM = 30.0, 12.0
NARROW_MM = 4.0
BINDS_MM, RATTLES_MM = 0.05, 0.6
HEAD_STANDS_MM, STRIKE_MM = 20.0, 8.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of the wedge's angle, then of its tip and grip, its width and its head."""
    yield from _angle(plan)
    yield from _tip(plan)
    yield from _width(plan)
    yield from _head(plan)


def _angle(plan: Plan) -> Iterator[Check]:
    angle, bed = plan.wedge.angle_deg, plan.throat.bed_deg
    sure, limit = widest_holding_deg(SLIPPERY, SLIPPERY), widest_holding_deg(SMOOTH, SMOOTH)
    yield at_most(
        "wedge.holds",
        angle,
        "deg",
        fail=limit,
        warn=sure,
        source=FRICTION_SOURCE,
        why="a wedge stays by itself while its angle (front less bed) is within the friction angles of its "
        f"two faces; this one needs a coefficient of {least_friction(angle):.3f} on both, and the limits are "
        f"twice atan {SMOOTH:g} and twice atan {SLIPPERY:g}",
        cure=change(less_plain("throat.front", bed + sure), then="10° more than the bed is usual"),
    )
    yield at_least(
        "wedge.enters",
        angle,
        "deg",
        fail=STUCK_DEG,
        warn=SELF_JAMMING_DEG,
        why=f"so slow a taper jams: 0.1 mm off one face sinks it {0.1 * plan.wedge.sink_per_mm:.1f} mm, it "
        "cannot be fitted, and a blow on the heel does not free it",
        cure=change(
            more_plain("throat.front", bed + SELF_JAMMING_DEG), then="10° more than the bed is usual"
        ),
    )


def _tip(plan: Plan) -> Iterator[Check]:
    spec, wedge, throat = plan.spec, plan.wedge, plan.throat
    bed, taper = radians(throat.bed_deg), tan(radians(wedge.angle_deg))
    higher = ((TIP_MM - throat.gap * sin(bed)) / taper - throat.gap * cos(bed)) * sin(bed)
    gap = (TIP_MM - wedge.tip_u * taper) / (sin(bed) + cos(bed) * taper)
    yield at_least(
        "wedge.tip",
        wedge.tip_thickness,
        fail=CRUSHED_TIP_MM,
        warn=TIP_MM,
        why="a tip this thin crushes at the first blows and lets shavings in between wedge and iron",
        cure=change(
            more(spec, "wedge.tip_height", max(higher, 0.0)),
            more(spec, "throat.mouth", gap + along_sole_mm(throat.iron, throat.bed_deg)),
        ),
    )
    top, height = plan.sole.highest, wedge.body_height
    yield at_least(
        "wedge.grip",
        wedge.body_top_u - wedge.tip_u,
        fail=NO_GRIP_MM,
        warn=GRIP_MM,
        why="the length of wedge inside the body, along the bed, is all that keeps the iron from turning",
        cure=change(
            less(spec, "wedge.tip_height", height - GRIP_MM * sin(bed)),
            more(spec, "body.height", wedge.tip_height + GRIP_MM * sin(bed)),
        ),
    )
    yield _front(plan)
    room = height - top
    yield at_most(
        "wedge.tip_high",
        wedge.tip_height - top,
        note=0.35 * room,
        warn=0.5 * room,
        why="below the wedge's tip nothing presses on the iron; a long free end chatters (the tip's height "
        "over the sole's highest point, against the wood above that point)",
        cure=change(less(spec, "wedge.tip_height", top + 0.35 * room)),
    )


def _front(plan: Plan) -> Check:
    spec, wedge = plan.spec, plan.wedge
    bed, taper = radians(plan.throat.bed_deg), tan(radians(wedge.angle_deg))
    missing = GRIP_MM - wedge.front_grip
    # Where the nose is a third of the tip's thickness, the slope follows the tip least: never too little.
    slope_cos, slope_sin = wedge.slope
    lower = wedge.tip_u - missing / (1 + 2 / 3 * taper * slope_cos / (slope_sin - slope_cos * taper))
    return at_least(
        "wedge.front",
        wedge.front_grip,
        fail=NO_GRIP_MM,
        warn=GRIP_MM,
        why="so much of the wedge bears on the front face, from the slope of its tip to the top of the body; "
        "on less it rocks, and on none it is no wedge",
        cure=change(
            less(spec, "wedge.tip_height", lower * sin(bed)) if lower * sin(bed) > plan.sole.highest else "",
            more(spec, "body.height", wedge.body_height + missing * (sin(bed) + cos(bed) * taper)),
        ),
    )


def _width(plan: Plan) -> Iterator[Check]:
    spec, wedge = plan.spec, plan.wedge
    yield at_least(
        "wedge.width",
        wedge.width,
        note=NARROW_MM,
        why="so slim a wedge splits easily: use straight-grained, tough wood and light blows",
        cure=change(_wider(plan, NARROW_MM + wedge.side_clearance)),
    )
    yield at_least(
        "wedge.slides",
        wedge.side_clearance,
        warn=BINDS_MM,
        why="without clearance the wedge binds on blind wall and plate, seems tight and does not hold the "
        "iron; driven home it can burst the plate off",
        cure=change(more(spec, "wedge.side_clearance", BINDS_MM), then="0.2 mm is usual"),
    )
    yield at_most(
        "wedge.rattles",
        wedge.side_clearance,
        note=RATTLES_MM,
        why="shavings find their way into the slits beside the wedge and choke the throat",
        cure=change(less(spec, "wedge.side_clearance", RATTLES_MM), then="0.2 mm is usual"),
    )


def _wider(plan: Plan, width: float) -> str:
    """Return the words that make the sole so wide: by its width, or an arc's radius where none is given."""
    spec, table = plan.spec, plan.spec.sole
    if isinstance(table, ArcTable) and not spec.origins["sole.width"].given:
        return more(spec, "sole.radius", table.radius * width / plan.sole.width)
    return more(spec, "sole.width", width)


def _head(plan: Plan) -> Iterator[Check]:
    spec, wedge, throat = plan.spec, plan.wedge, plan.throat
    bed, taper = radians(throat.bed_deg), tan(radians(wedge.angle_deg))
    yield at_least(
        "wedge.head",
        wedge.head_height,
        warn=HEAD_STANDS_MM,
        why="the head must stand clear of the body, or the mallet that drives the wedge (or taps it out "
        "again) meets the body",
        cure=change(more(spec, "wedge.head_height", HEAD_STANDS_MM)),
    )
    # The strike face is a fixed share of the thickness there, which the gap adds to.
    share = wedge.strike_length / wedge.thickness(wedge.strike_u)
    wider = (STRIKE_MM - wedge.strike_length) / share / (sin(bed) + cos(bed) * taper)
    yield at_least(
        "wedge.strike",
        wedge.strike_length,
        warn=STRIKE_MM,
        why="the mallet splits a head that is thin where it is struck",
        cure=change(more(spec, "throat.mouth", throat.mouth + max(wider, 0.0))),
    )
