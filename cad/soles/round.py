"""The round: a convex arc, which cuts a cove."""

from __future__ import annotations

from collections.abc import Iterator

from cad.fields import Known, NotKnownError, Problem
from cad.formulas.circle import sagitta_mm
from cad.outline import Arc, Path
from cad.soles import arc
from cad.soles.table import SoleTable

FORM = "round"
SUMMARY = "convex: cuts a cove"
Table = SoleTable
RULES = arc.RULES


def problems(known: Known) -> Iterator[Problem]:
    """Yield what is impossible about a round's values, each as far as its own values are known."""
    for find in (arc.width_problems, arc.tolerance_problems):
        try:
            yield from find(known)
        except NotKnownError:
            continue  # the missing value has a fault of its own


def path(table: SoleTable) -> Path:
    """Return the arc from (0, s) through (w/2, 0) to (w, s), centre (w/2, r), in (y, z), mm."""
    r, w = table.radius, table.width
    s = sagitta_mm(r, w)
    return Path((Arc((0.0, s), (w, s), (w / 2, r), ccw=True),))
