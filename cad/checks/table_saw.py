"""The table saw: its kerf in the mouth and its reach through the sled."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import Check, at_most
from cad.checks.cure import change, more
from cad.checks.hand_saw import kerf_in_mouth
from cad.geometry import Plan

REACH_SHARE = 0.31  # of the blade's diameter: what stands above the table at its highest


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of the table saw."""
    saw = plan.spec.shop.table_saw
    yield kerf_in_mouth(plan, "table_saw.kerf", "shop.table_saw.kerf", saw.kerf)
    needed = blade_height_mm(plan)
    yield at_most(
        "table_saw.reach",
        needed,
        warn=REACH_SHARE * saw.blade_diameter,
        why="the blade comes up through the sled's base, past the rail that hangs beside its packing, and "
        "into the throat; about 0.31 of its diameter is all that can stand above a table",
        cure=change(
            more(plan.spec, "shop.table_saw.blade_diameter", needed / REACH_SHARE),
            then="Or saw this throat by hand",
        ),
    )


def blade_height_mm(plan: Plan) -> float:
    """Return the height of the blade above the table: base, packing as thick as the plate, throat."""
    return plan.spec.shop.router.sheet[2] + plan.section.plate + plan.throat.depth
