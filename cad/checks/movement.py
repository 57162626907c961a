"""The wood over the year: the throat shrinks on the iron, and widens round it."""

from __future__ import annotations

from collections.abc import Iterator

from cad.checks.check import Check, at_least, at_most
from cad.checks.cure import change, less_plain, more_plain
from cad.fields import PRACTICE
from cad.formulas.wood import COEFFICIENTS_HOLD_PERCENT, SPECIES, change_mm
from cad.geometry import Plan
from cad.units import format_length, plain

BINDS_MM, BURSTS_MM = 0.1, 0.25
LOOSE_MM, RATTLES_MM = 0.3, 0.8
HANDBOOK = "Wood Handbook, FPL-GTR-190"
MOVES = f"movement: {HANDBOOK}, table 13-5 and eq. 13-2; how much is too much: {PRACTICE}"


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of movement across the plane, and of the range in which it can be reckoned."""
    wood, width = plan.spec.wood, plan.throat.depth
    coefficient = SPECIES[wood.species].coefficient(wood.grain)
    low, high = wood.moisture_range
    per_percent = change_mm(width, coefficient, 0, 1)
    binds = change_mm(width, coefficient, low, wood.moisture_now)
    yield at_most(
        "wood.binds",
        binds,
        note=BINDS_MM,
        warn=BURSTS_MM,
        source=MOVES,
        why=f"when the wood dries from {plain(wood.moisture_now)} to {plain(low)} % the throat's depth "
        "shrinks by this much, the steel does not, and the iron pushes plate or blind wall off",
        cure=change(
            less_plain("wood.moisture_now", max(low, low + BINDS_MM / per_percent)),
            _quartered(plan, low, wood.moisture_now, BINDS_MM),
            then=f"Or grind the iron {format_length(max(binds, 0.0), plan.spec.unit)} narrower",
        ),
    )
    yield at_most(
        "wood.loose",
        change_mm(width, coefficient, wood.moisture_now, high),
        note=LOOSE_MM,
        warn=RATTLES_MM,
        source=MOVES,
        why=f"when the wood takes up moisture to {plain(high)} % the throat and the sole grow wider than "
        "the iron by this much, and the iron leaves an edge uncut",
        cure=change(
            more_plain("wood.moisture_now", min(high, high - LOOSE_MM / per_percent)),
            _quartered(plan, wood.moisture_now, high, LOOSE_MM),
        ),
    )
    yield from _range(plan)


def _quartered(plan: Plan, from_percent: float, to_percent: float, limit: float) -> str:
    """Return the words that turn the growth rings upright, where that is enough."""
    moves = change_mm(plan.throat.depth, SPECIES[plan.spec.wood.species].radial, from_percent, to_percent)
    return 'wood.grain = "quartered"' if moves <= limit else ""


def _range(plan: Plan) -> Iterator[Check]:
    low, high = plan.spec.wood.moisture_range
    least, most = COEFFICIENTS_HOLD_PERCENT
    cure = change(f"wood.moisture_range = [{plain(max(low, least))}, {plain(min(max(high, least), most))}]")
    why = (
        f"the handbook's coefficients hold from {plain(least)} to {plain(most)} % moisture; beyond, the "
        "movement reckoned here is only a guess"
    )
    source = f"{HANDBOOK}, table 13-5"
    yield at_least("wood.range_low", low, "percent", note=least, source=source, why=why, cure=cure)
    yield at_most("wood.range_high", high, "percent", note=most, source=source, why=why, cure=cure)
