"""The side relief: its lean, and what it leaves straight above it."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, degrees

from cad.checks.check import Check, at_least, at_most
from cad.checks.cure import change, less_plain, more, more_plain
from cad.geometry import Plan

STRAIGHT_MM = 8.0
BELOW_SHOULDER_MM = 4.0
STEEP_DEG, LEANING_DEG = 10.0, 40.0
MOST_DEG = 60.0  # what a spec may hold


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of the relief on both sides."""
    section, sole = plan.section, plan.sole
    yield at_least(
        "relief.blind",
        section.height - section.blind_relief_top,
        warn=STRAIGHT_MM,
        why="on the blind side hardly any straight face is left between the relief and the top: nothing to "
        "hold the plane by, or to register it against",
        cure=change(
            _steeper(section.blind_wall, section.height - STRAIGHT_MM - sole.blind_edge),
            more(plan.spec, "body.height", section.blind_relief_top + STRAIGHT_MM),
        ),
    )
    yield at_least(
        "relief.plate",
        section.shoulder - section.plate_relief_top,
        warn=BELOW_SHOULDER_MM,
        why="on the plate the relief runs out almost at the shoulder of the rabbet, and leaves its upper "
        "edge as a knife",
        cure=change(
            _steeper(section.plate, section.shoulder - BELOW_SHOULDER_MM - sole.plate_edge),
            more(plan.spec, "body.shoulder", section.plate_relief_top + BELOW_SHOULDER_MM),
        ),
    )
    yield at_least(
        "relief.low",
        sole.relief_deg,
        "deg",
        note=STEEP_DEG,
        why="plate and blind wall run out beside the mouth to an arris as sharp as the relief, and so "
        "close to plumb they also rub on the sides of a deep cove",
        cure=change(more_plain("sole.relief", STEEP_DEG), then="20° is usual"),
    )
    yield at_most(
        "relief.high",
        sole.relief_deg,
        "deg",
        note=LEANING_DEG,
        why="so flat a relief takes away the width on which the body stands up to the throat's walls",
        cure=change(less_plain("sole.relief", LEANING_DEG), then="20° is usual"),
    )


def _steeper(run: float, rise: float) -> str:
    lean = degrees(atan2(run, rise)) if rise > 0 else 90.0
    return more_plain("sole.relief", lean) if lean < MOST_DEG else ""
