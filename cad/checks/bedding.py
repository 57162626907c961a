"""The bed's pitch. Angles that close on each other are refused with the spec itself."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import Check, at_least, at_most
from cad.checks.cure import change, less_plain, more_plain
from cad.geometry import Plan

LOW_DEG, HIGH_DEG = 45.0, 60.0
FLAT_DEG, UPRIGHT_DEG = 38.0, 70.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of the bed angle."""
    bed = plan.throat.bed_deg
    yield at_least(
        "bed.low",
        bed,
        "deg",
        note=LOW_DEG,
        warn=FLAT_DEG,
        why="a low pitch, bevel down, leaves little clearance and lifts the grain ahead of the edge",
        cure=change(more_plain("throat.bed", LOW_DEG), then="45° to 60° is usual, 50° for hardwood"),
    )
    yield at_most(
        "bed.high",
        bed,
        "deg",
        note=HIGH_DEG,
        warn=UPRIGHT_DEG,
        why="a high pitch is hard to push and dulls soon",
        cure=change(less_plain("throat.bed", HIGH_DEG), then="45° to 60° is usual, 50° for hardwood"),
    )
