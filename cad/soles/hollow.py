"""The hollow: a concave arc, which cuts a bead."""

from __future__ import annotations

from collections.abc import Iterator

from cad.fields import Known, Problem
from cad.formulas.circle import sagitta_mm
from cad.formulas.grit import grain_mm
from cad.outline import Arc
from cad.soles import arc
from cad.soles.member import Member

FORM = "hollow"
CALLED = "a hollow"
SUMMARY = "concave: cuts a bead"
MATE = "round"
Table = arc.ArcTable
SIZE = arc.SIZE
FLATTER = arc.FLATTER
RULES = arc.RULES


def _block_problems(known: Known) -> Iterator[Problem]:
    grain = max(grain_mm(grit) for grit in known.texts("shop.abrasive.grits"))
    backing, pad, radius = known["shop.abrasive.backing"], known["shop.abrasive.pad"], known["sole.radius"]
    stack = pad + backing + grain
    if stack >= radius:
        yield Problem(
            ("shop.abrasive.pad", "shop.abrasive.backing", "sole.radius"),
            f"the sanding block of this hollow has no radius left: pad, backing and grain take "
            f"{known.show(stack)} of {known.show(radius)}",
            f"Make pad and backing together less than {known.show(radius - grain)}",
        )


PROBLEMS = (arc.width_problems, arc.tolerance_problems, _block_problems)


def members(table: arc.ArcTable) -> tuple[Member, ...]:
    """Return the arc from (0, 0) through (w/2, s) to (w, 0), centre (w/2, s − r), in (y, z), mm."""
    r, w = table.radius, table.width
    s = sagitta_mm(r, w)
    return (Member("arc", Arc((0.0, 0.0), (w, 0.0), (w / 2, s - r), ccw=False)),)
