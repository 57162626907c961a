"""Arrises along the sole: how sharp the wood is where the sole meets the sides."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import Check, at_least
from cad.checks.cure import change, more_plain, narrower
from cad.geometry import Plan

SHARP_DEG, KEEN_DEG = 60.0, 40.0
BARE_DEG, FEATHER_DEG = 45.0, 20.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of the wood's angle at the sole's edges, finished and before the plate is glued."""
    path, relief = plan.sole.path, plan.sole.relief_deg
    rise = path.segments[0].heading_deg(0.0)
    fall = -path.segments[-1].heading_deg(1.0)
    steepest = max(rise, fall)
    finished = 90 + relief - steepest
    side = "on the plate's side" if rise >= fall else "on the blind side"
    yield at_least(
        "arris.sole",
        finished,
        "deg",
        warn=KEEN_DEG,
        note=SHARP_DEG,
        why=f"where sole and relief meet ({side}, or on both) the wood is this sharp; a feather edge "
        "crumbles and leaves tracks beside the profile",
        cure=change(
            narrower(plan.spec, 90 + relief - SHARP_DEG),
            more_plain("sole.relief", relief + SHARP_DEG - finished)
            if relief + SHARP_DEG - finished <= 60
            else "",
        ),
    )
    bare = 90 - rise
    yield at_least(
        "arris.rabbet",
        bare,
        "deg",
        warn=FEATHER_DEG,
        note=BARE_DEG,
        why="until the plate is glued the sole meets the rabbet face, plumb, in an arris this sharp",
        cure=change(
            narrower(plan.spec, 90 - BARE_DEG),
            then="Or leave the last of the sole along the rabbet face until the plate is glued",
        ),
    )
