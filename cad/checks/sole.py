"""The sole: near the limits of its arc. A sole wider than twice its radius is refused with the spec."""

from __future__ import annotations

from collections.abc import Iterator
from math import asin, degrees

from cad.checks.check import Check, at_least, at_most
from cad.checks.cure import change, narrower, wider
from cad.geometry import Plan
from cad.soles.arc import ArcTable

FULL_PERCENT = 98.0
SHALLOW_DEG = 40.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of an arc's width against its radius."""
    spec, table = plan.spec, plan.spec.sole
    if not isinstance(table, ArcTable):
        return
    share = 100 * table.width / (2 * table.radius)
    yield at_most(
        "sole.half_round",
        share,
        "percent",
        note=FULL_PERCENT,
        why="the sole is as good as a half round (its width in per cent of twice the radius): its edges "
        "stand plumb, and whatever is trued off the sole narrows it no more",
        cure=change(narrower(spec, degrees(asin(FULL_PERCENT / 100)))),
    )
    yield at_least(
        "sole.shallow",
        table.arc,
        "deg",
        note=SHALLOW_DEG,
        why="so short an arc is nearly flat: the plane has little to guide it in its own cove",
        cure=change(wider(spec, SHALLOW_DEG / 2), then="60° is usual"),
    )
