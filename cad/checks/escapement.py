"""The escapement in the plate: whether shavings get out by it."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import Check, at_least
from cad.checks.cure import change, less, more
from cad.geometry import Plan
from cad.geometry.cheek import BRIDGE_MM

OPEN_MM, CHOKED_MM = 6.0, 1.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of the escapement against sole, wedge and shoulder."""
    spec, top = plan.spec, plan.escapement.top
    highest, tip, shoulder = plan.sole.highest, plan.wedge.tip_height, plan.section.shoulder
    under_shoulder = top >= shoulder - BRIDGE_MM - 1e-9
    yield at_least(
        "escapement.height",
        top - highest,
        fail=CHOKED_MM,
        warn=OPEN_MM,
        why="shavings leave sideways through the plate, above the sole and below the wedge's tip; a throat "
        "without that opening chokes",
        cure=change(
            more(spec, "body.shoulder", highest + OPEN_MM + BRIDGE_MM)
            if under_shoulder
            else more(spec, "wedge.tip_height", highest + OPEN_MM)
        ),
    )
    lower = shoulder - BRIDGE_MM
    yield at_least(
        "escapement.eye",
        top - tip,
        warn=0.0,
        why="the shoulder of the rabbet cuts the escapement off below the wedge's tip, and shavings pile up "
        f"in the corner behind the plate ({BRIDGE_MM:g} mm of plate must stay under the shoulder)",
        cure=change(
            more(spec, "body.shoulder", tip + BRIDGE_MM),
            less(spec, "wedge.tip_height", lower) if lower > highest + OPEN_MM else "",
        ),
    )
    yield at_least(
        "escapement.tip",
        tip - highest,
        warn=OPEN_MM,
        why="a shaving needs room to turn between the sole and the wedge's tip",
        cure=change(more(spec, "wedge.tip_height", highest + OPEN_MM)),
    )
