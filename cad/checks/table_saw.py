"""The table saw: its kerf in the mouth and its reach through the sled."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import Check, at_least, at_most
from cad.checks.cure import change, more
from cad.checks.hand_saw import kerf_in_mouth
from cad.geometry import Plan
from cad.geometry.sled import REACH_SHARE
from cad.units import plain

STIFF_MM = 9.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of the table saw."""
    saw = plan.spec.shop.table_saw
    yield kerf_in_mouth(plan, "table_saw.kerf", "shop.table_saw.kerf", saw.kerf)
    needed = plan.sled.blade_height
    yield at_most(
        "table_saw.reach",
        needed,
        warn=REACH_SHARE * saw.blade_diameter,
        why="the blade comes up through the sled's base, past the rail that hangs beside its packing, and "
        "into the throat; about 0.3 of its diameter is all that can stand above a table",
        cure=change(
            more(plan.spec, "shop.table_saw.blade_diameter", needed / REACH_SHARE),
            then="Or saw this throat by hand",
        ),
    )
    length, width, thickness = plan.spec.shop.router.sheet
    stiff = ", ".join(f'"{plain(side)} mm"' for side in (length, width, STIFF_MM))
    yield at_least(
        "table_saw.sheet",
        thickness,
        warn=STIFF_MM,
        why="the sled is built of this sheet, and a thinner one bends under the body and its clamps",
        cure=change(f"shop.router.sheet = [{stiff}]"),
    )
