"""Wood left standing: blind wall, plate, rail, toe and heel."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import Check, at_least
from cad.checks.cure import change, less, more
from cad.geometry import Plan

BLIND_MM, BREAKS_MM = 5.0, 2.5
PLATE_MM, SPLITS_MM = 3.0, 1.5
RAIL_MM, NO_RAIL_MM = 8.0, 3.0
HEEL_MM, NO_HEEL_MM = 25.0, 8.0
TOE_MM = 40.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of each wall, named for where it stands."""
    yield _blind(plan)
    yield _plate(plan)
    yield _rail(plan)
    yield _toe(plan)
    yield _heel(plan)


def _blind(plan: Plan) -> Check:
    spec, section = plan.spec, plan.section
    plate = section.blind_face + section.plate - plan.sole.width - BLIND_MM
    return at_least(
        "walls.blind",
        plan.behind_throat,
        fail=BREAKS_MM,
        warn=BLIND_MM,
        why="between the bottom of the throat and the blind face this wall alone joins toe and heel until "
        "the plate is glued, and it takes the wedge's thrust",
        cure=change(
            more(spec, "body.thickness", plan.sole.width + section.plate + BLIND_MM),
            less(spec, "cheek.thickness", plate) if plate >= PLATE_MM else "",
        ),
    )


def _plate(plan: Plan) -> Check:
    return at_least(
        "walls.plate",
        plan.section.plate,
        fail=SPLITS_MM,
        warn=PLATE_MM,
        why="the plate is the throat's open side and is bridged over it by its own stiffness; a thin one "
        "bulges under the wedge and splits at the escapement",
        cure=change(more(plan.spec, "cheek.thickness", PLATE_MM)),
    )


def _rail(plan: Plan) -> Check:
    spec, section = plan.spec, plan.section
    return at_least(
        "walls.rail",
        section.height - section.shoulder,
        fail=NO_RAIL_MM,
        warn=RAIL_MM,
        why="the rail above the rabbet's shoulder (body height less shoulder) holds the plate's upper edge "
        "against the wedge",
        cure=change(
            less(spec, "body.shoulder", section.height - RAIL_MM),
            more(spec, "body.height", section.shoulder + RAIL_MM)
            if spec.origins["body.shoulder"].given
            else "",
        ),
    )


def _toe(plan: Plan) -> Check:
    return at_least(
        "walls.toe",
        plan.throat.mouth_at,
        warn=TOE_MM,
        why="in front of the mouth there is too little sole to start a stroke on, and too little wood to "
        "stand up to the wedge",
        cure=change(more(plan.spec, "throat.mouth_at", TOE_MM)),
    )


def _heel(plan: Plan) -> Check:
    spec, length = plan.spec, plan.stages.length
    back = plan.throat.bed_x(plan.section.height)
    run = back - plan.throat.mouth_at
    given = spec.origins["throat.mouth_at"].given
    forward = length - run - HEEL_MM
    return at_least(
        "walls.heel",
        length - back,
        fail=NO_HEEL_MM,
        warn=HEEL_MM,
        why="behind the throat, at the top, too little wood is left: the bed's upper end splits away along "
        "the grain",
        cure=change(
            more(spec, "body.length", back + HEEL_MM if given else 1.5 * (run + HEEL_MM) + 1.6),
            less(spec, "throat.mouth_at", forward) if forward >= TOE_MM else "",
        ),
    )
