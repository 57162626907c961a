"""The round: a convex arc, which cuts a cove."""

from __future__ import annotations

from cad.formulas.circle import sagitta_mm
from cad.outline import Arc
from cad.soles import arc
from cad.soles.member import Member

FORM = "round"
CALLED = "a round"
SUMMARY = "convex: cuts a cove"
MATE = "hollow"
Table = arc.ArcTable
SIZE = arc.SIZE
FLATTER = arc.FLATTER
RULES = arc.RULES
PROBLEMS = (arc.width_problems, arc.tolerance_problems)


def members(table: arc.ArcTable) -> tuple[Member, ...]:
    """Return the arc from (0, s) through (w/2, 0) to (w, s), centre (w/2, r), in (y, z), mm."""
    r, w = table.radius, table.width
    s = sagitta_mm(r, w)
    return (Member("arc", Arc((0.0, s), (w, s), (w / 2, r), ccw=True)),)
