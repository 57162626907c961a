"""The sole: near the limits of its arc, and the parts of any profile that the iron cannot cut.

A sole wider than twice its radius, or turned past plumb, is refused with the spec.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import asin, degrees

from cad.checks.check import GEOMETRY, Check, at_least, at_most
from cad.checks.cure import change, narrower, wider
from cad.checks.edge import SCRAPES_DEG, scraping_deg
from cad.checks.places import told
from cad.fields import PRACTICE
from cad.geometry import Plan
from cad.geometry.steepness import stretches, walls
from cad.soles import form_of
from cad.soles.arc import ArcTable
from cad.units import format_length, plain

FULL_PERCENT = 98.0
SHALLOW_DEG = 40.0
MOST_SCRAPED_PERCENT = 15.0
TALL_WALL_MM = 6.0


def checks(plan: Plan) -> Iterator[Check]:
    """Yield the checks of an arc's width against its radius, then of the parts that scrape or only stand."""
    table = plan.spec.sole
    if isinstance(table, ArcTable):
        yield from _arc(plan, table)
    yield _scrapes(plan)
    yield _walls(plan)


def _arc(plan: Plan, table: ArcTable) -> Iterator[Check]:
    spec, share = plan.spec, 100 * table.width / (2 * table.radius)
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


def _scrapes(plan: Plan) -> Check:
    limit = scraping_deg(plan)
    found = stretches(plan.sole, limit)
    why = (
        f"beyond {plain(limit, 1)}° from level, where {plain(SCRAPES_DEG)}° of clearance are left, the iron "
        f"scrapes and takes next to no shaving (per cent of the sole's length): {told(plan, found)}"
        if found
        else "no sloping part of the sole is so steep that the iron scrapes there (per cent of its length)"
    )
    return at_most(
        "sole.scrapes",
        100 * sum(one.segment.length for one in found) / plan.sole.path.length,
        "percent",
        note=0.0,
        warn=MOST_SCRAPED_PERCENT,
        source=f"{GEOMETRY}: tan c' = tan(bed - bevel) x cos of the turn; the least clearance: {PRACTICE}",
        why=why,
        cure=change(
            narrower(plan.spec, limit),
            then=f"{form_of(plan.spec.sole).FLATTER}. Or leave these parts to another plane, leaned over",
        ),
    )


def _walls(plan: Plan) -> Check:
    found = walls(plan.sole)
    unit = plan.spec.unit
    named = ", ".join(
        f"the {one.name} at {format_length(one.segment.start[0], unit)} from the rabbet face, "
        f"{format_length(one.segment.length, unit)} high"
        for one in found
    )
    why = (
        f"plumb walls cut nothing: {named}. The corner of the iron beside it leaves each standing in the "
        "work; relieve the iron's own wall there, and keep its corner keen"
        if found
        else "the sole has no plumb wall (the height of the tallest)"
    )
    return at_most(
        "sole.walls",
        max((one.segment.length for one in found), default=0.0),
        note=0.0,
        warn=TALL_WALL_MM,
        why=why,
        cure=change("", then="Lower it, or lean it; or score it first with a knife or a marking gauge"),
    )
