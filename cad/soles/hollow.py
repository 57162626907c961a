"""The hollow: a concave arc, which cuts a bead."""

from __future__ import annotations

from collections.abc import Iterator

from cad.fields import Known, NotKnownError, Problem
from cad.formulas.circle import sagitta_mm
from cad.formulas.grit import grain_mm
from cad.outline import Arc, Path
from cad.soles import arc
from cad.soles.table import SoleTable

FORM = "hollow"
SUMMARY = "concave: cuts a bead"
Table = SoleTable
RULES = arc.RULES


def problems(known: Known) -> Iterator[Problem]:
    """Yield what is impossible about a hollow's values, each as far as its own values are known."""
    for find in (arc.width_problems, arc.tolerance_problems, _block_problems):
        try:
            yield from find(known)
        except NotKnownError:
            continue  # the missing value has a fault of its own


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


def path(table: SoleTable) -> Path:
    """Return the arc from (0, 0) through (w/2, s) to (w, 0), centre (w/2, s − r), in (y, z), mm."""
    r, w = table.radius, table.width
    s = sagitta_mm(r, w)
    return Path((Arc((0.0, 0.0), (w, 0.0), (w / 2, s - r), ccw=False),))
