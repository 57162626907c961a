"""The backed saw: its kerfs in the mouth, its depth, its set, and the guide's seat on the blank."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians, sin

from cad.checks.check import GEOMETRY, Check, at_least, at_most
from cad.checks.cure import change, less, more
from cad.formulas.sawing import set_of_teeth_mm
from cad.formulas.throat import along_sole_mm
from cad.geometry import Plan

BEARING_MM = 10.0  # blade left above the rail for the guide to hold upright
SEAT_MM = 8.0
LEAST_SET_MM, MOST_SET_MM = 0.03, 0.4


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of the hand saw."""
    yield kerf_in_mouth(plan, "saw.kerf", "shop.hand_saw.kerf", plan.spec.shop.hand_saw.kerf)
    yield from _depth(plan)
    yield from _set(plan)
    yield _seat(plan)


def kerf_in_mouth(plan: Plan, name: str, key: str, kerf: float) -> Check:
    """Return the check that a kerf along the bed, the flatter of the two cuts, stays within the mouth."""
    throat = plan.throat
    taken = along_sole_mm(kerf, throat.bed_deg)
    return at_most(
        name,
        taken,
        fail=throat.mouth,
        source=GEOMETRY,
        why="a kerf takes its width / sin(angle) along the sole; wider than the mouth it breaks out through "
        "the other face of the throat",
        cure=change(
            more(plan.spec, "throat.mouth", taken),
            less(plan.spec, key, throat.mouth * sin(radians(throat.bed_deg))),
        ),
    )


def _depth(plan: Plan) -> Iterator[Check]:
    through = plan.throat.depth + plan.section.plate
    yield at_least(
        "saw.depth",
        plan.spec.shop.hand_saw.depth_under_back,
        fail=through,
        warn=through + BEARING_MM,
        why="the saw goes through the rail (the plate's thickness) and then as deep as the sole is wide; "
        "what is left of the blade above the rail is what a guide can hold",
        cure=change(more(plan.spec, "shop.hand_saw.depth_under_back", through + BEARING_MM)),
    )


def _set(plan: Plan) -> Iterator[Check]:
    saw = plan.spec.shop.hand_saw
    each = set_of_teeth_mm(saw.kerf, saw.plate)
    yield at_least(
        "saw.set",
        each,
        note=LEAST_SET_MM,
        why="with no set to its teeth a saw binds in a deep cut (the set on each side, (kerf - plate) / 2)",
        cure=change(more(plan.spec, "shop.hand_saw.kerf", saw.plate + 2 * LEAST_SET_MM), then="Measure both"),
    )
    yield at_most(
        "saw.wide_set",
        each,
        note=MOST_SET_MM,
        why="with a wide set the saw wanders off the guide, whose bearing stands as far from the cut (the "
        "set on each side, (kerf - plate) / 2)",
        cure=change(less(plan.spec, "shop.hand_saw.kerf", saw.plate + 2 * MOST_SET_MM), then="Measure both"),
    )


def _seat(plan: Plan) -> Check:
    """The guide sits on the rabbet face, and steps back at 45° to clear shoulder and rail."""
    section = plan.section
    lost = section.plate + 2 * plan.spec.shop.printer.clearance + plan.sole.plate_edge
    return at_least(
        "saw.seat",
        section.shoulder - lost,
        warn=SEAT_MM,
        why="between the sole's edge and the rail, which is in its way, a saw guide needs this much of the "
        "rabbet face to sit on",
        cure=change(more(plan.spec, "body.shoulder", lost + SEAT_MM)),
    )
