"""The mouth: room for the shaving in front of the edge, and its place along the sole."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians, sin

from cad.checks.check import Check, at_least, at_most
from cad.checks.cure import change, less, more
from cad.formulas.throat import TIGHT_GAP_MM, along_sole_mm
from cad.geometry import Plan

CLOSED_MM, TIGHT_MM = 0.1, TIGHT_GAP_MM
LOOSE_MM, GAPING_MM = 2.5, 4.0
FORWARD_PERCENT, BACK_PERCENT = 28.0, 38.0
THINNEST_IRON_MM = 0.5


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of gap and place."""
    spec, throat = plan.spec, plan.throat
    iron, lean = along_sole_mm(throat.iron, throat.bed_deg), sin(radians(throat.bed_deg))
    thinner = (throat.mouth - TIGHT_MM) * lean
    yield at_least(
        "mouth.gap",
        throat.gap,
        fail=CLOSED_MM,
        warn=TIGHT_MM,
        why="the iron takes its thickness / sin(bed) of the mouth; what is left lets the shaving through, "
        "and a tight mouth chokes on all but the finest",
        cure=change(
            more(spec, "throat.mouth", iron + TIGHT_MM),
            less(spec, "iron.thickness", thinner) if thinner >= THINNEST_IRON_MM else "",
        ),
    )
    yield at_most(
        "mouth.wide",
        throat.gap,
        note=LOOSE_MM,
        warn=GAPING_MM,
        why="the sole in front of the edge holds the fibres down; far from the edge it does not, and the "
        "wood tears out",
        cure=change(
            less(spec, "throat.mouth", iron + LOOSE_MM),
            more(spec, "iron.thickness", (throat.mouth - LOOSE_MM) * lean),
        ),
    )
    yield from _place(plan)


def _place(plan: Plan) -> Iterator[Check]:
    spec, length = plan.spec, plan.stages.length
    share = 100 * plan.throat.mouth_at / length
    yield at_least(
        "mouth.forward",
        share,
        "percent",
        note=FORWARD_PERCENT,
        why="a mouth about a third of the length from the toe leaves enough toe to start a stroke on",
        cure=change(more(spec, "throat.mouth_at", FORWARD_PERCENT / 100 * length)),
    )
    yield at_most(
        "mouth.back",
        share,
        "percent",
        note=BACK_PERCENT,
        why="a mouth about a third of the length from the toe leaves enough heel to steer by",
        cure=change(less(spec, "throat.mouth_at", BACK_PERCENT / 100 * length)),
    )
